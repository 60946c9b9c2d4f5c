package app

import "strings"

// What of the framework's http.go runs in a browser. Its handler, which would
// serve the app, draws net/http, text/template and all of TLS into the program.

func isRemoteLocation(path string) bool {
	return strings.HasPrefix(path, "https://") ||
		strings.HasPrefix(path, "http://")
}

func isStaticResourcePath(path string) bool {
	return strings.HasPrefix(path, "/web/") ||
		strings.HasPrefix(path, "web/")
}
