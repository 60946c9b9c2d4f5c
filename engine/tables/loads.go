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
	if p.Strength == nil {
		return rows
	}
	for i := range p.Strength.Cases {
		c := &p.Strength.Cases[i]
		add := func(way string, forces []plan.CaseForce) {
			for _, f := range forces {
				rows = append(rows, []string{c.Name.String(), way, f.Name.String(), strconv.FormatFloat(f.Force, 'f', 0, 64),
					strconv.FormatFloat(c.Factor, 'f', -1, 64), c.Source})
			}
		}
		add("acts on the leaf", c.Loads)
		add("is asked of what holds it", c.Forces)
	}
	return rows
}
