// Package axe holds axe-core 4.14.1, the rules for accessible pages that the
// tests ask of every screen. Its licence is the MPL 2.0, in LICENSE; it is
// never served. It is the file axe.min.js of the package axe-core of the npm
// registry, unchanged; `npm pack axe-core` fetches a newer one.
package axe

import _ "embed"

// Script defines window.axe.
//
//go:embed axe.min.js
var Script string
