package sites

import (
	"context"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/app/editing"
	"pegpour/app/language"
	"pegpour/app/turns/turnstest"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/storage"
	"pegpour/storage/demo"
)

// shelf is a list over a store in memory, shown on a stage.
type shelf struct {
	*turnstest.Stage
	*List
	t     *testing.T
	site  *editing.Site
	drawn []string // names of the sites of which a small plan was drawn
}

func openShelf(t *testing.T, backend *storage.Memory) *shelf {
	t.Helper()
	return openShelfWith(t, backend, nil)
}

func openShelfWith(t *testing.T, backend *storage.Memory, journal editing.Journal) *shelf {
	t.Helper()
	stage := turnstest.New(t)
	device := editing.NewDevice(stage.Turns, &language.Speaker{}, func(context.Context) (storage.Store, error) {
		return storage.NewStore(backend, storage.SteppingClock()), nil
	})
	s := &shelf{Stage: stage, t: t, site: editing.NewSite(device)}
	s.List = New(device, s.site, func(taken survey.Survey, _ practice.Practice, prefix string) string {
		s.drawn = append(s.drawn, taken.Site.Name)
		return "<svg id='" + prefix + "'></svg>"
	})
	device.Prepare = s.Prepare
	device.Journal = journal
	s.Open(stage, func() {})
	s.settled()
	return s
}

// settled waits until the list is read and its small plans are drawn.
func (s *shelf) settled() {
	s.t.Helper()
	s.Until("the list stands", func() bool {
		places, _ := s.Shown()
		for _, i := range places {
			if s.Sites[i].Plan == "" && s.Sites[i].Condition == storage.Sound {
				return false
			}
		}
		return s.Listed && s.Waiting() == 0
	})
	s.Rest()
}

func (s *shelf) names() []string {
	var names []string
	for i := range s.Sites {
		names = append(names, s.Sites[i].Name)
	}
	return names
}

// outside is a journal that only notes how many sites there were.
type outside struct{ held int }

func (*outside) Write(string)            {}
func (*outside) Take() map[string]string { return nil }

func (*outside) Text(string) (string, bool) { return "", false }
func (*outside) Done()                      {}
func (o *outside) Hold(n int)               { o.held = n }
func (o *outside) Held() int                { return o.held }

// A browser that threw its store away is found out at the next start, and it stays
// said until somebody has seen it.
func TestAStoreThatWasThrownAwayIsSaid(t *testing.T) {
	note, backend := &outside{}, &storage.Memory{}
	s := openShelfWith(t, backend, note)
	assert.Zero(t, s.Lost, "a new device")
	assert.Zero(t, note.held, "demo sites as they came")
	_, err := s.Store.Create(t.Context(), storage.NewDocument(editing.Now()))
	require.NoError(t, err)
	edit, err := storage.SetWords(&storage.Document{}, "site.name", "Mill Lane")
	require.NoError(t, err)
	_, err = s.Store.Commit(t.Context(), demo.Sites()[0].ID, edit, "")
	require.NoError(t, err)
	s.Read()
	s.settled()
	assert.Equal(t, 2, note.held, "its own, and a demo site that was changed")
	assert.Zero(t, openShelfWith(t, backend, note).Lost, "it is all there")

	for range 2 { // also when it was not looked at
		s = openShelfWith(t, &storage.Memory{}, note)
		assert.Equal(t, 2, s.Lost)
		assert.Equal(t, 2, note.held)
	}
	s.Lost = 0
	s.Read()
	s.settled()
	assert.Zero(t, note.held)
}

func TestANewDeviceHasTheDemoSites(t *testing.T) {
	backend := &storage.Memory{}
	s := openShelf(t, backend)
	require.Len(t, s.Sites, len(demo.Sites()))
	for i, site := range demo.Sites() {
		assert.Equal(t, site.ID, s.Sites[i].ID, "in their order")
		assert.True(t, s.Sites[i].Demo)
	}
	assert.False(t, s.HasOwn())
	assert.Len(t, s.drawn, len(demo.Sites()), "each is drawn, once")

	again := openShelf(t, backend)
	assert.Equal(t, s.names(), again.names(), "the next start adds none")
}

// The first frame has what fills a window; the next one, and each list after, has all.
func TestTheFirstFrameIsShort(t *testing.T) {
	s := openShelf(t, &storage.Memory{})
	started := New(s.Device, s.site, s.draw)
	var shown []int
	started.Counted = func() {
		places, more := started.Shown()
		assert.Zero(t, more)
		shown = append(shown, len(places))
	}
	started.Open(s.Stage, func() {})
	s.Until("all are shown", func() bool {
		places, _ := started.Shown()
		return len(shown) == 1 && len(places) == len(demo.Sites())
	})
	started.Read()
	s.Until("it is read anew", func() bool { return len(shown) == 2 })
	assert.Equal(t, []int{begin, len(demo.Sites())}, shown)
}

// A first start that was cut off half-way goes on where it was.
func TestDemoSitesAreMadeUpAfterACutStart(t *testing.T) {
	backend := &storage.Memory{}
	store := storage.NewStore(backend, storage.SteppingClock())
	first := demo.Sites()[2]
	d := storage.NewDocument("2026-01-01T00:00:00Z")
	d.ID, d.Demo, d.Survey = first.ID, true, first.Survey
	_, err := store.Create(t.Context(), d)
	require.NoError(t, err)
	s := openShelf(t, backend)
	assert.Len(t, s.Sites, len(demo.Sites()))
}

func TestADeviceThatIsWorkedOnGetsNoDemoSites(t *testing.T) {
	for name, prepare := range map[string]func(storage.Store, string){
		"a site of one's own": func(storage.Store, string) {},
		"demos put away": func(s storage.Store, id string) {
			require.NoError(t, s.DeleteForever(t.Context(), id), nil)
			d := storage.NewDocument("2026-01-01T00:00:00Z")
			d.Demo = true
			_, err := s.Create(t.Context(), d)
			require.NoError(t, err)
			require.NoError(t, s.Trash(t.Context(), d.ID))
		},
	} {
		backend := &storage.Memory{}
		store := storage.NewStore(backend, storage.SteppingClock())
		d := storage.NewDocument("2026-01-01T00:00:00Z")
		_, err := store.Create(t.Context(), d)
		require.NoError(t, err)
		prepare(store, d.ID)
		s := openShelf(t, backend)
		assert.LessOrEqual(t, len(s.Sites), 1, name)
	}
}

func TestASiteIsPutAwayAndBroughtBack(t *testing.T) {
	s := openShelf(t, &storage.Memory{})
	all := len(s.Sites)
	id := s.Sites[3].ID
	drawn := len(s.drawn)
	s.PutAway(id)
	s.Until("it is away", func() bool { return len(s.Away) == 1 && s.Waiting() == 0 })
	s.settled()
	assert.Len(t, s.Sites, all-1)
	assert.Equal(t, id, s.Away[0].ID)
	assert.Equal(t, id, s.PutAwayLast)
	assert.Equal(t, drawn, len(s.drawn), "small plans that still stand are not drawn again")

	s.BringBack(id)
	s.Until("it is back", func() bool { return len(s.Away) == 0 && s.Waiting() == 0 })
	s.settled()
	assert.Len(t, s.Sites, all)
	assert.Empty(t, s.PutAwayLast)
	assert.True(t, slices.ContainsFunc(s.Sites, func(l Line) bool { return l.ID == id }))
}

// A site that was put away is deleted for good, with what sync kept of it.
func TestASiteIsDeletedForGood(t *testing.T) {
	s := openShelf(t, &storage.Memory{})
	all, id := len(s.Sites), s.Sites[3].ID
	other := s.Sites[0].ID
	assert.NoError(t, s.Store.KeepExchanged(t.Context(), nil, []storage.Record{{Key: "site/" + id, Value: []byte("{}")},
		{Key: "base/" + id, Value: []byte("names")}, {Key: "base/" + other, Value: []byte("names")}}))
	s.PutAway(id)
	s.Until("it is away", func() bool { return len(s.Away) == 1 && s.Waiting() == 0 })
	s.DeleteForever(id, nil)
	s.Until("it is gone", func() bool { return len(s.Away) == 0 && s.Waiting() == 0 })
	s.settled()
	assert.Len(t, s.Sites, all-1)
	assert.Empty(t, s.PutAwayLast)
	_, err := s.Store.Load(t.Context(), id)
	assert.ErrorIs(t, err, storage.ErrNotFound)
	for key, want := range map[string]string{"site/" + id: "", "base/" + id: "", "base/" + other: "names"} {
		value, err := s.Store.Exchanged(t.Context(), key)
		assert.NoError(t, err)
		assert.Equal(t, want, string(value), key)
	}
	s.DeleteForever(id, nil)
	s.Rest()
	assert.Zero(t, s.Waiting(), "deleted twice it is gone all the same")
	assert.Empty(t, s.Unsaved)
}

func TestANewSiteIsInHandAndAsked(t *testing.T) {
	s := openShelf(t, &storage.Memory{})
	e, err := storage.SetSetting(s.Shop, storage.SettingCrew, "Sam")
	s.CommitShop(s.Stage, e, err)
	s.site.Asked = survey.OpeningWidth
	s.NewSite(s.Stage)
	s.Until("it is in hand", func() bool { return s.site.Doc != nil && s.Waiting() == 0 })
	assert.Equal(t, []string{"/site/" + s.site.Doc.ID + "/measure"}, s.Visited)
	assert.Equal(t, "Sam", s.site.Doc.Survey.Site.MeasuredBy)
	assert.NotEmpty(t, s.site.Doc.Survey.Site.MeasuredOn)
	assert.Empty(t, s.site.Asked, "the walk begins anew")
	f, _ := survey.FieldAt(survey.SiteName)
	s.site.TypeWords(s.Stage, f, "Lane 12")
	s.Read()
	s.settled()
	assert.True(t, s.HasOwn())
	assert.True(t, slices.ContainsFunc(s.Sites, func(l Line) bool { return l.ID == s.site.Doc.ID }))
}

// A change redraws the one small plan that it touches; another rule of the shop
// redraws all.
func TestSmallPlansAreDrawnWhenWhatTheyShowChanges(t *testing.T) {
	s := openShelf(t, &storage.Memory{})
	s.drawn = nil
	id := s.Sites[1].ID
	l, err := s.Store.Load(t.Context(), id)
	require.NoError(t, err)
	e, err := storage.SetValue(l.Document, survey.OpeningWidth, survey.Measured(4100, survey.ByTape))
	require.NoError(t, err)
	_, err = s.Store.Commit(t.Context(), id, e, l.Revision)
	require.NoError(t, err)
	s.Read()
	s.settled()
	assert.Equal(t, []string{l.Document.Survey.Site.Name}, s.drawn)

	s.drawn = nil
	e, err = storage.SetShopRule(s.Shop, practice.RuleStripWidth, 320, "320")
	s.CommitShop(s.Stage, e, err)
	s.Until("the rule is stored", func() bool { return s.Waiting() == 0 })
	s.Read()
	s.settled()
	assert.Len(t, s.drawn, len(s.Sites))
}

func TestAListThatCannotBeReadIsSaid(t *testing.T) {
	backend := &storage.Memory{}
	s := openShelf(t, backend)
	require.NoError(t, s.Store.Close())
	s.Read()
	s.Until("the failure", func() bool { return s.Failure != "" })
	assert.NotEmpty(t, s.Sites, "what was read before stays")
}

// A damaged site is listed with what is wrong, and holds up no other.
func TestADamagedSiteIsListed(t *testing.T) {
	backend := &storage.Memory{}
	s := openShelf(t, backend)
	id := s.Sites[4].ID
	require.NoError(t, backend.Update(t.Context(), func(tx storage.Tx) error {
		keys, err := tx.Keys(storage.TableDocuments, id)
		require.NoError(t, err)
		require.NotEmpty(t, keys)
		return tx.Put(storage.TableDocuments, keys[0], []byte("{"))
	}))
	_, err := s.Store.Load(t.Context(), id)
	require.Error(t, err)
	again := openShelf(t, backend)
	i := slices.IndexFunc(again.Sites, func(l Line) bool { return l.ID == id })
	require.GreaterOrEqual(t, i, 0)
	assert.Equal(t, storage.IsDamaged, again.Sites[i].Condition)
	assert.Empty(t, again.Sites[i].Plan)
	assert.Len(t, again.drawn, len(demo.Sites())-1)
}

func TestAFileBecomesASite(t *testing.T) {
	s := openShelf(t, &storage.Memory{})
	d := storage.NewDocument("2026-01-01T00:00:00Z")
	d.Survey = demo.Sites()[1].Survey
	d.Survey.Site.Name = "From a file"
	text, err := storage.Encode(d)
	require.NoError(t, err)

	opened := func(text []byte) string {
		t.Helper()
		s.Visited = nil
		s.OpenFile(string(text))
		s.Until("it is in hand", func() bool { return len(s.Visited) == 1 && s.Waiting() == 0 })
		assert.Equal(t, "/site/"+s.site.Doc.ID+"/set-out", s.Visited[0])
		return s.site.Doc.ID
	}
	id := opened(text)
	assert.Equal(t, d.ID, id)
	assert.Equal(t, d.ID, opened(text), "the same file again is the same site")

	assert.Nil(t, s.InQuestion)
}

// A file whose site is here with something else in it is a question, not a second
// site of the same name.
func TestAFileOfAChangedSiteIsAskedAbout(t *testing.T) {
	s := openShelf(t, &storage.Memory{})
	d := storage.NewDocument("2026-01-01T00:00:00Z")
	d.Survey = demo.Sites()[1].Survey
	d.Survey.Site.Name = "As quoted"
	old, err := storage.Encode(d)
	require.NoError(t, err)
	here, err := s.Store.Create(t.Context(), d)
	require.NoError(t, err)
	e, err := storage.SetValue(here.Document, survey.OpeningWidth, survey.Measured(4321, survey.ByTape))
	require.NoError(t, err)
	_, err = s.Store.Commit(t.Context(), d.ID, e, here.Revision)
	require.NoError(t, err)
	count := func() int {
		t.Helper()
		all, err := s.Store.Sites(t.Context())
		require.NoError(t, err)
		return len(all)
	}
	sitesBefore := count()
	ask := func() {
		t.Helper()
		s.Visited = nil
		s.OpenFile(string(old))
		s.Until("the question", func() bool { return s.InQuestion != nil && s.Waiting() == 0 })
		assert.Empty(t, s.Visited)
	}
	done := func() storage.Loaded {
		t.Helper()
		s.Until("it is in hand", func() bool { return len(s.Visited) == 1 && s.Waiting() == 0 })
		assert.Nil(t, s.InQuestion)
		l, err := s.Store.Load(t.Context(), s.site.Doc.ID)
		require.NoError(t, err)
		return l
	}

	ask()
	assert.Equal(t, sitesBefore, count(), "nothing is made before the answer")
	assert.True(t, s.InQuestion.Own)
	assert.Less(t, s.InQuestion.InFile, s.InQuestion.Here)

	s.TakeOver()
	taken := done()
	assert.Equal(t, d.ID, taken.Document.ID)
	assert.Equal(t, d.Survey.Opening.Width.Size, taken.Document.Survey.Opening.Width.Size)
	assert.Equal(t, sitesBefore, count())
	back, err := s.Store.Undo(t.Context(), d.ID)
	require.NoError(t, err)
	assert.InDelta(t, 4321, back.Document.Survey.Opening.Width.Size, 0)

	ask()
	s.BringBeside()
	beside := done()
	assert.NotEqual(t, d.ID, beside.Document.ID)
	assert.Contains(t, beside.Document.Survey.Site.Name, "As quoted, as it was ")
	assert.Equal(t, sitesBefore+1, count())
}

// A put-away site is brought back by its file.
func TestAFileOfASitePutAwayBringsItBack(t *testing.T) {
	s := openShelf(t, &storage.Memory{})
	l, err := s.Store.Load(t.Context(), s.Sites[0].ID)
	require.NoError(t, err)
	text, err := storage.Encode(l.Document)
	require.NoError(t, err)
	require.NoError(t, s.Store.Trash(t.Context(), l.Document.ID))
	s.OpenFile(string(text))
	s.Until("it is in hand", func() bool { return len(s.Visited) == 1 && s.Waiting() == 0 })
	s.Read()
	s.settled()
	assert.Empty(t, s.Away)
}

func TestAFileThatIsNoneIsSaid(t *testing.T) {
	s := openShelf(t, &storage.Memory{})
	for text, want := range map[string]string{
		"": "cut short", "a picture": "cut short", "{}": "another kind", `{"format":"pegpour-site","id":`: "cut short",
		`{"format":"pegpour-site","version":999}`:               "newer version",
		`{"format":"pegpour-backup","version":1}` + "\n" + `{}`: "Keep safe",
	} {
		s.Unopened = Unopened{}
		s.OpenFile(text)
		assert.Contains(t, s.Unopened.Words, want, "%q", text)
		assert.NotContains(t, s.Unopened.Words, "byte", "%q", text)
		assert.NotEmpty(t, s.Unopened.Detail)
		assert.Zero(t, s.Waiting())
	}
	assert.Nil(t, s.site.Doc)
}

func TestSearchingShowsWhatIsSought(t *testing.T) {
	s := openShelf(t, &storage.Memory{})
	name := s.Sites[6].Name
	s.Search(strings.ToUpper(name))
	places, more := s.Shown()
	require.Len(t, places, 1)
	assert.Zero(t, more)
	assert.Equal(t, name, s.Sites[places[0]].Name)
	s.Search("")
	places, _ = s.Shown()
	assert.Len(t, places, len(s.Sites))
	s.ShowMore()
	s.Rest()
}

// A new site asked for while the store is still being opened opens it once more: the
// list read then is not taken for that of later.
func TestASiteMadeWhileTheStoreOpensIsListed(t *testing.T) {
	s := openShelf(t, &storage.Memory{})
	require.NoError(t, s.Prepare(t.Context(), s.Store))
	d := storage.NewDocument(editing.Now())
	d.Survey.Site.Name = "Made meanwhile"
	_, err := s.Store.Create(t.Context(), d)
	require.NoError(t, err)
	s.Open(s.Stage, func() {})
	s.settled()
	require.True(t, s.HasOwn())
	require.Equal(t, "Made meanwhile", s.Sites[0].Name)
}
