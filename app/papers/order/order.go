// Package order is what is sent to the program that makes documents: all that
// it needs, so that the same order gives the same bytes on a phone, on the
// command line and in the yard. It is apart from that program so that the app
// does not carry it.
package order

import "encoding/json"

// Cuts asks for what the steel shop cuts as a table, CSV, in place of a sheet: as planned
// or, once it was measured, as poured.
const Cuts = "cuts"

// Exchange asks for the drawings in one DXF file, in true size.
const Exchange = "dxf"

// Order asks for one document.
type Order struct {
	// Document is the site's file as storage encodes it.
	Document json.RawMessage `json:"document"`
	// Rules are those that the shop overrides, by key.
	Rules map[string]float64 `json:"rules,omitempty"`
	// For is the reader: owner, labourer, large, steel, supplier, engineer,
	// hand-over, keeper, quote or costing; Cuts or Exchange.
	For string `json:"for"`
	// Date of the issue, RFC 3339 or only its day. Empty: when the site was
	// last changed, so that one state of a site is always printed the same.
	Date string `json:"date,omitempty"`
	// Revision as it shall read. Empty: named by the content of document and
	// rules.
	Revision string `json:"revision,omitempty"`
	// Units and Currency as in the shop's settings.
	Units    string `json:"units,omitempty"`
	Currency string `json:"currency,omitempty"`
	// Words is the file of a language; empty prints English.
	Words json.RawMessage `json:"words,omitempty"`
	// Firm that issues the document.
	Firm string `json:"firm,omitempty"`
	// Terms are what the firm says under a quote.
	Terms string `json:"terms,omitempty"`
	// Prices shows them where the document has room for them.
	Prices bool `json:"prices,omitempty"`
	// Colour prints measured figures in plum.
	Colour bool `json:"colour,omitempty"`
}
