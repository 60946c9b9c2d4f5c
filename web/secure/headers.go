package secure

import "net/http"

// Headers secures every answer of next. What next sets itself takes the place
// of what is set here: a page with a script in it has a policy of its own.
func Headers(next http.Handler) http.Handler {
	policy := SitePolicy().String()
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set(PolicyHeader, policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Permissions-Policy", "camera=(self), geolocation=(), microphone=()")
		next.ServeHTTP(w, r)
	})
}
