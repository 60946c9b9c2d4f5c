package survey

// Build is what was set, poured, measured and tested after the set-out was made, in
// the order of the job. No plan is made from it but where it says so.
type Build struct {
	// Pegs are the pegs as they were set, by the tapes between them.
	Pegs SetPegs `json:"pegs,omitzero"`
	// Casting is what was read and noted before and at the pour.
	Casting Casting `json:"casting,omitzero"`
	// Poured is what stands there after it.
	Poured Poured `json:"poured,omitzero"`
	// HandOver is what was tested and handed over.
	HandOver HandOver `json:"handOver,omitzero"`
}

func (b Build) clone() Build {
	b.Pegs, b.Casting = b.Pegs.clone(), b.Casting.clone()
	b.Poured, b.HandOver = b.Poured.clone(), b.HandOver.clone()
	return b
}
