package office

import (
	"context"
	"encoding/json"
	"errors"
	"net/url"
	"strings"
	"sync"
	"testing"

	"github.com/maxence-charriere/go-app/v9/pkg/app"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/app/documents"
	"pegpour/app/editing"
	"pegpour/app/language"
	"pegpour/app/turns/turnstest"
	"pegpour/app/yardlink"
	"pegpour/engine/progress"
	"pegpour/engine/survey"
	"pegpour/storage"
	"pegpour/storage/demo"
	"pegpour/storage/replication"
)

// yard answers requests by method and path without its query; what it does not know
// it does not have.
type yard struct {
	mu      sync.Mutex
	answers map[string]replication.Response
	asked   []replication.Request
	down    bool
}

func (y *yard) Send(_ context.Context, r replication.Request) (replication.Response, error) {
	y.mu.Lock()
	defer y.mu.Unlock()
	y.asked = append(y.asked, r)
	if y.down {
		return replication.Response{}, errors.New("no signal")
	}
	path, _, _ := strings.Cut(r.Path, "?")
	if answer, ok := y.answers[r.Method+" "+path]; ok {
		return answer, nil
	}
	if r.Method == "PUT" && strings.Contains(path, "/revisions/") {
		return replication.Response{Status: 201, Body: []byte(`{}`)}, nil
	}
	return replication.Response{Status: 404, Body: []byte(`{"type":"/x/y"}`)}, nil
}

func (y *yard) set(request string, status int, body any) {
	y.mu.Lock()
	defer y.mu.Unlock()
	text, ok := body.([]byte)
	if !ok {
		text, _ = json.Marshal(body)
	}
	header := map[string]string{}
	if status >= 400 {
		header["content-type"] = "application/problem+json"
	}
	y.answers[request] = replication.Response{Status: status, Body: text, Header: header}
}

// requests are those of a method, oldest first.
func (y *yard) requests(method string) []replication.Request {
	y.mu.Lock()
	defer y.mu.Unlock()
	var all []replication.Request
	for _, r := range y.asked {
		if r.Method == method {
			all = append(all, r)
		}
	}
	return all
}

// bench is an office on a device with a store in memory.
type bench struct {
	*turnstest.Stage
	*Office
	t    *testing.T
	yard *yard
}

func openBench(t *testing.T, role string) *bench {
	t.Helper()
	store := storage.NewMemory()
	if role != "" {
		key, err := json.Marshal(map[string]any{"token": "secret", "device": map[string]string{"id": "d1", "name": "Desk", "role": role}})
		require.NoError(t, err)
		require.NoError(t, store.KeepExchanged(t.Context(), nil, []storage.Record{{Key: "pairing", Value: key}}))
	}
	y := &yard{answers: map[string]replication.Response{}}
	y.set("GET /api/v1/devices", 200, map[string]any{"devices": []yardDevice{{ID: "p1", Name: "Phone"}, {ID: "d1", Name: "Desk"}}})
	stage := turnstest.New(t)
	device := editing.NewDevice(stage.Turns, &language.Speaker{}, func(context.Context) (storage.Store, error) { return store, nil })
	link := yardlink.New(device, y)
	return &bench{Stage: stage, Office: New(device, link, documents.NewPress(stage.Turns)), t: t, yard: y}
}

func (b *bench) entered() bool {
	b.t.Helper()
	in := false
	b.enter(b.Stage, func(app.Context) { in = true })
	b.Until("it is known who this is", func() bool { return b.looked })
	b.Rest()
	return in
}

// addSite puts a site with one revision into the yard.
func (b *bench) addSite(taken survey.Survey) (*storage.Document, storage.Revision) {
	b.t.Helper()
	d := storage.NewDocument("2026-01-01T00:00:00Z")
	d.Survey = taken
	text, err := storage.Encode(d)
	require.NoError(b.t, err)
	name := storage.NameRevision(text)
	path := "GET " + yardSitePath(d.ID)
	b.yard.set(path, 200, yardSite{ID: d.ID, Name: taken.Site.Name, Heads: []string{string(name)}})
	b.yard.set(path+"/revisions", 200, map[string]any{"revisions": []yardPast{{Revision: string(name), Device: "p1", Turn: 1}}, "next": 0})
	b.yard.set(path+"/revisions/"+string(name), 200, text)
	return d, name
}

// open shows a site.
func (b *bench) open(id string) *officeSiteScreen {
	b.t.Helper()
	s := NewSiteScreen(b.Office).(*officeSiteScreen)
	s.id = id
	b.enter(b.Stage, func(app.Context) { s.read() })
	b.Until("the site is shown", func() bool { return s.site != nil || b.problem != "" })
	b.Rest()
	return s
}

func TestOnlyAnOfficeComesIn(t *testing.T) {
	assert.True(t, openBench(t, "office").entered())
	for _, role := range []string{"", "crew"} {
		b := openBench(t, role)
		assert.False(t, b.entered(), role)
		form := app.HTMLString(b.frame(officeSites, app.P().Text("inside")))
		assert.Contains(t, form, `id="office-code"`)
		assert.NotContains(t, form, "inside")
	}
}

func TestACodeOfThePictureIsOffered(t *testing.T) {
	b := openBench(t, "")
	at, err := url.Parse("/office#pair=ABCDE-FGHJK")
	require.NoError(t, err)
	assert.Equal(t, "ABCDE-FGHJK", yardlink.CodeInAddress(at.Fragment))
	b.entered()
	b.signedIn("", "Desk")
	assert.Contains(t, b.problem, "code is missing")
	b.signedIn("ABCDE-FGHJK", " ")
	assert.Contains(t, b.problem, "name is missing")
	assert.False(t, b.busy, "nothing is asked before both are there")
}

func TestSitesOfTheYardAreListed(t *testing.T) {
	b := openBench(t, "office")
	require.True(t, b.entered())
	b.yard.set("GET /api/v1/sites", 200, map[string]any{"sites": []*yardSite{{ID: "a", Name: "One"}, {ID: "b", Name: "Two"}}, "next": 7})
	b.list.search = " long road "
	b.readList(false)
	b.Until("the list is read", func() bool { return b.list.read })
	require.Len(t, b.list.sites, 2)
	assert.False(t, b.list.more, "a page that is not full is the last")
	requests := b.yard.requests("GET")
	assert.Contains(t, requests[len(requests)-1].Path, "search=long+road")
	assert.NotContains(t, requests[len(requests)-1].Path, "far=")

	b.yard.down = true
	b.readList(false)
	b.Until("the failure", func() bool { return b.problem != "" })
	assert.Contains(t, b.problem, "not reachable")
	assert.Len(t, b.list.sites, 2, "what was read before stays")
}

// The list says how far each site is by what was recorded, and asks for a step.
func TestSitesAreListedByStep(t *testing.T) {
	b := openBench(t, "office")
	require.True(t, b.entered())
	shown := func(far string, untold int, lines ...*yardSite) string {
		b.yard.set("GET /api/v1/sites", 200, map[string]any{"sites": lines, "next": 7, "untold": untold})
		b.list.far, b.list.read = far, false
		b.readList(false)
		b.Until("the list is read", func() bool { return b.list.read })
		requests := b.yard.requests("GET")
		at, err := url.Parse(requests[len(requests)-1].Path)
		require.NoError(t, err)
		assert.Equal(t, far, at.Query().Get("far"))
		return app.HTMLString(&officeListScreen{o: b.Office})
	}
	all := shown("", 0, &yardSite{ID: "a", Far: "pegged"}, &yardSite{ID: "b", Far: "unknown"}, &yardSite{ID: "c"})
	assert.Regexp(t, `(?s)data-site="a".*Recorded: pegs stand.*data-site="b".*Recorded: not known.*data-site="c"`, all)
	line := all[strings.Index(all, `data-site="c"`):]
	assert.NotContains(t, line, "Recorded", "a yard of before does not say")
	assert.Equal(t, 1+int(progress.Steps)+1, strings.Count(all[strings.Index(all, `id="office-far"`):], "<option"))
	assert.NotContains(t, all, "More sites may be")
	some := shown("pegged", 3, &yardSite{ID: "a", Far: "pegged"})
	assert.Contains(t, some, "More sites may be")
	assert.Regexp(t, `<option[^>]*selected[^>]*value="pegged"|<option[^>]*value="pegged"[^>]*selected`, some)
	assert.Contains(t, shown("tested", 0), "No site is like that")
	assert.NotContains(t, shown("unknown", 3), "More sites may be", "they are these")
}

// An answer to what was asked before the last question is dropped.
func TestAnAnswerThatComesTooLateIsDropped(t *testing.T) {
	b := openBench(t, "office")
	require.True(t, b.entered())
	b.yard.set("GET /api/v1/sites", 200, map[string]any{"sites": []*yardSite{{ID: "a", Name: "One"}}})
	b.readList(false)
	b.list.turn++ // somebody typed on
	b.Rest()
	assert.False(t, b.list.read)
}

func TestAMarkIsSetUnderACondition(t *testing.T) {
	b := openBench(t, "office")
	require.True(t, b.entered())
	line := &yardSite{ID: "a", Name: "One"}
	b.list.sites = []*yardSite{line}
	put := "PUT " + yardSitePath("a") + "/marks/" + markQuoted
	b.yard.set(put, 204, []byte{})
	b.yard.set("GET "+yardSitePath("a"), 200, yardSite{ID: "a", Marks: []yardMark{{Mark: markQuoted, Tag: "t1"}}})
	b.changeMark("a", markQuoted)
	assert.True(t, b.marked)
	b.Until("it is marked", func() bool { return !b.marked })
	assert.Equal(t, "*", b.yard.requests("PUT")[0].Header["If-None-Match"])
	assert.Equal(t, "Marked as quoted.", b.told)
	require.NotNil(t, line.mark(markQuoted))

	// Another office changed it meanwhile: this one shows how it stands.
	b.yard.set("DELETE "+yardSitePath("a")+"/marks/"+markQuoted, 412, []byte(`{}`))
	b.yard.set("GET "+yardSitePath("a"), 200, yardSite{ID: "a", Marks: []yardMark{{Mark: markPoured, Tag: "t2"}}})
	b.changeMark("a", markQuoted)
	b.Until("it is answered", func() bool { return !b.marked })
	assert.Equal(t, `"t1"`, b.yard.requests("DELETE")[0].Header["If-Match"])
	assert.Contains(t, b.problem, "changed this meanwhile")
	assert.Nil(t, line.mark(markQuoted))
	assert.NotNil(t, line.mark(markPoured))
}

func TestAKeyThatWasWithdrawnAsksToSignIn(t *testing.T) {
	b := openBench(t, "office")
	require.True(t, b.entered())
	b.yard.set("GET /api/v1/sites", 401, []byte(`{}`))
	b.readList(false)
	b.Until("the failure", func() bool { return b.problem != "" })
	assert.Contains(t, b.problem, "its key was withdrawn")
	assert.False(t, b.paired)
	assert.True(t, b.looked)
}

// A correction is kept on this device until it is sent, on what it was begun on, and
// is then one revision.
func TestACorrectionIsKeptUntilItIsSent(t *testing.T) {
	b := openBench(t, "office")
	require.True(t, b.entered())
	d, name := b.addSite(demo.Sites()[0].Survey)
	s := b.open(d.ID)
	require.NotNil(t, s.site, b.problem)
	assert.False(t, s.pending())
	assert.True(t, s.onNewest())
	assert.Equal(t, string(name), s.shown)

	f := survey.FieldOf(survey.OpeningWidth)
	s.site.Type(b.Stage, f, "4321")
	assert.True(t, s.pending())
	assert.Equal(t, survey.ByLaser, s.site.Doc.Survey.Opening.Width.How, "the way it was measured stays")
	b.Until("it is kept", func() bool { return b.w.Waiting() == 0 && s.site.Waiting() == 0 })
	kept, err := b.w.Store.Sites(t.Context())
	require.NoError(t, err)
	assert.Empty(t, kept, "nothing of the site is put among those of this device")

	again := b.open(d.ID)
	assert.True(t, again.pending(), "a closed browser loses nothing")
	assert.Equal(t, 4321.0, again.site.Plan().Opening)

	again.send()
	b.Until("it is sent", func() bool { return !again.sending && b.told != "" })
	b.Until("no correction is kept", func() bool { return b.w.Waiting() == 0 })
	b.Rest()
	sent := b.yard.requests("PUT")
	require.Len(t, sent, 1)
	assert.Contains(t, sent[0].Path, "parent="+string(name))
	made, err := storage.Decode(sent[0].Body)
	require.NoError(t, err)
	assert.Equal(t, 4321.0, made.Survey.Opening.Width.Size)
	k, err := b.keptCorrection(t.Context(), d.ID)
	require.NoError(t, err)
	begun, _ := k.read()
	assert.Nil(t, begun)
}

func TestACorrectionCanBeTakenBack(t *testing.T) {
	b := openBench(t, "office")
	require.True(t, b.entered())
	d, _ := b.addSite(demo.Sites()[0].Survey)
	s := b.open(d.ID)
	require.NotNil(t, s.site, b.problem)
	f := survey.FieldOf(survey.OpeningWidth)
	s.site.Type(b.Stage, f, "4321")
	s.revert(b.Stage)
	assert.False(t, s.pending())
	b.Until("all is kept", func() bool { return b.w.Waiting() == 0 && s.site.Waiting() == 0 })
	s.site.Undo()
	b.Until("it is undone", func() bool { return s.site.Waiting() == 0 })
	assert.True(t, s.pending(), "taking back can be undone")
}

// Every part of a site's screen is drawn, of a correction too.
func TestTheScreenOfASiteIsDrawn(t *testing.T) {
	for _, site := range demo.Sites() {
		b := openBench(t, "office")
		require.True(t, b.entered())
		d, _ := b.addSite(site.Survey)
		s := b.open(d.ID)
		require.NotNil(t, s.site, b.problem)
		s.site.Commit(b.Stage, edited(t, s.site.Doc), nil)
		page := app.NewClientTester(app.Div())
		page.Mount(app.Div().Body(s.Render()))
		page.Consume()
		markup := app.HTMLString(s.Render())
		for _, part := range []string{"office-columns", "Correction, not sent yet", "office-figures", "Set-out plan", "Key figures"} {
			assert.Contains(t, markup, part, site.Survey.Site.Name)
		}
		page.Close()
	}
}

// A site is designed, judged and has its remedies sought in a turn each before it is
// shown; left in between it goes no further.
func TestASiteIsOpenedInTurns(t *testing.T) {
	b := openBench(t, "office")
	require.True(t, b.entered())
	d, _ := b.addSite(demo.Sites()[2].Survey)
	s := b.open(d.ID)
	site, shown := editing.NewSite(editing.NewDesk(b.w.Speaker)), false
	site.Shop, site.Doc = b.w.Shop, s.site.Doc
	site.Enter(b.Stage)
	turns := s.inTurns(site, func() { shown = true })
	require.Len(t, turns, 4)
	remedies := func() (n int) {
		for _, c := range site.Outlines().Checks {
			n += len(c.Remedies)
		}
		return n
	}
	require.True(t, turns[0](b))
	assert.Equal(t, 1, site.Designs())
	assert.Empty(t, site.Outlines().Checks, "it is judged in the next turn")
	require.True(t, turns[1](b))
	assert.NotEmpty(t, site.Outlines().Checks)
	before := remedies()
	require.True(t, turns[2](b))
	assert.Greater(t, remedies(), before)
	assert.False(t, shown)
	s.gone = true
	assert.False(t, turns[3](b))
	assert.False(t, shown)
	s.gone = false
	assert.True(t, turns[3](b))
	assert.True(t, shown)
}

// edited is an edit of a note.
func edited(t *testing.T, d *storage.Document) storage.Edit {
	t.Helper()
	e, err := storage.SetWords(d, survey.SiteNotes, "looked at by the office")
	require.NoError(t, err)
	return e
}
