package casting_test

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/casting"
	"pegpour/engine/enginetest"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
)

// pouredAsPlanned measures what both sides' plans have.
func pouredAsPlanned(s *survey.Survey, made *plan.Plan) {
	b := survey.Poured{SetUp: survey.SetUp{Open: mm(1500)}, Opening: mm(made.Opening), Meets: mm(made.Pair.Meeting.At)}
	at := made.Pair.Meeting.At
	sides := made.Sides()
	fixed := sides[1].Ground.TrackLevel(at) // the fixed point: the track at the latch post
	for i, side := range sides {
		start, end := 200.0, side.Track.End // where they meet itself one reading would serve both
		for k := 0.0; k <= 6; k++ {
			x := start + (end-start)*k/6
			b.Levels = append(b.Levels, survey.PouredLevel{Along: mm(side.At(x)), Down: mm(1500 - side.Ground.TrackLevel(x) + fixed)})
		}
		along := func(x float64) survey.Value { // from the latch post, or from the run-back post
			if i == 1 {
				return mm(made.Opening - at + x)
			}
			return mm(at + x)
		}
		to := [2][3]*survey.Value{{&b.GuideAlong, &b.GuideOut, &b.MotorAlong},
			{&b.Other.GuideAlong, &b.Other.GuideOut, &b.Other.MotorAlong}}[i]
		if guide, ok := side.Part(plan.PartGuidePost, 1); ok {
			low, _ := guide.Ring.Bounds()
			*to[0], *to[1] = along(low.X), mm(low.Y)
		}
		if side.Has(plan.PartMotor) {
			*to[2] = along(side.Leaf.PinionAt)
		}
	}
	s.Build.Poured = b
}

func pairs() map[string]survey.Survey {
	wide := func(s survey.Survey) survey.Survey {
		s.Opening.Width = mm(8000)
		s.Drive.LatchEdge.Along = mm(0)
		return enginetest.Paired(s)
	}
	apart := wide(gravelSite())
	apart.Pair.Meets = mm(3600)
	return map[string]survey.Survey{"level": wide(gravelSite()), "sloping": wide(enginetest.SlopingSite(0.03, 0.01)),
		"off the middle": apart}
}

// What was poured as planned cuts both leaves as planned.
func TestPairPouredAsPlannedChangesNothing(t *testing.T) {
	p := practice.DefaultPractice()
	for name, s := range pairs() {
		made := designed(t, s)
		pouredAsPlanned(&s, &made)
		b := casting.ReadPoured(s, &made, p)
		require.Len(t, b.Sides, 2, name)
		for i := range b.Sides {
			require.NotNil(t, b.Sides[i].Line, "%s %d: %s", name, i, b.Sides[i].NoLine)
		}
		assert.True(t, b.Unlaid(&made).Empty())
		assert.Contains(t, b.Joint.String(), "level with each other")
		o := b.Design(&made, p)
		assert.Empty(t, o.Changes, name)
		for _, i := range o.Misfits {
			assert.Fail(t, "worse", "%s: %s", name, o.Plan.Checks[i].What)
		}
		was, is := made.Sides(), o.Plan.Sides()
		require.Len(t, is, 2)
		for i := range is {
			assert.InDelta(t, was[i].Leaf.PinionAt, is[i].Leaf.PinionAt, 1e-6, name)
			assert.InDelta(t, was[i].Leaf.RollersAt, is[i].Leaf.RollersAt, 1e-6, name)
			assert.Equal(t, was[i].Leaf.Proof.Proven, is[i].Leaf.Proof.Proven, name)
		}
	}
}

// Each leaf follows what stands on its own side, by hand, and the other one stays.
func TestEachLeafIsCutToItsOwnSide(t *testing.T) {
	p := practice.DefaultPractice()
	for name, s := range pairs() {
		made := designed(t, s)
		was := made.Sides()
		for i, change := range []func(*survey.Poured){
			func(b *survey.Poured) {
				b.GuideAlong.Size, b.GuideOut.Size, b.MotorAlong.Size = b.GuideAlong.Size+30, b.GuideOut.Size+4, b.MotorAlong.Size+25
			},
			func(b *survey.Poured) {
				o := &b.Other
				o.GuideAlong.Size, o.GuideOut.Size, o.MotorAlong.Size = o.GuideAlong.Size+30, o.GuideOut.Size+4, o.MotorAlong.Size+25
			},
		} {
			pouredAsPlanned(&s, &made)
			change(&s.Build.Poured)
			b := casting.ReadPoured(s, &made, p)
			o := b.Design(&made, p)
			is := o.Plan.Sides()
			assert.InDelta(t, was[i].Leaf.PinionAt+25, is[i].Leaf.PinionAt, 1e-6, "%s %d", name, i)
			assert.InDelta(t, was[i].Leaf.RollersAt+30, is[i].Leaf.RollersAt, 1e-6, "%s %d", name, i)
			post, _ := is[i].Part(plan.PartGuidePost, 1)
			planned, _ := was[i].Part(plan.PartGuidePost, 1)
			a, _ := post.Ring.Bounds()
			c, _ := planned.Ring.Bounds()
			assert.InDelta(t, c.X+30, a.X, 1e-6)
			assert.InDelta(t, c.Y+4, a.Y, 1e-6)
			assert.InDelta(t, was[1-i].Leaf.RollersAt, is[1-i].Leaf.RollersAt, 1e-6)
			require.NotEmpty(t, o.Changes)
			for _, c := range o.Changes {
				assert.Contains(t, c.Name.String(), was[i].Name.String())
			}
		}
	}
}

// Opening and stop as they stand part the opening anew: the posts 12 farther apart and the
// stop 8 off make one leaf 4 longer and the other 8. Where the stop was not read it stands
// where it was planned.
func TestPairFollowsOpeningAndStop(t *testing.T) {
	p := practice.DefaultPractice()
	for name, s := range pairs() {
		made := designed(t, s)
		was, at := made.Sides(), made.Pair.Meeting.At
		s.Build.Poured = survey.Poured{Opening: mm(made.Opening + 12), Meets: mm(at + 8)}
		b := casting.ReadPoured(s, &made, p)
		o := b.Design(&made, p)
		is := o.Plan.Sides()
		assert.InDelta(t, at+8, o.Plan.Pair.Meeting.At, 1e-9, name)
		assert.InDelta(t, was[0].Leaf.Frame+4, is[0].Leaf.Frame, 1e-6, name)
		assert.InDelta(t, was[1].Leaf.Frame+8, is[1].Leaf.Frame, 1e-6, name)
		s.Build.Poured = survey.Poured{Opening: mm(made.Opening + 12)}
		b = casting.ReadPoured(s, &made, p)
		o = b.Design(&made, p)
		is = o.Plan.Sides()
		assert.InDelta(t, was[0].Leaf.Frame+12, is[0].Leaf.Frame, 1e-6, name)
		assert.InDelta(t, was[1].Leaf.Frame, is[1].Leaf.Frame, 1e-6, name)
	}
}

// A stop that stands elsewhere moves no post: guide posts and pinions stand where they
// were read, whatever frame they are told in.
func TestStopMovesNoPost(t *testing.T) {
	p := practice.DefaultPractice()
	for name, s := range pairs() {
		made := designed(t, s)
		pouredAsPlanned(&s, &made)
		s.Build.Poured.Meets.Size += 15
		b := casting.ReadPoured(s, &made, p)
		o := b.Design(&made, p)
		for _, kind := range []plan.PartKind{plan.PartGuidePost, plan.PartMotor} {
			for was := range made.Parts(kind) {
				is, ok := o.Plan.Outline(was.ID)
				require.True(t, ok)
				a, _ := was.Ring.Bounds()
				c, _ := is.Ring.Bounds()
				assert.InDelta(t, a.X, c.X, 1e-6, "%s %s", name, was.ID)
			}
		}
		for i, side := range o.Plan.Sides() {
			z := made.Sides()[i].Ground.TrackLevel(made.Sides()[i].From(side.At(500)))
			assert.InDelta(t, z, side.Ground.TrackLevel(500), 0.01, "%s %d: the same line", name, i)
		}
	}
}

// Tracks that do not meet level are told, and each is packed to its own line.
func TestTracksThatDoNotMeet(t *testing.T) {
	p := practice.DefaultPractice()
	s := pairs()["level"]
	made := designed(t, s)
	pouredAsPlanned(&s, &made)
	for i := range s.Build.Poured.Levels[7:] {
		s.Build.Poured.Levels[7+i].Down.Size -= 9 // the latch side was poured higher
	}
	b := casting.ReadPoured(s, &made, p)
	require.NotNil(t, b.Sides[0].Line)
	require.NotNil(t, b.Sides[1].Line)
	assert.InDelta(t, 9, b.Sides[1].Line.At(1000)-b.Sides[0].Line.At(1000), 9)
	assert.Greater(t, b.Sides[1].Line.At(1000), b.Sides[0].Line.At(1000)+1)
	assert.Contains(t, b.Joint.String(), "differ")
}

// As poured from the other end of the fence is as poured with the sides exchanged.
func TestPouredFromTheOtherEnd(t *testing.T) {
	p := practice.DefaultPractice()
	r := rand.New(rand.NewPCG(4, 5))
	for range 10 {
		s := pairs()["off the middle"]
		made := designed(t, s)
		pouredAsPlanned(&s, &made)
		off := func(v *survey.Value) { v.Size += float64(r.IntN(40) - 20) }
		b := &s.Build.Poured
		for _, v := range []*survey.Value{&b.Opening, &b.Meets, &b.GuideAlong, &b.MotorAlong, &b.Other.GuideAlong, &b.Other.MotorAlong} {
			off(v)
		}
		m := enginetest.MirroredPair(s)
		m.Build.Poured = *b
		c := &m.Build.Poured
		c.Levels, b.Levels = nil, nil
		c.Meets.Size = b.Opening.Size - b.Meets.Size
		c.GuideAlong, c.GuideOut, c.MotorAlong = b.Other.GuideAlong, b.Other.GuideOut, b.Other.MotorAlong
		c.Other.GuideAlong, c.Other.GuideOut, c.Other.MotorAlong = b.GuideAlong, b.GuideOut, b.MotorAlong
		there := designed(t, m)
		one, two := casting.ReadPoured(s, &made, p), casting.ReadPoured(m, &there, p)
		x, y := one.Design(&made, p), two.Design(&there, p)
		for i := range 2 {
			a, b := x.Plan.Sides()[i].Leaf, y.Plan.Sides()[1-i].Leaf
			assert.InDelta(t, a.Frame, b.Frame, 1e-6)
			assert.InDelta(t, a.PinionAt, b.PinionAt, 1e-6)
			assert.InDelta(t, a.RollersAt, b.RollersAt, 1e-6)
			assert.InDelta(t, a.RackCut, b.RackCut, 1e-6)
		}
	}
}

// A screen may ask for a level that was added after this was read.
func TestSpotOfALevelNotReadYet(t *testing.T) {
	b := casting.Poured{Sides: make([]casting.Poured, 2)}
	assert.Nil(t, b.Spot(0))
	assert.Nil(t, (&casting.Poured{}).Spot(3))
}
