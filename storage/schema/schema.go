// Package schema holds what a site and a plan look like as JSON, as JSON Schema
// (draft 2020-12): for other programs, which the yard gives them. The tests of package
// storage write the files of the Go types, and hold documents and plans against them.
package schema

import _ "embed"

// Site describes the document of a site.
//
//go:embed site.schema.json
var Site []byte

// Plan describes a plan, as the command plan writes it.
//
//go:embed plan.schema.json
var Plan []byte
