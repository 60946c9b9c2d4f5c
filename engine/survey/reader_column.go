package survey

import (
	"cmp"

	"pegpour/engine/text"
)

// Column is one field of every entry of a list. It reads many entries without
// making a [Field] for each: those are made only for what is refused or assumed.
type Column struct {
	path  ListPath
	field Field // of the first entry; the others differ in name and path alone
}

// ColumnOf is the column that code names; it panics on one that is not declared.
func ColumnOf(path ListPath) Column {
	for i := range lists {
		for k := range lists[i].fields {
			if f := lists[i].fields[k]; f.column == path {
				f.Dimension = cmp.Or(f.Dimension, text.Length)
				return Column{path: path, field: f}
			}
		}
	}
	panic("no field of a list is declared at " + string(path))
}

// At is the column's field in entry i.
func (c *Column) At(i int) Path { return c.path.At(i) }

// EntryReading is [Reader.Reading] for the value v of entry i.
func (r *Reader) EntryReading(c *Column, i int, v Value) (sigma float64, taken bool) {
	if c.field.CheckValue(v) != nil {
		_, sigma, taken = r.Reading(c.At(i))
		return sigma, taken
	}
	return c.field.Uncertainty(v, r.rules), v.Known()
}

// EntryNumber is [Reader.Number] for the value v of entry i.
func (r *Reader) EntryNumber(c *Column, i int, v Value) float64 {
	if v.Known() && c.field.CheckValue(v) == nil {
		return v.Size
	}
	size, _ := r.Number(c.At(i))
	return size
}

// EntryAccepted reports whether the words w of entry i are allowed; they are
// refused where not.
func (r *Reader) EntryAccepted(c *Column, i int, w string) bool {
	if c.field.CheckWords(w) != nil {
		r.Words(c.At(i))
		return false
	}
	return true
}
