package survey

import (
	"strconv"
	"strings"
)

// Path is where a field stands in the survey, as documents write it:
// "opening.width". Code names the field by its declared constant, which stands
// beside the field's row in its table; what is no constant or [ListPath] came out
// of a document and goes through [FieldAt].
type Path string

// ListPath is one field of every entry of a list; "*" stands for the entry:
// "runBack.obstructions.*.length".
type ListPath string

// At is the field of entry i.
func (p ListPath) At(i int) Path {
	list, step, _ := strings.Cut(string(p), "*")
	return Path(list + strconv.Itoa(i) + step)
}

// step is what follows the entry's number.
func (p ListPath) step() string { return string(p[strings.LastIndexByte(string(p), '.')+1:]) }

// FieldOf is the field that code names. It panics on a path that is not declared,
// which is a mistake in the program: paths out of documents go through [FieldAt].
func FieldOf(path Path) Field {
	f, ok := FieldAt(string(path))
	if !ok {
		panic("no field of the survey is declared at " + strconv.Quote(string(path)))
	}
	return f
}

// FieldAt finds the field of a path out of a document, an address or an edit;
// false where there is none. List entries are found whether or not the survey
// holds them; SetValue on a missing one is refused.
func FieldAt(path string) (Field, bool) {
	if i, ok := fixedFieldAt[path]; ok {
		return fixedFields[i], true
	}
	for i := range lists {
		if f, ok := lists[i].fieldAt(path); ok {
			return f, true
		}
	}
	return Field{}, false
}
