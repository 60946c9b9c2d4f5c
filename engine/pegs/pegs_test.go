package pegs_test

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/enginetest"
	"pegpour/engine/geom"
	"pegpour/engine/pegs"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
)

// ground is a site with pegs in the ground and the tapes taken between them.
type ground struct {
	survey survey.Survey
	plan   plan.Plan
	rules  practice.Practice
	marks  []pegs.Mark
	stands map[string]geom.Point
}

func pegged(s survey.Survey) *ground {
	g := &ground{survey: s.Clone(), rules: practice.DefaultPractice(), stands: map[string]geom.Point{}}
	g.plan, _ = engine.Design(s, g.rules)
	g.marks = pegs.Marks(&g.plan, &g.rules)
	for _, m := range g.marks {
		g.stands[m.Key] = m.At
	}
	g.stands[survey.SetLatch] = geom.Point{}
	g.stands[survey.SetRunBack] = geom.Point{X: g.plan.Opening}
	return g
}

// key is that of the peg with a number or letter.
func (g *ground) key(name string) string {
	for _, m := range g.marks {
		if m.Name == name {
			return m.Key
		}
	}
	return name
}

// tape takes a tape, with an error.
func (g *ground) tape(from, to string, wrong float64) {
	from, to = g.key(from), g.key(to)
	for _, key := range []string{from, to} {
		if m := pegs.Find(g.marks, key); m != nil && pegs.Stored(&g.survey.Build.Pegs, key) < 0 {
			g.survey.Build.Pegs.Pegs = append(g.survey.Build.Pegs.Pegs, survey.SetPeg{Mark: key, Name: m.Name,
				Along: survey.Measured(m.At.X, survey.ByEstimate), Offset: survey.Measured(m.At.Y, survey.ByEstimate)})
		}
	}
	a, b := g.stands[from], g.stands[to]
	d := math.Hypot(b.X-a.X, b.Y-a.Y)
	if to == survey.SetFence {
		d = a.Y
	}
	g.survey.Build.Pegs.Tapes = append(g.survey.Build.Pegs.Tapes,
		survey.SetTape{From: from, To: to, Length: survey.Measured(d+wrong, survey.ByTape)})
}

func (g *ground) move(name string, along, out float64) {
	at := g.stands[g.key(name)]
	g.stands[g.key(name)] = geom.Point{X: at.X + along, Y: at.Y + out}
}

func (g *ground) judge() *pegs.Report { return pegs.Judge(&g.survey, &g.plan, &g.rules) }

func (g *ground) peg(t *testing.T, name string) *pegs.Peg {
	t.Helper()
	q := g.judge().Peg(g.key(name))
	require.NotNil(t, q, name)
	return q
}

// The pad of the square site is pegs 5, 6 and 7 with 4 of the strip.
func padTaped(g *ground) {
	for _, name := range []string{"4", "5", "6", "7"} {
		g.tape(name, survey.SetLatch, 0)
		g.tape(name, survey.SetRunBack, 0)
		g.tape(name, survey.SetFence, 0)
	}
	g.tape("5", "7", 0)
	g.tape("4", "6", 0)
	g.tape("6", "7", 0)
	g.tape("5", "6", 0)
}

func TestPegThatIsOffIsToldHowToMove(t *testing.T) {
	g := pegged(enginetest.SquareSite())
	g.move("6", 6, 18)
	padTaped(g)
	q := g.peg(t, "6")
	assert.Equal(t, pegs.Off, q.Verdict, q.Words)
	assert.InDelta(t, 6, q.Along, 0.1)
	assert.InDelta(t, 18, q.Out, 0.1)
	assert.Equal(t, "Move it 18 mm towards the street, 6 mm towards the latch post.", q.Move.String())
	for _, name := range []string{"4", "5", "7"} {
		assert.Equal(t, pegs.Within, g.peg(t, name).Verdict, g.peg(t, name).Words)
	}
	assert.Equal(t, [2]string{}, g.judge().Next, "all is told")
	assert.Empty(t, g.judge().Changed)
}

func TestMovesInWordsOfThePlace(t *testing.T) {
	for _, c := range []struct {
		along, out float64
		want       string
	}{
		{20, 0, "Move it 20 mm towards the latch post."},
		{-20, 0, "Move it 20 mm towards the run-back."},
		{0, 20, "Move it 20 mm towards the street."},
		{0, -20, "Move it 20 mm into the property."},
		{20, -20, "Move it 20 mm into the property, 20 mm towards the latch post."},
		{-20, -20, "Move it 20 mm into the property, 20 mm towards the run-back."},
		{-20, 20, "Move it 20 mm towards the street, 20 mm towards the run-back."},
	} {
		g := pegged(enginetest.SquareSite())
		g.move("6", c.along, c.out)
		padTaped(g)
		assert.Equal(t, c.want, g.peg(t, "6").Move.String())
	}
}

// A wrong tape is named, and no peg is blamed for it.
func TestWrongTapeBeforeAPeg(t *testing.T) {
	g := pegged(enginetest.SquareSite())
	padTaped(g)
	for k := range g.survey.Build.Pegs.Tapes {
		wrong := *g
		wrong.survey = g.survey.Clone()
		wrong.survey.Build.Pegs.Tapes[k].Length.Size += 100
		r := wrong.judge()
		for i := range r.Tapes {
			if r.Tapes[i].Tied {
				assert.NotEqual(t, pegs.Off, r.Peg(r.Tapes[i].From).Verdict)
			} else if r.Tapes[i].Suspect {
				assert.Equal(t, k, i, r.Tapes[i].Name)
				assert.Contains(t, r.Tapes[i].Words.String(), "100 mm longer")
			}
		}
		assert.True(t, r.Tapes[k].Suspect || r.Tapes[k].Tied, "%v", r.Tapes[k].Name)
		for i := range r.Pegs {
			assert.NotEqual(t, pegs.Off, r.Pegs[i].Verdict, "%s for %s", r.Pegs[i].Name, r.Tapes[k].Name)
		}
	}
}

func TestTooFewTapes(t *testing.T) {
	g := pegged(enginetest.SquareSite())
	g.move("6", 0, 30)
	require.Nil(t, g.judge())
	g.tape("6", survey.SetLatch, 0)
	q := g.peg(t, "6")
	assert.Equal(t, pegs.Loose, q.Verdict)
	assert.Contains(t, q.Words.String(), "one tape alone")
	r := g.judge()
	assert.NotEmpty(t, r.Next[0], "a second tape is proposed")
	g.tape("6", survey.SetFence, 0)
	q = g.peg(t, "6")
	assert.Equal(t, pegs.PegOrTape, q.Verdict, q.Words)
	next := g.judge().Next
	assert.Contains(t, next, g.key("6"))
	g.tape(next[0], next[1], 0)
	next = g.judge().Next
	if next[0] != "" {
		g.tape(next[0], next[1], 0)
	}
	for range 4 {
		if next = g.judge().Next; next[0] == "" {
			break
		}
		g.tape(next[0], next[1], 0)
	}
	assert.Equal(t, pegs.Off, g.peg(t, "6").Verdict, g.peg(t, "6").Words)
}

// Tapes along the fence say nothing across it.
func TestAllInOneLine(t *testing.T) {
	g := pegged(enginetest.SquareSite())
	g.tape("2", survey.SetLatch, 0)
	g.tape("2", survey.SetRunBack, 0)
	q := g.peg(t, "2")
	assert.Equal(t, pegs.Loose, q.Verdict)
	assert.Contains(t, q.Words.String(), "one line")
	r := g.judge()
	assert.Contains(t, r.Next, survey.SetFence, "square to it")
}

func TestSwappedPegs(t *testing.T) {
	g := pegged(enginetest.SquareSite())
	a, b := g.key("6"), g.key("7")
	g.stands[a], g.stands[b] = g.stands[b], g.stands[a]
	padTaped(g)
	q := g.peg(t, "6")
	assert.Equal(t, pegs.Swapped, q.Verdict, q.Words)
	assert.Equal(t, "It stands where peg 7 belongs, and that one here.", q.Words.String())
	assert.Equal(t, pegs.Swapped, g.peg(t, "7").Verdict)
	assert.Equal(t, pegs.Within, g.peg(t, "5").Verdict)
}

func TestPegOnTheOtherSideOfTheFence(t *testing.T) {
	g := pegged(enginetest.SquareSite())
	at := g.stands[g.key("6")]
	g.stands[g.key("6")] = geom.Point{X: at.X, Y: -at.Y}
	padTaped(g)
	assert.Equal(t, pegs.Mirrored, g.peg(t, "6").Verdict, g.peg(t, "6").Words)
	assert.Equal(t, pegs.Within, g.peg(t, "7").Verdict, g.peg(t, "7").Words)
	// The same without a tape to the string.
	g = pegged(enginetest.SquareSite())
	g.stands[g.key("6")] = geom.Point{X: at.X, Y: -at.Y}
	for _, name := range []string{"3", "6", "7"} {
		g.tape(name, survey.SetLatch, 0)
		g.tape(name, survey.SetRunBack, 0)
	}
	g.tape("7", survey.SetFence, 0)
	g.tape("6", "7", 0)
	g.tape("6", "3", 0)
	g.tape("3", survey.SetFence, 0)
	assert.Equal(t, pegs.Mirrored, g.peg(t, "6").Verdict, g.peg(t, "6").Words)
}

func TestTapesThatCannotBe(t *testing.T) {
	site := enginetest.SquareSite()
	site.RunBack.Obstructions = []survey.Obstruction{{Name: "Tank", Along: survey.Measured(2000, survey.ByTape),
		Offset: survey.Measured(250, survey.ByTape), Length: survey.Measured(800, survey.ByTape), Width: survey.Measured(800, survey.ByTape)}}
	g := pegged(site)
	g.tape("6", survey.SetLatch, 0)
	g.tape("6", survey.SetRunBack, 0)
	q := g.peg(t, "6")
	require.NotEqual(t, pegs.Loose, q.Verdict, q.Words)
	g.survey.Build.Pegs.Tapes[1].Length.Size = 0
	r := g.judge()
	assert.Contains(t, r.Tapes[1].Words.String(), "one place")
	assert.Equal(t, pegs.Loose, r.Pegs[0].Verdict)
	g.survey.Build.Pegs.Tapes[1].Length.Size = 12000
	r = g.judge()
	assert.Contains(t, r.Tapes[1].Words.String(), "cannot meet", r.Tapes)
	assert.Contains(t, r.Pegs[0].Words.String(), "none of its tapes can be used")
	g.survey.Build.Pegs.Tapes[1].Length.Size = 900
	assert.Contains(t, g.judge().Tapes[1].Note.String(), "are these the ends")

	behind := pegged(site)
	behind.plan.Site.Obstructions[0].Box = geom.Polygon{{X: 4600, Y: 50}, {X: 6000, Y: 50}, {X: 6000, Y: 350}, {X: 4600, Y: 350}}
	behind.tape("3", "6", 0)
	assert.Contains(t, behind.judge().Tapes[0].Note.String(), "Tank")
	behind.tape("3", survey.SetLatch, 0)
	behind.tape("6", survey.SetLatch, 0)
	next := behind.judge().Next
	assert.NotEqual(t, [2]string{behind.key("3"), behind.key("6")}, next)
}

// Pegs stay where they were taped when the plan changes, and it is said.
func TestPlanChangesAfterwards(t *testing.T) {
	g := pegged(enginetest.SquareSite())
	padTaped(g)
	g.survey.RunBack.Depth = survey.Measured(5000, survey.ByTape)
	g.rules.PadAlong += 35
	g.plan, _ = engine.Design(g.survey, g.rules)
	r := g.judge()
	require.NotEmpty(t, r.Changed)
	assert.Contains(t, r.Changed[0].String(), "moved")
	q := r.Peg(g.key("6"))
	assert.Equal(t, pegs.Off, q.Verdict, q.Words)
	assert.Equal(t, "Move it 35 mm towards the run-back.", q.Move.String())
	// A plan without the pad: the pegs are there still.
	g.survey.Gate.Motor = survey.MotorNone
	g.survey.Gate.Guide = survey.GuideOnPost
	g.plan, _ = engine.Design(g.survey, g.rules)
	if pegs.Find(pegs.Marks(&g.plan, &g.rules), g.key("6")) == nil {
		q = g.judge().Peg(g.key("6"))
		require.NotNil(t, q)
		assert.Equal(t, pegs.Gone, q.Verdict)
	}
}

// Over random sites pegs are moved at random and taped with the tape's own scatter: the
// moves found are the true ones within three times their uncertainty, no peg that was
// moved little is said to be off by much, and the one that is moved far is said.
func TestMovesAreFound(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 30))
	found, beyond, told, missed := 0, 0, 0, 0
	for range 150 {
		g := pegged(enginetest.RandomSite(r))
		if len(g.marks) < 4 || g.plan.Opening < 1500 {
			continue
		}
		names := []string{}
		for _, m := range g.marks[:min(len(g.marks), 8)] {
			names = append(names, m.Key)
			g.move(m.Key, 12*r.NormFloat64(), 12*r.NormFloat64())
		}
		scatter := func() float64 { return g.rules.SigmaTape * r.NormFloat64() }
		for i, key := range names {
			g.tape(key, survey.SetLatch, scatter())
			g.tape(key, survey.SetRunBack, scatter())
			g.tape(key, survey.SetFence, scatter())
			for _, other := range names[:i] {
				if a, b := g.stands[key], g.stands[other]; math.Hypot(a.X-b.X, a.Y-b.Y) > 150 && r.IntN(3) > 0 {
					g.tape(key, other, scatter())
				}
			}
		}
		report := g.judge()
		require.True(t, report.Problem.Empty(), report.Problem)
		for i := range report.Pegs {
			q := &report.Pegs[i]
			if !q.Placed || g.plan.Opening == 0 {
				continue
			}
			truth := g.stands[q.Key]
			found++
			if math.Abs(q.At.X-truth.X) > 3*q.SigmaAlong || math.Abs(q.At.Y-truth.Y) > 3*q.SigmaOut {
				beyond++
			}
			off := math.Hypot(truth.X-q.Planned.X, truth.Y-q.Planned.Y)
			switch {
			case q.Verdict == pegs.Off && off < q.Tolerance/2:
				missed++
			case q.Verdict == pegs.Within && off > 2*q.Tolerance:
				missed++
			case q.Verdict == pegs.Off:
				told++
				left := math.Hypot(truth.X-q.Along-q.Planned.X, truth.Y-q.Out-q.Planned.Y)
				assert.Less(t, left, math.Max(4*math.Hypot(q.SigmaAlong, q.SigmaOut), 1), "moved as told it stands right")
			}
		}
	}
	t.Log(found, "pegs", told, "off", beyond, "beyond 3 sigma", missed, "misjudged")
	assert.Greater(t, found, 500)
	assert.Greater(t, told, 100)
	// Two coordinates, each beyond three standard uncertainties in 0.27 % by chance.
	assert.Less(t, float64(beyond), 0.015*float64(found))
	assert.Less(t, float64(missed), 0.01*float64(found))
}

// A blunder of 100 mm in one tape is named in that tape, or tied with others of its
// pegs; and where it is named as the one, it is the right one.
func TestBlunderIsNamed(t *testing.T) {
	r := rand.New(rand.NewPCG(12, 30))
	named, tied, wrong, all := 0, 0, 0, 0
	for range 150 {
		g := pegged(enginetest.RandomSite(r))
		if len(g.marks) < 5 || g.plan.Opening < 1500 {
			continue
		}
		keys := g.marks[:min(len(g.marks), 7)]
		for i := range keys {
			g.move(keys[i].Key, 6*r.NormFloat64(), 6*r.NormFloat64())
		}
		for i := range keys {
			g.tape(keys[i].Key, survey.SetLatch, 2*r.NormFloat64())
			g.tape(keys[i].Key, survey.SetRunBack, 2*r.NormFloat64())
			g.tape(keys[i].Key, survey.SetFence, 2*r.NormFloat64())
			for k := range i {
				if a, b := g.stands[keys[i].Key], g.stands[keys[k].Key]; math.Hypot(a.X-b.X, a.Y-b.Y) > 150 {
					g.tape(keys[i].Key, keys[k].Key, 2*r.NormFloat64())
				}
			}
		}
		k := r.IntN(len(g.survey.Build.Pegs.Tapes))
		g.survey.Build.Pegs.Tapes[k].Length.Size += 100 * float64(1-2*r.IntN(2))
		report := g.judge()
		at := -1
		for i := range report.Tapes {
			if report.Tapes[i].Index == k {
				at = i
			}
		}
		if at < 0 {
			continue // shorter than nothing
		}
		all++
		switch {
		case report.Tapes[at].Suspect:
			named++
		case report.Tapes[at].Tied || !report.Tapes[at].Words.Empty():
			tied++
		default:
			for i := range report.Tapes {
				if report.Tapes[i].Suspect {
					wrong++
					break
				}
			}
		}
	}
	t.Log(all, named, tied, wrong)
	assert.Greater(t, all, 80)
	assert.Greater(t, float64(named), 0.9*float64(all))
	assert.LessOrEqual(t, float64(wrong), 0.03*float64(all))
}

// Whatever a document holds, nothing panics and the same comes out again.
func TestAnyDocument(t *testing.T) {
	r := rand.New(rand.NewPCG(13, 30))
	g := pegged(enginetest.AngledSite())
	ends := []string{"", "latch", "run-back", "fence", "pad#1", "pad#2", "pad#9", "guide", "motor", "strip#1", "nothing"}
	for range 400 {
		s := g.survey.Clone()
		for range r.IntN(14) {
			s.Build.Pegs.Tapes = append(s.Build.Pegs.Tapes, survey.SetTape{From: ends[r.IntN(len(ends))], To: ends[r.IntN(len(ends))],
				Length: survey.Measured([]float64{-3000, -20, 0, 1, 500, 4000, 9e9, math.NaN(), math.Inf(1), 60e3}[r.IntN(10)], survey.ByTape),
				Rise:   survey.Measured([]float64{0, 100, -300, math.NaN(), 5000}[r.IntN(5)], survey.ByTape)})
		}
		for range r.IntN(4) {
			s.Build.Pegs.Pegs = append(s.Build.Pegs.Pegs, survey.SetPeg{Mark: ends[r.IntN(len(ends))], Name: strings.Repeat("7", r.IntN(3)),
				Along: survey.Measured([]float64{0, 4000, math.NaN(), 1e5}[r.IntN(4)], survey.ByEstimate), Offset: survey.Measured(r.Float64()*900, survey.ByEstimate)})
		}
		a, b := pegs.Judge(&s, &g.plan, &g.rules), pegs.Judge(&s, &g.plan, &g.rules)
		if a == nil {
			continue
		}
		for i := range a.Pegs {
			assert.Equal(t, a.Pegs[i].Words.String(), b.Pegs[i].Words.String())
			assert.NotEmpty(t, a.Pegs[i].Words.String())
			assert.NotContains(t, a.Pegs[i].Words.String(), "NaN")
		}
		pegs.Judge(&s, &plan.Plan{}, &g.rules)
	}
}
