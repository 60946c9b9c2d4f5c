// Package apitest has what tests send to the yard's API.
package apitest

import (
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"pegpour/storage"
)

// SiteBytes is a site of the name with the photos, as it is sent.
func SiteBytes(t testing.TB, id, name string, photos ...string) []byte {
	t.Helper()
	d := &storage.Document{ID: id, Created: "2026-01-01T00:00:00Z", Changed: "2026-01-01T00:00:00Z"}
	d.Survey.Site.Name = name
	for _, p := range photos {
		d.Photos = append(d.Photos, storage.Photo{ID: p})
	}
	text, err := storage.Encode(d)
	require.NoError(t, err)
	return text
}

// RevisionPath is the address at which a state of a site is sent that follows
// on the parents.
func RevisionPath(site string, text []byte, parents ...storage.Revision) string {
	path := "/api/v1/sites/" + site + "/revisions/" + string(storage.NameRevision(text, parents...))
	for i, p := range parents {
		path += map[bool]string{true: "?", false: "&"}[i == 0] + "parent=" + string(p)
	}
	return path
}

// Setting is a number that the environment may give.
func Setting(name string, otherwise int) int {
	if n, err := strconv.Atoi(os.Getenv(name)); err == nil {
		return n
	}
	return otherwise
}
