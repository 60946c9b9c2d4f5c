package sheets

import (
	"strconv"

	"pegpour/engine/draw/compose"
	"pegpour/engine/draw/pdf"
	"pegpour/engine/drawing"
	"pegpour/engine/pegs"
	"pegpour/engine/plan"
)

// pegs lists them with the tapes that fix each, and the diagonals; of those under a string
// how far down the concrete is, and the bottom of the dig.
func (p *pocket) pegs(b *pegs.Boards) {
	i := p.i
	corners := map[string]*pegs.Corner{}
	for k := range b.Corners {
		corners[b.Corners[k].Key] = &b.Corners[k]
	}
	right := pdf.AlignRight
	columns := []pdf.Column{{Title: "Peg¦narrow column of numbers"}, {Title: "Of"},
		{Title: "Along¦column: from the latch post", Align: right},
		{Title: "Beyond¦column: from the run-back post", Align: right},
		{Title: "Out¦column: from the back of the posts", Align: right},
		{Title: "Latch tape", Align: right}, {Title: "Run-back tape", Align: right}}
	note := i.say("Along: from the latch post, on the back of the posts; beyond: from the run-back post; out: square to it. Both tapes start at the back inner corner of their post: where they meet, the peg stands.")
	if len(corners) > 0 {
		columns = append(columns, pdf.Column{Title: "Strings"},
			pdf.Column{Title: "Level¦column: of the concrete", Align: right},
			pdf.Column{Title: "Down¦column: from the string", Align: right},
			pdf.Column{Title: "Dig¦column: from the string", Align: right})
		note += " " + i.say("Level: of the concrete; down: from the string to it; dig: from the string to the bottom.") +
			" " + i.sentence(b.Words())
	}
	columns = append(columns, pdf.Column{Title: "Set¦narrow column of ticks", Tick: true})
	marks := pegs.Marks(i.Plan, i.Practice)
	var rows [][]string
	for k, g := range i.Plan.Pegs {
		beyond := "" // only where it is nearer than the latch post on the way
		if g.Chainage > i.Plan.Opening-plan.Tolerance {
			beyond = i.beyond(g.Chainage - i.Plan.Opening)
		}
		row := []string{strconv.Itoa(g.Number), i.name(g.Name), i.length(g.Chainage), beyond, i.length(g.Offset),
			i.length(g.FromLatch), i.length(g.FromRunBack)}
		if c := corners[marks[k].Key]; c != nil {
			row = append(row, i.sentence(b.Over(c)), i.length(c.Level), i.length(c.Down), i.length(c.Bottom))
		}
		for len(row) < len(columns)-1 {
			row = append(row, "")
		}
		set := ""
		if i.Done[g.Number] {
			set = i.say("stands")
		}
		rows = append(rows, append(row, set))
	}
	p.need(compose.Keep, p.list(aboutPlan, "Pegs, in the order one walks", note, columns, rows))
	rows = nil
	for _, d := range i.Plan.Diagonals {
		rows = append(rows, []string{strconv.Itoa(d.From) + " - " + strconv.Itoa(d.To), i.length(d.Length), ""})
	}
	p.list(aboutPlan, "Diagonals to check by", "", []pdf.Column{{Title: "Pegs"}, {Title: "Straight", Align: right},
		{Title: "Agrees", Tick: true}}, rows)
}

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
		[]pdf.Column{{Title: "String¦narrow column of letters"}, {Title: "Held by"},
			{Title: "Along¦column: from the latch post", Align: right},
			{Title: "Out¦column: from the back of the posts", Align: right}, {Title: "From the concrete", Align: right}}, rows)
	for k := first; k < len(p.boxes); k++ {
		p.boxes[k].Need = compose.Should
	}
}
