package api

import (
	"bytes"
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"pegpour/storage"
	"pegpour/web/api/apitest"
)

// A site that names very many photos is refused, and one that names as many as allowed,
// none of which came, is exported soon.
func TestExportOfManyPhotos(t *testing.T) {
	f := newFixture(t)
	names := make([]string, 200_000)
	for n := range names {
		names[n] = storage.PhotoID(fmt.Append(nil, n))
	}
	var text bytes.Buffer
	text.WriteString(`{"created":"2026-01-01T00:00:00Z","format":"pegpour-site","id":"s","photos":[`)
	for n, name := range names {
		if n > 0 {
			text.WriteByte(',')
		}
		fmt.Fprintf(&text, `{"id":%q}`, name[:16])
	}
	text.WriteString(`],"version":1}`)
	w := f.ask(f.crew, "PUT", apitest.RevisionPath("s", text.Bytes()), text.Bytes())
	require.Contains(t, []int{413, 422}, w.Code)

	begun := time.Now()
	many := apitest.SiteBytes(t, "s", "Many", names[:storage.MaxEntries]...)
	f.want(201, f.ask(f.crew, "PUT", apitest.RevisionPath("s", many), many))
	taken := time.Since(begun)
	begun = time.Now()
	f.want(200, f.ask(f.crew, "GET", "/api/v1/sites/s/export", nil))
	exported := time.Since(begun)
	require.Less(t, exported, 3*taken+time.Second, "it was taken in %v", taken)
}
