package storage

import (
	"strconv"
	"strings"
)

// A path names a place in a document: a JSON Pointer (RFC 6901), with one
// addition: an entry of a list is named "@" and its identity, never by its
// index, since another tab or phone may have added or removed entries before
// it. Examples:
//
//	/survey/opening/width
//	/survey/runBack/obstructions/@4f0c2d9be1a7aa31/length
//	/practice/strip.width

func splitPath(path string) []string {
	if path == "" || path[0] != '/' {
		return nil
	}
	parts := strings.Split(path[1:], "/")
	for i, p := range parts {
		if strings.Contains(p, "~") {
			parts[i] = strings.ReplaceAll(strings.ReplaceAll(p, "~1", "/"), "~0", "~")
		}
	}
	return parts
}

func joinPath(parts ...string) string {
	var b strings.Builder
	for _, p := range parts {
		b.WriteByte('/')
		b.WriteString(strings.ReplaceAll(strings.ReplaceAll(p, "~", "~0"), "/", "~1"))
	}
	return b.String()
}

// entryID returns the identity in a path's part that names a list entry.
func entryID(part string) (string, bool) { return strings.CutPrefix(part, "@") }

// entryIndex finds an entry by its identity; -1 when it is not there.
func entryIndex(list []any, id string) int {
	for i := range list {
		if entry, ok := list[i].(map[string]any); ok && entry[entryKey] == id {
			return i
		}
	}
	return -1
}

// lookUp returns what stands at a path, and whether anything does.
func lookUp(tree any, parts []string) (any, bool) {
	for _, part := range parts {
		switch v := tree.(type) {
		case map[string]any:
			inner, ok := v[part]
			if !ok {
				return nil, false
			}
			tree = inner
		case []any:
			id, _ := entryID(part)
			i := entryIndex(v, id)
			if i < 0 {
				return nil, false
			}
			tree = v[i]
		default:
			return nil, false
		}
	}
	return tree, true
}

// identify gives every entry of every known list an identity, in place. An
// entry without one gets the same on every device: its index at the time.
func (s *shape) identify(v any) {
	switch {
	case s == nil:
	case s.entry != nil:
		list, _ := v.([]any)
		seen := map[string]bool{}
		for _, e := range list {
			if entry, ok := e.(map[string]any); ok {
				if id, _ := entry[entryKey].(string); id != "" && !seen[id] {
					seen[id] = true
				} else if _, isText := entry[entryKey].(string); isText || entry[entryKey] == nil {
					delete(entry, entryKey)
				}
			}
		}
		for i, e := range list {
			entry, ok := e.(map[string]any)
			if !ok {
				continue
			}
			if _, has := entry[entryKey]; !has {
				id := "entry" + strconv.Itoa(i)
				for seen[id] {
					id += "x"
				}
				seen[id] = true
				entry[entryKey] = id
			}
			s.entry.identify(entry)
		}
	case s.fields != nil:
		if object, ok := v.(map[string]any); ok {
			for name, sub := range s.fields {
				if inner, has := object[name]; has {
					sub.identify(inner)
				}
			}
		}
	}
}

// fieldPath turns a survey field's path, e.g. "runBack.obstructions.0.length",
// into a path of the document; false when the survey has no such entry.
func fieldPath(tree map[string]any, field string) (string, bool) {
	parts := append([]string{"survey"}, strings.Split(field, ".")...)
	var at any = tree
	for i, part := range parts {
		if n, err := strconv.Atoi(part); err == nil {
			list, _ := at.([]any)
			if n < 0 || n >= len(list) {
				return "", false
			}
			entry, _ := list[n].(map[string]any)
			id, _ := entry[entryKey].(string)
			parts[i] = "@" + id
			at = entry
			continue
		}
		if object, ok := at.(map[string]any); ok {
			at = object[part]
		} else {
			at = nil
		}
	}
	return joinPath(parts...), true
}

// draftKey is the key in Drafts for a field's path: entries by identity.
func draftKey(d *Document, field string) string {
	if !strings.ContainsAny(field, "0123456789") {
		return field
	}
	// The identities stand with what the types do not know; only a document
	// that was never decoded has none there.
	if p, ok := fieldPath(d.extra, field); ok {
		return keyOf(p)
	}
	return draftKeyIn(d.tree(), field)
}

// keyOf is the key in Drafts for the path of a survey's field.
func keyOf(path string) string { return strings.Join(splitPath(path)[1:], ".") }

func draftKeyIn(tree map[string]any, field string) string {
	if p, ok := fieldPath(tree, field); ok {
		return keyOf(p)
	}
	return field
}
