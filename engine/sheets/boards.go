package sheets

import (
	"pegpour/engine/draw"
	"pegpour/engine/draw/pdf"
	"pegpour/engine/drawing"
	"pegpour/engine/pegs"
)

// boards are the strings that hold the set-out through the dig: where they are tied,
// and what lies under their crossings.
func (p *paper) boards() {
	i := p.i
	b := pegs.LayBoards(i.Plan, i.Practice)
	if len(b.Corners) == 0 {
		return
	}
	block := i.block("Strings and profile boards", aboutPlan)
	p.plan(drawing.BoardsScene(i.Plan, i.Practice, b, i.scene()), block, draw.Box{})
	p.Flow(block)
	right := pdf.AlignRight
	var rows [][]string
	for k := range b.Strings {
		s := &b.Strings[k]
		for n := range s.Ends {
			e := &s.Ends[n]
			row := []string{s.Name, i.name(e.Kind.Words()), "", "", "", i.sentence(e.Why)}
			if e.Kind != pegs.Nowhere {
				row[2], row[3], row[4] = i.length(e.At.X), i.length(e.At.Y), i.length(e.Away)
			}
			rows = append(rows, row)
		}
	}
	p.table("Strings: both ends of each",
		[]pdf.Column{{Title: "String¦narrow column of letters", Share: 0.6}, {Title: "Held by", Share: 1.3},
			{Title: "Along from latch post", Align: right}, {Title: "Out from back of posts", Align: right},
			{Title: "From the concrete", Align: right}, {Title: "Why", Share: 3}}, rows)
	rows = nil
	for k := range b.Corners {
		c := &b.Corners[k]
		rows = append(rows, []string{c.Name, i.name(c.Of), i.sentence(b.Over(c)), i.length(c.Level), i.length(c.Down), i.length(c.Bottom)})
	}
	p.table("Corners under the strings",
		[]pdf.Column{{Title: "Peg¦narrow column of numbers", Share: 0.6}, {Title: "Of", Share: 1.6}, {Title: "Strings", Share: 0.8},
			{Title: "Level of the concrete", Align: right}, {Title: "Down from the string", Align: right},
			{Title: "Down to the bottom of the dig", Align: right, Share: 1.2}}, rows)
	p.Paragraph(i.sentence(b.Words()))
}
