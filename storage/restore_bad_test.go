package storage_test

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"pegpour/storage"
)

// goodBackUp is a back-up of three sites with two photos, by its lines: what it is, the
// records in the order of their identities, the photos, the seal.
func goodBackUp(t *testing.T) (lines []string, sites []string, photos []string) {
	t.Helper()
	s := storage.NewMemory()
	for i, id := range []string{"11111111-0000-4000-8000-000000000000", "22222222-0000-4000-8000-000000000000",
		"33333333-0000-4000-8000-000000000000"} {
		d := storage.NewDocument("2026-01-01T00:00:00Z")
		d.ID, d.Survey.Site.Name = id, "Lane "+id[:1]
		if i < 2 {
			photo, err := s.PutPhoto(t.Context(), "image/png", []byte("picture "+id))
			require.NoError(t, err)
			d.Photos = []storage.Photo{{ID: photo, Type: "image/png"}}
			photos = append(photos, photo)
		}
		_, err := s.Create(t.Context(), d)
		require.NoError(t, err)
		sites = append(sites, id)
	}
	var file bytes.Buffer
	require.NoError(t, s.BackUp(t.Context(), &file))
	lines = strings.SplitAfter(strings.TrimSuffix(file.String(), "\n"), "\n")
	require.Len(t, lines, 1+3+2+1)
	return lines, sites, photos
}

// What is sound in a faulty back-up is offered and restored, what is not is named, and
// a look at it writes nothing.
func TestASoundPartOfAFaultyBackUpIsRestored(t *testing.T) {
	good, sites, _ := goodBackUp(t)
	edited := func(change func(lines []string) []string) string {
		return strings.Join(change(append([]string{}, good...)), "")
	}
	photoLine := func(lines []string, n int) int { return 4 + n }
	for name, c := range map[string]struct {
		file            string
		says            string // of the error; "": none
		restored        []string
		outcomes        map[string]storage.RestoreOutcome
		unread, damaged int
		lost            []string
		photos          int // that come over
	}{
		"whole": {file: strings.Join(good, ""), restored: sites, photos: 2},
		"cut short at a line": {edited(func(l []string) []string { return l[:3] }), "cut short", sites[:2], nil, 0, 0,
			[]string{"Lane 1", "Lane 2"}, 0},
		"cut short in a line": {edited(func(l []string) []string { l[3] = l[3][:40]; return l[:4] }), "cut short", sites[:2], nil, 0, 0,
			[]string{"Lane 1", "Lane 2"}, 0},
		"a record that is no JSON": {edited(func(l []string) []string { l[2] = "{\"record\":{\"id\":\x00\n"; return l }), "a part of it cannot be read",
			[]string{sites[0], sites[2]}, nil, 1, 0, nil, 2},
		"a line of something else": {edited(func(l []string) []string { l[5] = "<html>\n"; return l }), "a part of it cannot be read", sites, nil, 1, 0,
			[]string{"Lane ?"}, 1},
		"a record that is no site": {edited(func(l []string) []string {
			l[2] = strings.Replace(l[2], `"pegpour-site"`, `"another-site"`, 1)
			return l
		}), "seal", []string{sites[0], sites[2]}, map[string]storage.RestoreOutcome{sites[1]: storage.RestoreDamaged}, 0, 0, nil, 2},
		"a site of a newer version": {edited(func(l []string) []string {
			l[2] = strings.Replace(l[2], `"version":1}`, `"version":9}`, 1)
			return l
		}), "seal", []string{sites[0], sites[2]}, map[string]storage.RestoreOutcome{sites[1]: storage.RestoreTooNew}, 0, 0, nil, 2},
		"a photo is missing": {edited(func(l []string) []string { return append(l[:photoLine(l, 0)], l[photoLine(l, 1):]...) }), "seal",
			sites, nil, 0, 0, []string{"Lane ?"}, 1},
		"a photo is damaged": {edited(func(l []string) []string {
			i := photoLine(l, 0)
			at := strings.Index(l[i], `"data":"`) + len(`"data":"`)
			l[i] = l[i][:at] + "AAAA" + l[i][at+4:]
			return l
		}), "seal", sites, nil, 0, 1, []string{"Lane ?"}, 1},
		"of another program": {`{"format":"another","version":1}` + "\n", "no back-up of this program", nil, nil, 0, 0, nil, 0},
		"of a newer version": {edited(func(l []string) []string {
			l[0] = strings.Replace(l[0], `"version":1`, `"version":2`, 1)
			return l
		}), "newer version", nil, nil, 0, 0, nil, 0},
		"a web page": {"<!doctype html><title>x</title>", "no back-up of this program", nil, nil, 0, 0, nil, 0},
		"nothing":    {"", "empty", nil, nil, 0, 0, nil, 0},
	} {
		t.Run(name, func(t *testing.T) {
			to := storage.NewMemory()
			look := func(how storage.Restoring) storage.RestoreReport {
				t.Helper()
				r, err := to.RestoreBackUp(t.Context(), strings.NewReader(c.file), how)
				if c.says == "" {
					require.NoError(t, err)
				} else {
					var bad *storage.BackUpError
					require.ErrorAs(t, err, &bad)
					require.Contains(t, err.Error(), c.says)
				}
				require.Equal(t, c.says == "", r.Complete)
				require.Equal(t, c.unread, r.Unread)
				require.Equal(t, c.damaged, r.DamagedPhotos)
				require.Len(t, r.LostPhotosOf, len(c.lost))
				for i, name := range c.lost {
					require.Regexp(t, strings.Replace(name, "?", "[12]", 1), r.LostPhotosOf[i])
				}
				for id, want := range c.outcomes {
					for _, item := range r.Items {
						if item.ID == id {
							require.Equal(t, want, item.Outcome)
							require.Equal(t, "Lane "+id[:1], item.Name, "it is named")
						}
					}
				}
				return r
			}
			look(storage.LookOnly)
			none, err := to.Sites(t.Context())
			require.NoError(t, err)
			require.Empty(t, none, "a look writes nothing")
			look(storage.KeepHere)
			there, err := to.Sites(t.Context())
			require.NoError(t, err)
			sound := map[string]bool{}
			for _, s := range there {
				sound[s.ID] = s.Condition == storage.Sound
			}
			for _, id := range sites {
				require.Equal(t, contains(c.restored, id), sound[id], id)
			}
			for id, want := range c.outcomes { // kept aside as it is
				raw, err := to.Raw(t.Context(), id)
				require.NoError(t, err)
				require.True(t, json.Valid(raw))
				for _, s := range there {
					if s.ID == id {
						require.Equal(t, map[storage.RestoreOutcome]storage.Condition{storage.RestoreDamaged: storage.IsDamaged,
							storage.RestoreTooNew: storage.IsNewer}[want], s.Condition)
					}
				}
			}
			in, err := to.Inventory(t.Context())
			require.NoError(t, err)
			require.Len(t, in.Photos, c.photos)
		})
	}
}

func contains(all []string, one string) bool {
	for _, s := range all {
		if s == one {
			return true
		}
	}
	return false
}
