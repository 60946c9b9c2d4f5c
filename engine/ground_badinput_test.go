package engine

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/draw"
	"pegpour/engine/geom"
)

func pointAt(x, y float64) geom.Point { return geom.Point{X: x, Y: y} }

func bookSite(rows ...BookRow) Survey {
	s := squareSite()
	s.Ground.Shape, s.Ground.Levels.Taken = GroundSlopes, LevelsByStaff
	s.Ground.Levels.Start = Measured(100000, ByStaff)
	s.Ground.Levels.Book = rows
	return s
}

func bookRow(back, intermediate, fore float64, place ...float64) BookRow {
	sight := func(v float64) Value {
		if v == 0 {
			return Value{}
		}
		return Measured(v, ByStaff)
	}
	r := BookRow{Back: sight(back), Intermediate: sight(intermediate), Fore: sight(fore)}
	if len(place) == 2 {
		r.Along, r.Offset = Measured(place[0], ByTape), Measured(place[1], ByTape)
	}
	return r
}

// Ground that cannot be worked out says so in words, keeps what can be, and
// never gives a wrong answer.
func TestBadGround(t *testing.T) {
	t.Run("bookings that do not close", func(t *testing.T) {
		s := bookSite(bookRow(1200, 0, 0), bookRow(0, 1100, 0, 0, 100), bookRow(0, 1120, 0, 3900, 100), bookRow(0, 0, 1230))
		s.Ground.Levels.Close = Measured(100000, ByStaff)
		plan := design(t, s)
		c := groundCheck(t, &plan, "levels.closure")
		assert.Equal(t, Stop, c.Severity)
		assert.InDelta(t, 5-30, c.Margin, 1e-9)
		b := plan.Ground.Booking
		assert.InDelta(t, -30, b.Misclosure, 1e-9)
		// Nothing is shared out over a page that has to be levelled again.
		for _, r := range b.Rows {
			assert.Zero(t, r.Correction)
		}
		assert.InDelta(t, -20.0/3900, plan.Ground.Track.Grade, 1e-12)
	})
	t.Run("a page that closes within the allowance is shared out", func(t *testing.T) {
		s := bookSite(bookRow(1200, 0, 0), bookRow(0, 1100, 0, 0, 100), bookRow(1300, 0, 1120, 3900, 100), bookRow(0, 0, 1376))
		s.Ground.Levels.Close = Measured(100000, ByStaff)
		plan := design(t, s)
		b := plan.Ground.Booking
		assert.True(t, b.Closed && b.Within)
		assert.InDelta(t, 4, b.Misclosure, 1e-9)
		assert.InDelta(t, 100000, b.Rows[3].Adjusted, 1e-9)
		assert.InDelta(t, -2, b.Rows[1].Correction, 1e-9)
	})
	t.Run("a level missing between two change points", func(t *testing.T) {
		s := bookSite(bookRow(1200, 0, 0), bookRow(0, 1100, 0, 0, 100), bookRow(0, 1120, 0, 2000, 100), bookRow(1300, 0, 0), bookRow(0, 1380, 0, 3900, 100))
		plan, err := Design(s, DefaultPractice())
		var refused Refusals
		require.ErrorAs(t, err, &refused)
		require.NotEmpty(t, refused)
		assert.Contains(t, refused[0].Path, "ground.levels.book.3")
		assert.NotEmpty(t, refused[0].Detail)
		assert.Equal(t, Stop, groundCheck(t, &plan, "levels.broken").Severity)
		// The rows before it still give their levels, the row after does not.
		assert.Len(t, plan.Ground.Readings, 2)
	})
	t.Run("three points in line", func(t *testing.T) {
		s := slopingSite(0.02, 0)
		s.Ground.Levels.Drops = s.Ground.Levels.Drops[:3]
		plan := design(t, s)
		c := groundCheck(t, &plan, "levels.crossFall")
		assert.Contains(t, c.What.String(), "one line")
		assert.InDelta(t, 0.02, plan.Ground.Track.Grade, 1e-12)
		assert.False(t, plan.Ground.Track.CrossFallKnown)
	})
	t.Run("three points in line square to the fence", func(t *testing.T) {
		s := slopingSite(0, 0)
		s.Ground.Levels.Drops = []StringDrop{dropAt("a", 2000, 0, 1000), dropAt("b", 2000, 700, 980), dropAt("c", 2000, 1500, 950)}
		plan := design(t, s)
		assert.Equal(t, Stop, groundCheck(t, &plan, "levels.grade").Severity)
		assert.Zero(t, plan.Ground.Track.Grade)
	})
	t.Run("one point", func(t *testing.T) {
		s := slopingSite(0, 0)
		s.Ground.Levels.Drops = s.Ground.Levels.Drops[:1]
		plan := design(t, s)
		assert.Equal(t, Stop, groundCheck(t, &plan, "levels.grade").Severity)
		assert.InDelta(t, 99000, plan.Ground.Track.Z0, 1e-9)
	})
	t.Run("no level at all", func(t *testing.T) {
		s := slopingSite(0, 0)
		s.Ground.Levels.Drops = nil
		plan := design(t, s)
		assert.Equal(t, Stop, groundCheck(t, &plan, "levels.none").Severity)
		for _, peg := range plan.Pegs {
			assert.False(t, peg.Levelled)
		}
		assert.Nil(t, SectionScene(&plan, SceneOptions{}))
	})
	t.Run("a cliff", func(t *testing.T) {
		s := risingSite(1500, 0)
		plan := design(t, s)
		c := groundCheck(t, &plan, "levels.cliff")
		assert.Contains(t, c.What.String(), "1500 mm over 10 mm")
	})
	t.Run("a grade of 30 percent", func(t *testing.T) {
		plan := design(t, slopingSite(0.3, 0))
		c := groundCheck(t, &plan, "grade.limit")
		assert.Equal(t, Stop, c.Severity)
		assert.InDelta(t, 0.12-0.3, c.Margin, 1e-9)
		assert.NotContains(t, c.Consequence.String(), "level")
	})
	t.Run("a wall of 4 m", func(t *testing.T) {
		plan := design(t, risingSite(4000, 0))
		assert.Equal(t, Stop, groundCheck(t, &plan, "wall.most").Severity)
		assert.Nil(t, plan.Ground.Rising.Stability)
		assert.Greater(t, plan.Ground.Rising.Core, 9e9)
		assert.False(t, hasGroundCheck(&plan, "wall.stands"))
	})
	t.Run("soil unknown", func(t *testing.T) {
		s := risingSite(500, 0)
		s.Ground.Soil = ""
		plan := design(t, s)
		c := groundCheck(t, &plan, "wall.stands")
		assert.Equal(t, Warning, c.Severity)
		assert.Equal(t, GroundSoil, c.Field)
		assert.False(t, plan.Ground.Rising.Stability.Presumed)
	})
	t.Run("rises, and nobody levelled it", func(t *testing.T) {
		s := risingSite(500, 0)
		s.Ground.Levels.Drops = s.Ground.Levels.Drops[:4]
		plan := design(t, s)
		assert.Equal(t, Stop, groundCheck(t, &plan, "bank.none").Severity)
		assert.Nil(t, plan.Ground.Rising)
	})
	t.Run("ground that drops away although it was called sloping", func(t *testing.T) {
		s := slopingSite(0, 0)
		for i := range s.Ground.Levels.Drops {
			if d := &s.Ground.Levels.Drops[i]; d.Along.Size > 4000 {
				d.Down.Size += 260
			}
		}
		plan := design(t, s)
		c := groundCheck(t, &plan, "bank.low")
		assert.InDelta(t, 100-260, c.Margin, 0.5)
		require.NotEmpty(t, c.Remedies)
		_, clears := Try(s, DefaultPractice(), c, c.Remedies[0])
		assert.True(t, clears)
	})
	t.Run("refused readings name their field", func(t *testing.T) {
		for _, v := range []float64{math.NaN(), math.Inf(1), 9000, -9000} {
			s := slopingSite(0, 0)
			s.Ground.Levels.Drops[1].Down = Measured(v, ByString)
			plan, err := Design(s, DefaultPractice())
			var refused Refusals
			require.ErrorAs(t, err, &refused)
			require.NotNil(t, refused.At(string(DropDown.At(1))))
			soundPlan(t, &plan)
		}
	})
}

// A survey that says nothing of the ground, or that it is level, has the plan
// it always had.
func TestLevelGroundIsLeftAlone(t *testing.T) {
	s := squareSite()
	before := design(t, s)
	assert.Nil(t, before.Ground)
	s.Ground.Shape = GroundLevel
	s.Ground.Levels = slopingSite(0.02, 0.01).Ground.Levels // kept, not used
	after := design(t, s)
	after.Assumed, before.Assumed = nil, nil
	a, _ := json.Marshal(before)
	b, _ := json.Marshal(after)
	assert.JSONEq(t, string(a), string(b))
}

// Every field of the ground can be found by its path, set and read back.
func TestGroundFieldsAreReached(t *testing.T) {
	s := bookSite(bookRow(1200, 0, 0), bookRow(0, 1100, 0, 0, 100))
	s.Ground.Levels.Drops = []StringDrop{dropAt("a", 0, 0, 0)}
	n := 0
	for _, f := range Fields(&s) {
		if f.Group != GroupGround {
			continue
		}
		n++
		found, ok := FieldAt(f.Path)
		require.True(t, ok, f.Path)
		assert.Equal(t, f.Name, found.Name)
		if f.Numeric() && f.Dimension != Count {
			require.NoError(t, f.SetValue(&s, Measured((f.Low+f.High)/2, ByTape)), f.Path)
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
	seeds := []Survey{slopingSite(0.02, -0.03), risingSite(300, 0.08), bookSite(bookRow(1200, 0, 0), bookRow(1300, 0, 1120, 0, 100), bookRow(0, 0, 1380, 3900, 100))}
	posts := risingSite(3000, 0.5)
	posts.Ground.Cavity = Cavity{Wall: WallOfPosts, Drain: No, Load: LoadBuilding}
	slopes := squareSite()
	slopes.Ground.Shape, slopes.Ground.Levels.Taken, slopes.Ground.Slab = GroundRises, LevelsBySlopes, Yes
	slopes.Ground.Levels.Along, slopes.Ground.Levels.BankAlong = Measured(0.3, ByPhone), Measured(1, ByPhone)
	falls := risingSite(-700, -0.2)
	falls.Ground.Shape = GroundFalls
	for _, s := range append(seeds, posts, slopes, falls) {
		data, err := json.Marshal(s)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		var s Survey
		if json.Unmarshal(data, &s) != nil {
			return
		}
		plan, _ := Design(s, DefaultPractice())
		soundPlan(t, &plan)
		SectionScene(&plan, SceneOptions{})
	})
}

// Surveys of random readings, many of them absurd, within what fields allow.
func TestRandomGroundIsSound(t *testing.T) {
	for seed := range uint64(300) {
		r := rand.New(rand.NewPCG(seed, 17))
		s := randomSite(r)
		pick := func(options ...string) string { return options[r.IntN(len(options))] }
		s.Ground.Shape = pick(GroundSlopes, GroundRises, GroundFalls)
		s.Ground.Levels.Taken = pick(LevelsByString, LevelsByStaff, LevelsBySlopes)
		s.Ground.Slab, s.Ground.Channel = pick(Yes, No), pick(Yes, No)
		s.Ground.Cavity = Cavity{Wall: pick(WallOnBase, WallOfPosts), Drain: pick(Yes, No), Load: pick(LoadGarden, LoadVehicles, LoadBuilding)}
		l := &s.Ground.Levels
		spread := math.Pow(10, 4*r.Float64())
		l.Along, l.Out = Measured(r.Float64()-0.5, ByPhone), Measured(r.Float64()-0.5, ByPhone)
		l.BankStep, l.BankAlong = Measured(2000*r.Float64()-500, ByTape), Measured(4*r.Float64()-2, ByPhone)
		for range r.IntN(14) {
			d := dropAt("", math.Round(20000*r.Float64()-4000), math.Round(6000*r.Float64()-2000), math.Round(math.Min(8000, spread*r.Float64())))
			if r.IntN(3) == 0 {
				d.Offset = Value{}
			}
			d.On = pick(OnGround, OnSlab)
			l.Drops = append(l.Drops, d)
			l.Book = append(l.Book, bookRow(float64(r.IntN(2)*r.IntN(4000)), float64(r.IntN(2)*r.IntN(4000)), float64(r.IntN(2)*r.IntN(4000)), d.Along.Size, d.Offset.Size))
		}
		plan, _ := Design(s, DefaultPractice())
		soundPlan(t, &plan)
		if t.Failed() {
			t.Fatalf("seed %d", seed)
		}
		if scene := SectionScene(&plan, SceneOptions{}); scene != nil {
			_, err := draw.Render(scene, draw.Phone(390, 300), draw.Options{})
			require.NoError(t, err, "seed %d", seed)
		}
	}
}
