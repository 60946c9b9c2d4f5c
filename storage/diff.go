package storage

import (
	"slices"

	"pegpour/storage/canonical"
)

// Diff returns the edit that turns a into b, by path. Apply(a, Diff(a, b))
// equals b, but for null values in parts that this version does not know.
func Diff(a, b *Document) (Edit, error) {
	ta, err := a.checkedTree()
	if err != nil {
		return Edit{}, err
	}
	tb, err := b.checkedTree()
	if err != nil {
		return Edit{}, err
	}
	d := differ{}
	d.object(nil, documentShape, ta, tb)
	return Edit{Changes: d.changes}, d.err
}

type differ struct {
	changes []Change
	err     error
	deep    bool // go down to single fields even where a whole group is new
}

func (d *differ) add(path []string, before, after any, follows *string) {
	c := Change{Path: joinPath(path...), Follows: follows}
	for _, side := range []struct {
		v  any
		to *[]byte
	}{{before, (*[]byte)(&c.Before)}, {after, (*[]byte)(&c.After)}} {
		if side.v == nil {
			continue
		}
		text, err := canonical.Marshal(side.v)
		if err != nil {
			d.err = err
			return
		}
		*side.to = text
	}
	d.changes = append(d.changes, c)
}

func (d *differ) value(path []string, s *shape, a, b any) {
	if equalTrees(a, b) {
		return
	}
	if s == nil || !s.whole {
		oa, isA := a.(map[string]any)
		ob, isB := b.(map[string]any)
		if isA && isB || d.deep && len(path) < MaxDocumentDepth && (isA && b == nil || isB && a == nil) {
			d.object(path, s, oa, ob)
			return
		}
	}
	if s != nil && s.entry != nil {
		la, okA := asList(a)
		lb, okB := asList(b)
		if okA && okB {
			d.list(path, s, la, lb)
			return
		}
	}
	d.add(path, a, b, nil)
}

func (d *differ) object(path []string, s *shape, a, b map[string]any) {
	for _, name := range namesOf(a, b) {
		if len(path) == 0 && fixedName(name) {
			continue
		}
		d.value(append(slices.Clip(path), name), s.at(name), a[name], b[name])
	}
}

func (d *differ) list(path []string, s *shape, a, b []any) {
	idsA, idsB := entryIDs(a), entryIDs(b)
	inA, inB := byID(a), byID(b)
	both := func(ids []string, other map[string]any) []string {
		return slices.DeleteFunc(slices.Clone(ids), func(id string) bool { return other[id] == nil })
	}
	moved := !slices.Equal(both(idsA, inB), both(idsB, inA))
	stays := func(id string) bool { return !moved && inA[id] != nil && inB[id] != nil }
	for i, id := range slices.Backward(idsA) {
		if !stays(id) {
			prev := ""
			if i > 0 {
				prev = idsA[i-1]
			}
			d.add(append(slices.Clip(path), "@"+id), a[i], nil, &prev)
		}
	}
	for i, id := range idsB {
		at := append(slices.Clip(path), "@"+id)
		if stays(id) {
			d.value(at, s.entry, inA[id], b[i])
			continue
		}
		prev := ""
		if i > 0 {
			prev = idsB[i-1]
		}
		d.add(at, nil, b[i], &prev)
	}
}

func asList(v any) ([]any, bool) {
	if v == nil {
		return nil, true
	}
	list, ok := v.([]any)
	return list, ok
}

func entryIDs(list []any) []string {
	ids := make([]string, len(list))
	for i := range list {
		if entry, ok := list[i].(map[string]any); ok {
			ids[i], _ = entry[entryKey].(string)
		}
	}
	return ids
}

func namesOf(objects ...map[string]any) []string {
	var names []string
	for _, o := range objects {
		for name := range o {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	return slices.Compact(names)
}

// equalTrees reports whether two values of a document are the same.
func equalTrees(a, b any) bool {
	switch a := a.(type) {
	case map[string]any:
		o, ok := b.(map[string]any)
		if !ok || len(a) != len(o) {
			return false
		}
		for name, inner := range a {
			other, there := o[name]
			if !there || !equalTrees(inner, other) {
				return false
			}
		}
		return true
	case []any:
		l, ok := b.([]any)
		return ok && slices.EqualFunc(a, l, equalTrees)
	}
	switch b.(type) {
	case map[string]any, []any: // not to be compared
		return false
	}
	return a == b
}
