package engine

import (
	"math/rand/v2"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/draw"
	"pegpour/engine/drawing"
	"pegpour/engine/enginetest"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/tables"
	"pegpour/engine/text"
	"pegpour/storage/demo"
)

// told is a depth that some page tells of a part.
type told struct {
	where string
	of    plan.PartKind
	depth float64
}

// depthsTold gathers every depth of a pad, a strip or a hole that the tables,
// figures, checks, drawings and lists of a plan tell.
func depthsTold(t *testing.T, made *plan.Plan, p *practice.Practice) (all []told) {
	t.Helper()
	tell := func(where string, of plan.PartKind, depth float64) { all = append(all, told{where, of, depth}) }
	kindOf := map[string]plan.PartKind{}
	for i := range made.Outlines {
		o := &made.Outlines[i]
		kindOf[o.ID] = o.Kind
	}
	for i := range made.Quantities.Parts {
		q := &made.Quantities.Parts[i]
		if kindOf[q.ID] != plan.PartFootingHole {
			tell("the table of concrete, "+q.ID, kindOf[q.ID], q.Depth)
		}
	}
	if f, ok := made.Figure(plan.FigureFootDepth); ok {
		switch f.Name {
		case "Depth of strip and pad":
			if made.Strip() != nil {
				tell("figure foot.depth", made.Strip().Kind, f.Value)
			}
			if made.Has(plan.PartPad) {
				tell("figure foot.depth", plan.PartPad, f.Value)
			}
		case "Depth of the strip":
			tell("figure foot.depth", made.Strip().Kind, f.Value)
		default:
			tell("figure foot.depth", plan.PartPad, f.Value)
		}
	}
	for id, kind := range map[string]plan.PartKind{plan.FigurePadDepth: plan.PartPad,
		plan.FigureGuideHoleDepth: plan.PartPostHole, plan.FigureDriveStripDepth: plan.PartDriveStrip} {
		if f, ok := made.Figure(id); ok {
			tell("figure "+id, kind, f.Value)
		}
	}
	for i := range made.Checks {
		c := &made.Checks[i]
		args := c.What.Args
		switch {
		case c.Question == plan.QuestionFootingPad && c.Severity != plan.Sound:
			tell("check "+c.Code, plan.PartPad, args[1].Value)
		case strings.HasPrefix(c.What.Format, "Soft or wet ground: strip and pad go down {0}, the guide post {1}"):
			tell("check "+c.Code, plan.PartPostHole, args[1].Value)
		case c.What.Format == "Firm ground: strip and pad {0} deep.":
			tell("check "+c.Code, made.Strip().Kind, args[0].Value)
			if made.Has(plan.PartPad) {
				tell("check "+c.Code, plan.PartPad, args[0].Value)
			}
		case c.What.Format == "Firm ground: the motor pad {0} deep.":
			tell("check "+c.Code, plan.PartPad, args[0].Value)
		case c.What.Format == "Firm ground: the strip {0} deep, the motor pad {1}.":
			tell("check "+c.Code, made.Strip().Kind, args[0].Value)
			tell("check "+c.Code, plan.PartPad, args[1].Value)
		}
	}
	for _, row := range tables.Steel(made, false)[1:] {
		if row[1] == "Guide post, in the ground at most" {
			v, err := strconv.ParseFloat(row[3], 64)
			require.NoError(t, err)
			tell("the steel table", plan.PartPostHole, v)
		}
	}
	for _, item := range tables.PourChecklist(made, p)[0].Items {
		if item.ID == "hole" {
			tell("the checklist", plan.PartPostHole, item.Words.Args[0].Value)
		}
	}
	o := drawing.SceneOptions{Write: func(a text.Arg) string { return strconv.FormatFloat(a.Value, 'f', -1, 64) }}
	for _, cut := range drawing.CrossSections(made) {
		scene := drawing.CrossSectionScene(made, p, cut, o)
		for i := range made.Outlines {
			q := &made.Outlines[i]
			words := regexp.MustCompile(regexp.QuoteMeta(q.Name.String()) + `: [\d.]+ wide, ([\d.]+) deep`).
				FindStringSubmatch(scene.Desc)
			if words != nil && q.Kind != plan.PartFootingHole {
				v, err := strconv.ParseFloat(words[1], 64)
				require.NoError(t, err)
				tell("section read out, "+cut.Letter, q.Kind, v)
			}
		}
		for _, e := range scene.Elements {
			d, ok := e.(draw.Dimension)
			id, deep := strings.CutSuffix(draw.TagOf(e).ID, ".deep")
			id = strings.TrimPrefix(id, "dim.cross."+cut.ID+".")
			if kind := kindOf[id]; ok && deep && kind != "" {
				v, err := strconv.ParseFloat(d.Text, 64)
				require.NoError(t, err)
				tell("section "+cut.Letter, kind, v)
			}
		}
	}
	if s := drawing.FallingScene(made, o); s != nil {
		for _, e := range s.Elements {
			if r, ok := e.(draw.Region); ok && kindOf[r.ID] == plan.PartPad {
				tell("the steel footing's drawing", plan.PartPad, r.Outer[0].Y-r.Outer[3].Y)
			}
		}
	}
	return all
}

// Every page tells the same depth of one part: the part's own, from its top to its
// bottom. Looked at are the demo sites and 200 drawn by chance, on level, sloping,
// rising and falling ground.
func TestOneDepthOfAPart(t *testing.T) {
	p := practice.DefaultPractice()
	pages := map[string]int{}
	look := func(name string, s survey.Survey) {
		made, err := Design(s, p)
		require.NoError(t, err)
		for _, side := range made.Sides() {
			made := side.Plan
			own := map[plan.PartKind]float64{}
			for _, kind := range []plan.PartKind{plan.PartDriveStrip, plan.PartLatchStrip, plan.PartRunBackStrip, plan.PartPad,
				plan.PartPostHole} {
				if o := made.Deepest(kind); o != nil {
					own[kind] = o.Depth - o.Top
				}
			}
			for _, d := range depthsTold(t, made, &p) {
				assert.InDelta(t, own[d.of], d.depth, plan.Tolerance, "%s: %s of the %s", name, d.where, d.of)
				pages[strings.Fields(d.where)[0]+" "+strings.Fields(d.where)[1]]++
			}
		}
	}
	for _, s := range demo.Sites() {
		look(s.Survey.Site.Name, s.Survey)
	}
	for i := range 200 {
		r := rand.New(rand.NewPCG(uint64(i), 16))
		s := enginetest.RandomSite(r)
		if i%4 == 0 {
			s = enginetest.RandomFallingSite(r)
			s.Gate.PadOn, s.Gate.Guide = survey.PadConcrete, survey.GuideCastIn
		}
		look("by chance "+strconv.Itoa(i), s)
	}
	assert.Greater(t, len(pages), 9, pages)
	assert.Positive(t, pages["section read"])
}

// Over ground that falls by 300 at the edge and 1 in 8 beyond it, a level pad
// stands above the lowest ground under it by what the ground has fallen there and
// by its own top over the track; poured it is as much more than the strip's usual
// depth, and the trade's hole of 500 in the ground counts from the same top.
func TestDepthsOverFallingGround(t *testing.T) {
	s := enginetest.FallingSite()
	s.Gate.Guide = survey.GuideCastIn
	p := practice.DefaultPractice()
	p.GuideHoleBy = 0
	made, err := Design(s, p)
	require.NoError(t, err)
	pad := made.Deepest(plan.PartPad)
	_, high := pad.Ring.Bounds()
	rise := made.Ground.Pad.Level - made.Ground.SurfaceLevel(high.X, high.Y)
	require.Greater(t, rise, 10.0)
	above := 300 + (high.X-4000)/8 + rise
	assert.InDelta(t, 100+above, pad.Deep(), 3)
	assert.InDelta(t, 100+above, made.Ground.Pad.Thick, 3)
	for _, c := range made.Checks {
		if c.Question == plan.QuestionFootingPad {
			assert.InDelta(t, above, c.What.Args[0].Value, 3)
			assert.InDelta(t, 100+above, c.What.Args[1].Value, 3)
		}
	}
	hole, _ := made.Figure(plan.FigureGuideHoleDepth)
	assert.InDelta(t, 500+above, hole.Value, 3)
	assert.InDelta(t, 500+above, made.Deepest(plan.PartPostHole).Deep(), 3)
}

// A hole is dug from the ground: what a pad stands above it does not count against
// what can be dug by hand, and a hair less than the dig does.
func TestHoleIsDugFromTheGround(t *testing.T) {
	s := enginetest.FallingSite()
	s.Gate.Guide = survey.GuideCastIn
	p := practice.DefaultPractice()
	made, err := Design(s, p)
	require.NoError(t, err)
	dug := made.Strength.Guide.In // firm from the surface
	for most, want := range map[float64]plan.Severity{dug: plan.Sound, dug - 1: plan.Warning} {
		p.FootEmbedMost = most
		made, err = Design(s, p)
		require.NoError(t, err)
		for _, c := range made.Checks {
			if c.Question == plan.QuestionStrengthEmbedment {
				assert.Equal(t, want, c.Severity, most)
				if want == plan.Warning {
					assert.InDelta(t, -1, c.Margin, 1e-6)
				}
			}
		}
	}
}
