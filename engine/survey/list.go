package survey

import (
	"cmp"
	"strconv"
	"strings"

	"pegpour/engine/text"
)

// list is a list of the survey: how many entries it may hold, and the fields of
// one of them.
type list struct {
	path    string // "runBack.obstructions"
	most    int
	count   func(*Survey) int
	after   string // the fixed field after which its entries are listed; "": after all of them
	group   string
	askedIf func(*Survey) bool // of the fields that say nothing else
	fields  []Field            // one entry's; "{0}" in a name is the entry's number, counted from 1
}

// lists are all the lists of the survey, in the order in which their entries are
// listed. It is never written to.
var lists = [...]list{runBackPointList, latchPointList, bookList, dropList, obstructionList, pegList, tapeList,
	setPegList, setTapeList, formTopList, dugDepthList, curedAtList, pouredLevelList,
	forceList, builtInList, serviceList, agreementList}

// field is field k of entry i, which stands at path.
func (l *list) field(k, i int, path string) Field {
	f := l.fields[k]
	f.Path, f.Group, f.Name, f.entry = path, l.group, text.Numbered(string(f.Name), i+1), i
	f.Dimension = cmp.Or(f.Dimension, text.Length)
	if f.askedIf == nil {
		f.askedIf = l.askedIf
	}
	return f
}

// fieldAt is the field at a path that leads through the list.
func (l *list) fieldAt(path string) (Field, bool) {
	rest, ok := strings.CutPrefix(path, l.path)
	if !ok || !strings.HasPrefix(rest, ".") {
		return Field{}, false
	}
	index, step, ok := strings.Cut(rest[1:], ".")
	i, err := strconv.Atoi(index)
	if !ok || err != nil || i < 0 || i >= l.most {
		return Field{}, false
	}
	for k := range l.fields {
		column := l.fields[k].column
		if column.step() != step {
			continue
		}
		if index != strconv.Itoa(i) { // "007"
			path = string(column.At(i))
		}
		return l.field(k, i, path), true
	}
	return Field{}, false
}

// appendFields adds the fields of the entries that s has.
func (l *list) appendFields(all []Field, s *Survey) []Field {
	for i := range min(l.count(s), l.most) {
		for k := range l.fields {
			all = append(all, l.field(k, i, string(l.fields[k].column.At(i))))
		}
	}
	return all
}

// entryOf finds a part of entry i of a list; nil where the survey has no such
// entry.
func entryOf[Entry, Part any](entries func(*Survey) []Entry, part func(*Entry) *Part) func(*Survey, int) *Part {
	return func(s *Survey, i int) *Part {
		if all := entries(s); i < len(all) {
			return part(&all[i])
		}
		return nil
	}
}
