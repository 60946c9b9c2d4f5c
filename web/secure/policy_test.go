package secure

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// What browsers are sent, to the byte.
func TestSitePolicy(t *testing.T) {
	const rest = "; style-src 'self'; style-src-attr 'unsafe-inline'; img-src 'self' data: blob:" +
		"; connect-src 'self'; font-src 'self'; manifest-src 'self'; worker-src 'self'" +
		"; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
	for _, c := range []struct {
		name    string
		scripts []string
		want    string
	}{
		{"no script in the page", nil, "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'" + rest},
		{"one", []string{"'sha256-a='"}, "default-src 'none'; script-src 'self' 'sha256-a=' 'wasm-unsafe-eval'" + rest},
		{"two", []string{"'sha256-a='", "'sha256-b='"},
			"default-src 'none'; script-src 'self' 'sha256-a=' 'sha256-b=' 'wasm-unsafe-eval'" + rest},
	} {
		t.Run(c.name, func(t *testing.T) {
			require.Equal(t, c.want, SitePolicy(c.scripts...).String())
		})
	}
	require.Empty(t, Policy{}.String())
	require.Equal(t, "img-src data: blob:", Policy{{"img-src", []string{"data:", "blob:"}}}.String())
}
