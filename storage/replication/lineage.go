package replication

import (
	"slices"

	"pegpour/storage"
)

// Lineage holds the parents of each revision of a site.
type Lineage map[storage.Revision][]storage.Revision

// Ancestors returns a revision and all it came from.
func (l Lineage) Ancestors(of storage.Revision) map[storage.Revision]bool {
	seen := map[storage.Revision]bool{}
	queue := []storage.Revision{of}
	for len(queue) > 0 {
		r := queue[len(queue)-1]
		queue = queue[:len(queue)-1]
		if _, known := l[r]; !known || seen[r] {
			continue
		}
		seen[r] = true
		queue = append(queue, l[r]...)
	}
	return seen
}

// Common returns the nearest revisions that a and b both came from, in order
// of name: a itself when b came from it. Several when their histories crossed;
// none when they have nothing in common.
func (l Lineage) Common(a, b storage.Revision) []storage.Revision {
	ofA, ofB := l.Ancestors(a), l.Ancestors(b)
	var common []storage.Revision
	further := map[storage.Revision]bool{} // reached from another common one
	for r := range ofA {
		if !ofB[r] {
			continue
		}
		common = append(common, r)
		for _, p := range l[r] {
			further[p] = true
		}
	}
	common = slices.DeleteFunc(common, func(r storage.Revision) bool { return further[r] })
	slices.Sort(common)
	return common
}

// Heads returns the revisions from which no other came, in order of name.
func (l Lineage) Heads() []storage.Revision {
	parent := map[storage.Revision]bool{}
	for _, parents := range l {
		for _, p := range parents {
			parent[p] = true
		}
	}
	var heads []storage.Revision
	for r := range l {
		if !parent[r] {
			heads = append(heads, r)
		}
	}
	slices.Sort(heads)
	return heads
}
