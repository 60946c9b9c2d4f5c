package ground_test

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/advice"
	"pegpour/engine/enginetest"
	"pegpour/engine/enginetest/designs"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/tables"
	"pegpour/engine/text"
)

func groundCheck(t *testing.T, p *plan.Plan, code string) plan.Check {
	t.Helper()
	for i := range p.Checks {
		if p.Checks[i].Code == code {
			return p.Checks[i]
		}
	}
	require.Fail(t, "no check "+code)
	return plan.Check{}
}

func hasGroundCheck(p *plan.Plan, code string) bool {
	for i := range p.Checks {
		if p.Checks[i].Code == code {
			return true
		}
	}
	return false
}

// Every published page of levels, typed into a survey, comes out of Design with
// the published levels.
func TestLevelBooks_published(t *testing.T) {
	raw, err := os.ReadFile("../../testdata/references/levels.json")
	require.NoError(t, err)
	var cases []struct {
		ID, Topic string
		Inputs    struct {
			Rows []struct {
				BS, IS, FS *float64
				Inverted   bool
			}
			Start float64 `json:"start_rl_m"`
			Unit  float64 `json:"unit_mm"`
		}
		Expected map[string]float64
	}
	var loose []map[string]json.RawMessage
	require.NoError(t, json.Unmarshal(raw, &loose))
	seen := 0
	for _, one := range loose {
		if !strings.Contains(string(one["inputs"]), `"start_rl_m"`) {
			continue
		}
		data, _ := json.Marshal(one)
		c := cases
		require.NoError(t, json.Unmarshal([]byte("["+string(data)+"]"), &c))
		page := c[0]
		unit := page.Inputs.Unit
		if unit == 0 {
			unit = 1000
		}
		s := enginetest.SquareSite()
		s.Ground.Shape, s.Ground.Levels.Taken = survey.GroundSlopes, survey.LevelsByStaff
		s.Ground.Levels.Start = survey.Measured(page.Inputs.Start*unit, survey.ByStaff)
		inverted := false
		for _, r := range page.Inputs.Rows {
			inverted = inverted || r.Inverted
			sight := func(v *float64) survey.Value {
				if v == nil {
					return survey.Value{}
				}
				return survey.Measured(*v*unit, survey.ByStaff)
			}
			s.Ground.Levels.Book = append(s.Ground.Levels.Book,
				survey.BookRow{Back: sight(r.BS), Intermediate: sight(r.IS), Fore: sight(r.FS)})
		}
		if inverted {
			continue // a staff held upside down takes no level of the ground
		}
		t.Run(page.ID, func(t *testing.T) {
			seen++
			made := designs.Of(t, s)
			book := made.Ground.Booking
			require.NotNil(t, book)
			assert.True(t, book.ArithmeticHolds)
			assert.InDelta(t, book.BackLessFore, book.LastLessFirst, 1e-6)
			for i, row := range book.Rows {
				if want, ok := page.Expected["rl"+strconv.Itoa(i)]; ok {
					assert.InDelta(t, want*unit, row.Level, 1e-4*unit/1000+1e-6, "row %d", i)
				}
			}
		})
	}
	assert.GreaterOrEqual(t, seen, 7)
}

// A plane read from a string comes back as the plane it was, and is carried
// unchanged into the run-back in both directions: hand calculation.
func TestTrackGrade_hand_calculation(t *testing.T) {
	for _, c := range []struct{ grade, cross float64 }{{0, 0}, {0.02, 0}, {-0.015, 0.03}, {0.01, -0.04}} {
		made := designs.Of(t, enginetest.SlopingSite(c.grade, c.cross))
		g := made.Ground
		assert.InDelta(t, c.grade, g.Track.Grade, 1e-12)
		assert.InDelta(t, c.cross, g.Track.CrossFall, 1e-12)
		assert.InDelta(t, 99000, g.Track.Z0, 1e-6)
		assert.InDelta(t, 99000+c.grade*8400, g.TrackLevel(8400), 1e-6)
		for _, x := range []float64{0, 3100, 4300, 7777} {
			for _, y := range []float64{0, 100, 600} {
				z, _ := g.GroundLevel(x, y)
				assert.InDelta(t, 99000+c.grade*x+c.cross*(y-100), z, 0.01, "%v %v", x, y)
			}
		}
		// Pegs of the strip lie on the plane.
		for _, peg := range made.Pegs {
			require.Equal(t, peg.Of != "pad" && peg.Of != "hole" || g.Pad.HasLevel, peg.Levelled)
			if peg.Of == "strip" {
				assert.InDelta(t, g.Track.At(peg.Chainage, peg.Offset), peg.Level, 1e-9)
			}
		}
		assert.InDelta(t, 0, g.Cut, 1e4) // a cubic centimetre or so of rounding
		if c.grade != 0 {
			assert.Equal(t, "", string(groundCheckSeverityOf(&made, "grade.limit")))
		}
	}
}

func groundCheckSeverityOf(p *plan.Plan, code string) plan.Severity {
	for i := range p.Checks {
		if p.Checks[i].Code == code {
			return p.Checks[i].Severity
		}
	}
	return ""
}

func TestLevelTable(t *testing.T) {
	made := designs.Of(t, enginetest.SlopingSite(0.01, 0))
	rows := tables.Levels(&made)
	require.Greater(t, len(rows), 8)
	assert.Equal(t, []text.Name{"latch post", "0", "99000", "99000", "0"}, rows[1])
	last := rows[len(rows)-1]
	assert.EqualValues(t, "end of the strip", last[0])
	assert.EqualValues(t, "99084", last[3])
	level := designs.Of(t, enginetest.SquareSite())
	assert.Nil(t, tables.Levels(&level))
}

// The drive alone sets the grade: whatever the run-back does, the track does
// not follow it, and a level second half is never proposed.
func TestRunBackNeverBendsTheTrack(t *testing.T) {
	s := enginetest.SlopingSite(0.02, 0)
	for i := range s.Ground.Levels.Drops {
		if d := &s.Ground.Levels.Drops[i]; d.Along.Size > 4000 {
			d.Down.Size = 920 // level from the edge on
		}
	}
	made := designs.Of(t, s)
	assert.InDelta(t, 0.02, made.Ground.Track.Grade, 1e-12)
	// The slab that is there already is level: a step of 0.02 × (8000 − 4000).
	s.Ground.Slab = survey.Yes
	s.Ground.Levels.Drops = append(s.Ground.Levels.Drops, enginetest.DropAt("slab near", 4050, 100, 920),
		enginetest.DropAt("slab far", 8000, 100, 920))
	for i := len(s.Ground.Levels.Drops) - 2; i < len(s.Ground.Levels.Drops); i++ {
		s.Ground.Levels.Drops[i].On = survey.OnSlab
	}
	made = designs.Of(t, s)
	assert.InDelta(t, 0.02, made.Ground.Track.Grade, 1e-12)
	require.NotNil(t, made.Ground.Slab)
	assert.InDelta(t, -80, made.Ground.Slab.Greatest, 1e-6)
	c := groundCheck(t, &made, "grade.slab")
	assert.Equal(t, plan.Stop, c.Severity)
	assert.InDelta(t, 5-80, c.Margin, 1e-6)
	for _, k := range made.Checks {
		for _, r := range k.Remedies {
			assert.NotContains(t, strings.ToLower(r.Words.String()), "level the")
		}
	}
}

// Packing and grinding against the fitted line: hand calculation. Levels
// 0, +12, 0 at 0, 2000, 4000 fit a level line at +4: pack 4, grind 8, pack 4.
func TestPackingSchedule_hand_calculation(t *testing.T) {
	s := enginetest.SlopingSite(0, 0)
	s.Ground.Levels.Drops = []survey.StringDrop{enginetest.DropAt("a", 0, 100, 1000),
		enginetest.DropAt("b", 2000, 100, 988), enginetest.DropAt("c", 4000, 100, 1000)}
	made := designs.Of(t, s)
	require.Len(t, made.Ground.Packing, 3)
	for i, want := range []float64{4, -8, 4} {
		assert.InDelta(t, want, made.Ground.Packing[i].Height, 1e-9)
	}
	assert.Equal(t, "within tolerance", made.Ground.Packing[0].Treatment)
	assert.Equal(t, "grind", made.Ground.Packing[1].Treatment)
	c := groundCheck(t, &made, "grade.uneven")
	assert.InDelta(t, -3, c.Margin, 1e-9)
}

// The window of the pad level on a cross-slope: hand calculation with
// GEOMETRY's two bounds. z_t at the pinion, rack 120, pinion 85 to 120.
func TestPadLevel_hand_calculation(t *testing.T) {
	made := designs.Of(t, enginetest.SlopingSite(0, 0.02))
	pad := made.Ground.Pad
	// Back of the pad at offset 400: ground 0.02·300 above the track line.
	assert.InDelta(t, 99000+6, pad.HighGround, 0.01)
	assert.InDelta(t, 99016, pad.Low, 0.01)
	assert.InDelta(t, 99035, pad.High, 1e-6)
	// Usual pinion height 100 asks for +20, within the middle half of 16 to 35.
	assert.InDelta(t, 99020.75, pad.Level, 0.01)
	assert.InDelta(t, 20.75-0.02*100, pad.StepNear, 0.01)
	assert.InDelta(t, 99.25, pad.Pinion, 0.01)
	// Concrete of the pad beyond the strip: 505 × 200 from the plane 100 below
	// the ground to 20.75 above the track; the plane at its centroid (300) is
	// +4. The hole below it is not of the pad.
	for _, q := range made.Quantities.Parts {
		if q.ID == "pad" {
			assert.InDelta(t, 505*200*(100+20.75-4), q.Volume, 505*200*0.02)
		}
	}

	t.Run("no window, and what opens it", func(t *testing.T) {
		s := enginetest.SlopingSite(0, 0.12)
		made := designs.Of(t, s)
		pad := made.Ground.Pad
		assert.False(t, pad.HasLevel)
		assert.InDelta(t, 36+10-35, pad.Gap, 0.01)
		c := groundCheck(t, &made, "pad.window")
		assert.Equal(t, plan.Stop, c.Severity)
		assert.InDelta(t, -11, c.Margin, 0.01)
		require.GreaterOrEqual(t, len(c.Remedies), 2)
		for _, r := range c.Remedies {
			_, clears := advice.Try(s, practice.DefaultPractice(), c, r)
			assert.True(t, clears, r.Words.String())
		}
		for _, peg := range made.Pegs {
			if peg.Of == "pad" {
				assert.False(t, peg.Levelled)
			}
		}
	})
}

// Moving the datum moves every level by as much and nothing else.
func TestDatumMovesNothing(t *testing.T) {
	for _, site := range []survey.Survey{enginetest.SlopingSite(0.013, -0.021), enginetest.RisingSite(150, 0.06)} {
		before := designs.Of(t, site)
		moved := site.Clone()
		moved.Ground.Levels.String = survey.Measured(100000-73211, survey.ByTape)
		after := designs.Of(t, moved)
		g, h := before.Ground, after.Ground
		assert.InDelta(t, g.Track.Z0-73211, h.Track.Z0, 1e-6)
		assert.InDelta(t, g.Track.Grade, h.Track.Grade, 1e-12)
		assert.InEpsilon(t, before.Quantities.DigBank, after.Quantities.DigBank, 1e-9)
		assert.InEpsilon(t, before.Quantities.Concrete, after.Quantities.Concrete, 1e-9)
		assert.InDelta(t, g.Pad.Level-73211, h.Pad.Level, 1e-6)
		require.Equal(t, len(before.Pegs), len(after.Pegs))
		for i := range before.Pegs {
			assert.InDelta(t, before.Pegs[i].Level-73211, after.Pegs[i].Level, 1e-6)
			assert.InDelta(t, before.Pegs[i].Chainage, after.Pegs[i].Chainage, 1e-9)
		}
		require.Equal(t, len(before.Checks), len(after.Checks))
		for i := range before.Checks {
			assert.Equal(t, before.Checks[i].Code, after.Checks[i].Code)
			assert.Equal(t, before.Checks[i].Severity, after.Checks[i].Severity)
			assert.InDelta(t, before.Checks[i].Margin, after.Checks[i].Margin, 1e-3)
		}
	}
}

// Random planes with random reading errors: the grade comes back within four
// of its own standard uncertainties, and a gross error is named.
func TestGradeWithinItsUncertainty(t *testing.T) {
	named, gross := 0, 0
	for seed := range uint64(60) {
		r := rand.New(rand.NewPCG(seed, 3))
		grade, cross := 0.08*(r.Float64()-0.5), 0.08*(r.Float64()-0.5)
		s := enginetest.SquareSite()
		s.Ground.Shape = survey.GroundSlopes
		for x := 0.0; x <= 4000; x += 500 {
			s.Ground.Levels.Drops = append(s.Ground.Levels.Drops,
				enginetest.DropAt("at "+strconv.Itoa(int(x)), x, 100, 1000-grade*x+5*r.NormFloat64()))
		}
		s.Ground.Levels.Drops = append(s.Ground.Levels.Drops,
			enginetest.DropAt("in", 1000, 2000, 1000-grade*1000-cross*1900),
			enginetest.DropAt("in far", 3500, 2500, 1000-grade*3500-cross*2400))
		made := designs.Of(t, s)
		track := made.Ground.Track
		assert.Less(t, math.Abs(track.Grade-grade), 4.5*track.SigmaGrade, "seed %d", seed)
		i := 1 + r.IntN(7)
		s.Ground.Levels.Drops[i].Down.Size += 100
		made = designs.Of(t, s)
		gross++
		if q := made.Ground.Readings[i]; q.Suspect {
			named++
			c := groundCheck(t, &made, "levels.suspect")
			assert.Contains(t, c.What.String(), q.Name.String())
		}
	}
	assert.GreaterOrEqual(t, named, gross*9/10)
}
