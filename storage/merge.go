package storage

import (
	"encoding/json"
	"slices"
	"strconv"
	"strings"

	"pegpour/engine/refusal"
	"pegpour/engine/text"
	"pegpour/storage/canonical"
)

// Conflict is a place that both sides changed, each in its own way. A nil side
// removed it, or never had it.
type Conflict struct {
	Path               string
	Name               text.Name // the field in the trade's words, where known
	Base, Ours, Theirs json.RawMessage
}

// Choose returns the edit that settles the conflict on the merged document.
func (c Conflict) Choose(theirs bool) Edit {
	after := c.Ours
	if theirs {
		after = c.Theirs
	}
	return Edit{Label: c.Name.String(), Changes: []Change{{Path: c.Path, After: after}}}
}

// Contested returns the change from one side to the other as a conflict, for
// places at which nobody can tell who changed what.
func (c Change) Contested() Conflict {
	return Conflict{Path: c.Path, Name: nameOf(splitPath(c.Path)), Ours: c.Before, Theirs: c.After}
}

// Merge brings two documents together that both came from base (nil: nothing
// in common). What one side changed is taken; a measured value with its way of
// measuring is one piece. Where both changed the same place differently the
// merged document holds ours, and the conflict is listed for a person.
//
// Lists (obstructions, points of an edge, photos, notes) are merged by the
// identity of their entries: additions of both sides are kept, standing after
// the entry of base they were added behind; an entry removed by one side and
// changed by the other is kept and listed. Without conflicts the result does
// not depend on which side is called ours. Documents of different sites are
// refused with a *DecodeError.
func Merge(base, ours, theirs *Document) (*Document, []Conflict, error) {
	var trees [3]map[string]any
	for i, d := range []*Document{base, ours, theirs} {
		if d == nil {
			continue
		}
		var err error
		if trees[i], err = d.checkedTree(); err != nil {
			return nil, nil, err
		}
		if d.ID != ours.ID {
			return nil, nil, &DecodeError{Path: "id", Reason: refusal.Say("is another site's")}
		}
	}
	if base != nil {
		// Where one side had the gate run the other way, what the other read belongs to
		// the side it ran to.
		var err error
		if turned := turnedFrom(base, ours); turned != turnedFrom(base, theirs) {
			like, other := ours, 2
			if !turned {
				like, other = theirs, 1
			}
			for _, i := range []int{0, other} {
				d := []*Document{base, ours, theirs}[i]
				if trees[i], err = d.turnedTree(like); err != nil {
					return nil, nil, err
				}
			}
		}
	}
	m := merger{}
	merged := m.object(nil, documentShape, trees[0], trees[1], trees[2])
	if m.err != nil {
		return nil, nil, m.err
	}
	d, err := documentOf(merged)
	return d, m.conflicts, err
}

type merger struct {
	conflicts []Conflict
	err       error
}

func (m *merger) object(path []string, s *shape, b, o, t map[string]any) map[string]any {
	out := map[string]any{}
	for _, name := range namesOf(o, t) {
		if v := m.value(append(slices.Clip(path), name), s.at(name), b[name], o[name], t[name]); v != nil {
			out[name] = v
		}
	}
	return out
}

func (m *merger) value(path []string, s *shape, b, o, t any) any {
	switch {
	case equalTrees(o, t), equalTrees(b, t):
		return o
	case equalTrees(b, o):
		return t
	}
	if len(path) == 1 && (path[0] == "changed" || path[0] == "created") {
		return laterOrEarlier(path[0], o, t)
	}
	if len(path) == 1 && path[0] == "shopRules" && o != nil && t != nil {
		return newerRules(o, t) // both took the shop's rules of their day
	}
	if s == nil || !s.whole {
		oo, isO := o.(map[string]any)
		ot, isT := t.(map[string]any)
		ob, isB := b.(map[string]any)
		if isO && isT && (isB || b == nil) {
			return m.object(path, s, ob, oo, ot)
		}
	}
	if s != nil && s.entry != nil {
		lb, okB := asList(b)
		lo, okO := asList(o)
		lt, okT := asList(t)
		if okB && okO && okT {
			return m.list(path, s, lb, lo, lt)
		}
	}
	m.conflict(path, b, o, t)
	if o == nil {
		return t
	}
	return o
}

// laterOrEarlier settles times: changed is the later, created the earlier.
func laterOrEarlier(name string, o, t any) any {
	so, okO := o.(string)
	st, okT := t.(string)
	if !okO || okT && (name == "changed") == (CompareTimes(st, so) > 0) {
		return t
	}
	return o
}

func (m *merger) conflict(path []string, b, o, t any) {
	c := Conflict{Path: joinPath(path...), Name: nameOf(path)}
	for _, side := range []struct {
		v  any
		to *json.RawMessage
	}{{b, &c.Base}, {o, &c.Ours}, {t, &c.Theirs}} {
		if side.v == nil {
			continue
		}
		text, err := canonical.Marshal(side.v)
		if err != nil {
			m.err = err
			return
		}
		*side.to = text
	}
	m.conflicts = append(m.conflicts, c)
}

// nameOf gives the trade's words for a path.
func nameOf(path []string) text.Name {
	field := slices.Clone(path)
	if field[0] == "survey" || field[0] == "drafts" {
		field = field[1:]
	}
	for i := range field {
		if _, ok := entryID(field[i]); ok {
			field[i] = strconv.Itoa(0) // every entry's fields have the same names
		}
	}
	return fieldName(strings.Join(field, "."))
}

func (m *merger) list(path []string, s *shape, b, o, t []any) any {
	idsB := entryIDs(b)
	inB, inO, inT := byID(b), byID(o), byID(t)
	runsO, runsT := addedBehind(o, inB), addedBehind(t, inB)
	out := []any{}
	placed := map[string]bool{} // both sides may have put the same entry at different places
	entry := func(id string) {
		if placed[id] {
			return
		}
		placed[id] = true
		at := append(slices.Clip(path), "@"+id)
		if v := m.value(at, s.entry, inB[id], inO[id], inT[id]); v != nil {
			out = append(out, v)
		}
	}
	runs := func(anchor string) {
		ro, rt := runsO[anchor], runsT[anchor]
		if len(ro) > 0 && len(rt) > 0 && rt[0] < ro[0] {
			ro, rt = rt, ro
		}
		for _, id := range ro {
			entry(id)
		}
		for _, id := range rt {
			entry(id)
		}
	}
	runs("")
	for _, id := range idsB {
		entry(id)
		runs(id)
	}
	return out
}

// byID finds the entries of a list by their identities.
func byID(list []any) map[string]any {
	all := make(map[string]any, len(list))
	for i, id := range entryIDs(list) {
		if _, there := all[id]; !there {
			all[id] = list[i]
		}
	}
	return all
}

// addedBehind lists the entries that base does not have, by the entry of base
// behind which they stand ("" for the start).
func addedBehind(list []any, base map[string]any) map[string][]string {
	runs := map[string][]string{}
	at := ""
	for _, id := range entryIDs(list) {
		if _, there := base[id]; there {
			at = id
		} else {
			runs[at] = append(runs[at], id)
		}
	}
	return runs
}

// newerRules is that of two sets of the shop's rules which the yard had later.
func newerRules(o, t any) any {
	revision := func(v any) float64 {
		rules, _ := v.(map[string]any)
		switch n := rules["revision"].(type) {
		case float64:
			return n
		case int64:
			return float64(n)
		}
		return 0
	}
	if revision(t) > revision(o) {
		return t
	}
	return o
}
