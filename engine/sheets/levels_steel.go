package sheets

import (
	"math"
	"strconv"

	"pegpour/engine/draw/pdf"
	"pegpour/engine/drawing"
	"pegpour/engine/plan"
	"pegpour/engine/tables"
	"pegpour/engine/text"
)

// long adds the long section with its levels, and the steel footing, where the
// site has them.
func (p *paper) long() {
	i := p.i
	stands := false
	for _, side := range i.Plan.Sides() {
		if section := drawing.SectionScene(side.Plan, i.scene()); section != nil {
			p.elevation(section, i.sideBlock("", aboutDig, &side), &side)
		}
		if footing := drawing.FallingScene(side.Plan, i.scene()); footing != nil {
			p.elevation(footing, i.sideBlock("", aboutDig, &side), &side)
			stands = true
		}
	}
	levels := tables.Levels(i.Plan)
	if len(levels) < 2 && !stands {
		return
	}
	p.Flow(i.block("Levels and posts", aboutDig))
	heading, columns, rows := i.levels()
	p.table(heading, columns, rows)
	p.posts()
}

// levels are those along the track, or under a leaf that hangs free.
func (i *Issue) levels() (heading string, columns []pdf.Column, rows [][]string) {
	levels := tables.Levels(i.Plan)
	if len(levels) < 2 {
		return "", nil, nil
	}
	for _, title := range levels[0] {
		columns = append(columns, pdf.Column{Title: title.String(), Align: pdf.AlignRight})
	}
	columns[0] = pdf.Column{Title: levels[0][0].String(), Share: 2}
	rows = tables.English(levels[1:])
	for k := range rows {
		rows[k][0] = i.name(levels[k+1][0])
	}
	if i.Plan.HangsFree() {
		return "Levels under the leaf, mm", columns, rows
	}
	return "Levels along the track, mm", columns, rows
}

// posts lists the posts of a steel footing.
func (p *paper) posts() {
	for _, side := range p.i.Plan.Sides() {
		p.postsOf(&side)
	}
}

func (p *paper) postsOf(side *plan.Side) {
	heading, columns, rows := p.i.postsOf(side)
	if len(rows) > 0 && side.Name != "" {
		p.Heading(p.i.name(side.Named(text.Name(heading))))
		heading = ""
	}
	p.table(heading, columns, rows)
}

// postsOf has a row for each post of a steel footing.
func (i *Issue) postsOf(side *plan.Side) (heading string, columns []pdf.Column, rows [][]string) {
	f := side.Footing
	if f == nil {
		return "", nil, nil
	}
	along := "Along from latch post"
	if side.Name != "" {
		along = "Along from where the leaves meet"
	}
	for k := range f.Posts {
		q := &f.Posts[k]
		rows = append(rows, []string{strconv.Itoa(q.Number), i.length(q.Chainage), i.length(q.Offset),
			i.mark(q.Guess) + i.length(q.Above), i.length(q.Depth), i.mark(q.Guess) + i.length(q.Length), ""})
	}
	right := pdf.AlignRight
	return "Posts of the steel footing", []pdf.Column{{Title: "Post¦narrow column of numbers", Share: 0.6}, {Title: along, Align: right},
		{Title: "Out from back of posts", Align: right}, {Title: "Above the ground", Align: right},
		{Title: "Hole deep", Align: right}, {Title: "Cut to", Align: right},
		{Title: "Set¦narrow column of ticks", Share: 0.5, Tick: true}}, rows
}

// leafElevation adds the leaf shut and open with its cut lengths.
func (p *paper) leafElevation() {
	for _, side := range p.i.Plan.Sides() {
		p.elevation(drawing.LeafScene(side.Plan, p.i.scene()), p.i.sideBlock("", aboutLeaf, &side), &side)
		if s := drawing.FallingScene(side.Plan, p.i.scene()); s != nil {
			p.elevation(s, p.i.sideBlock("", aboutLeaf, &side), &side)
		}
	}
}

// cutList adds the members of leaf and steel footing, and the stock they take.
func (p *paper) cutList() {
	i := p.i
	steel := &i.Plan.Steel
	kilograms := func(v float64) string { return i.write(text.Arg{Value: v, Dimension: text.Mass}) }
	var rows [][]string
	for k := range steel.Cuts {
		c := &steel.Cuts[k]
		off := ""
		if math.Abs(c.CutOff) > 1e-4 {
			off = i.write(text.Arg{Value: c.CutOff, Dimension: text.AngleOf})
		}
		joined := ""
		if c.Joined > 0 {
			joined = strconv.Itoa(c.Joined)
		}
		rows = append(rows, []string{i.name(c.Mark), i.name(c.Section), i.length(c.Length), strconv.Itoa(c.Count), off,
			joined, kilograms(c.Mass), ""})
	}
	right := pdf.AlignRight
	p.table("Cut list", []pdf.Column{{Title: "Mark", Share: 1.3}, {Title: "Section", Share: 1.5},
		{Title: "Length", Align: right}, {Title: "Pieces", Align: right, Share: 0.7},
		{Title: "Ends off square", Align: right}, {Title: "Joints", Align: right, Share: 0.6}, {Title: "Mass", Align: right},
		{Title: "Cut¦narrow column of ticks", Share: 0.5, Tick: true}}, rows)
	rows = nil
	for k := range steel.Sections {
		s := &steel.Sections[k]
		rows = append(rows, []string{i.name(s.Section), i.length(s.Length), strconv.Itoa(s.Pieces), kilograms(s.Mass)})
	}
	p.table("By section", []pdf.Column{{Title: "Section", Share: 1.8}, {Title: "Length together", Align: right},
		{Title: "Pieces", Align: right}, {Title: "Mass", Align: right}}, rows)
	p.posts()
}
