package secure

import (
	"net/http"
	"strings"

	"pegpour/web/forwarded"
)

// strict has browsers come by https for two years, however an address is typed (RFC
// 6797). Other machines of the name are left alone: they are not ours.
const strict = "max-age=63072000"

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
		if forwarded.Encrypted(r) && !local(r.Host) {
			h.Set("Strict-Transport-Security", strict)
		}
		h.Set("Permissions-Policy", "camera=(self), geolocation=(self), microphone=(self)")
		next.ServeHTTP(w, r)
	})
}

// local reports the name under which every machine knows itself, where other programs
// of the machine answer too, and not by https.
func local(host string) bool {
	name, _, _ := strings.Cut(host, ":")
	return name == "localhost" || strings.HasSuffix(name, ".localhost")
}
