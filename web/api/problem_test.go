package api

import (
	"io"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"pegpour/storage/yard"
	"pegpour/web/api/apitest"
)

func TestAPINowhere(t *testing.T) {
	f := newFixture(t)
	for _, path := range []string{"/api/", "/api/v1", "/api/v1/none", "/api/v2/sites"} {
		f.want(404, f.ask(f.office, "GET", path, nil))
	}
	w := f.want(405, f.ask(f.office, "DELETE", "/api/v1/sites", nil))
	require.Equal(t, "GET, HEAD", w.Header().Get("Allow"))
}

func TestDiskFullIsSaid(t *testing.T) {
	y, err := yard.Open(t.Context(), t.TempDir(), yard.Options{MaxPages: 45})
	require.NoError(t, err)
	defer y.Close()
	f := &fixture{t: t, yard: y, seen: map[string]bool{}, now: time.Now()}
	f.api = New(y, time.Now, io.Discard)
	f.crew = f.paired(yard.Crew)
	for n := range 60 {
		text := apitest.SiteBytes(t, "s", strings.Repeat("x", 3000)+strconv.Itoa(n))
		if w := f.ask(f.crew, "PUT", apitest.RevisionPath("s", text), text); w.Code == 507 {
			return
		}
	}
	t.Fatal("the disk never got full")
}
