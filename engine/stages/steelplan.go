package stages

import (
	"math"

	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/steel"
	"pegpour/engine/text"
)

// ListCuts gathers what is cut from stock lengths: the frame and the footing.
func ListCuts(p *practice.Practice, leaf *plan.Leaf, tracks int, footing *plan.Footing,
	parts []plan.Outline) plan.Steel {
	s := plan.Steel{Stock: p.StockLength, SawCut: p.SawCut}
	room := len(leaf.Members)
	if footing != nil {
		room += 1 + len(footing.Posts)
	}
	s.Cuts, s.Sections = make([]plan.SteelCut, 0, room), make([]plan.SteelSection, 0, 4)
	for i := range leaf.Members {
		if m := &leaf.Members[i]; m.Metal {
			cut(&s, plan.SteelCut{Mark: m.Mark, Section: m.Section, Length: m.Length, Blank: m.Blank, Count: m.Count,
				CutOff: m.CutOff, Mass: m.Mass})
		}
	}
	if footing == nil {
		return s
	}
	bar, deep, _ := BarSection(p, footing.Laid) // what is refused of it, the footing says
	off := math.Abs(leaf.Slope)
	tan := math.Abs(math.Tan(leaf.Slope))
	cut(&s, plan.SteelCut{Mark: "Footing bar", Section: text.Name(bar.Name), Length: footing.Bar,
		Blank: footing.Bar + deep*tan, Count: tracks, CutOff: off, Mass: bar.Mass(footing.Bar) * float64(tracks)})
	if footing.Levelled {
		tube, _ := footingTube(p)
		for i := range footing.Posts {
			q := &footing.Posts[i]
			cut(&s, plan.SteelCut{Mark: text.Numbered("Footing post {0}", q.Number), Section: text.Name(tube.Name),
				Length: q.Length, Blank: q.Length + p.FootPost*tan, Count: 1, CutOff: off, Mass: tube.Mass(q.Length)})
		}
	}
	for i := range parts {
		if o := &parts[i]; o.Kind == plan.PartPadPlate {
			s.Mass += o.Area * p.PadPlate * steel.Density / 1e9
		}
	}
	return s
}

// leastPiece is the shortest that is cut, mm: less is nothing.
const leastPiece = 1

// cut adds a line to the cut list that is being made.
func cut(s *plan.Steel, c plan.SteelCut) {
	if c.Count < 1 || c.Blank < leastPiece {
		return
	}
	c.Joined = int(max(0, math.Ceil(c.Blank/s.Stock-1e-9)-1))
	s.Cuts = append(s.Cuts, c)
	s.Mass += c.Mass
	at := -1
	for i := range s.Sections {
		if s.Sections[i].Section == c.Section {
			at = i
		}
	}
	if at < 0 {
		at = len(s.Sections)
		s.Sections = append(s.Sections, plan.SteelSection{Section: c.Section})
	}
	s.Sections[at].Length += c.Blank * float64(c.Count)
	s.Sections[at].Mass += c.Mass
	s.Sections[at].Pieces += c.Count
}

// BothCuts are the cuts of two sides in one list, of which stock is bought once.
func BothCuts(run, latch *plan.Steel) plan.Steel {
	both := plan.Steel{Stock: run.Stock, SawCut: run.SawCut}
	cuts := 0.0
	for i, side := range [...]*plan.Steel{run, latch} {
		for _, c := range side.Cuts {
			c.Mark = SideName(c.Mark, i == 1)
			cut(&both, c)
			cuts += c.Mass
		}
	}
	both.Mass += run.Mass + latch.Mass - cuts // plates, which are no cuts
	return both
}
