package storage

import (
	"reflect"
	"strings"

	"pegpour/engine/survey"
)

// entryKey is the name under which every entry of a list in a document keeps
// its identity, so that edits and merging reach it wherever it stands.
const entryKey = "id"

// shape is what this version knows of a place in a document, read from the Go
// types: which names an object may have, and which lists have entries with an
// identity.
type shape struct {
	fields map[string]*shape // of an object with known names
	entry  *shape            // of a list: its entries, objects
	// whole marks an object that is edited and merged as one piece.
	whole bool
}

var (
	documentShape = shapeOf(reflect.TypeFor[Document]())
	shopShape     = shapeOf(reflect.TypeFor[Shop]())
)

func shapeOf(t reflect.Type) *shape {
	switch t.Kind() {
	case reflect.Pointer:
		return shapeOf(t.Elem())
	case reflect.Slice:
		if t.Elem().Kind() == reflect.Struct {
			return &shape{entry: shapeOf(t.Elem())}
		}
	case reflect.Struct:
		s := &shape{fields: map[string]*shape{}}
		s.whole = t == reflect.TypeFor[survey.Value]() || t == reflect.TypeFor[Pin]() || t == reflect.TypeFor[Position]() ||
			t == reflect.TypeFor[ShopRules]()
		for i := range t.NumField() {
			f := t.Field(i)
			if !f.IsExported() {
				continue
			}
			name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
			s.fields[name] = shapeOf(f.Type)
		}
		return s
	}
	return &shape{}
}

// at returns the shape of a name inside s; nil where nothing is known.
func (s *shape) at(name string) *shape {
	if s == nil {
		return nil
	}
	return s.fields[name]
}

// split parts a tree into what s knows and the rest. In the rest, a list of
// known entries keeps its length, each entry holding what is left of it.
func (s *shape) split(v any) (known, rest any) {
	switch {
	case s == nil:
		return nil, v
	case s.entry != nil:
		list, ok := v.([]any)
		if !ok {
			return v, nil // of the wrong kind; reading it into the types says so
		}
		knowns, rests := make([]any, len(list)), make([]any, len(list))
		found := false
		for i := range list {
			knowns[i], rests[i] = s.entry.split(list[i])
			found = found || rests[i] != nil
		}
		if !found {
			return knowns, nil
		}
		return knowns, rests
	case s.fields != nil:
		object, ok := v.(map[string]any)
		if !ok {
			return v, nil
		}
		k, r := make(map[string]any, len(object)), map[string]any{}
		for name, inner := range object {
			sub, has := s.fields[name]
			if !has {
				r[name] = inner
				continue
			}
			ki, ri := sub.split(inner)
			k[name] = ki
			if ri != nil {
				r[name] = ri
			}
		}
		if len(r) == 0 {
			return k, nil
		}
		return k, r
	}
	return v, nil
}

// join lays the rest from split back over what was known. What is known wins.
func join(known, rest any) any {
	switch r := rest.(type) {
	case nil:
		return known
	case map[string]any:
		k, ok := known.(map[string]any)
		if !ok {
			if known != nil {
				return known
			}
			k = map[string]any{}
		}
		for name, inner := range r {
			k[name] = join(k[name], inner)
		}
		return k
	case []any:
		k, ok := known.([]any)
		if !ok {
			if known != nil {
				return known
			}
			return rest
		}
		for i := range min(len(k), len(r)) {
			k[i] = join(k[i], r[i])
		}
		return k
	}
	if known != nil {
		return known
	}
	return rest
}

// prune takes out known objects and lists that hold nothing, so that a group from which
// everything was removed is the same as one never touched.
func (s *shape) prune(v any) {
	switch {
	case s.entry != nil:
		list, _ := v.([]any)
		for i := range list {
			s.entry.prune(list[i])
		}
	case s.fields != nil:
		object, _ := v.(map[string]any)
		for name, inner := range object {
			sub := s.fields[name]
			if sub == nil {
				continue
			}
			sub.prune(inner)
			if o, ok := inner.(map[string]any); ok && len(o) == 0 {
				delete(object, name)
			}
			if l, ok := inner.([]any); ok && len(l) == 0 {
				delete(object, name)
			}
		}
	}
}
