package secure

import (
	"slices"
	"strings"
)

// PolicyHeader is the header that a [Policy] stands in.
const PolicyHeader = "Content-Security-Policy"

// Policy is a content security policy: what a page may load and do, and from
// where. https://www.w3.org/TR/CSP3/
type Policy []Directive

// Directive names the sources that one kind of thing may come from.
type Directive struct {
	Name    string
	Sources []string
}

// Sources of a directive.
const (
	none = "'none'"
	self = "'self'"
)

// SitePolicy allows the site its own files and nothing else, and a page the
// scripts that stand in it, each named by its digest (see bundle.ScriptSource).
// Two allowances were found to be needed:
//   - 'wasm-unsafe-eval' compiles the program; it does not allow eval;
//   - style attributes, because go-app sets them as attributes; style elements
//     are not allowed.
//
// Pictures may come from data and blob addresses, which are made on the device.
func SitePolicy(scripts ...string) Policy {
	return Policy{
		{"default-src", []string{none}},
		{"script-src", slices.Concat([]string{self}, scripts, []string{"'wasm-unsafe-eval'"})},
		{"style-src", []string{self}},
		{"style-src-attr", []string{"'unsafe-inline'"}},
		{"img-src", []string{self, "data:", "blob:"}},
		{"connect-src", []string{self}},
		{"font-src", []string{self}},
		{"manifest-src", []string{self}},
		{"worker-src", []string{self}},
		{"base-uri", []string{none}},
		{"form-action", []string{none}},
		{"frame-ancestors", []string{none}},
	}
}

// String writes the policy as it stands in the header.
func (p Policy) String() string {
	directives := make([]string, len(p))
	for i, d := range p {
		directives[i] = d.Name + " " + strings.Join(d.Sources, " ")
	}
	return strings.Join(directives, "; ")
}
