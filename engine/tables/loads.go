package tables

import (
	"strconv"

	"pegpour/engine/plan"
)

// Loads lists the load cases as rows of cells, the first row the headings: case,
// which way (a load on the leaf, or what is asked of what holds it), what, force in
// N, factor on the load, source.
func Loads(p *plan.Plan) [][]string {
	rows := [][]string{{"Case", "Which way", "What", "Force N", "Factor", "Source"}}
	for _, side := range p.Sides() {
		rows = loadsOf(rows, &side)
	}
	return rows
}

func loadsOf(rows [][]string, side *plan.Side) [][]string {
	if side.Strength == nil {
		return rows
	}
	for i := range side.Strength.Cases {
		c := &side.Strength.Cases[i]
		name := side.Named(c.Name).String()
		add := func(way string, forces []plan.CaseForce) {
			for _, f := range forces {
				rows = append(rows, []string{name, way, f.Name.String(), strconv.FormatFloat(f.Force, 'f', 0, 64),
					strconv.FormatFloat(c.Factor, 'f', -1, 64), c.Source})
			}
		}
		add("acts on the leaf", c.Loads)
		add("is asked of what holds it", c.Forces)
	}
	return rows
}
