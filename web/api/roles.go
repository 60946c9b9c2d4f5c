package api

import (
	"net/http"
	"slices"
	"strings"

	"pegpour/storage/yard"
)

// may reports whether a device may use an address at all; what it may there the address
// itself looks at.
func may(d yard.Device, to route) bool {
	looks := to.method == http.MethodGet || to.method == http.MethodHead
	switch {
	case d.Role == yard.Office || to.path == "/api/v1/device":
		return true
	case d.Role == yard.Reader: // who sent what is named by the list of devices
		return looks && (to.role == anyRole || to.path == "/api/v1/devices")
	case d.Role == yard.Machine:
		return (to.role == anyRole || to.path == backUpPath) && slices.Contains(d.Scope, scopeOf(to, looks))
	}
	return to.role == anyRole
}

const backUpPath = "/api/v1/backup"

// scopeOf is the scope that a machine needs for an address.
func scopeOf(to route, looks bool) string {
	switch {
	case to.path == backUpPath:
		return yard.ScopeBackUp
	case looks:
		return yard.ScopeRead
	case strings.Contains(to.path, "/marks/"):
		return yard.ScopeMark
	}
	return yard.ScopeWrite
}
