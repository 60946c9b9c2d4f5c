package casting_test

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/casting"
	"pegpour/engine/enginetest"
	"pegpour/engine/geom"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
)

func mm(v float64) survey.Value { return survey.Measured(v, survey.ByStaff) }

func designed(t testing.TB, s survey.Survey) plan.Plan {
	t.Helper()
	made, err := engine.Design(s, practice.DefaultPractice())
	require.NoError(t, err)
	return made
}

// gravelSite is a level site whose drive strip is poured too.
func gravelSite() survey.Survey {
	s := enginetest.SquareSite()
	s.Drive.Surface, s.Gate.Guide = survey.SurfaceGravel, survey.GuideCastIn
	return s
}

func TestFormsByHand(t *testing.T) {
	s := gravelSite()
	s.Build.Casting = survey.Casting{
		Forms: survey.SetUp{Open: mm(1500), Close: mm(1503)},
		Tops: []survey.FormTop{
			{Along: mm(5000), Down: mm(1500)},
			{Along: mm(6000), Down: mm(1506)},
			{Part: survey.CastDrive, Along: mm(2000), Down: mm(1496)},
			{Part: survey.CastPad, Along: mm(4200), Down: mm(1502)},
			{Along: mm(15000), Down: mm(1500)},
			{Along: mm(5000)},
		}}
	made := designed(t, s)
	f := casting.ReadForms(s, &made, practice.DefaultPractice())
	require.True(t, f.Sight.Holds())
	assert.Equal(t, 1500.0, f.Sight.Plane, "the drive is the datum of level ground")
	words := make([]string, len(f.Tops))
	for i := range f.Tops {
		words[i] = f.Tops[i].Words.String()
	}
	assert.Equal(t, []string{"Stands right, off by 0 mm.", "Raise 6 mm", "Lower 4 mm", "Stands right, off by 2 mm.",
		"Cannot be judged: Run-back strip runs from 4000 mm to 8400 mm, not at 15000 mm. Put part or place right.",
		"Cannot be judged yet: read down to its top."}, words)
	assert.False(t, f.Sound())

	s.Build.Casting.Forms.Close = mm(1506)
	f = casting.ReadForms(s, &made, practice.DefaultPractice())
	assert.False(t, f.Sight.Holds())
	for _, top := range f.Tops[:4] {
		assert.False(t, top.Judged || top.Within, "a set-up that was knocked judges nothing")
		assert.Contains(t, top.Words.String(), "does not close by 6 mm")
	}
	s.Build.Casting.Forms = survey.SetUp{}
	f = casting.ReadForms(s, &made, practice.DefaultPractice())
	assert.Contains(t, f.Tops[0].Words.String(), "read the fixed point first")
}

// On a slope the planned top is the track's plane; the level of the fixed point may be
// given or be the drive's. The second way is the peg's level of the plan.
func TestFormsOnASlopeAgreeWithThePegs(t *testing.T) {
	s := enginetest.SlopingSite(0.03, 0)
	made := designed(t, s)
	checked := 0
	for _, peg := range made.Pegs {
		if peg.Of != plan.PartRunBackStrip.ID(1) || !peg.Levelled {
			continue
		}
		s.Build.Casting = survey.Casting{Forms: survey.SetUp{Level: mm(made.Ground.TrackLevel(1000)), Open: mm(1400)},
			Tops: []survey.FormTop{{Along: mm(peg.Chainage), Down: mm(1400 + made.Ground.TrackLevel(1000) - peg.Level + 7)}}}
		given := casting.ReadForms(s, &made, practice.DefaultPractice())
		assert.InDelta(t, 7, given.Tops[0].Up, 0.01)
		s.Build.Casting.Forms = survey.SetUp{Along: mm(1000), Open: mm(1400)}
		drive := casting.ReadForms(s, &made, practice.DefaultPractice())
		assert.True(t, drive.Sight.Drive)
		assert.InDelta(t, 7, drive.Tops[0].Up, 0.01)
		checked++
	}
	require.Positive(t, checked)
}

// The concrete again, held against columns: the mean of the depth over the outline,
// times its own area.
func TestDugAgainstColumns(t *testing.T) {
	for seed := range uint64(30) {
		r := rand.New(rand.NewPCG(seed, 3))
		s := gravelSite()
		s.Drive.RunBackEdge = survey.Edge{Given: survey.EdgeAngle, Angle: survey.Measured(1.2+0.7*r.Float64(), survey.ByTape)}
		made := designed(t, s)
		strip := made.Deepest(plan.PartRunBackStrip)
		require.NotNil(t, strip)
		low, high := strip.Ring.Bounds()
		var xs, depths []float64
		for x := low.X + 300*r.Float64(); x < high.X; x += 300 + 1500*r.Float64() {
			depth := math.Round(strip.Deep() + 60*(r.Float64()-0.3))
			xs, depths = append(xs, math.Round(x)), append(depths, depth)
			s.Build.Casting.Depths = append(s.Build.Casting.Depths,
				survey.DugDepth{Along: mm(math.Round(x)), Depth: mm(depth)})
		}
		at := func(x float64) float64 {
			for i := range xs {
				if x <= xs[i] {
					if i == 0 {
						return depths[0]
					}
					return depths[i-1] + (depths[i]-depths[i-1])*(x-xs[i-1])/(xs[i]-xs[i-1])
				}
			}
			return depths[len(depths)-1]
		}
		var sum, columns float64
		const step = 4
		for x := low.X + step/2; x < high.X; x += step {
			for y := low.Y + step/2; y < high.Y; y += step {
				if strip.Ring.Contains(geom.Point{X: x, Y: y}) {
					sum += at(x)
					columns++
				}
			}
		}
		d := casting.ReadDug(s, &made, practice.DefaultPractice())
		var part *casting.DugPart
		for i := range d.Parts {
			if d.Parts[i].Outline == strip.ID {
				part = &d.Parts[i]
			}
		}
		require.NotNil(t, part)
		assert.InDelta(t, sum/columns, part.Mean, 0.3, "seed %d", seed)
		var own, whole float64
		for _, q := range made.Quantities.Parts {
			whole += q.Volume
			if q.ID == strip.ID {
				own = q.Area
			}
		}
		assert.InDelta(t, whole+own*(sum/columns-strip.Deep()), d.Concrete, own*0.3, "seed %d", seed)
	}
}

func TestDugByHand(t *testing.T) {
	s := gravelSite()
	made := designed(t, s)
	none := casting.ReadDug(s, &made, practice.DefaultPractice())
	assert.InDelta(t, made.Quantities.Order, none.Order, 1, "as planned where nothing was measured")
	assert.InDelta(t, 0, none.More, 1)
	assert.Equal(t, made.Quantities.Bags, none.Bags)
	assert.False(t, none.Sound())

	depths := []survey.DugDepth{{Along: mm(4500), Depth: mm(88)}, {Along: mm(6000), Depth: mm(120)},
		{Along: mm(8200), Depth: mm(110)}, {Part: survey.CastLatch, Along: mm(0), Depth: mm(100)}, {Depth: survey.Value{}}}
	s.Build.Casting.Depths = depths
	d := casting.ReadDug(s, &made, practice.DefaultPractice())
	for _, part := range d.Parts {
		if part.Count == 3 {
			assert.Equal(t, 88.0, part.Least)
			assert.Equal(t, 4500.0, part.LeastAt)
			assert.True(t, part.Shallow, "12 less than 100 where 5 may be")
			assert.Contains(t, part.Words.String(), "Dig 12 mm deeper at 4500 mm")
		}
	}
	assert.Contains(t, d.Loose[3].String(), "no such part")
	assert.Contains(t, d.Loose[4].String(), "measure down to the bottom")
	assert.Greater(t, d.More, 0.0)
}

func poured(at string, warmth float64) survey.Survey {
	s := gravelSite()
	s.Build.Casting.Pour = survey.Pour{Ended: at, Warmth: survey.Measured(warmth, survey.ByEstimate)}
	return s
}

// At 20 °C all the time the anchors wait 28 days, and half of the strength is there
// after 28/(1 − ln 0.5/0.25)² days.
func TestCureAtTwentyDegrees(t *testing.T) {
	c := casting.ReadCure(poured("2026-04-01T15:00", 20), practice.DefaultPractice())
	require.True(t, c.Problem.Empty())
	require.True(t, c.Anchors.Judged && c.Hang.Judged)
	rate := math.Exp(13.65 - 4000.0/293)
	assert.InDelta(t, 28*24/rate, c.Anchors.Hours, 0.01)
	root := 1 - math.Log(0.5)/0.25
	assert.InDelta(t, 28/(root*root)*24/rate, c.Hang.Hours, 0.01)
	share, judged := c.ShareAt(c.Hang.Hours)
	assert.True(t, judged)
	assert.InDelta(t, 0.5, share, 1e-6)
}

// The sum by the hour against an integral in steps of a minute, at temperatures of day
// and night, for every cement.
func TestCureAgainstMinutes(t *testing.T) {
	for seed := range uint64(60) {
		r := rand.New(rand.NewPCG(seed, 5))
		s := poured("2026-04-01T15:00", 0)
		s.Build.Casting.Pour.Warmth = survey.Value{}
		s.Build.Casting.Pour.Cement = []string{survey.CementNormal, survey.CementRapid, survey.CementSlow}[seed%3]
		s.Build.Casting.Pour.Expected = mm(math.Round(4 + 20*r.Float64()))
		coefficient := []float64{0.25, 0.2, 0.38}[seed%3]
		var hours, warmth []float64
		for h := 4 * r.Float64(); h < 200 && len(hours) < 20; h += 2 + 14*r.Float64() {
			hours, warmth = append(hours, h), append(warmth, 2+28*r.Float64())
			s.Build.Casting.Pour.Hours = append(s.Build.Casting.Pour.Hours,
				survey.CuredAt{After: mm(h), Warmth: mm(warmth[len(warmth)-1])})
		}
		c := casting.ReadCure(s, practice.DefaultPractice())
		require.True(t, c.Hang.Judged, "seed %d: %v", seed, c.Hang.Problem)
		for _, ready := range []casting.Ready{c.Hang, c.Anchors} {
			age, minute := 0.0, 1.0/60
			for h := 0.0; h < ready.Hours; h += minute {
				at := h + minute/2
				temperature := s.Build.Casting.Pour.Expected.Size
				for i := range hours {
					if at <= hours[i] {
						temperature = warmth[0]
						if i > 0 {
							temperature = warmth[i-1] + (warmth[i]-warmth[i-1])*(at-hours[i-1])/(hours[i]-hours[i-1])
						}
						break
					}
				}
				age += minute / 24 * math.Exp(13.65-4000/(273+temperature))
			}
			share := math.Exp(coefficient * (1 - math.Sqrt(28/age)))
			assert.InDelta(t, ready.Share, share, 0.004, "seed %d", seed)
		}
	}
}

// Colder is later, a stronger mix sooner; a weaker one never.
func TestCureFollowsWarmthAndMix(t *testing.T) {
	last := 0.0
	for warmth := 40.0; warmth >= 1; warmth-- {
		c := casting.ReadCure(poured("2026-04-01T15:00", warmth), practice.DefaultPractice())
		require.True(t, c.Anchors.Judged)
		assert.Greater(t, c.Anchors.Hours, last)
		last = c.Anchors.Hours
	}
	p := practice.DefaultPractice()
	s := poured("2026-04-01T15:00", 15)
	same := casting.ReadCure(s, p)
	s.Build.Casting.Pour.Strength = mm(p.ConcreteStrength + 10)
	stronger := casting.ReadCure(s, p)
	assert.Less(t, stronger.Anchors.Hours, same.Anchors.Hours)
	assert.InDelta(t, (p.ConcreteStrength+8)/(p.ConcreteStrength+18), stronger.Anchors.Share, 1e-12)
	s.Build.Casting.Pour.Strength = mm(p.ConcreteStrength - 5)
	weaker := casting.ReadCure(s, p)
	assert.False(t, weaker.Anchors.Judged)
	assert.Contains(t, weaker.Anchors.Problem.String(), "weaker than the design took")
	assert.True(t, weaker.Hang.Judged)
}

func TestCureOfBadInput(t *testing.T) {
	p := practice.DefaultPractice()
	s := poured("2026-04-01T15:00", -30)
	c := casting.ReadCure(s, p)
	assert.False(t, c.Hang.Judged || c.Anchors.Judged)
	assert.Contains(t, c.Hang.Problem.String(), "below 0 °C nothing is")
	_, judged := c.ShareAt(24)
	assert.False(t, judged)

	s = poured("2026-04-01T15:00", 85)
	assert.Contains(t, casting.ReadCure(s, p).Hang.Problem.String(), "above 80 °C")

	s = poured("2026-04-01T15:00", 15)
	s.Build.Casting.Pour.Began = "2026-04-01T16:00"
	assert.Contains(t, casting.ReadCure(s, p).Problem.String(), "ends before it starts")
	s.Build.Casting.Pour.Began = "yesterday"
	assert.Contains(t, casting.ReadCure(s, p).Problem.String(), "yesterday")
	s.Build.Casting.Pour.Began, s.Build.Casting.Pour.Ended = "", "2026-13-01T15:00"
	assert.Contains(t, casting.ReadCure(s, p).Problem.String(), "no day and time")
	s.Build.Casting.Pour.Ended = ""
	assert.Contains(t, casting.ReadCure(s, p).Problem.String(), "say when the pour ended")
	s = poured("2026-04-01T15:00", 0)
	s.Build.Casting.Pour.Warmth = survey.Value{}
	assert.Contains(t, casting.ReadCure(s, p).Problem.String(), "note the temperature")

	// A night of frost between two readings by day, and an hour of it between two middles.
	s.Build.Casting.Pour.Hours = []survey.CuredAt{{After: mm(0), Warmth: mm(12)}, {After: mm(13), Warmth: mm(-2)},
		{After: mm(24), Warmth: mm(12)}}
	assert.False(t, casting.ReadCure(s, p).Hang.Judged)
	s.Build.Casting.Pour.Hours = []survey.CuredAt{{After: mm(5.2), Warmth: mm(12)}, {After: mm(5.25), Warmth: mm(-2)},
		{After: mm(5.3), Warmth: mm(12)}}
	assert.False(t, casting.ReadCure(s, p).Hang.Judged)

	// Hours that are missing are said, and a half entry is no reading.
	s.Build.Casting.Pour.Hours = []survey.CuredAt{{After: mm(2), Warmth: mm(12)}, {After: mm(60), Warmth: mm(10)},
		{After: mm(70)}}
	c = casting.ReadCure(s, p)
	require.True(t, c.Hang.Judged)
	said := ""
	for _, note := range c.Notes {
		said += note.String()
	}
	assert.Contains(t, said, "No temperature between hour 2 and hour 60")
	assert.Contains(t, said, "Temperature 3 lacks")
	assert.Contains(t, said, "taken to stay at 10 °C")

	// A year at no more than freezing is no end.
	s = poured("2026-04-01T15:00", 0)
	assert.True(t, casting.ReadCure(s, p).Anchors.Judged)
	_, err := time.Parse(casting.Clock, "2026-04-01T15:00")
	require.NoError(t, err)
}

func packedSite() survey.Survey {
	s := gravelSite()
	s.Build.Poured = survey.Poured{SetUp: survey.SetUp{Open: mm(1500), Close: mm(1500)},
		Levels: []survey.PouredLevel{{Along: mm(0), Down: mm(1500)}, {Along: mm(2000), Down: mm(1496)},
			{Along: mm(4000), Down: mm(1502)}, {Along: mm(6000), Down: mm(1500)}, {Along: mm(8400), Down: mm(1503)}}}
	return s
}

func TestPouredIsNeverMeasured(t *testing.T) {
	s := packedSite()
	s.Build.Poured.Opening = mm(4012)
	before := s.Clone()
	made := designed(t, s)
	b := casting.ReadPoured(s, &made, practice.DefaultPractice())
	assert.Equal(t, before, s, "nothing of what was measured changes")
	assert.Equal(t, 4012.0, b.Survey.Opening.Width.Size)
	assert.Equal(t, designed(t, before), made)
	again := designed(t, s)
	assert.Equal(t, made, again, "no plan is made of what was poured but where it says so")
}

// Nothing under the line, no more packed than there are packers, and told in them.
func TestPackingOfWhatWasPoured(t *testing.T) {
	s := packedSite()
	p := practice.DefaultPractice()
	made := designed(t, s)
	b := casting.ReadPoured(s, &made, p)
	require.NotNil(t, b.Line, b.NoLine)
	read := 0
	for _, q := range b.Packing {
		assert.GreaterOrEqual(t, q.Height, -1e-6)
		assert.LessOrEqual(t, q.Height, p.PackMost+1e-6)
		assert.InDelta(t, q.Height, q.Told, p.PackStep/2+1e-9)
		if q.Read {
			read++
		}
	}
	assert.Equal(t, 5, read)
	assert.Greater(t, len(b.Packing), 12, "under each fixing between")

	s.Build.Poured.Levels[1].Down = mm(1440)
	b = casting.ReadPoured(s, &made, p)
	assert.Nil(t, b.Line)
	assert.Contains(t, b.NoLine.String(), "no straight line lies within 20")
	s.Build.Poured.SetUp.Close = mm(1520)
	b = casting.ReadPoured(s, &made, p)
	assert.Contains(t, b.NoLine.String(), "does not close")
}

// What was poured as planned cuts the leaf as planned.
func TestPouredAsPlannedChangesNothing(t *testing.T) {
	for name, s := range map[string]survey.Survey{"level": gravelSite(), "sloping": enginetest.SlopingSite(0.03, 0.01),
		"rising": enginetest.RisingSite(300, 0.1), "falling": enginetest.FallingSite()} {
		made := designed(t, s)
		s.Build.Poured = survey.Poured{SetUp: survey.SetUp{Open: mm(1500)}, Opening: mm(made.Opening)}
		for x := made.Track.Start; x <= made.Track.End; x += (made.Track.End - made.Track.Start) / 6 {
			down := 1500 - made.Ground.TrackLevel(x) + made.Ground.TrackLevel(0)
			s.Build.Poured.Levels = append(s.Build.Poured.Levels, survey.PouredLevel{Along: mm(x), Down: mm(down)})
		}
		if guide, ok := made.Part(plan.PartGuidePost, 1); ok {
			low, _ := guide.Ring.Bounds()
			s.Build.Poured.GuideAlong, s.Build.Poured.GuideOut = mm(low.X), mm(low.Y)
		}
		if made.Has(plan.PartMotor) {
			s.Build.Poured.MotorAlong = mm(made.Leaf.PinionAt)
		}
		b := casting.ReadPoured(s, &made, practice.DefaultPractice())
		require.NotNil(t, b.Line, "%s: %s", name, b.NoLine)
		o := b.Design(&made, practice.DefaultPractice())
		assert.Empty(t, o.Changes, name)
		for _, i := range o.Misfits {
			assert.Fail(t, "worse", "%s: %s", name, o.Plan.Checks[i].What)
		}
		assert.Equal(t, made.Leaf.Proof.Proven, o.Plan.Leaf.Proof.Proven, name)
		assert.InDelta(t, made.Leaf.PinionAt, o.Plan.Leaf.PinionAt, 1e-6, name)
		assert.InDelta(t, made.Leaf.RollersAt, o.Plan.Leaf.RollersAt, 1e-6, name)
	}
}

// The leaf follows what stands there: each line by hand.
func TestLeafIsCutToWhatWasPoured(t *testing.T) {
	s := gravelSite()
	p := practice.DefaultPractice()
	made := designed(t, s)
	guide, ok := made.Part(plan.PartGuidePost, 1)
	require.True(t, ok)
	low, _ := guide.Ring.Bounds()
	s.Build.Poured = survey.Poured{Opening: mm(made.Opening + 12), GuideAlong: mm(low.X + 30), GuideOut: mm(low.Y + 4),
		MotorAlong: mm(made.Leaf.PinionAt + 25)}
	b := casting.ReadPoured(s, &made, p)
	o := b.Design(&made, p)
	leaf := &o.Plan.Leaf
	assert.InDelta(t, made.Leaf.Frame+12, leaf.Frame, 1e-9)
	assert.InDelta(t, made.Leaf.RollersAt+30, leaf.RollersAt, 1e-9)
	assert.InDelta(t, made.Leaf.PinionAt+25, leaf.PinionAt, 1e-9)
	assert.InDelta(t, made.Leaf.GuideRail+30, leaf.GuideRail, 1e-9, "to the rollers that stand 30 farther")
	stands, _ := o.Plan.Part(plan.PartGuidePost, 1)
	at, _ := stands.Ring.Bounds()
	assert.InDelta(t, low.X+30, at.X, 1e-9)
	assert.InDelta(t, low.Y+4, at.Y, 1e-9)
	names := map[string]float64{}
	for i := range o.Changes {
		c := &o.Changes[i]
		names[c.Name.String()] = c.Difference()
	}
	assert.InDelta(t, 12, names["Leaf frame length"], 1e-9)
	assert.InDelta(t, 30, names["Guide rail length"], 1e-9)
}

// A track that was laid on a slope rakes the leaf, on level ground too.
func TestTrackThatSlopesNow(t *testing.T) {
	s := gravelSite()
	made := designed(t, s)
	s.Build.Poured = survey.Poured{SetUp: survey.SetUp{Open: mm(1500)}, Levels: []survey.PouredLevel{
		{Along: mm(0), Down: mm(1500)}, {Along: mm(8400), Down: mm(1458)}}}
	b := casting.ReadPoured(s, &made, practice.DefaultPractice())
	o := b.Design(&made, practice.DefaultPractice())
	assert.InDelta(t, math.Atan(42.0/8400), o.Plan.Leaf.Slope, 1e-9)
	assert.NotEmpty(t, o.Changes)
}

// A pad that lies too low or too high comes with what makes the pinion meet the rack.
func TestPinionOnThePadAsPoured(t *testing.T) {
	s := gravelSite()
	p := practice.DefaultPractice()
	made := designed(t, s)
	require.True(t, made.Has(plan.PartMotor))
	for pad, fits := range map[float64]bool{0: true, 20: true, -40: false, 60: false} {
		s.Build.Poured = survey.Poured{SetUp: survey.SetUp{Open: mm(1500)}, PadDown: mm(1500 - pad)}
		b := casting.ReadPoured(s, &made, p)
		o := b.Design(&made, p)
		require.True(t, o.Pinion.Judged)
		assert.InDelta(t, p.RackHeight-pad, o.Pinion.Height, 1e-9)
		assert.Equal(t, fits, o.Pinion.Fits, "pad at %v", pad)
		assert.Equal(t, fits, len(o.Pinion.Remedies) == 0, "pad at %v", pad)
	}
}

// What no longer fits is said as a misfit, and a remedy clears it.
func TestMisfitComesWithARemedy(t *testing.T) {
	s := gravelSite()
	made := designed(t, s)
	s.Build.Poured.Room = mm(made.Leaf.RearOpen - made.Opening - 60)
	p := practice.DefaultPractice()
	b := casting.ReadPoured(s, &made, p)
	o := b.Design(&made, p)
	require.NotEmpty(t, o.Misfits)
	remedies := b.Remedies(&o, p)
	require.NotEmpty(t, remedies)
	for _, r := range remedies {
		assert.Contains(t, o.Misfits, r.Check)
	}
}

// No track is laid where the leaf hangs free: its carriages are packed by what the
// block lies lower than planned.
func TestCarriagesArePackedOnTheBlockAsPoured(t *testing.T) {
	p := practice.DefaultPractice()
	s := enginetest.HangingSite()
	s.Gate.Hanging.Clearance = mm(90) // the block stands 30 above the drive
	made := designed(t, s)
	require.InDelta(t, 30, made.Leaf.Hanging.BlockTop, 1e-9)
	s.Build.Poured = survey.Poured{SetUp: survey.SetUp{Open: mm(1500)}, PadDown: mm(1500 - 18),
		Levels: []survey.PouredLevel{{Along: mm(4500), Down: mm(1500)}, {Along: mm(5500), Down: mm(1502)}}}
	b := casting.ReadPoured(s, &made, p)
	require.True(t, b.PadRead)
	assert.InDelta(t, 12, b.Carriages, 1e-9)
	assert.Nil(t, b.Line)
	assert.Empty(t, b.Packing)
	assert.Contains(t, b.NoLine.String(), "No track is laid")

	s.Build.Casting = survey.Casting{Forms: survey.SetUp{Open: mm(1500)},
		Tops: []survey.FormTop{{Part: survey.CastPad, Along: mm(5000), Down: mm(1500 - 30)}}}
	f := casting.ReadForms(s, &made, p)
	require.Len(t, f.Tops, 1)
	assert.Equal(t, "Block under the carriages", f.Tops[0].Part.String())
	assert.True(t, f.Tops[0].Within, "%s", f.Tops[0].Words)
}
