package tables

import (
	"strconv"

	"pegpour/engine/plan"
	"pegpour/engine/text"
)

// English gives the cells of a table in English, as files hold them.
func English(rows [][]text.Name) [][]string {
	said := make([][]string, len(rows))
	for i, row := range rows {
		said[i] = make([]string, len(row))
		for k, cell := range row {
			said[i][k] = cell.String()
		}
	}
	return said
}

// number is a cell that holds a number.
func number(v float64, decimals int) text.Name {
	return text.Name(strconv.FormatFloat(v, 'f', decimals, 64))
}

// whole is a cell that holds a whole number.
func whole(n int) text.Name { return text.Name(strconv.Itoa(n)) }

// counted is a row about n things, with the word for one of them or for several.
func counted(item text.Name, n int, one, several text.Name) []text.Name {
	if n == 1 {
		several = one
	}
	return []text.Name{item, whole(n), several}
}

// Quantities lists the quantities as rows of cells, the first row the
// headings: what, amount, unit. Volumes m³, areas m², lengths mm.
func Quantities(p *plan.Plan) [][]text.Name {
	rows := [][]text.Name{{"Item", "Amount", "Unit"}}
	q := &p.Quantities
	for i := range q.Parts {
		rows = append(rows, []text.Name{q.Parts[i].Name, number(q.Parts[i].Volume/1e9, 4), "m³"})
	}
	rows = append(rows,
		[]text.Name{"Concrete", number(q.Concrete/1e9, 4), "m³"},
		[]text.Name{"Concrete to order", number(q.Order/1e9, 4), "m³"},
		counted("Bags of dry mix", q.Bags, "bag", "bags"),
		counted("Mixer batches", q.Batches, "batch", "batches"),
		[]text.Name{"Concrete in plan", number(q.Area/1e6, 4), "m²"},
		[]text.Name{"Tinted concrete", number(q.Tinted/1e9, 4), "m³"},
		[]text.Name{"Digging, in the bank", number(q.DigBank/1e9, 4), "m³"},
		[]text.Name{"Spoil, loose", number(q.DigLoose/1e9, 4), "m³"},
		[]text.Name{"Spoil, weight at most", number(q.SpoilMass, 0), "kg"},
		counted("Trailer loads", q.Loads, "trailer load", "trailer loads"),
		[]text.Name{"Edge form", number(q.Form, 0), "mm"},
		[]text.Name{"Trench mesh", number(q.Mesh, 0), "mm"},
		counted("Trench mesh lengths", q.MeshSheets, "piece", "pieces"),
		[]text.Name{"Saw cut", number(q.SawCut, 0), "mm"},
		[]text.Name{"Pavers lifted", number(q.PaversLifted/1e6, 4), "m²"},
	)
	if p.HangsFree() {
		rows = append(rows, counted("Carriages", 2, "piece", "pieces"))
	} else {
		rows = append(rows, []text.Name{"Track", number(q.Track, 0), "mm"}, counted("Track fixings", q.Fixings, "piece", "pieces"))
	}
	rows = append(rows,
		counted("Anchors", q.Anchors, "piece", "pieces"),
		[]text.Name{"Metal, frame and footing", number(p.Steel.Mass, 1), "kg"},
		[]text.Name{"Conduit", number(q.Conduit, 0), "mm"},
	)
	rows = append(rows, groundRows(p)...)
	for i := range p.Steel.Sections {
		rows = append(rows, []text.Name{text.Named("Metal: {0}", p.Steel.Sections[i].Section),
			number(p.Steel.Sections[i].Length, 0), "mm"})
	}
	for i := range q.Lines {
		l := &q.Lines[i]
		if l.Rate > 0 {
			rows = append(rows, []text.Name{text.Named("Price: {0}", l.Name), number(l.Cost, 2), "money"})
		}
	}
	if q.Cost > 0 {
		rows = append(rows, []text.Name{"Price: sum of what has a rate", number(q.Cost, 2), "money"})
	}
	return rows
}
