package drawing

import (
	"strconv"

	"pegpour/engine/draw"
	"pegpour/engine/geom"
	"pegpour/engine/pegs"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/text"
)

// BoardsScene draws the strings over the edges of the concrete, what holds their ends,
// and the pegs whose places lie under their crossings.
func BoardsScene(p *plan.Plan, rules *practice.Practice, b *pegs.Boards, o SceneOptions) *draw.Scene {
	scene := &draw.Scene{Title: o.words("Strings and profile boards"), Desc: spokenBoards(b, &o)}
	drawPlainSite(p, scene)
	for i := range p.Poured {
		scene.Add(draw.Region{Tag: draw.Tag{ID: "poured", Role: draw.RoleThin}, Outer: ringOf(p.Poured[i].Outer), Hatch: draw.HatchConcrete})
	}
	for i := range b.Strings {
		drawString(scene, &b.Strings[i], rules.BoardsLong)
	}
	for i := range b.Corners {
		c := &b.Corners[i]
		tag := draw.Tag{ID: "peg." + c.Key, Role: draw.RoleNote}
		if n, err := strconv.Atoi(c.Name); err == nil {
			scene.Add(draw.Peg{Tag: tag, At: draw.Pt(c.At.X, c.At.Y), Number: n})
		}
	}
	if !o.Compact {
		scene.Add(draw.ScaleBar{Tag: draw.Tag{ID: "scale", Role: draw.RoleNote}, Feet: o.Feet})
	}
	return scene
}

func drawString(scene *draw.Scene, s *pegs.String, long float64) {
	ends := [2]geom.Point{s.First, s.Last}
	for k := range s.Ends {
		if s.Ends[k].Kind != pegs.Nowhere {
			ends[k] = s.Ends[k].At
		}
	}
	id := "string." + s.Name
	scene.Add(draw.Line{Tag: draw.Tag{ID: id, Role: draw.RoleCentre}, From: draw.Pt(ends[0].X, ends[0].Y), To: draw.Pt(ends[1].X, ends[1].Y)})
	ux, uy := s.Way()
	named := false
	for k := range s.Ends {
		e := &s.Ends[k]
		at := draw.Pt(ends[k].X, ends[k].Y)
		switch e.Kind {
		case pegs.OnBoard:
			scene.Add(draw.Line{Tag: draw.Tag{ID: id, Role: draw.RoleCut}, From: draw.Pt(at.X-uy*long/2, at.Y+ux*long/2),
				To: draw.Pt(at.X+uy*long/2, at.Y-ux*long/2)})
		case pegs.OnFence, pegs.OnDrive:
			scene.Add(draw.Circle{Tag: draw.Tag{ID: id, Role: draw.RoleOutline}, Centre: at, Radius: 25})
		}
		if !named && (e.Kind == pegs.OnBoard || k == 1) { // where there is room for its letter
			named = true
			scene.Add(draw.Text{Tag: draw.Tag{ID: id + ".name", Role: draw.RoleNote}, At: at, Text: s.Name})
		}
	}
}

// spokenBoards says in words what the drawing of the strings shows.
func spokenBoards(b *pegs.Boards, o *SceneOptions) string {
	all := []text.Text{text.Say("Strings: {0}. Corners under their crossings: {1}.", text.Number(float64(len(b.Strings))),
		text.Number(float64(len(b.Corners))))}
	for i := range b.Corners {
		c := &b.Corners[i]
		if c.Strings[1] == "" {
			all = append(all, text.Say("Post {0} is under {1}.", text.Word(text.TypedName(c.Name)), text.List(b.Over(c))))
			continue
		}
		all = append(all, text.Say("Peg {0} is under the crossing of {1} and {2}, {3} down to the concrete.", text.Word(text.TypedName(c.Name)),
			text.Word(text.TypedName(c.Strings[0])), text.Word(text.TypedName(c.Strings[1])), text.MM(c.Down)))
	}
	return o.sentences(all)
}
