package ground_test

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/advice"
	"pegpour/engine/draw"
	"pegpour/engine/drawing"
	"pegpour/engine/enginetest"
	"pegpour/engine/enginetest/designs"
	"pegpour/engine/geom"
	"pegpour/engine/input"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

func pointAt(x, y float64) geom.Point { return geom.Point{X: x, Y: y} }

func bookSite(rows ...survey.BookRow) survey.Survey {
	s := enginetest.SquareSite()
	s.Ground.Shape, s.Ground.Levels.Taken = survey.GroundSlopes, survey.LevelsByStaff
	s.Ground.Levels.Start = survey.Measured(100000, survey.ByStaff)
	s.Ground.Levels.Book = rows
	return s
}

func makeBookRow(back, intermediate, fore float64, place ...float64) survey.BookRow {
	sight := func(v float64) survey.Value {
		if v == 0 {
			return survey.Value{}
		}
		return survey.Measured(v, survey.ByStaff)
	}
	r := survey.BookRow{Back: sight(back), Intermediate: sight(intermediate), Fore: sight(fore)}
	if len(place) == 2 {
		r.Along, r.Offset = survey.Measured(place[0], survey.ByTape), survey.Measured(place[1], survey.ByTape)
	}
	return r
}

// Ground that cannot be worked out says so in words, keeps what can be, and
// never gives a wrong answer.
func TestBadGround(t *testing.T) {
	t.Run("bookings that do not close", func(t *testing.T) {
		s := bookSite(makeBookRow(1200, 0, 0), makeBookRow(0, 1100, 0, 0, 100), makeBookRow(0, 1120, 0, 3900, 100),
			makeBookRow(0, 0, 1230))
		s.Ground.Levels.Close = survey.Measured(100000, survey.ByStaff)
		made := designs.Of(t, s)
		c := groundCheck(t, &made, "levels.closure")
		assert.Equal(t, plan.Stop, c.Severity)
		assert.InDelta(t, 5-30, c.Margin, 1e-9)
		b := made.Ground.Booking
		assert.InDelta(t, -30, b.Misclosure, 1e-9)
		// Nothing is shared out over a page that has to be levelled again.
		for _, r := range b.Rows {
			assert.Zero(t, r.Correction)
		}
		assert.InDelta(t, -20.0/3900, made.Ground.Track.Grade, 1e-12)
	})
	t.Run("a page that closes within the allowance is shared out", func(t *testing.T) {
		s := bookSite(makeBookRow(1200, 0, 0), makeBookRow(0, 1100, 0, 0, 100), makeBookRow(1300, 0, 1120, 3900, 100),
			makeBookRow(0, 0, 1376))
		s.Ground.Levels.Close = survey.Measured(100000, survey.ByStaff)
		made := designs.Of(t, s)
		b := made.Ground.Booking
		assert.True(t, b.Closed && b.Within)
		assert.InDelta(t, 4, b.Misclosure, 1e-9)
		assert.InDelta(t, 100000, b.Rows[3].Adjusted, 1e-9)
		// Four sights alike lead round: the first line of sight takes one quarter, the
		// change point two.
		assert.InDelta(t, -1, b.Rows[1].Correction, 1e-9)
		assert.InDelta(t, -2, b.Rows[2].Correction, 1e-9)
	})
	t.Run("a level missing between two change points", func(t *testing.T) {
		s := bookSite(makeBookRow(1200, 0, 0), makeBookRow(0, 1100, 0, 0, 100), makeBookRow(0, 1120, 0, 2000, 100),
			makeBookRow(1300, 0, 0), makeBookRow(0, 1380, 0, 3900, 100))
		made, err := engine.Design(s, practice.DefaultPractice())
		var refused input.Refusals
		require.ErrorAs(t, err, &refused)
		require.NotEmpty(t, refused)
		assert.Contains(t, refused[0].Path, "ground.levels.book.3")
		assert.NotEmpty(t, refused[0].Detail)
		assert.Equal(t, plan.Stop, groundCheck(t, &made, "levels.broken").Severity)
		// The rows before it still give their levels, the row after does not.
		assert.Len(t, made.Ground.Readings, 2)
	})
	t.Run("three points in line", func(t *testing.T) {
		s := enginetest.SlopingSite(0.02, 0)
		s.Ground.Levels.Drops = s.Ground.Levels.Drops[:3]
		made := designs.Of(t, s)
		c := groundCheck(t, &made, "levels.crossFall")
		assert.Contains(t, c.What.String(), "one line")
		assert.InDelta(t, 0.02, made.Ground.Track.Grade, 1e-12)
		assert.False(t, made.Ground.Track.CrossFallKnown)
	})
	t.Run("three points in line square to the fence", func(t *testing.T) {
		s := enginetest.SlopingSite(0, 0)
		s.Ground.Levels.Drops = []survey.StringDrop{enginetest.DropAt("a", 2000, 0, 1000),
			enginetest.DropAt("b", 2000, 700, 980), enginetest.DropAt("c", 2000, 1500, 950)}
		made := designs.Of(t, s)
		assert.Equal(t, plan.Stop, groundCheck(t, &made, "levels.grade").Severity)
		assert.Zero(t, made.Ground.Track.Grade)
	})
	t.Run("one point", func(t *testing.T) {
		s := enginetest.SlopingSite(0, 0)
		s.Ground.Levels.Drops = s.Ground.Levels.Drops[:1]
		made := designs.Of(t, s)
		assert.Equal(t, plan.Stop, groundCheck(t, &made, "levels.grade").Severity)
		assert.InDelta(t, 99000, made.Ground.Track.Z0, 1e-9)
	})
	t.Run("no level at all", func(t *testing.T) {
		s := enginetest.SlopingSite(0, 0)
		s.Ground.Levels.Drops = nil
		made := designs.Of(t, s)
		assert.Equal(t, plan.Stop, groundCheck(t, &made, "levels.none").Severity)
		for _, peg := range made.Pegs {
			assert.False(t, peg.Levelled)
		}
		assert.Nil(t, drawing.SectionScene(&made, drawing.SceneOptions{}))
	})
	t.Run("a cliff", func(t *testing.T) {
		s := enginetest.RisingSite(1500, 0)
		made := designs.Of(t, s)
		c := groundCheck(t, &made, "levels.cliff")
		assert.Contains(t, c.What.String(), "1500 mm over 10 mm")
	})
	t.Run("a grade of 30 percent", func(t *testing.T) {
		made := designs.Of(t, enginetest.SlopingSite(0.3, 0))
		c := groundCheck(t, &made, "grade.limit")
		assert.Equal(t, plan.Stop, c.Severity)
		assert.InDelta(t, 0.12-0.3, c.Margin, 1e-9)
		assert.NotContains(t, c.Consequence.String(), "level")
	})
	t.Run("a wall of 4 m", func(t *testing.T) {
		made := designs.Of(t, enginetest.RisingSite(4000, 0))
		assert.Equal(t, plan.Stop, groundCheck(t, &made, "wall.most").Severity)
		assert.Nil(t, made.Ground.Rising.Stability)
		assert.Greater(t, made.Ground.Rising.Core, 9e9)
		assert.False(t, hasGroundCheck(&made, "wall.stands"))
	})
	t.Run("soil unknown", func(t *testing.T) {
		s := enginetest.RisingSite(500, 0)
		s.Ground.Soil = ""
		made := designs.Of(t, s)
		c := groundCheck(t, &made, "wall.stands")
		assert.Equal(t, plan.Warning, c.Severity)
		assert.Equal(t, survey.GroundSoil, c.Field)
		assert.False(t, made.Ground.Rising.Stability.Presumed)
	})
	t.Run("rises, and nobody levelled it", func(t *testing.T) {
		s := enginetest.RisingSite(500, 0)
		s.Ground.Levels.Drops = s.Ground.Levels.Drops[:4]
		made := designs.Of(t, s)
		assert.Equal(t, plan.Stop, groundCheck(t, &made, "bank.none").Severity)
		assert.Nil(t, made.Ground.Rising)
	})
	t.Run("ground that drops away although it was called sloping", func(t *testing.T) {
		s := enginetest.SlopingSite(0, 0)
		for i := range s.Ground.Levels.Drops {
			if d := &s.Ground.Levels.Drops[i]; d.Along.Size > 4000 {
				d.Down.Size += 260
			}
		}
		made := designs.Of(t, s)
		c := groundCheck(t, &made, "bank.low")
		assert.InDelta(t, 100-260, c.Margin, 0.5)
		require.NotEmpty(t, c.Remedies)
		_, clears := advice.Try(s, practice.DefaultPractice(), c, c.Remedies[0])
		assert.True(t, clears)
	})
	t.Run("refused readings name their field", func(t *testing.T) {
		for _, v := range []float64{math.NaN(), math.Inf(1), 9000, -9000} {
			s := enginetest.SlopingSite(0, 0)
			s.Ground.Levels.Drops[1].Down = survey.Measured(v, survey.ByString)
			made, err := engine.Design(s, practice.DefaultPractice())
			var refused input.Refusals
			require.ErrorAs(t, err, &refused)
			require.NotNil(t, refused.At(string(survey.DropDown.At(1))))
			designs.Sound(t, &made)
		}
	})
}

// A survey that says nothing of the ground, or that it is level, has the plan
// it always had.
func TestLevelGroundIsLeftAlone(t *testing.T) {
	s := enginetest.SquareSite()
	before := designs.Of(t, s)
	assert.Nil(t, before.Ground)
	s.Ground.Shape = survey.GroundLevel
	s.Ground.Levels = enginetest.SlopingSite(0.02, 0.01).Ground.Levels // kept, not used
	after := designs.Of(t, s)
	after.Assumed, before.Assumed = nil, nil
	a, _ := json.Marshal(before)
	b, _ := json.Marshal(after)
	assert.JSONEq(t, string(a), string(b))
}

// Every field of the ground can be found by its path, set and read back.
func TestGroundFieldsAreReached(t *testing.T) {
	s := bookSite(makeBookRow(1200, 0, 0), makeBookRow(0, 1100, 0, 0, 100))
	s.Ground.Levels.Drops = []survey.StringDrop{enginetest.DropAt("a", 0, 0, 0)}
	n := 0
	for _, f := range survey.Fields(&s) {
		if f.Group != survey.GroupGround {
			continue
		}
		n++
		found, ok := survey.FieldAt(f.Path)
		require.True(t, ok, f.Path)
		assert.Equal(t, f.Name, found.Name)
		if f.Numeric() && f.Dimension != text.Count {
			require.NoError(t, f.SetValue(&s, survey.Measured((f.Low+f.High)/2, survey.ByTape)), f.Path)
			assert.InDelta(t, (f.Low+f.High)/2, f.Value(&s).Size, 1e-9)
		}
	}
	assert.Greater(t, n, 30)
	clone := s.Clone()
	clone.Ground.Levels.Book[0].Station = "other"
	clone.Ground.Levels.Drops[0].Name = "other"
	assert.NotEqual(t, "other", s.Ground.Levels.Book[0].Station)
	assert.NotEqual(t, "other", s.Ground.Levels.Drops[0].Name)
}

func FuzzGround(f *testing.F) {
	seeds := []survey.Survey{enginetest.SlopingSite(0.02, -0.03), enginetest.RisingSite(300, 0.08),
		bookSite(makeBookRow(1200, 0, 0), makeBookRow(1300, 0, 1120, 0, 100), makeBookRow(0, 0, 1380, 3900, 100))}
	posts := enginetest.RisingSite(3000, 0.5)
	posts.Ground.Cavity = survey.Cavity{Wall: survey.WallOfPosts, Drain: survey.No, Load: survey.LoadBuilding}
	slopes := enginetest.SquareSite()
	slopes.Ground.Shape, slopes.Ground.Levels.Taken, slopes.Ground.Slab = survey.GroundRises, survey.LevelsBySlopes,
		survey.Yes
	slopes.Ground.Levels.Along, slopes.Ground.Levels.BankAlong = survey.Measured(0.3, survey.ByPhone),
		survey.Measured(1, survey.ByPhone)
	falls := enginetest.RisingSite(-700, -0.2)
	falls.Ground.Shape = survey.GroundFalls
	for _, s := range append(seeds, posts, slopes, falls) {
		data, err := json.Marshal(s)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		var s survey.Survey
		if json.Unmarshal(data, &s) != nil {
			return
		}
		made, _ := engine.Design(s, practice.DefaultPractice())
		designs.Sound(t, &made)
		drawing.SectionScene(&made, drawing.SceneOptions{})
	})
}

// Surveys of random readings, many of them absurd, within what fields allow.
func TestRandomGroundIsSound(t *testing.T) {
	for seed := range uint64(300) {
		r := rand.New(rand.NewPCG(seed, 17))
		s := enginetest.RandomSite(r)
		pick := func(options ...string) string { return options[r.IntN(len(options))] }
		s.Ground.Shape = pick(survey.GroundSlopes, survey.GroundRises, survey.GroundFalls)
		s.Ground.Levels.Taken = pick(survey.LevelsByString, survey.LevelsByStaff, survey.LevelsBySlopes)
		s.Ground.Slab, s.Ground.Channel = pick(survey.Yes, survey.No), pick(survey.Yes, survey.No)
		s.Ground.Cavity = survey.Cavity{Wall: pick(survey.WallOnBase, survey.WallOfPosts),
			Drain: pick(survey.Yes, survey.No), Load: pick(survey.LoadGarden, survey.LoadVehicles, survey.LoadBuilding)}
		l := &s.Ground.Levels
		spread := math.Pow(10, 4*r.Float64())
		l.Along, l.Out = survey.Measured(r.Float64()-0.5, survey.ByPhone), survey.Measured(r.Float64()-0.5, survey.ByPhone)
		l.BankStep, l.BankAlong = survey.Measured(2000*r.Float64()-500, survey.ByTape),
			survey.Measured(4*r.Float64()-2, survey.ByPhone)
		for range r.IntN(14) {
			d := enginetest.DropAt("", math.Round(20000*r.Float64()-4000), math.Round(6000*r.Float64()-2000),
				math.Round(math.Min(8000, spread*r.Float64())))
			if r.IntN(3) == 0 {
				d.Offset = survey.Value{}
			}
			d.On = pick(survey.OnGround, survey.OnSlab)
			l.Drops = append(l.Drops, d)
			l.Book = append(l.Book, makeBookRow(float64(r.IntN(2)*r.IntN(4000)), float64(r.IntN(2)*r.IntN(4000)),
				float64(r.IntN(2)*r.IntN(4000)), d.Along.Size, d.Offset.Size))
		}
		made, _ := engine.Design(s, practice.DefaultPractice())
		designs.Sound(t, &made)
		if t.Failed() {
			t.Fatalf("seed %d", seed)
		}
		if scene := drawing.SectionScene(&made, drawing.SceneOptions{}); scene != nil {
			_, err := draw.Render(scene, draw.Phone(390, 300), draw.Options{})
			require.NoError(t, err, "seed %d", seed)
		}
	}
}
