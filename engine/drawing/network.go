package drawing

import (
	"math"
	"strconv"

	"pegpour/engine/draw"
	"pegpour/engine/plan"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// NetworkOptions choose what the drawing of a network shows.
type NetworkOptions struct {
	SceneOptions
	// Picked are the names of pegs that are chosen on the screen.
	Picked []string
	// Tape is the index of the tape that is asked, −1 for none.
	Tape int
}

// NetworkScene draws pegs and tapes: pegs where the tapes put them, else where
// they stand on the sketch; tapes by how they are, the suspected ones bold; and
// about each peg the ellipse that holds it with 95 %, enlarged as the drawing
// says.
func NetworkScene(s *survey.Survey, p *plan.Plan, o NetworkOptions) *draw.Scene {
	scene := &draw.Scene{Title: o.words("Tape network"), Desc: spokenNetwork(p, s, &o.SceneOptions)}
	drawPlainSite(p, scene)
	at := map[string]draw.Point{}
	for i := range s.Network.Pegs {
		peg := &s.Network.Pegs[i]
		at[peg.Name] = draw.Pt(peg.Along.Size, peg.Offset.Size)
	}
	adjusted := map[string]*plan.PegPlace{}
	if p.Network != nil {
		for i := range p.Network.Pegs {
			q := &p.Network.Pegs[i]
			at[q.Name], adjusted[q.Name] = draw.Pt(q.Chainage, q.Offset), q
		}
	}
	drawTapes(p, scene, s, at, &o)
	larger := EllipseScale(p)
	for i := range s.Network.Pegs {
		peg := &s.Network.Pegs[i]
		c := at[peg.Name]
		tag := draw.Tag{ID: "peg." + strconv.Itoa(i), Role: draw.RoleNote, Voice: draw.VoiceAssumed}
		if q := adjusted[peg.Name]; q != nil {
			tag.Voice = draw.VoiceMeasured
			if q.Major95 > 0.05 {
				scene.Add(draw.Polyline{Tag: draw.Tag{ID: "ellipse." + strconv.Itoa(i), Role: draw.RoleTape,
					Voice: draw.VoiceMeasured}, Points: ellipse(q, larger)})
			}
		}
		radius := p.Opening / 60
		for _, name := range o.Picked {
			if name == peg.Name {
				radius *= 2
			}
		}
		scene.Add(draw.Circle{Tag: tag, Centre: c, Radius: radius})
		scene.Add(draw.Text{Tag: draw.Tag{ID: "pegname." + strconv.Itoa(i), Role: draw.RoleNote, Voice: tag.Voice},
			At: draw.Pt(c.X+p.Opening/40, c.Y+p.Opening/40), Text: peg.Name, Fixed: true})
	}
	return scene
}

// EllipseScale is how many times larger than the ground the ellipses of
// NetworkScene are drawn; 1 without any.
func EllipseScale(p *plan.Plan) float64 {
	n := p.Network
	if n == nil {
		return 1
	}
	greatest, span := 0.0, 1.0
	for _, q := range n.Pegs {
		greatest = max(greatest, q.Major95)
		span = max(span, math.Hypot(q.Chainage, q.Offset))
	}
	if greatest < 0.05 {
		return 1
	}
	// The largest one takes about a twentieth of the drawing, by a round factor.
	want := span / 20 / greatest
	power := math.Pow(10, math.Floor(math.Log10(want)))
	for _, step := range []float64{5, 2, 1} {
		if step*power <= want {
			return max(1, step*power)
		}
	}
	return 1
}

func ellipse(q *plan.PegPlace, larger float64) []draw.Point {
	const corners = 36
	out := make([]draw.Point, 0, corners+1)
	c, s := math.Cos(q.Direction), math.Sin(q.Direction)
	for k := range corners + 1 {
		a := 2 * math.Pi * float64(k%corners) / corners
		u, v := q.Major95*larger*math.Cos(a), q.Minor95*larger*math.Sin(a)
		out = append(out, draw.Pt(q.Chainage+u*c-v*s, q.Offset+u*s+v*c))
	}
	return out
}

func drawTapes(p *plan.Plan, scene *draw.Scene, s *survey.Survey, at map[string]draw.Point, o *NetworkOptions) {
	fits := map[int]*plan.TapeFit{}
	if p.Network != nil {
		for i := range p.Network.Tapes {
			fits[p.Network.Tapes[i].Index] = &p.Network.Tapes[i]
		}
	}
	for i := range s.Network.Tapes {
		t := &s.Network.Tapes[i]
		from, okFrom := at[t.From]
		to, okTo := at[t.To]
		if !okFrom || !okTo || from == to {
			continue
		}
		tag := draw.Tag{ID: "tape." + strconv.Itoa(i), Role: draw.RoleHidden, Voice: draw.VoiceAssumed}
		fit := fits[i]
		if fit != nil {
			tag.Role, tag.Voice = draw.RoleTape, draw.VoiceMeasured
		}
		if fit != nil && fit.Suspect {
			tag.Role, tag.Voice = draw.RoleObstruction, draw.VoicePlain
			middle := draw.Pt((from.X+to.X)/2, (from.Y+to.Y)/2)
			scene.Add(draw.Text{Tag: draw.Tag{ID: "wrong." + strconv.Itoa(i), Role: draw.RoleObstruction}, At: middle,
				Text: "? " + t.From + " – " + t.To})
		}
		if i == o.Tape {
			tag.Role, tag.Voice = draw.RoleGate, draw.VoiceMeasured
		}
		scene.Add(draw.Line{Tag: tag, From: from, To: to})
	}
}

// drawPlainSite shows the posts and the edges, to find one's way by.
func drawPlainSite(p *plan.Plan, scene *draw.Scene) {
	tag := func(id string) draw.Tag { return draw.Tag{ID: id, Role: draw.RoleExisting} }
	scene.Add(draw.Region{Tag: tag("drive"), Outer: ringOf(p.Site.Drive), Hatch: draw.HatchTint, Open: true},
		draw.Region{Tag: tag("post.latch"), Outer: ringOf(p.Site.PostLatch), Hatch: draw.HatchEarth},
		draw.Region{Tag: tag("post.runBack"), Outer: ringOf(p.Site.PostRunBack), Hatch: draw.HatchEarth},
		draw.Polyline{Tag: tag("edge.runBack"), Points: lineOf(p.Site.RunBackEdge)},
		draw.Polyline{Tag: tag("edge.latch"), Points: lineOf(p.Site.LatchEdge)})
	for i := range p.Site.Obstructions {
		scene.Add(draw.Region{Tag: draw.Tag{ID: "thing." + strconv.Itoa(i), Role: draw.RoleObstruction},
			Outer: ringOf(p.Site.Obstructions[i].Box), Hatch: draw.HatchNone})
	}
}

// NetworkWindow is the part of the ground that a sketch of pegs shows: all of
// it, or around one of the posts ("latch", "run-back").
func NetworkWindow(p *plan.Plan, s *survey.Survey, near string) draw.Box {
	around := func(x float64) draw.Box {
		reach := max(1500, p.Opening/3)
		return draw.Box{Min: draw.Pt(x-reach, -reach/3), Max: draw.Pt(x+reach, reach)}
	}
	switch near {
	case "latch":
		return around(0)
	case "run-back":
		return around(p.Opening)
	}
	_, high := boundsOfParts(p)
	b := draw.Box{Min: draw.Pt(-p.Opening/4, -p.Opening/5),
		Max: draw.Pt(max(high.X, p.Leaf.RearOpen)+p.Opening/10, max(high.Y, p.Opening/2))}
	grow := func(x, y float64) {
		const room = 300
		if math.Abs(x) < 1e5 && math.Abs(y) < 1e5 {
			b.Min = draw.Pt(min(b.Min.X, x-room), min(b.Min.Y, y-room))
			b.Max = draw.Pt(max(b.Max.X, x+room), max(b.Max.Y, y+room))
		}
	}
	for i := range s.Network.Pegs {
		grow(s.Network.Pegs[i].Along.Size, s.Network.Pegs[i].Offset.Size)
	}
	if p.Network != nil {
		for i := range p.Network.Pegs {
			grow(p.Network.Pegs[i].Chainage, p.Network.Pegs[i].Offset)
		}
	}
	return b
}

// spokenNetwork says in words what the drawing of a network shows: how many
// pegs and tapes, and where each peg lies that the tapes have put.
func spokenNetwork(p *plan.Plan, s *survey.Survey, o *SceneOptions) string {
	all := []text.Text{text.Say("Pegs: {0}. Tapes between them: {1}.", text.Number(float64(len(s.Network.Pegs))),
		text.Number(float64(len(s.Network.Tapes))))}
	if p.Network != nil {
		for i := range p.Network.Pegs {
			q := &p.Network.Pegs[i]
			all = append(all, text.Say("Peg {0}: {1} along the fence, {2} out from it.", text.Word(text.TypedName(q.Name)), text.MM(q.Chainage),
				text.MM(q.Offset)))
		}
	}
	return o.sentences(all)
}
