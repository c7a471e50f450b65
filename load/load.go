// Package load is the vocabulary of the program and its arithmetic: what a
// watch recorded (Activity), what the tendon was asked to carry (Session), the
// days and windows those make, and what the limits say about the next run
// (Headroom, Finding).
//
// It is pure: data in, data out. It knows no clock, file, network, database or
// local time zone; the day it is asked about is always an argument. Reading
// files is the business of package ingest, keeping them that of load/journal.
//
// Quantities are types and carry their unit. Data that makes no sense comes
// back as an error or as an absent value with its reason; only a broken
// precondition, a bug of the caller, panics. No NaN ever leaves the package.
package load

// Version is that of the model: of Reduce, the windows and the limits. It rises
// whenever the same recording would give another session, so that what was
// derived from it is derived anew.
const Version = 3
