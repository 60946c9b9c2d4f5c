package storage

import (
	"encoding/json"
	"strconv"
	"strings"

	"pegpour/engine/text"
)

// Difference is one field, or entry of a list, in which two states of a site
// differ, for a person to read.
type Difference struct {
	Path string // in the document
	// Field is the path of the survey's field, such as "opening.width"; "" when
	// it is none. The places of list entries in it are not those of either side.
	Field string
	Name  text.Name // in the trade's words, where known
	// Before and After are the two sides; nil where there was nothing.
	Before, After json.RawMessage
}

// Differences lists what turned a into b, field by field. When it was changed, and
// what is laid aside for the other hand, are left out.
func Differences(a, b *Document) ([]Difference, error) {
	ta, err := a.checkedTree()
	if err != nil {
		return nil, err
	}
	tb, err := b.checkedTree()
	if err != nil {
		return nil, err
	}
	d := differ{deep: true}
	d.object(nil, documentShape, ta, tb)
	if d.err != nil {
		return nil, d.err
	}
	var out []Difference
	for _, c := range d.changes {
		parts := splitPath(c.Path)
		if len(parts) == 0 || len(parts) == 1 && (parts[0] == "changed" || parts[0] == "created") || parts[0] == "otherHand" {
			continue
		}
		x := Difference{Path: c.Path, Name: nameOf(parts), Before: c.Before, After: c.After}
		if parts[0] == "survey" {
			for i := range parts {
				if _, ok := entryID(parts[i]); ok {
					parts[i] = strconv.Itoa(0)
				}
			}
			x.Field = strings.Join(parts[1:], ".")
		}
		out = append(out, x)
	}
	return out, nil
}
