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
	if len(levels) > 1 {
		columns := make([]pdf.Column, len(levels[0]))
		for k, title := range levels[0] {
			columns[k] = pdf.Column{Title: title.String(), Align: pdf.AlignRight}
		}
		columns[0] = pdf.Column{Title: levels[0][0].String(), Share: 2}
		rows := tables.English(levels[1:])
		for k := range rows {
			rows[k][0] = i.name(levels[k+1][0])
		}
		heading := "Levels along the track, mm"
		if i.Plan.HangsFree() {
			heading = "Levels under the leaf, mm"
		}
		p.table(heading, columns, rows)
	}
	p.posts()
}

// posts lists the posts of a steel footing.
func (p *paper) posts() {
	for _, side := range p.i.Plan.Sides() {
		p.postsOf(&side)
	}
}

func (p *paper) postsOf(side *plan.Side) {
	i := p.i
	f := side.Footing
	if f == nil {
		return
	}
	along, heading := "Along from latch post", "Posts of the steel footing"
	if side.Name != "" {
		p.Heading(i.name(side.Named("Posts of the steel footing")))
		along, heading = "Along from where the leaves meet", ""
	}
	var rows [][]string
	for k := range f.Posts {
		q := &f.Posts[k]
		rows = append(rows, []string{strconv.Itoa(q.Number), i.length(q.Chainage), i.length(q.Offset),
			i.mark(q.Guess) + i.length(q.Above), i.length(q.Depth), i.mark(q.Guess) + i.length(q.Length), ""})
	}
	right := pdf.AlignRight
	p.table(heading,
		[]pdf.Column{{Title: "Post¦narrow column of numbers", Share: 0.6}, {Title: along, Align: right},
			{Title: "Out from back of posts", Align: right}, {Title: "Above the ground", Align: right},
			{Title: "Hole deep", Align: right}, {Title: "Cut to", Align: right},
			{Title: "Set¦narrow column of ticks", Share: 0.5, Tick: true}}, rows)
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
