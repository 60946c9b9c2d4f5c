package sheets

import (
	"pegpour/engine/draw/compose"
	"pegpour/engine/draw/pdf"
	"pegpour/engine/drawing"
	"pegpour/engine/pegs"
)

// strings are those that hold the set-out through the dig: drawn, and where they are tied.
// Why an end is not on a board stands in the large drawings.
func (p *pocket) strings(b *pegs.Boards) {
	i := p.i
	if len(b.Corners) == 0 {
		return
	}
	first := len(p.boxes)
	p.add(picture{about: aboutPlan, group: groupStrings, scene: drawing.BoardsScene(i.Plan, i.Practice, b, i.scene()),
		mirror: i.Plan.Mirrored(), turns: true})
	var rows [][]string
	for k := range b.Strings {
		s := &b.Strings[k]
		for n := range s.Ends {
			e := &s.Ends[n]
			row := []string{s.Name, i.name(e.Kind.Words()), "", "", ""}
			if e.Kind != pegs.Nowhere {
				row[2], row[3], row[4] = i.length(e.At.X), i.length(e.At.Y), i.length(e.Away)
			}
			rows = append(rows, row)
		}
	}
	right := pdf.AlignRight
	p.list(aboutPlan, "Strings: both ends of each", "",
		[]pdf.Column{{Title: "String¦narrow column of letters"}, {Title: "Held by"}, {Title: "Along¦column: from the latch post", Align: right},
			{Title: "Out¦column: from the back of the posts", Align: right}, {Title: "From the concrete", Align: right}}, rows)
	for k := first; k < len(p.boxes); k++ {
		p.boxes[k].Need = compose.Should
	}
}
