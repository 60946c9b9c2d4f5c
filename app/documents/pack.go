package documents

import (
	"slices"

	"pegpour/app/papers/order"
)

// Pack is what one reader gets.
type Pack struct {
	ID, Name, What string

	sheets []string // readers of the sheets in it
	files  []string // kinds of makeFile, order.Cuts and order.Exchange
}

var packs = []Pack{
	{"all", "Everything", "All sheets, drawing, tables and the survey.",
		[]string{"owner", "labourer", "steel", "supplier", "engineer"},
		[]string{"drawing", order.Exchange, "pegs", "quantities", order.Cuts, "loads", "place", "survey"}},
	{"owner", "Owner", "One page in plain words, and the picture.",
		[]string{"owner"}, []string{"view"}},
	{"labourer", "Labourer", "Set-out, pegs, sections, pour list and checklist, for a pocket.",
		[]string{"labourer"}, []string{"drawing"}},
	{"large", "Large drawings", "The same with each drawing on a page of its own, and every figure.",
		[]string{"large"}, nil},
	{"steel", "Steel shop", "The leaf with its lengths, posts and track.",
		[]string{"steel"}, []string{order.Cuts}},
	{"supplier", "Supplier", "Amounts to deliver, as sheet and table.",
		[]string{"supplier"}, []string{"quantities"}},
	{"engineer", "Engineer", "Load cases, what was worked out of strength and what could not be judged.",
		[]string{"engineer"}, []string{"loads"}},
	{"drawings", "Drawings in true size", "Set-out, sections and leaf as one DXF file, the pegs as a table of points, and the place on the map where it was given.",
		nil, []string{order.Exchange, "pegs", "place"}},
	{"quote", "Quote", "The page that the owner signs: prices, and what they rest on.", []string{"quote"}, nil},
	{"costing", "Costing", "For the shop only: hours, cost and margin.", []string{"costing"}, nil},
	{"handOver", "Hand-over", "The record of its tests, and the page that the owner keeps.",
		[]string{"hand-over", "keeper"}, nil},
}

// HandOverPack is what is handed out with a gate.
func HandOverPack() Pack { return packs[len(packs)-1] }

// QuotePacks are the owner's page of a quote and the shop's.
func QuotePacks() []Pack { return packs[len(packs)-3 : len(packs)-1] }

// Packs are the packs, the one with everything first.
func Packs() []Pack { return packs }

// Reader is for whom the only sheet of a pack is; "" where there are more or none.
func (p Pack) Reader() string {
	if len(p.sheets) == 1 {
		return p.sheets[0]
	}
	return ""
}

// ordered are the files of a pack that the program for documents makes; their content is
// what is ordered.
func (p Pack) ordered(base string) []file {
	var all []file
	for _, reader := range p.sheets {
		all = append(all, file{base + "-" + reader + ".pdf", "application/pdf", reader})
	}
	if slices.Contains(p.files, order.Cuts) {
		all = append(all, file{base + "-steel.csv", "text/csv", order.Cuts})
	}
	if slices.Contains(p.files, order.Exchange) {
		all = append(all, file{base + "-set-out.dxf", "image/vnd.dxf", order.Exchange})
	}
	return all
}
