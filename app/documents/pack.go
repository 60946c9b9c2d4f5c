package documents

// Pack is what one reader gets.
type Pack struct {
	ID, Name, What string

	sheets []string // readers of the sheets in it
	files  []string // kinds of makeFile
}

var packs = []Pack{
	{"all", "Everything", "All sheets, drawing, tables and the survey.",
		[]string{"owner", "labourer", "steel", "supplier", "engineer"},
		[]string{"drawing", "quantities", "cuts", "loads", "survey"}},
	{"owner", "Owner", "One page in plain words, and the picture.",
		[]string{"owner"}, []string{"view"}},
	{"labourer", "Labourer", "Set-out, pegs, sections, pour list and checklist.",
		[]string{"labourer"}, []string{"drawing"}},
	{"steel", "Steel shop", "The leaf with its lengths, posts and track.",
		[]string{"steel"}, []string{"cuts"}},
	{"supplier", "Supplier", "Amounts to deliver, as sheet and table.",
		[]string{"supplier"}, []string{"quantities"}},
	{"engineer", "Engineer", "Load cases, what was worked out of strength and what could not be judged.",
		[]string{"engineer"}, []string{"loads"}},
}

// Packs are the packs, the one with everything first.
func Packs() []Pack { return packs }

// Reader is for whom the only sheet of a pack is; "" where there are more or none.
func (p Pack) Reader() string {
	if len(p.sheets) == 1 {
		return p.sheets[0]
	}
	return ""
}
