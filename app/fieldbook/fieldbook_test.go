package fieldbook

import (
	"context"
	"math"
	"testing"

	"github.com/maxence-charriere/go-app/v9/pkg/app"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/app/editing"
	"pegpour/app/language"
	"pegpour/app/turns/turnstest"
	"pegpour/engine/drawing"
	"pegpour/engine/geom"
	"pegpour/engine/ground"
	"pegpour/engine/survey"
	"pegpour/storage"
	"pegpour/storage/demo"
)

// bench is a site in hand over a store in memory.
type bench struct {
	*turnstest.Stage
	*editing.Site
	t *testing.T
}

func openBench(t *testing.T, taken survey.Survey) *bench {
	t.Helper()
	store := storage.NewMemory()
	d := storage.NewDocument("2026-01-01T00:00:00Z")
	d.Survey = taken
	_, err := store.Create(t.Context(), d)
	require.NoError(t, err)
	stage := turnstest.New(t)
	device := editing.NewDevice(stage.Turns, &language.Speaker{},
		func(context.Context) (storage.Store, error) { return store, nil })
	b := &bench{Stage: stage, Site: editing.NewSite(device), t: t}
	stage.GoTo("/site/" + d.ID + "/network")
	b.Follow(stage, nil)
	b.Until("the site is open", func() bool { return b.Doc != nil && b.Waiting() == 0 })
	return b
}

// stored is the site as the store has it once all is stored.
func (b *bench) stored() *storage.Document {
	b.t.Helper()
	b.Until("all is stored", func() bool { return b.Waiting() == 0 })
	assert.Empty(b.t, b.Unsaved)
	l, err := b.Store.Load(b.t.Context(), b.Doc.ID)
	require.NoError(b.t, err)
	return l.Document
}

func TestANetworkBeginsWithThePosts(t *testing.T) {
	b := openBench(t, survey.Survey{})
	s := NewNetworkScreen(b.Site).(*networkScreen)
	s.begin(b.Stage)
	network := b.stored().Survey.Network
	require.Len(t, network.Pegs, 2)
	assert.Equal(t, survey.PegLatch, network.Pegs[0].Role)
	assert.Equal(t, survey.PegRunBack, network.Pegs[1].Role)
	assert.Equal(t, b.Plan().Opening, network.Pegs[1].Along.Size)
	require.Len(t, network.Tapes, 1, "the pair that is picked is taped")
	assert.Equal(t, []string{"A", "B"}, s.picked)
	assert.Equal(t, 0, s.tape())
}

func TestPegsAreAddedNamedAndRemoved(t *testing.T) {
	b := openBench(t, survey.Survey{})
	s := NewNetworkScreen(b.Site).(*networkScreen)
	s.addBeside(b.Stage) // the posts come first
	s.addBeside(b.Stage)
	require.Len(t, b.Doc.Survey.Network.Pegs, 3)
	assert.Equal(t, []string{"C"}, s.picked, "the new one is picked, under the next free letter")
	s.pick(b.Stage, "A")
	assert.Equal(t, 1, s.tape(), "two that are picked are taped")
	s.next(b.Stage)
	assert.Equal(t, []string{"C"}, s.picked, "on to the next tape from the same peg")

	s.renamePeg(b.Stage, "C", " Tree ")
	assert.Empty(t, s.refused)
	assert.Equal(t, []string{"Tree"}, s.picked)
	assert.GreaterOrEqual(t, pegIndex(b.Site, "Tree"), 0)
	assert.Equal(t, "Tree", b.Doc.Survey.Network.Tapes[1].From, "its tapes follow")
	s.renamePeg(b.Stage, "Tree", "A")
	assert.Contains(t, s.refused, "“A” cannot be its name")
	assert.Equal(t, "C", freePegName(b.Site))

	s.removePeg(b.Stage, "Tree")
	network := b.stored().Survey.Network
	assert.Len(t, network.Pegs, 2)
	assert.Len(t, network.Tapes, 1, "its tapes go with it")
	b.Undo()
	assert.Len(t, b.stored().Survey.Network.Tapes, 2, "one undo brings both back")
}

func TestANetworkHasNoMorePegsThanCanBeAdjusted(t *testing.T) {
	b := openBench(t, survey.Survey{})
	for range survey.MaxNetworkPegs + 3 {
		addPeg(b.Site, b.Stage, survey.NetworkPeg{Name: freePegName(b.Site)})
	}
	assert.Len(t, b.Doc.Survey.Network.Pegs, survey.MaxNetworkPegs)
	b.stored()
}

func TestALevelRunIsBooked(t *testing.T) {
	b := openBench(t, survey.Survey{})
	s := NewLevelRunScreen(b.Site).(*levelRunScreen)
	s.begin(b.Stage)
	assert.Equal(t, survey.LevelsByStaff, b.Doc.Survey.Ground.Levels.Taken)
	assert.Equal(t, editing.LevelBook+"0.back", s.field)
	assert.Contains(t, s.guide(), "Staff on the known point")
	s.begin(b.Stage)
	require.Len(t, b.Doc.Survey.Ground.Levels.Book, 1, "a page that is begun is gone on with")

	book := func(text string) {
		f, ok := survey.FieldAt(s.field)
		require.True(t, ok, s.field)
		b.Type(b.Stage, f, text)
		s.next(b.Stage)
	}
	book("1500")
	assert.Empty(t, s.field)
	s.add(b.Stage, "intermediate")
	book("1420")
	assert.Equal(t, editing.LevelBook+"1.along", s.field, "after a reading it is asked where it was taken")
	book("2000")
	s.add(b.Stage, "fore")
	book("1380")
	book("4000")
	run := ground.BookLevels(b.Survey(), b.Practice)
	assert.Equal(t, ground.RunDone, run.Step)
	assert.InDelta(t, 120, run.Rows[2].Level-run.Rows[0].Level, 1e-9, "1500 back, 1380 fore: 120 higher")

	s.insert(b.Stage, 1)
	assert.Equal(t, editing.LevelBook+"1.intermediate", s.field)
	require.Len(t, b.Doc.Survey.Ground.Levels.Book, 4)
	s.remove(b.Stage, 1)
	s.removeLast(b.Stage)
	assert.Len(t, b.stored().Survey.Ground.Levels.Book, 2)
	s.askLast(b.Stage, "fore")
	assert.Equal(t, editing.LevelBook+"1.fore", s.field)
}

func TestNotesAreWrittenAndPinned(t *testing.T) {
	b := openBench(t, demo.Sites()[0].Survey)
	s := NewPhotosScreen(b.Site).(*photosScreen)
	s.addNote(b.Stage)
	id := s.chosen
	require.NotEmpty(t, id)
	for _, text := range []string{"s", "so", "soft"} {
		s.writeNote(b.Stage, id, text)
	}
	s.setPin(b.Stage, &storage.Pin{Chainage: 1200, Offset: -300})
	note := b.stored().Notes[0]
	assert.Equal(t, "soft", note.Text)
	assert.Equal(t, &storage.Pin{Chainage: 1200, Offset: -300}, note.Pin)
	assert.Contains(t, pinWords(b.Site, note.Pin), "1200")
	assert.Contains(t, pinWords(b.Site, nil), "Not pinned")
	b.Undo()
	assert.Nil(t, b.stored().Notes[0].Pin)
	b.Undo()
	assert.Empty(t, b.stored().Notes[0].Text, "what was typed is undone in one step")
}

func TestWhereAPhotoWasTakenIsSaid(t *testing.T) {
	l := &language.Speaker{}
	assert.Empty(t, OriginWords(l, &storage.Photo{}))
	at := &storage.Origin{Position: &storage.Position{Latitude: 51.5, Longitude: -0.1278},
		Clock: "2026-05-01T10:20:30+02:00"}
	words := OriginWords(l, &storage.Photo{Origin: at})
	assert.Contains(t, words, "latitude 51.500000°")
	assert.Contains(t, words, "2026-05-01 10:20", "as the crew's watch showed")
}

func TestASlopeIsReadBothWaysRound(t *testing.T) {
	b := openBench(t, survey.Survey{})
	s := NewSlopeScreen(b.Site).(*slopeScreen)
	s.field = slopeFields[0]
	read := func(beta float64) {
		s.values = nil
		for range ground.TiltLeast + 5 {
			s.values = append(s.values, beta)
		}
		s.finish()
	}
	read(2.5 * math.Pi / 180)
	assert.Empty(t, s.refused)
	assert.True(t, s.read)
	read(-1.5 * math.Pi / 180)
	require.NotNil(t, s.second)
	slope, err := ground.SlopeOf(s.first, s.second, b.Practice)
	require.NoError(t, err)
	assert.InDelta(t, 2*math.Pi/180, slope.Angle, 1e-9, "the zero of the phone falls out")
	assert.InDelta(t, 0.5*math.Pi/180, math.Abs(slope.Bias), 1e-9)

	takeSlopes(b.Site, b.Stage)
	land := b.stored().Survey.Ground
	assert.Equal(t, survey.GroundSlopes, land.Shape)
	assert.Equal(t, survey.LevelsBySlopes, land.Levels.Taken)

	s.reset()
	s.values = []float64{0, 0.2, -0.2}
	s.finish()
	assert.NotEmpty(t, s.refused, "a phone that is not still gives no slope")
}

func TestAQuestionLeadsToItsTool(t *testing.T) {
	b := openBench(t, survey.Survey{})
	for path, want := range map[string]string{
		"ground.levels.along":        "slope?field=ground.levels.along",
		editing.LevelBook + "0.back": "level-run",
		"drive.runBackEdge.given":    "network",
		"opening.width":              "",
	} {
		f, ok := survey.FieldAt(path)
		require.True(t, ok, path)
		at, words := Tool(b.Site, f)
		assert.Equal(t, want, at, path)
		assert.Equal(t, want == "", words == "", path)
	}
	f, _ := survey.FieldAt("opening.width")
	assert.NotContains(t, app.HTMLString(app.Div().Body(ToolLink(b.Site, f))), "<a")
}

// Before any peg stands the picture is fixed by chalk marks of one's own, which stay
// with the photo.
func TestChalkMarksFixAPhoto(t *testing.T) {
	b := openBench(t, demo.Sites()[0].Survey)
	e, err := storage.PutPhoto(b.Doc, storage.Photo{ID: "p", Type: "image/jpeg"})
	b.Commit(b.Stage, e, err)
	s := NewOverlayScreen(b.Site).(*overlayScreen)
	s.photo = "p"
	p, ok := s.record()
	require.True(t, ok)
	assert.NotEmpty(t, s.addOwn(&p, "1000", "a metre"))
	// A camera that looks straight down, a pixel to 10 mm.
	for _, at := range [][2]string{{"500", "-1500"}, {"3500", "-1500"}, {"500", "2500"}, {"3.5 m", "2500"}, {"2000", "1000"}} {
		p, _ = s.record()
		require.Empty(t, s.addOwn(&p, at[0], at[1]))
		mark := s.own[s.place]
		s.placeSpot(b.Stage, 500+mark.X/10, 500-mark.Y/10)
	}
	photo := b.stored().Photos[0]
	require.Len(t, photo.Spots, 5)
	assert.Equal(t, storage.Spot{U: 850, V: 250, Chainage: 3500, Offset: 2500}, photo.Spots["own.4"])
	s.own = nil // as after a restart
	_, spots := s.spots(&photo)
	assert.Equal(t, "Chalk mark 1", b.SayName(spots[0].Name))
	over, err := drawing.Overlay(b.Plan(), spots, drawing.PhotoFrame{}, b.Practice)
	require.NoError(t, err)
	assert.Less(t, over.Miss, 1.0)
	assert.Equal(t, len(drawing.PhotoPlaces(b.Plan()))+5, len(s.places(&photo)))
}

// The feet and tops of the posts and one chalk mark fix the photo of a first visit.
// Heights stay with the spots and are offered again.
func TestPostTopsFixAPhoto(t *testing.T) {
	b := openBench(t, demo.Sites()[0].Survey)
	e, err := storage.PutPhoto(b.Doc, storage.Photo{ID: "p", Type: "image/jpeg", Focal: 26})
	b.Commit(b.Stage, e, err)
	s := NewOverlayScreen(b.Site).(*overlayScreen)
	s.photo, s.wide, s.high = "p", 2048, 1536
	now := func() *storage.Photo {
		p, ok := s.record()
		require.True(t, ok)
		return &p
	}
	assert.NotEmpty(t, s.addTop(b.Stage, now(), "top.post.latch.in", "high"))
	assert.Contains(t, s.addTop(b.Stage, now(), "top.post.latch.in", "20"), "100")
	assert.Empty(t, s.lastHeight(now()))
	// A camera that stands on the drive 6 m inside, 1.6 m up, and looks at the street,
	// level; the hand of the gate says on which side X is.
	side := -1.0
	if b.Plan().Mirrored() {
		side = 1
	}
	focal := 26 * 2560 / 43.266615
	point := func(at geom.Point, height float64) {
		far := 6000 - at.Y
		s.placeSpot(b.Stage, 1024+side*focal*(at.X-2000)/far, 768+focal*(1600-height)/far)
	}
	for _, id := range []string{"post.latch.in", "post.runBack.in"} {
		var at geom.Point
		for _, q := range drawing.PhotoPlaces(b.Plan()) {
			if q.ID == id {
				at = q.At
			}
		}
		s.place = id
		point(at, 0)
		require.Empty(t, s.addTop(b.Stage, now(), "top."+id, "1.4 m"))
		point(at, 1400)
		assert.Equal(t, "1400", s.lastHeight(now()))
	}
	require.Empty(t, s.addOwn(now(), "1500", "1800"))
	point(geom.Point{X: 1500, Y: 1800}, 0)

	photo := b.stored().Photos[0]
	require.Len(t, photo.Spots, 5)
	assert.InDelta(t, 1400, photo.Spots["top.post.latch.in"].Height, 0)
	s.own, s.tops = map[string]geom.Point{}, map[string]float64{} // as after a restart
	ids, spots := s.spots(&photo)
	over, err := s.overlay(&photo, spots)
	require.NoError(t, err)
	assert.Less(t, over.Miss, 2.0)
	assert.False(t, over.SwappedSides)
	assert.Empty(t, s.height(ids, spots), "a chalk mark is in hand")
	s.place = "top.post.latch.in"
	assert.Contains(t, s.height(ids, spots), "↑ 1400")
	assert.Contains(t, app.HTMLString(app.Div().Body(s.pointing(&photo))), "inner corner at the back: top, 1400")
	assert.Equal(t, len(drawing.PhotoPlaces(b.Plan()))+3, len(s.places(&photo)))

	// A height that was wrong is corrected where it was given, and its spot stays.
	before := photo.Spots["top.post.latch.in"]
	require.Empty(t, s.addTop(b.Stage, &photo, "top.post.latch.in", "1900"))
	photo = b.stored().Photos[0]
	before.Height = 1900
	assert.Equal(t, before, photo.Spots["top.post.latch.in"])
	_, spots = s.spots(&photo)
	over, err = s.overlay(&photo, spots)
	require.NoError(t, err)
	assert.NotEmpty(t, over.Suspects, "a post half a metre too high is noticed")

	// One post alone says what else to mark.
	for id := range photo.Spots {
		if id != "post.latch.in" && id != "top.post.latch.in" {
			delete(photo.Spots, id)
		}
	}
	photo.Spots["top.post.latch.front"] = photo.Spots["top.post.latch.in"]
	photo.Spots["post.latch.front"] = photo.Spots["post.latch.in"]
	_, spots = s.spots(&photo)
	_, err = s.overlay(&photo, spots)
	require.Error(t, err)
	assert.Contains(t, whyNoFit(b.Speaker, spots, err), "other post")
}

func TestPostsInALineAreExplained(t *testing.T) {
	b := openBench(t, demo.Sites()[0].Survey)
	var spots []drawing.PhotoSpot
	for i, q := range drawing.PhotoPlaces(b.Plan())[:6] {
		spots = append(spots, drawing.PhotoSpot{Name: q.Name, At: geom.Point{X: q.At.X}, U: float64(100 * i), V: float64(i * i)})
	}
	_, err := drawing.Overlay(b.Plan(), spots, drawing.PhotoFrame{}, b.Practice)
	require.Error(t, err)
	assert.Contains(t, whyNoFit(b.Speaker, spots, err), "chalk cross of your own")
}
