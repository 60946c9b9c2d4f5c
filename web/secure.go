package main

import (
	"net/http"
	"strings"
)

// contentSecurityPolicy allows the site its own files and nothing else. The one
// script that stands in the page is named there by its digest (package bundle). Two allowances were found to be needed:
//   - 'wasm-unsafe-eval' compiles the program; it does not allow eval;
//   - style attributes, because go-app sets them as attributes; style elements
//     are not allowed.
//
// Pictures may come from data and blob addresses, which are made on the device.
var contentSecurityPolicy = strings.Join([]string{
	"default-src 'none'",
	"script-src 'self' 'wasm-unsafe-eval'",
	"style-src 'self'",
	"style-src-attr 'unsafe-inline'",
	"img-src 'self' data: blob:",
	"connect-src 'self'",
	"font-src 'self'",
	"manifest-src 'self'",
	"worker-src 'self'",
	"base-uri 'none'",
	"form-action 'none'",
	"frame-ancestors 'none'",
}, "; ")

// secure adds to every answer what keeps the browser from doing more with it
// than is meant.
func secure(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", contentSecurityPolicy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Permissions-Policy", "camera=(self), geolocation=(), microphone=()")
		next.ServeHTTP(w, r)
	})
}
