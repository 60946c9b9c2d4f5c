package tables

import (
	"strconv"

	"pegpour/engine/plan"
	"pegpour/engine/text"
)

// Quantities lists the quantities as rows of cells, the first row the
// headings: what, amount, unit. Volumes m³, areas m², lengths mm.
func Quantities(p *plan.Plan) [][]string {
	rows := [][]string{{"Item", "Amount", "Unit"}}
	number := func(v float64, decimals int) string { return strconv.FormatFloat(v, 'f', decimals, 64) }
	q := &p.Quantities
	for i := range q.Parts {
		rows = append(rows, []string{q.Parts[i].Name, number(q.Parts[i].Volume/1e9, 4), "m³"})
	}
	rows = append(rows,
		[]string{"Concrete", number(q.Concrete/1e9, 4), "m³"},
		[]string{"Concrete to order", number(q.Order/1e9, 4), "m³"},
		[]string{"Bags of dry mix", strconv.Itoa(q.Bags), "bags"},
		[]string{"Mixer batches", strconv.Itoa(q.Batches), "batches"},
		[]string{"Concrete in plan", number(q.Area/1e6, 4), "m²"},
		[]string{"Tinted concrete", number(q.Tinted/1e9, 4), "m³"},
		[]string{"Digging, in the bank", number(q.DigBank/1e9, 4), "m³"},
		[]string{"Spoil, loose", number(q.DigLoose/1e9, 4), "m³"},
		[]string{"Trailer loads", strconv.Itoa(q.Loads), "loads"},
		[]string{"Edge form", number(q.Form, 0), "mm"},
		[]string{"Trench mesh", number(q.Mesh, 0), "mm"},
		[]string{"Trench mesh lengths", strconv.Itoa(q.MeshSheets), "lengths"},
		[]string{"Saw cut", number(q.SawCut, 0), "mm"},
		[]string{"Pavers lifted", number(q.PaversLifted/1e6, 4), "m²"},
		[]string{"Track", number(q.Track, 0), "mm"},
		[]string{"Track fixings", strconv.Itoa(q.Fixings), "pieces"},
		[]string{"Sleeve anchors", strconv.Itoa(q.Anchors), "pieces"},
		[]string{"Metal, frame and footing", number(p.Steel.Mass, 1), "kg"},
		[]string{"Conduit", number(q.Conduit, 0), "mm"},
	)
	rows = append(rows, groundRows(p)...)
	for i := range p.Steel.Sections {
		rows = append(rows, []string{text.Fill("Metal: {0}", p.Steel.Sections[i].Section),
			number(p.Steel.Sections[i].Length, 0), "mm"})
	}
	for i := range q.Lines {
		l := &q.Lines[i]
		if l.Rate > 0 {
			rows = append(rows, []string{text.Fill("Price: {0}", l.Name), number(l.Cost, 2), "money"})
		}
	}
	if q.Cost > 0 {
		rows = append(rows, []string{"Price: sum of what has a rate", number(q.Cost, 2), "money"})
	}
	return rows
}
