package forwarded

import (
	"net/http"
	"net/http/httptest"
	"net/netip"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestOnlyNamedProxiesAreBelieved(t *testing.T) {
	proxies, err := Parse("10.0.0.0/8, 2001:db8:1::/48,127.0.0.1")
	require.NoError(t, err)
	for _, c := range []struct{ name, from, forwarded, xff, want string }{
		{"no proxy", "192.0.2.9:4000", "", "", "192.0.2.9:4000"},
		{"a stranger says it is a proxy", "192.0.2.9:4000", "for=198.51.100.7", "198.51.100.7", "192.0.2.9:4000"},
		{"a proxy that says nothing", "10.1.2.3:4000", "", "", "10.1.2.3:4000"},
		{"X-Forwarded-For", "10.1.2.3:4000", "", "198.51.100.7", "198.51.100.7:4000"},
		{"Forwarded", "10.1.2.3:4000", `proto=https;For="198.51.100.7:1234";by=10.1.2.3`, "", "198.51.100.7:4000"},
		{"Forwarded, six", "127.0.0.1:4000", `for="[2001:db8:cafe::17]:4711"`, "", "[2001:db8:cafe::17]:4000"},
		{"the left is what the machine wrote itself", "10.1.2.3:4000", "", "1.1.1.1, 198.51.100.7", "198.51.100.7:4000"},
		{"two proxies", "10.1.2.3:4000", "", "1.1.1.1, 198.51.100.7, 10.9.9.9", "198.51.100.7:4000"},
		{"all proxies", "10.1.2.3:4000", "", "10.8.8.8, 10.9.9.9", "10.8.8.8:4000"},
		{"both agree", "10.1.2.3:4000", "for=198.51.100.7", "198.51.100.7", "198.51.100.7:4000"},
		{"both differ", "10.1.2.3:4000", "for=1.1.1.1", "198.51.100.7", "10.1.2.3:4000"},
		{"nonsense", "10.1.2.3:4000", "", "me, <script>", "10.1.2.3:4000"},
		{"hidden", "10.1.2.3:4000", "for=_hidden", "", "10.1.2.3:4000"},
		{"hidden beside a claim", "10.1.2.3:4000", "for=_hidden", "1.1.1.1", "10.1.2.3:4000"},
		{"mapped", "[::ffff:10.1.2.3]:4000", "", "::ffff:198.51.100.7", "198.51.100.7:4000"},
		{"a zone", "10.1.2.3:4000", "", "fe80::1%eth0", "[fe80::1]:4000"},
		{"very many", "10.1.2.3:4000", "", strings.Repeat("10.0.0.1,", 5000) + "10.0.0.1", "10.0.0.1:4000"},
	} {
		r := httptest.NewRequest("GET", "/", nil)
		r.RemoteAddr = c.from
		if c.forwarded != "" {
			r.Header.Set("Forwarded", c.forwarded)
		}
		if c.xff != "" {
			r.Header.Set("X-Forwarded-For", c.xff)
		}
		got := ""
		proxies.Handler(http.HandlerFunc(func(_ http.ResponseWriter, r *http.Request) { got = r.RemoteAddr })).
			ServeHTTP(httptest.NewRecorder(), r)
		require.Equal(t, c.want, got, c.name)
	}
	// Headers given twice are one list.
	r := httptest.NewRequest("GET", "/", nil)
	r.RemoteAddr = "10.1.2.3:4000"
	r.Header["X-Forwarded-For"] = []string{"1.1.1.1", "198.51.100.7"}
	proxies.Handler(http.HandlerFunc(func(_ http.ResponseWriter, r *http.Request) {
		require.Equal(t, "198.51.100.7:4000", r.RemoteAddr)
	})).ServeHTTP(httptest.NewRecorder(), r)
}

func TestEncryptedIsBelievedOfNamedProxies(t *testing.T) {
	for from, want := range map[string]bool{"10.1.2.3:4000": true, "192.0.2.9:4000": false} {
		r := httptest.NewRequest("GET", "/", nil)
		r.RemoteAddr = from
		r.Header.Set("X-Forwarded-Proto", "https")
		Proxies{netip.MustParsePrefix("10.0.0.0/8")}.Handler(http.HandlerFunc(
			func(_ http.ResponseWriter, r *http.Request) { require.Equal(t, want, Encrypted(r), from) })).
			ServeHTTP(httptest.NewRecorder(), r)
	}
}

func TestNetworksAreRead(t *testing.T) {
	none, err := Parse("")
	require.NoError(t, err)
	require.Empty(t, none)
	for _, bad := range []string{"10.0.0.0/33", "localhost", "10.0.0.0/8 ::1", "fe80::1%eth0"} {
		_, err := Parse(bad)
		require.Error(t, err, bad)
	}
}

func FuzzForwarded(f *testing.F) {
	f.Add(`for="[2001:db8:cafe::17]:4711";proto=https, for=10.0.0.1`, "1.1.1.1, 10.0.0.1")
	f.Add(`for=;;=,,"`, ",,:")
	proxies := Proxies{netip.MustParsePrefix("10.0.0.0/8")}
	f.Fuzz(func(t *testing.T, forwarded, xff string) {
		r := httptest.NewRequest("GET", "/", nil)
		r.Header["Forwarded"], r.Header["X-Forwarded-For"] = []string{forwarded}, []string{xff}
		r.RemoteAddr = "10.1.2.3:4000"
		proxies.Handler(http.HandlerFunc(func(_ http.ResponseWriter, r *http.Request) {
			if _, err := netip.ParseAddrPort(r.RemoteAddr); err != nil {
				t.Errorf("%q %q gave %q", forwarded, xff, r.RemoteAddr)
			}
		})).ServeHTTP(httptest.NewRecorder(), r)
	})
}
