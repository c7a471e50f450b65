package wire

import _ "embed" // of the schema

// LogbookSchema is the JSON Schema (2020-12) of a Logbook.
//
//go:embed logbook.schema.json
var LogbookSchema []byte
