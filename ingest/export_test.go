package ingest

// Sieve lets the tests hand in activities that no format would write.
var Sieve = sieve
