package pegs_test

import (
	"math"
	"math/rand/v2"
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

// At a thousand random sites the strings, as they are tied, cross over the corners of
// the concrete, and down from the string is the corner's reduced level.
func TestStringsCrossOverTheCorners(t *testing.T) {
	r := rand.New(rand.NewPCG(21, 30))
	rules := practice.DefaultPractice()
	corners, boards, levelled, without, posts := 0, 0, 0, 0, 0
	for i := range 1000 {
		s := enginetest.RandomSite(r)
		if i%4 == 3 {
			s = enginetest.RandomGroundSite(r)
		}
		p, _ := engine.Design(s, rules)
		b := pegs.LayBoards(&p, &rules)
		at := map[string]geom.Point{}
		top := map[string]float64{}
		for _, m := range pegs.Marks(&p, &rules) {
			at[m.Key] = m.At
		}
		marks := pegs.Marks(&p, &rules)
		for k := range p.Pegs {
			if p.Pegs[k].Levelled {
				top[marks[k].Key] = p.Pegs[k].Level
			}
		}
		over := map[string]bool{}
		for _, c := range b.Corners {
			over[c.Key] = true
		}
		for k := range p.Pegs {
			o, ok := p.Outline(p.Pegs[k].Of)
			if ok && (o.Kind == plan.PartPad || o.Kind == plan.PartDriveStrip || o.Kind == plan.PartLatchStrip || o.Kind == plan.PartRunBackStrip) &&
				!over[marks[k].Key] {
				without++
				assert.True(t, straightAt(o.Ring, geom.Point{X: p.Pegs[k].Chainage, Y: p.Pegs[k].Offset}), "%s of site %d has no strings", marks[k].Key, i)
			}
		}
		for k := range p.Pegs {
			if o, ok := p.Outline(p.Pegs[k].Of); ok && o.Kind == plan.PartFootingPost {
				posts++
				assert.True(t, over[marks[k].Key], "%s of site %d has no strings", marks[k].Key, i)
			}
		}
		for _, c := range b.Corners {
			one, two := b.StringNamed(c.Strings[0]), b.StringNamed(c.Strings[1])
			require.NotNil(t, one)
			q, ok := c.At, true
			if c.Strings[1] != "" {
				require.NotNil(t, two)
				q, ok = pegs.Cross(one, two)
			} else { // a post: as far along its string as is said, from where that is tied
				ux, uy := one.Way()
				from := one.First
				if one.Ends[0].Kind != pegs.Nowhere {
					from = one.Ends[0].At
				}
				along := b.Over(&c).Args[1].Value
				q = geom.Point{X: from.X + along*ux, Y: from.Y + along*uy}
			}
			require.True(t, ok)
			corners++
			assert.InDelta(t, at[c.Key].X, q.X, 0.1, "%s of site %d", c.Key, i)
			assert.InDelta(t, at[c.Key].Y, q.Y, 0.1, "%s of site %d", c.Key, i)
			assert.InDelta(t, b.Level, c.Level+c.Down, 1e-6)
			assert.GreaterOrEqual(t, c.Down, rules.BoardsUp-1e-9)
			assert.Greater(t, c.Bottom, c.Down)
			if want, ok := top[c.Key]; ok && b.Datum {
				levelled++
				assert.InDelta(t, want, b.Level-c.Down, 1e-6, "down from the string is the reduced level")
			}
		}
		for k := range b.Strings {
			for _, e := range b.Strings[k].Ends {
				require.NotEmpty(t, e.Kind)
				if e.Kind == pegs.OnBoard {
					boards++
					assertStands(t, &p, &rules, e)
				} else {
					assert.False(t, e.Why.Empty(), "why no board stands there")
				}
			}
		}
	}
	t.Log(corners, "corners", boards, "boards", levelled, "with levels", without, "in line", posts, "posts of a footing")
	assert.Greater(t, posts, 200)
	assert.Greater(t, corners, 6000)
	assert.Greater(t, boards, 3000)
	assert.Greater(t, levelled, 300)
	assert.Less(t, without, corners/20)
}

// straightAt reports whether a ring goes straight through its corner at a place, or one of
// its edges there is under 1 mm long.
func straightAt(ring geom.Polygon, at geom.Point) bool {
	for k, b := range ring {
		a, c := ring[(k+len(ring)-1)%len(ring)], ring[(k+1)%len(ring)]
		if math.Hypot(b.X-at.X, b.Y-at.Y) < 0.5 {
			turn := (b.X-a.X)*(c.Y-b.Y) - (b.Y-a.Y)*(c.X-b.X)
			return math.Hypot(b.X-a.X, b.Y-a.Y) < 1 || math.Hypot(c.X-b.X, c.Y-b.Y) < 1 || math.Abs(turn) < 1e-6*math.Hypot(b.X-a.X, b.Y-a.Y)*math.Hypot(c.X-b.X, c.Y-b.Y)
		}
	}
	return false
}

// assertStands looks at a board as one does who walks around it: every spot under it is
// clear of posts, of what stands there, of the drive and of the concrete.
func assertStands(t *testing.T, p *plan.Plan, rules *practice.Practice, e pegs.End) {
	t.Helper()
	clear := rules.BoardsClear
	for i := range p.Site.Obstructions {
		assert.GreaterOrEqual(t, p.Site.Obstructions[i].Box.DistanceTo(e.At), clear)
	}
	assert.GreaterOrEqual(t, p.Site.PostLatch.DistanceTo(e.At), clear)
	assert.GreaterOrEqual(t, p.Site.PostRunBack.DistanceTo(e.At), clear)
	assert.GreaterOrEqual(t, p.Site.Drive.DistanceTo(e.At), clear)
	for i := range p.Outlines {
		if o := &p.Outlines[i]; o.Concrete {
			assert.GreaterOrEqual(t, o.Ring.DistanceTo(e.At), clear, o.ID)
		}
	}
	assert.False(t, p.Site.RoomKnown && e.At.X > p.Site.Room-clear)
	assert.False(t, p.Site.DepthKnown && e.At.Y > p.Site.Depth-clear)
}

// The square site: what one would lay by hand.
func TestBoardsOfTheSquareSite(t *testing.T) {
	rules := practice.DefaultPractice()
	site := enginetest.SquareSite()
	p, _ := engine.Design(site, rules)
	b := pegs.LayBoards(&p, &rules)
	// Long edges: back and front of the strip, front of the pad; across: both ends of
	// the strip, far end of the pad. The near ends lie in line.
	require.Len(t, b.Strings, 6)
	kinds := map[pegs.EndKind]int{}
	for _, s := range b.Strings {
		for _, e := range s.Ends {
			kinds[e.Kind]++
		}
	}
	assert.Positive(t, kinds[pegs.OnBoard])
	assert.Positive(t, kinds[pegs.OnFence])
	assert.False(t, b.Datum)
	for _, c := range b.Corners {
		assert.Equal(t, 200.0, b.Level-c.Level)
		assert.Equal(t, 200.0, c.Down)
		assert.Equal(t, 300.0, c.Bottom)
	}
	// Something where the board would stand: it goes elsewhere, and why is said.
	far := b.StringNamed(b.Corners[1].Strings[1])
	for _, e := range far.Ends {
		if e.Kind != pegs.OnBoard {
			continue
		}
		site.RunBack.Obstructions = append(site.RunBack.Obstructions, survey.Obstruction{Name: "Tap",
			Along: survey.Measured(e.At.X-p.Opening, survey.ByTape), Offset: survey.Measured(e.At.Y, survey.ByTape),
			Length: survey.Measured(60, survey.ByTape), Width: survey.Measured(60, survey.ByTape)})
	}
	require.NotEmpty(t, site.RunBack.Obstructions)
	p, _ = engine.Design(site, rules)
	moved := pegs.LayBoards(&p, &rules)
	said := false
	for _, s := range moved.Strings {
		for _, e := range s.Ends {
			said = said || !e.Why.Empty() && math.Abs(e.Away-rules.BoardsAway) > 1 && e.Kind == pegs.OnBoard
			if e.Kind == pegs.OnBoard {
				assertStands(t, &p, &rules, e)
			}
		}
	}
	assert.True(t, said)
	assert.Empty(t, pegs.LayBoards(&plan.Plan{}, &rules).Strings)
}
