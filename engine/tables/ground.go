package tables

import (
	"math"

	"pegpour/engine/plan"
	"pegpour/engine/text"
)

// Levels lists the levels along the track line as rows of cells, the first
// row the headings: where, chainage, the ground as it is, the top of the strip,
// and how much is packed up (+) or taken off (−), all mm; of a leaf that hangs free its
// underside and the gap under it in place of both. It is nil on level
// ground. A level that was not read near is marked with "~".
func Levels(p *plan.Plan) [][]text.Name {
	var rows [][]text.Name
	for _, side := range p.Sides() {
		own := levelsOf(side.Plan)
		for i := 1; i < len(own); i++ {
			own[i][0] = side.Named(own[i][0])
		}
		if len(rows) > 0 && len(own) > 0 {
			own = own[1:] // one row of headings
		}
		rows = append(rows, own...)
	}
	return rows
}

func levelsOf(p *plan.Plan) [][]text.Name {
	g := p.Ground
	if !g.Known() {
		return nil
	}
	level := func(v float64) text.Name { return number(math.Round(v)+0, 0) }
	h := p.Leaf.Hanging
	rows := [][]text.Name{{"Place", "Chainage", "Ground", "Strip", "Up or down"}}
	if h != nil {
		rows[0] = []text.Name{"Place", "Chainage", "Ground", "Leaf's underside", "Gap"}
	}
	for i := range g.Profile {
		q := &g.Profile[i]
		ground := level(q.Level)
		if q.Extrapolated {
			ground = "~" + ground
		}
		over := q.Strip
		if h != nil {
			over = h.Level
		}
		rows = append(rows, []text.Name{q.Name, level(q.Chainage), ground, level(over), level(over - q.Level)})
	}
	return rows
}

// groundRows are the rows of the quantity table that come of the ground.
func groundRows(p *plan.Plan) [][]text.Name {
	if p.Pair != nil {
		var rows [][]text.Name
		for _, side := range p.Sides() {
			for _, row := range groundRows(side.Plan) {
				row[0] = side.Named(row[0])
				rows = append(rows, row)
			}
		}
		return rows
	}
	g := p.Ground
	if g == nil {
		return nil
	}
	var rows [][]text.Name
	if g.Cut > 0 {
		rows = append(rows, []text.Name{"Cut above the strip's grade, in the bank", number(g.Cut/1e9, 4), "m³"})
	}
	if h := p.Leaf.Hanging; h != nil && h.Dig > 0 {
		rows = append(rows, []text.Name{"Dig under the open leaf, in the bank", number(h.Dig/1e9, 4), "m³"})
	}
	if g.Bedding > 0 {
		rows = append(rows, []text.Name{"Bedding", number(g.Bedding/1e9, 4), "m³"})
	}
	if r := g.Rising; r != nil {
		rows = append(rows, []text.Name{"Retaining wall, length", number(r.WallLength, 0), "mm"},
			[]text.Name{"Retaining wall, face", number(r.WallFace/1e6, 4), "m²"})
		if r.Drain > 0 {
			rows = append(rows, []text.Name{"Drain behind the wall", number(r.Drain, 0), "mm"})
		}
	}
	return rows
}
