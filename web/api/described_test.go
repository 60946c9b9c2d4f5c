package api

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"pegpour/storage"
	"pegpour/storage/yard"
	"pegpour/web/api/apitest"
	"pegpour/web/pairing"
)

// TestAPIAsDescribed goes through every address and every answer that
// openapi.json gives, and wants no other.
func TestAPIAsDescribed(t *testing.T) {
	f := newFixture(t)
	const ok, created, accepted, done, notModified = 200, 201, 202, 204, 304
	octets := "Content-Type: application/octet-stream"

	// The description and what problems mean.
	tag := f.want(ok, f.ask("", "GET", "/api/v1/openapi.json", nil)).Header().Get("ETag")
	f.want(notModified, f.ask("", "GET", "/api/v1/openapi.json", nil, "If-None-Match: "+tag))
	for _, name := range []string{"site", "plan"} {
		tag = f.want(ok, f.ask("", "GET", "/api/v1/"+name+".schema.json", nil)).Header().Get("ETag")
		f.want(notModified, f.ask("", "GET", "/api/v1/"+name+".schema.json", nil, "If-None-Match: "+tag))
	}
	tag = f.want(ok, f.ask("", "GET", "/api/v1/problems/too-large", nil)).Header().Get("ETag")
	f.want(notModified, f.ask("", "GET", "/api/v1/problems/too-large", nil, "If-None-Match: W/"+tag))
	f.want(404, f.ask("", "GET", "/api/v1/problems/none", nil))

	// Pairing.
	var made struct{ Code string }
	w := f.want(created, f.ask(f.office, "POST", "/api/v1/codes", []byte(`{"role":"crew"}`)))
	require.NoError(t, json.Unmarshal(w.Body.Bytes(), &made))
	f.want(422, f.ask(f.office, "POST", "/api/v1/codes", []byte(`{"role":"king"}`)))
	for _, address := range []string{
		"yard", "javascript:alert(1)", "https://a@b", "https://x?y", "https://" + strings.Repeat("x", pairing.MaxAddress),
	} {
		form, _ := json.Marshal(map[string]string{"role": "crew", "address": address})
		f.want(422, f.ask(f.office, "POST", "/api/v1/codes", form))
	}
	f.want(413, f.ask(f.office, "POST", "/api/v1/codes", make([]byte, maxFormBytes+1)))
	f.want(415, f.ask(f.office, "POST", "/api/v1/codes", []byte("role=crew"), "Content-Type: text/plain"))
	f.want(403, f.ask(f.crew, "POST", "/api/v1/codes", []byte(`{"role":"office"}`)))
	f.want(401, f.ask("", "POST", "/api/v1/codes", []byte(`{"role":"crew"}`)))
	f.want(401, f.ask("", "POST", "/api/v1/pair", []byte(`{"code":"AAAAA-AAAAA","name":"x"}`)))
	f.want(422, f.ask("", "POST", "/api/v1/pair", []byte(`{`)))
	f.want(422, f.ask("", "POST", "/api/v1/pair", []byte(`{"code":"AAAAA-AAAAA"}`)))
	f.want(413, f.ask("", "POST", "/api/v1/pair", make([]byte, maxFormBytes+1)))
	f.want(415, f.ask("", "POST", "/api/v1/pair", []byte("x"), "Content-Type: text/plain"))
	var paired struct {
		Device yard.Device
		Token  string
	}
	form, _ := json.Marshal(map[string]string{"code": made.Code, "name": "Ute"})
	w = f.want(created, f.ask("", "POST", "/api/v1/pair", form))
	require.NoError(t, json.Unmarshal(w.Body.Bytes(), &paired))
	require.Equal(t, "no-store", w.Header().Get("Cache-Control"))
	f.want(401, f.ask("", "POST", "/api/v1/pair", form))
	w = f.want(ok, f.ask(paired.Token, "GET", "/api/v1/device", nil))
	f.want(notModified, f.ask(paired.Token, "GET", "/api/v1/device", nil, "If-None-Match: "+w.Header().Get("ETag")))
	w = f.want(ok, f.ask(f.office, "GET", "/api/v1/devices", nil))
	require.Contains(t, w.Body.String(), "Ute")
	f.want(notModified, f.ask(f.office, "GET", "/api/v1/devices", nil, "If-None-Match: "+w.Header().Get("ETag")))
	f.want(403, f.ask(f.crew, "GET", "/api/v1/devices", nil))
	f.want(403, f.ask(f.crew, "DELETE", "/api/v1/devices/"+paired.Device.ID, nil))
	f.want(404, f.ask(f.office, "DELETE", "/api/v1/devices/none", nil))
	f.want(done, f.ask(f.office, "DELETE", "/api/v1/devices/"+paired.Device.ID, nil))
	f.want(401, f.ask(paired.Token, "GET", "/api/v1/device", nil))
	leaver := f.paired(yard.Crew)
	f.want(done, f.ask(leaver, "DELETE", "/api/v1/device", nil))
	f.want(401, f.ask(leaver, "DELETE", "/api/v1/device", nil))

	// Revisions.
	photo := pngBytes(t, 30)
	photoID := storage.PhotoID(photo)
	one := apitest.SiteBytes(t, "s1", "One", photoID)
	first := storage.NameRevision(one)
	two := apitest.SiteBytes(t, "s1", "Two", photoID)
	at := apitest.RevisionPath("s1", one)
	child := apitest.RevisionPath("s1", two, first)
	f.want(accepted, f.ask(f.crew, "PUT", child, two))
	f.want(404, f.ask(f.crew, "GET", "/api/v1/sites/s1", nil))
	f.want(created, f.ask(f.crew, "PUT", at, one))
	w = f.want(ok, f.ask(f.crew, "PUT", child, two))
	require.Contains(t, w.Body.String(), string(storage.NameRevision(two, first)), "the waiting one became the head")
	f.want(412, f.ask(f.crew, "PUT", at, one, "If-None-Match: *"))
	f.want(422, f.ask(f.crew, "PUT", at, two))
	f.want(422, f.ask(f.crew, "PUT", "/api/v1/sites/s1/revisions/none", one))
	f.want(413, f.ask(f.crew, "PUT", at, make([]byte, storage.MaxDocumentBytes+1)))
	f.want(415, f.ask(f.crew, "PUT", at, one, "Content-Encoding: gzip"))
	f.want(415, f.ask(f.crew, "PUT", at, one, "Content-Type: text/html"))
	f.want(404, f.ask(f.crew, "PUT", "/api/v1/sites/"+strings.Repeat("x", 65)+"/revisions/"+string(first), one))
	f.want(404, f.ask(f.crew, "PUT", "/api/v1/sites/..%2f..%2fetc/revisions/"+string(first), one))
	w = f.want(ok, f.ask(f.crew, "GET", at, nil))
	require.Equal(t, string(one), w.Body.String())
	require.Equal(t, `"`+string(first)+`"`, w.Header().Get("ETag"))
	w = f.want(ok, f.ask(f.crew, "GET", strings.Split(child, "?")[0], nil))
	require.Equal(t, string(first), w.Header().Get("Pegpour-Parents"))
	f.want(notModified, f.ask(f.crew, "GET", at, nil, `If-None-Match: "x", "`+string(first)+`"`))
	f.want(412, f.ask(f.crew, "GET", at, nil, `If-Match: "x"`))
	f.want(206, f.ask(f.crew, "GET", at, nil, "Range: bytes=0-9"))
	f.want(416, f.ask(f.crew, "GET", at, nil, "Range: bytes=999999-"))
	f.want(404, f.ask(f.crew, "GET", "/api/v1/sites/s1/revisions/none", nil))
	for _, path := range []string{
		"/api/v1/sites/s1/heads?since=" + string(first), "/api/v1/sites/s1/revisions", "/api/v1/sites/s1",
		"/api/v1/sites?search=two&limit=1", "/api/v1/sites?far=new", "/api/v1/sites?far=unknown&state=none", "/api/v1/changes",
	} {
		w = f.want(ok, f.ask(f.crew, "GET", path, nil))
		f.want(notModified, f.ask(f.crew, "GET", path, nil, "If-None-Match: "+w.Header().Get("ETag")))
	}
	for _, path := range []string{
		"/api/v1/sites/none/heads", "/api/v1/sites/none/revisions", "/api/v1/sites/none",
		"/api/v1/sites/none/export", "/api/v1/photos/none",
	} {
		f.want(404, f.ask(f.crew, "GET", path, nil))
	}
	for _, path := range []string{
		"/api/v1/sites/s1/heads?since=x", "/api/v1/sites/s1/revisions?after=x", "/api/v1/sites?before=-1",
		"/api/v1/sites?state=lost", "/api/v1/sites?far=finished", "/api/v1/sites?search=" + strings.Repeat("x", 201), "/api/v1/changes?limit=x",
	} {
		f.want(422, f.ask(f.crew, "GET", path, nil))
	}

	// The shop's rules.
	ruleForm := []byte(`{"changes":[{"key":"strip.width","from":null,"to":650},{"key":"strip.width","from":1,"to":2}]}`)
	w = f.want(ok, f.ask(f.crew, "PUT", "/api/v1/shop-rules", ruleForm))
	require.Contains(t, w.Body.String(), `"refused":["strip.width"]`)
	for _, path := range []string{"/api/v1/shop-rules", "/api/v1/shop-rules/history?limit=5"} {
		w = f.want(ok, f.ask(f.crew, "GET", path, nil))
		require.Contains(t, w.Body.String(), "650")
		f.want(notModified, f.ask(f.crew, "GET", path, nil, "If-None-Match: "+w.Header().Get("ETag")))
	}
	f.want(422, f.ask(f.crew, "GET", "/api/v1/shop-rules/history?before=x", nil))
	f.want(422, f.ask(f.crew, "PUT", "/api/v1/shop-rules", []byte(`{"changes":[{"key":"a b"}]}`)))
	f.want(415, f.ask(f.crew, "PUT", "/api/v1/shop-rules", ruleForm, "Content-Type: text/plain"))
	f.want(413, f.ask(f.crew, "PUT", "/api/v1/shop-rules", make([]byte, maxRulesBytes+1)))

	// Marks.
	f.want(done, f.ask(f.crew, "PUT", "/api/v1/sites/s1/marks/poured", nil))
	f.want(done, f.ask(f.office, "PUT", "/api/v1/sites/s1/marks/quoted", nil))
	for _, method := range []string{"PUT", "DELETE"} {
		f.want(403, f.ask(f.crew, method, "/api/v1/sites/s1/marks/quoted", nil))
		f.want(404, f.ask(f.office, method, "/api/v1/sites/none/marks/quoted", nil))
		f.want(422, f.ask(f.office, method, "/api/v1/sites/s1/marks/sold", nil))
	}
	for _, path := range []string{"/api/v1/sites/none/marks/quoted", "/api/v1/sites/none/marks/poured"} {
		f.want(404, f.ask(f.crew, "GET", path, nil))
	}
	f.want(422, f.ask(f.crew, "GET", "/api/v1/sites/s1/marks/sold", nil))
	markTag := f.want(ok, f.ask(f.crew, "GET", "/api/v1/sites/s1/marks/quoted", nil)).Header().Get("ETag")
	f.want(notModified, f.ask(f.crew, "GET", "/api/v1/sites/s1/marks/quoted", nil, "If-None-Match: "+markTag))
	f.want(412, f.ask(f.office, "PUT", "/api/v1/sites/s1/marks/quoted", nil, "If-None-Match: *"))
	f.want(412, f.ask(f.office, "DELETE", "/api/v1/sites/s1/marks/quoted", nil, `If-Match: "old"`))
	f.want(done, f.ask(f.office, "DELETE", "/api/v1/sites/s1/marks/quoted", nil, "If-Match: "+markTag))
	f.want(412, f.ask(f.office, "DELETE", "/api/v1/sites/s1/marks/quoted", nil, "If-Match: "+markTag))

	// Photos.
	atPhoto := "/api/v1/photos/" + photoID
	rangeOf := func(first, last int) string {
		return fmt.Sprintf("Content-Range: bytes %d-%d/%d", first, last, len(photo))
	}
	f.want(404, f.ask(f.crew, "HEAD", atPhoto, nil))
	f.want(accepted, f.ask(f.crew, "PUT", atPhoto, photo[:20], octets, rangeOf(0, 19)))
	require.Equal(t, "20", f.want(ok, f.ask(f.crew, "HEAD", atPhoto, nil)).Header().Get("Upload-Offset"))
	w = f.want(409, f.ask(f.crew, "PUT", atPhoto, photo[30:40], octets, rangeOf(30, 39)))
	require.Equal(t, "20", w.Header().Get("Upload-Offset"))
	require.Contains(t, w.Body.String(), `"have":20`)
	for _, bad := range []string{
		"bytes 20-29", "bytes 20-25/100", "items 20-29/100", "bytes 29-20/100", "bytes 20-29/5", "bytes -1-8/100",
	} {
		f.want(422, f.ask(f.crew, "PUT", atPhoto, photo[20:30], octets, "Content-Range: "+bad))
	}
	f.want(423, f.ask(f.office, "PUT", atPhoto, photo[:20], octets, "Content-Range: bytes 0-19/5000"))
	f.want(ok, f.ask(f.crew, "PUT", atPhoto, photo[20:], octets, rangeOf(20, len(photo)-1)))
	f.want(422, f.ask(f.crew, "PUT", "/api/v1/photos/"+storage.PhotoID([]byte("x")), photo, octets))
	f.want(413, f.ask(f.crew, "PUT", atPhoto, make([]byte, yard.MaxPieceBytes+1), octets))
	f.want(415, f.ask(f.crew, "PUT", atPhoto, photo, "Content-Type: image/png"))
	w = f.want(ok, f.ask(f.crew, "GET", atPhoto, nil))
	require.Equal(t, photo, w.Body.Bytes())
	require.Equal(t, "image/png", w.Header().Get("Content-Type"))
	f.want(206, f.ask(f.crew, "GET", atPhoto, nil, "Range: bytes=5-"))
	f.want(416, f.ask(f.crew, "GET", atPhoto, nil, "Range: bytes=99999-"))
	f.want(412, f.ask(f.crew, "GET", atPhoto, nil, `If-Match: "x"`))
	f.want(notModified, f.ask(f.crew, "GET", atPhoto, nil, "If-None-Match: *"))

	// Export, of both versions where they conflict.
	other := apitest.SiteBytes(t, "s1", "Three")
	f.want(created, f.ask(f.crew, "PUT", apitest.RevisionPath("s1", other, first), other))
	w = f.want(ok, f.ask(f.crew, "GET", "/api/v1/sites/s1/export", nil))
	phone := storage.NewMemory()
	report, err := phone.RestoreBackUp(t.Context(), w.Body, storage.KeepHere)
	require.NoError(t, err)
	require.True(t, report.Complete)
	require.Len(t, report.Items, 2)
	require.Equal(t, 1, report.NewPhotos)
	newer := bytes.Replace(apitest.SiteBytes(t, "s9", "New"), []byte(`"version":1`), []byte(`"version":77`), 1)
	f.want(created, f.ask(f.crew, "PUT", apitest.RevisionPath("s9", newer), newer))
	f.want(422, f.ask(f.crew, "GET", "/api/v1/sites/s9/export", nil))

	// Devices that were withdrawn are forgotten.
	forgotten := "/api/v1/devices/" + paired.Device.ID + "/record"
	f.want(403, f.ask(f.crew, "DELETE", forgotten, nil))
	f.want(done, f.ask(f.office, "DELETE", forgotten, nil))
	f.want(404, f.ask(f.office, "DELETE", forgotten, nil))
	stillIn, err := f.yard.Device(t.Context(), f.crew)
	require.NoError(t, err)
	f.want(422, f.ask(f.office, "DELETE", "/api/v1/devices/"+stillIn.ID+"/record", nil))

	// Deleting. What was deleted is served to nobody and taken from nobody.
	rules := []byte(`{"keepDeletedDays":14}`)
	tag = f.want(ok, f.ask(f.office, "GET", "/api/v1/rules", nil)).Header().Get("ETag")
	f.want(notModified, f.ask(f.office, "GET", "/api/v1/rules", nil, "If-None-Match: "+tag))
	f.want(ok, f.ask(f.office, "PUT", "/api/v1/rules", rules))
	f.want(422, f.ask(f.office, "PUT", "/api/v1/rules", []byte(`{"keepDeletedDays":-1}`)))
	f.want(415, f.ask(f.office, "PUT", "/api/v1/rules", rules, "Content-Type: text/plain"))
	f.want(413, f.ask(f.office, "PUT", "/api/v1/rules", make([]byte, maxFormBytes+1)))
	for _, method := range []string{"GET", "PUT"} {
		f.want(403, f.ask(f.crew, method, "/api/v1/rules", rules))
	}
	limits := []byte(`{"deviceSites":500}`)
	w = f.want(ok, f.ask(f.office, "PUT", "/api/v1/limits", limits))
	require.Contains(t, w.Body.String(), `"deviceSites":500,"use"`)
	require.Contains(t, w.Body.String(), `"deviceMegabytes":50000`)
	tag = f.want(ok, f.ask(f.office, "GET", "/api/v1/limits", nil)).Header().Get("ETag")
	f.want(notModified, f.ask(f.office, "GET", "/api/v1/limits", nil, "If-None-Match: "+tag))
	f.want(422, f.ask(f.office, "PUT", "/api/v1/limits", []byte(`{"yardSites":-1}`)))
	f.want(415, f.ask(f.office, "PUT", "/api/v1/limits", limits, "Content-Type: text/plain"))
	f.want(413, f.ask(f.office, "PUT", "/api/v1/limits", make([]byte, maxFormBytes+1)))
	for _, method := range []string{"GET", "PUT"} {
		f.want(403, f.ask(f.crew, method, "/api/v1/limits", limits))
	}
	w = f.want(ok, f.ask(f.crew, "DELETE", "/api/v1/sites/s1", nil))
	require.NotContains(t, w.Body.String(), "Two")
	f.want(ok, f.ask(f.office, "DELETE", "/api/v1/sites/s1", nil))
	f.want(404, f.ask(f.crew, "DELETE", "/api/v1/sites/"+strings.Repeat("x", 65), nil))
	for _, path := range []string{"", "/heads", "/revisions", "/revisions/" + string(first), "/marks/poured", "/export"} {
		w = f.want(410, f.ask(f.office, "GET", "/api/v1/sites/s1"+path, nil))
		require.Contains(t, w.Body.String(), `"deleted":"2026-05-01T08:00:00.000Z"`)
	}
	f.want(410, f.ask(f.crew, "PUT", at, one))
	f.want(410, f.ask(f.crew, "PUT", at, one, "If-None-Match: *"))
	for _, method := range []string{"PUT", "DELETE"} {
		f.want(410, f.ask(f.office, method, "/api/v1/sites/s1/marks/poured", nil))
	}
	w = f.want(ok, f.ask(f.office, "GET", "/api/v1/deletions", nil))
	require.Contains(t, w.Body.String(), `"until":"2026-05-15T08:00:00.000Z"`)
	f.want(notModified, f.ask(f.office, "GET", "/api/v1/deletions", nil, "If-None-Match: "+w.Header().Get("ETag")))
	f.want(422, f.ask(f.office, "GET", "/api/v1/deletions?before=x", nil))
	f.want(403, f.ask(f.crew, "GET", "/api/v1/deletions", nil))
	f.want(403, f.ask(f.crew, "DELETE", "/api/v1/deletions/s1", nil))
	f.want(404, f.ask(f.office, "DELETE", "/api/v1/deletions/s9", nil))
	f.want(done, f.ask(f.office, "DELETE", "/api/v1/deletions/s1", nil))
	f.want(ok, f.ask(f.crew, "GET", "/api/v1/sites/s1/export", nil))
	f.want(ok, f.ask(f.office, "DELETE", "/api/v1/sites/s9", nil))
	_, err = f.yard.Purge(t.Context(), "s9")
	require.NoError(t, err)
	f.want(410, f.ask(f.office, "DELETE", "/api/v1/deletions/s9", nil))

	// A person's data.
	who := []byte(`{"words":"One"}`)
	w = f.want(ok, f.ask(f.office, "POST", "/api/v1/person", who))
	require.Contains(t, w.Body.String(), `"/survey/site/name"`)
	require.Equal(t, "no-store", w.Header().Get("Cache-Control"))
	w = f.want(ok, f.ask(f.office, "POST", "/api/v1/person/export", who))
	require.Contains(t, w.Body.String(), `"versions"`)
	erase := []byte(`{"words":"Two","site":"s1","keep":true}`)
	f.want(422, f.ask(f.office, "POST", "/api/v1/person/erase", erase)) // two versions
	f.want(404, f.ask(f.office, "POST", "/api/v1/person/erase", []byte(`{"words":"Two","site":"none","keep":true}`)))
	f.want(404, f.ask(f.office, "POST", "/api/v1/person/erase", []byte(`{"words":"Two"}`)))
	f.want(410, f.ask(f.office, "POST", "/api/v1/person/erase", []byte(`{"words":"Two","site":"s9","keep":true}`)))
	f.want(ok, f.ask(f.office, "POST", "/api/v1/person/erase", []byte(`{"words":"Two","site":"s1"}`)))
	for _, path := range []string{"/api/v1/person", "/api/v1/person/export", "/api/v1/person/erase"} {
		f.want(403, f.ask(f.crew, "POST", path, who))
		f.want(415, f.ask(f.office, "POST", path, who, "Content-Type: text/plain"))
		f.want(413, f.ask(f.office, "POST", path, make([]byte, maxFormBytes+1)))
	}
	for _, path := range []string{"/api/v1/person", "/api/v1/person/export"} {
		f.want(422, f.ask(f.office, "POST", path, []byte(`{"words":"x"}`)))
	}

	// The whole.
	w = f.want(ok, f.ask(f.office, "GET", "/api/v1/backup", nil))
	require.True(t, strings.HasPrefix(w.Body.String(), "SQLite format 3"))
	w = f.want(ok, f.ask(f.office, "GET", "/api/v1/backups", nil))
	require.Contains(t, w.Body.String(), `"kept":false`)
	f.want(notModified, f.ask(f.office, "GET", "/api/v1/backups", nil, "If-None-Match: "+w.Header().Get("ETag")))
	w = f.want(ok, f.ask(f.office, "GET", "/api/v1/audit?limit=100", nil))
	for _, secret := range []string{f.office, f.crew, paired.Token, made.Code, strings.ReplaceAll(made.Code, "-", "")} {
		require.NotContains(t, w.Body.String(), secret)
		require.NotContains(t, f.log.String(), secret)
	}
	for _, done := range []string{
		"paired", "withdrew", "made a code", "marked poured", "exported", "backed up", "refused", "pairing refused",
		"deleted", "brought back", "set a rule", "forgot",
		"looked for a person", "handed out a person's data", "erased a person",
	} {
		require.Contains(t, w.Body.String(), `"`+done+`"`)
	}
	f.want(notModified, f.ask(f.office, "GET", "/api/v1/audit?limit=100", nil, "If-None-Match: "+w.Header().Get("ETag")))
	f.want(422, f.ask(f.office, "GET", "/api/v1/audit?before=x", nil))
	for _, path := range []string{"/api/v1/backup", "/api/v1/backups", "/api/v1/audit"} {
		f.want(403, f.ask(f.crew, "GET", path, nil))
	}

	f.askForPeople()

	// A machine may what its scope says, and nothing else.
	for _, to := range f.api.routes {
		if to.role == anyone || to.path == "/api/v1/device" {
			continue
		}
		scope := yard.ScopeBackUp
		if to.path == backUpPath {
			scope = yard.ScopeRead
		}
		_, key, err := f.yard.AddMachine(t.Context(), "m", []string{scope})
		require.NoError(t, err)
		f.want(403, f.ask(key, to.method, fill(to.path, string(first), photoID), nil))
	}

	// Nobody comes in without a token, and too many requests are held up.
	for _, to := range f.api.routes {
		path := fill(to.path, string(first), photoID)
		if to.role != anyone {
			f.want(401, f.ask("", to.method, path, nil))
		}
		before := *f.api.limits
		none := newLimiter(1, 0, f.clock)
		f.api.limits.strangers, f.api.limits.byDevice = none, none
		require.NotEmpty(t, f.want(429, f.ask(f.office, to.method, path, nil)).Header().Get("Retry-After"))
		*f.api.limits = before
	}
	f.compareWithDescription()
}

// fill puts names into a route.
func fill(path, revision, photo string) string {
	return strings.NewReplacer("{site}", "s1", "{revision}", revision, "{mark}", "poured", "{photo}", photo,
		"{device}", "d", "{problem}", "invalid", "{user}", "u", "{webhook}", "w", "{delivery}", "d").Replace(path)
}

// askForPeople goes through what there is of people, crews and machines.
func (f *fixture) askForPeople() {
	t := f.t
	const ok, created, done, notModified = 200, 201, 204, 304
	large, plain := make([]byte, maxFormBytes+1), "Content-Type: text/plain"
	form := func(path, method string, good []byte) {
		t.Helper()
		f.want(413, f.ask(f.office, method, path, large))
		f.want(415, f.ask(f.office, method, path, good, plain))
	}
	var u struct{ ID string }
	add := []byte(`{"name":"Ute Berg","email":"ute@shop.example","role":"crew"}`)
	w := f.want(created, f.ask(f.office, "POST", "/api/v1/users", add))
	require.NoError(t, json.Unmarshal(w.Body.Bytes(), &u))
	f.want(422, f.ask(f.office, "POST", "/api/v1/users", add)) // the address is hers
	form("/api/v1/users", "POST", add)
	at := "/api/v1/users/" + u.ID
	f.want(ok, f.ask(f.office, "PUT", at, []byte(`{"role":"office"}`)))
	f.want(422, f.ask(f.office, "PUT", at, []byte(`{"role":"king"}`)))
	f.want(404, f.ask(f.office, "PUT", "/api/v1/users/none", []byte(`{}`)))
	form(at, "PUT", add)
	code, _, err := f.yard.NewCodeFor(t.Context(), yard.CodeFor{Role: yard.Crew, Person: u.ID, Crew: "North"})
	require.NoError(t, err)
	f.want(404, f.ask(f.office, "POST", "/api/v1/codes", []byte(`{"role":"crew","person":"none"}`)))
	d, token, err := f.yard.Pair(t.Context(), code, "Ute's phone")
	require.NoError(t, err)
	require.Equal(t, yard.Office, d.Role, "the role is the person's")
	w = f.want(ok, f.ask(f.office, "GET", "/api/v1/users", nil))
	require.Contains(t, w.Body.String(), `"devices":1`)
	f.want(notModified, f.ask(f.office, "GET", "/api/v1/users", nil, "If-None-Match: "+w.Header().Get("ETag")))
	f.want(ok, f.ask(token, "GET", "/api/v1/users", nil))
	f.want(ok, f.ask(f.office, "PUT", at, []byte(`{"withdrawn":true}`)))
	f.want(401, f.ask(token, "GET", "/api/v1/users", nil))
	f.want(ok, f.ask(f.office, "PUT", at, []byte(`{"withdrawn":false,"role":"crew"}`)))

	// The person did it, not the phone.
	site := apitest.SiteBytes(t, "p1", "Birch Lane")
	f.want(created, f.ask(token, "PUT", apitest.RevisionPath("p1", site), site))
	f.want(done, f.ask(token, "PUT", "/api/v1/sites/p1/marks/poured", nil))
	require.Contains(t, f.want(ok, f.ask(f.crew, "GET", "/api/v1/sites/p1", nil)).Body.String(), `"by":"Ute Berg"`)
	require.Contains(t, f.want(ok, f.ask(f.office, "GET", "/api/v1/audit", nil)).Body.String(), `"by":"Ute Berg"`)
	require.Contains(t, f.want(ok, f.ask(f.crew, "GET", "/api/v1/changes", nil)).Body.String(), `"noted":true`)

	// Crews.
	device := "/api/v1/devices/" + d.ID
	f.want(ok, f.ask(f.office, "PUT", device, []byte(`{"crew":"South"}`)))
	f.want(422, f.ask(f.office, "PUT", device, []byte(`{"person":""}`)))
	f.want(404, f.ask(f.office, "PUT", "/api/v1/devices/none", []byte(`{}`)))
	form(device, "PUT", add)
	crews := "/api/v1/sites/p1/crews"
	f.want(done, f.ask(f.office, "PUT", crews, []byte(`{"crews":["South"]}`)))
	f.want(422, f.ask(f.office, "PUT", crews, []byte(`{"crews":[""]}`)))
	f.want(404, f.ask(f.office, "PUT", "/api/v1/sites/none/crews", []byte(`{"crews":[]}`)))
	f.want(410, f.ask(f.office, "PUT", "/api/v1/sites/s9/crews", []byte(`{"crews":[]}`)))
	form(crews, "PUT", add)
	f.want(ok, f.ask(token, "GET", "/api/v1/sites/p1", nil))
	for _, to := range f.api.routes {
		if strings.Contains(to.path, "{site}") {
			path := strings.Replace(fill(to.path, "x", "x"), "s1", "p1", 1)
			require.NotContains(t, f.want(403, f.ask(f.crew, to.method, path, nil)).Body.String(), "Birch", "another crew's")
		}
	}
	require.NotContains(t, f.ask(f.crew, "GET", "/api/v1/sites", nil).Body.String(), "Birch")
	require.Contains(t, f.ask(f.crew, "GET", "/api/v1/changes", nil).Body.String(), `"away":true`)
	require.Contains(t, f.ask(f.office, "GET", "/api/v1/sites?crew=South", nil).Body.String(), "Birch")
	w = f.want(ok, f.ask(f.office, "GET", "/api/v1/crews", nil))
	require.Contains(t, w.Body.String(), `{"crew":"South","none":0,"quoted":0,"poured":1}`)
	f.want(notModified, f.ask(f.office, "GET", "/api/v1/crews", nil, "If-None-Match: "+w.Header().Get("ETag")))

	// A reader looks and changes nothing.
	reader := f.paired(yard.Reader)
	f.want(ok, f.ask(reader, "GET", "/api/v1/sites/p1", nil))
	f.want(ok, f.ask(reader, "GET", "/api/v1/devices", nil))
	f.want(403, f.ask(reader, "GET", "/api/v1/audit", nil))
	f.want(403, f.ask(reader, "PUT", "/api/v1/sites/p1/marks/poured", nil))
	f.want(403, f.ask(reader, "PUT", apitest.RevisionPath("p1", site), site))

	// Machines.
	var m struct{ Token string }
	w = f.want(created, f.ask(f.office, "POST", "/api/v1/machines", []byte(`{"name":"Accounts","scope":["mark"]}`)))
	require.NoError(t, json.Unmarshal(w.Body.Bytes(), &m))
	require.Equal(t, "no-store", w.Header().Get("Cache-Control"))
	f.want(422, f.ask(f.office, "POST", "/api/v1/machines", []byte(`{"name":"Accounts","scope":["all"]}`)))
	form("/api/v1/machines", "POST", add)
	f.want(done, f.ask(m.Token, "PUT", "/api/v1/sites/p1/marks/quoted", nil))
	f.want(403, f.ask(m.Token, "GET", "/api/v1/sites/p1", nil))

	// Signing in, where there is no provider and where it does not answer; the rest is in
	// signin_test.go.
	w = f.want(ok, f.ask("", "GET", "/api/v1/sign-in", nil))
	f.want(notModified, f.ask("", "GET", "/api/v1/sign-in", nil, "If-None-Match: "+w.Header().Get("ETag")))
	for _, path := range []string{"/api/v1/sign-in/start", "/api/v1/sign-in/done"} {
		f.want(404, f.ask("", "GET", path, nil))
	}
	f.signInEveryWay()

	// Webhooks.
	hook := []byte(`{"url":"https://accounts.example/hook","kinds":["site.marked"]}`)
	var made struct{ Webhook struct{ ID string } }
	w = f.want(created, f.ask(f.office, "POST", "/api/v1/webhooks", hook))
	require.NoError(t, json.Unmarshal(w.Body.Bytes(), &made))
	for _, bad := range []string{`{"url":"http://accounts.example/"}`, `{"url":"https://a.example","kinds":["all"]}`, `{"url":"file:///etc"}`} {
		f.want(422, f.ask(f.office, "POST", "/api/v1/webhooks", []byte(bad)))
	}
	form("/api/v1/webhooks", "POST", add)
	at = "/api/v1/webhooks/" + made.Webhook.ID
	f.want(done, f.ask(f.office, "DELETE", "/api/v1/sites/p1/marks/poured", nil))
	require.NoError(t, f.yard.FanOut(t.Context()))
	for _, path := range []string{"/api/v1/webhooks", at + "/deliveries?state=waiting"} {
		w = f.want(ok, f.ask(f.office, "GET", path, nil))
		f.want(notModified, f.ask(f.office, "GET", path, nil, "If-None-Match: "+w.Header().Get("ETag")))
	}
	var page struct{ Deliveries []yard.Delivery }
	require.NoError(t, json.Unmarshal(w.Body.Bytes(), &page))
	require.Len(t, page.Deliveries, 1)
	require.Contains(t, page.Deliveries[0].Body, `"noted":true`)
	f.want(ok, f.ask(f.office, "POST", "/api/v1/deliveries/"+page.Deliveries[0].ID+"/again", nil))
	f.want(404, f.ask(f.office, "POST", "/api/v1/deliveries/none/again", nil))
	f.want(404, f.ask(f.office, "GET", "/api/v1/webhooks/none/deliveries", nil))
	f.want(422, f.ask(f.office, "GET", at+"/deliveries?before=x", nil))
	f.want(ok, f.ask(f.office, "PUT", at, []byte(`{"paused":true}`)))
	f.want(404, f.ask(f.office, "PUT", "/api/v1/webhooks/none", []byte(`{"paused":true}`)))
	f.want(422, f.ask(f.office, "PUT", at, []byte(`{}`)))
	form(at, "PUT", add)
	f.want(done, f.ask(f.office, "DELETE", at, nil))
	f.want(404, f.ask(f.office, "DELETE", at, nil))
}

func (f *fixture) compareWithDescription() {
	var description struct {
		Paths map[string]map[string]struct {
			Responses map[string]any
			Security  *[]any
		}
	}
	require.NoError(f.t, json.Unmarshal(openAPI, &description))
	var described, exercised, registered, inPaths []string
	for path, methods := range description.Paths {
		for method, operation := range methods {
			at := strings.ToUpper(method) + " " + path
			inPaths = append(inPaths, fmt.Sprint(at, " public:", operation.Security != nil))
			for status := range operation.Responses {
				described = append(described, at+" "+status)
			}
		}
	}
	for _, r := range f.api.routes {
		registered = append(registered, fmt.Sprint(r.method, " ", r.path, " public:", r.role == anyone))
	}
	for s := range f.seen {
		exercised = append(exercised, s)
	}
	for _, list := range [][]string{described, exercised, registered, inPaths} {
		slices.Sort(list)
	}
	require.Equal(f.t, inPaths, registered)
	require.Equal(f.t, described, exercised)
}
