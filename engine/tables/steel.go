package tables

import (
	"strconv"

	"pegpour/engine/plan"
	"pegpour/engine/text"
)

// Steel lists what the steel shop cuts, as rows of cells, the first row
// the headings: mark, what it is, section, length in mm, how many, the cut off
// square in degrees, and whether the plan was made of what was poured or before. The
// lengths of members are from cut to cut along one edge.
func Steel(p *plan.Plan, poured bool) [][]string {
	rows := [][]string{{"Mark", "Item", "Section", "Length mm", "Count", "Cut off square °", "Made"}}
	for _, side := range p.Sides() {
		from := len(rows)
		rows = steelOf(rows, side.Plan)
		for i := from; i < len(rows) && side.Name != ""; i++ {
			rows[i][1] += ", " + side.Name.String()
		}
	}
	made := "as planned"
	if poured {
		made = "as poured"
	}
	for i := range rows[1:] {
		rows[1+i] = append(rows[1+i], made)
	}
	return rows
}

// steelOf adds what is cut for one leaf and its post.
func steelOf(rows [][]string, p *plan.Plan) [][]string {
	number := func(v float64, decimals int) string { return strconv.FormatFloat(v, 'f', decimals, 64) }
	for i := range p.Leaf.Members {
		m := &p.Leaf.Members[i]
		rows = append(rows, []string{m.Mark.String(), "Leaf member", m.Section.String(), number(m.Length, 1), strconv.Itoa(m.Count),
			number(m.CutOff*text.DegreesPerRadian, 2)})
	}
	panels := max(1, len(p.Leaf.Panels))
	rows = append(rows, []string{"", "Guide rail", "", number(p.Leaf.GuideRail, 0), strconv.Itoa(panels), "0"})
	if p.Has(plan.PartMotor) {
		rows = append(rows, []string{"", "Rack", "", number(p.Leaf.Rack, 0), "1", "0"})
	}
	for i := range p.Track.Lines {
		rows = append(rows, []string{"", "Track " + strconv.Itoa(i+1), "", number(p.Track.Lines[i].Length, 0), "1", "0"})
	}
	if post, ok := p.Part(plan.PartGuidePost, 1); ok {
		low, high := post.Ring.Bounds()
		size := number(high.X-low.X, 0) + " x " + number(high.Y-low.Y, 0)
		rows = append(rows, []string{"", "Guide post, above the ground", size, number(p.Leaf.Height, 0), "1", "0"})
		if hole := p.Deepest(plan.PartPostHole); hole != nil {
			rows = append(rows, []string{"", "Guide post, in the ground at most", size, number(hole.Deep(), 0), "1", "0"})
		}
	}
	return rows
}
