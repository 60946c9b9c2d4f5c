package api

import (
	"log/slog"
	"strconv"
	"strings"
	"syscall"
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
	f.api = New(y, time.Now, slog.New(slog.DiscardHandler))
	f.crew = f.paired(yard.Crew)
	for n := range 60 {
		text := apitest.SiteBytes(t, "s", strings.Repeat("x", 3000)+strconv.Itoa(n))
		if w := f.ask(f.crew, "PUT", apitest.RevisionPath("s", text), text); w.Code == 507 {
			return
		}
	}
	t.Fatal("the disk never got full")
}

// On a full disk nothing can be noted, not even when a device was seen; what is
// there can be read all the same.
func TestAYardOnAFullDiskIsRead(t *testing.T) {
	full := false
	f := &fixture{t: t, seen: map[string]bool{}, now: time.Date(2026, 5, 1, 8, 0, 0, 0, time.UTC)}
	var err error
	f.yard, err = yard.Open(t.Context(), t.TempDir(), yard.Options{Now: f.clock, NotDurable: true,
		Fault: func(point string) error {
			if full && point == "commit" {
				return syscall.ENOSPC
			}
			return nil
		}})
	require.NoError(t, err)
	defer f.yard.Close()
	f.api = New(f.yard, f.clock, slog.New(slog.DiscardHandler))
	f.crew = f.paired(yard.Crew)
	text := apitest.SiteBytes(t, "s", "One")
	f.want(201, f.ask(f.crew, "PUT", apitest.RevisionPath("s", text), text))
	full = true
	f.now = f.now.Add(time.Hour) // long enough for the device to be noted as seen
	for _, path := range []string{"/api/v1/changes", "/api/v1/sites", "/api/v1/sites/s/heads",
		apitest.RevisionPath("s", text), "/api/v1/device"} {
		f.want(200, f.ask(f.crew, "GET", path, nil))
	}
	other := apitest.SiteBytes(t, "s", "Two")
	f.want(507, f.ask(f.crew, "PUT", apitest.RevisionPath("s", other), other))
}
