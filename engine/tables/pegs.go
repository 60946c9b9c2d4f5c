package tables

import (
	"strconv"

	"pegpour/engine/plan"
)

// Pegs lists the pegs as total stations and spreadsheets take points, the first row the
// headings, which say the frame: name, x, y and level in m, then the part. The two corners
// from which the tapes go come first, for a station to find itself by. x runs to the right
// as seen from the street, so that the frame is never turned over: behind a gate that runs
// to the left it is below zero. The level is empty where none is known.
func Pegs(p *plan.Plan) [][]string {
	rows := [][]string{{"Point", "x m, along the back of the posts from the latch post, to the right seen from the street",
		"y m, into the property", "Level m", "Part"}}
	turn := 1.0
	if p.Mirrored() {
		turn = -1
	}
	metres := func(v float64) string { return strconv.FormatFloat(v/1000+0, 'f', 4, 64) }
	rows = append(rows,
		[]string{"latch post", metres(0), metres(0), "", "inner back corner of the latch post"},
		[]string{"run-back post", metres(turn * p.Opening), metres(0), "", "inner back corner of the run-back post"})
	for i := range p.Pegs {
		g := &p.Pegs[i]
		level := ""
		if g.Levelled {
			level = metres(g.Level)
		}
		rows = append(rows, []string{strconv.Itoa(g.Number), metres(turn * g.Chainage), metres(g.Offset), level,
			g.Name.String()})
	}
	return rows
}
