package secure

import (
	"crypto/tls"
	"net/http"
	"net/http/httptest"
	"testing"

	"github.com/stretchr/testify/require"

	"pegpour/web/forwarded"
)

// Browsers come back by https where they once did, and only there: a yard that is
// served in plain stays reachable.
func TestStrictTransportWhereEncrypted(t *testing.T) {
	proxies, err := forwarded.Parse("10.0.0.0/8")
	require.NoError(t, err)
	h := proxies.Handler(Headers(http.NotFoundHandler()))
	for _, c := range []struct {
		name, host, from, proto string
		tls                     bool
		want                    string
	}{
		{"encrypted", "yard.example", "192.0.2.1:1", "", true, strict},
		{"in plain", "yard.example", "192.0.2.1:1", "", false, ""},
		{"by a proxy that encrypts", "yard.example", "10.0.0.1:1", "https", false, strict},
		{"by a proxy in plain", "yard.example", "10.0.0.1:1", "http", false, ""},
		{"somebody claims it", "yard.example", "192.0.2.1:1", "https", false, ""},
		{"other programs answer here too", "localhost:8080", "127.0.0.1:1", "", true, ""},
	} {
		r := httptest.NewRequest("GET", "http://"+c.host+"/", nil)
		r.RemoteAddr = c.from
		if c.tls {
			r.TLS = &tls.ConnectionState{}
		}
		if c.proto != "" {
			r.Header.Set("X-Forwarded-Proto", c.proto)
		}
		w := httptest.NewRecorder()
		h.ServeHTTP(w, r)
		require.Equal(t, c.want, w.Header().Get("Strict-Transport-Security"), c.name)
	}
}
