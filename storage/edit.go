package storage

import (
	"encoding/json"
	"slices"
	"strings"

	"pegpour/engine/refusal"
	"pegpour/storage/canonical"
)

// Change is one place of a document before and after. Absent is nil.
type Change struct {
	Path   string          `json:"path"` // see splitPath for the form
	Before json.RawMessage `json:"before,omitempty"`
	After  json.RawMessage `json:"after,omitempty"`
	// Follows is the identity of the list entry after which this one stands
	// ("" for the first); nil puts a new entry at the end.
	Follows *string `json:"follows,omitempty"`
}

// Edit is a set of changes made and undone together.
type Edit struct {
	// Label says what was done, in the trade's words, for the undo button.
	Label string `json:"label,omitempty"`
	// Run joins edits: those that follow one another with the same Run, not
	// empty, are undone in one step, such as the keystrokes of one entry.
	Run     string   `json:"run,omitempty"`
	Changes []Change `json:"changes"`
	// Version is that of the document whose places these are; 0 is the first.
	Version int `json:"version,omitempty"`
}

// GoneError says that an edit is for a list entry which is not there any more:
// another tab or phone removed it.
type GoneError struct{ Path string }

// Error gives the path.
func (e *GoneError) Error() string { return e.Refusal().String() }

// Refusal is the sentence with its values.
func (e *GoneError) Refusal() refusal.Message {
	return refusal.Say("{0}: was removed meanwhile", refusal.Typed(e.Path))
}

// PathError says that a path leads to no place that may be changed.
type PathError struct{ Path string }

// Error gives the path.
func (e *PathError) Error() string { return e.Refusal().String() }

// Refusal is the sentence with its values.
func (e *PathError) Refusal() refusal.Message {
	return refusal.Say("{0}: no such place in the document", refusal.Typed(e.Path))
}

// TooLargeError says that a document would outgrow MaxDocumentBytes.
type TooLargeError struct{ Size int }

// Error gives the sizes.
func (e *TooLargeError) Error() string { return e.Refusal().String() }

// Refusal is the sentence with its values.
func (e *TooLargeError) Refusal() refusal.Message {
	return refusal.Say("the document would be {0} bytes long, {1} are allowed", refusal.Count(e.Size),
		refusal.Count(MaxDocumentBytes))
}

// TooManyError says that a list would get more entries than MaxEntries.
type TooManyError struct{ Path string }

// Error gives the path and the limit.
func (e *TooManyError) Error() string { return e.Refusal().String() }

// Refusal is the sentence with its values.
func (e *TooManyError) Refusal() refusal.Message {
	return refusal.Say("{0}: a list has at most {1} entries", refusal.Typed(e.Path), refusal.Count(MaxEntries))
}

// Empty reports whether the edit changes nothing.
func (e Edit) Empty() bool { return len(e.Changes) == 0 }

// Apply returns d with the edit made; d stays as it is. What stood there
// before is not compared: the edit wins at the paths it names and touches no
// other. Errors: *GoneError, *PathError, *DecodeError for a value of the wrong
// kind, *TooLargeError, *TooManyError.
func Apply(d *Document, e Edit) (*Document, error) {
	return alter(d, e.Changes)
}

// Revert returns d with the edit undone. On the document that Apply returned
// it gives back the one Apply was given, byte for byte.
func Revert(d *Document, e Edit) (*Document, error) {
	return alter(d, e.inverse())
}

// ApplyShop is Apply for the shop's document.
func ApplyShop(s *Shop, e Edit) (*Shop, error) { return alterShop(s, e.Changes) }

// RevertShop is Revert for the shop's document.
func RevertShop(s *Shop, e Edit) (*Shop, error) { return alterShop(s, e.inverse()) }

// Rebase returns the edit as it is to be kept when it is made on d: the same
// paths and results, with what stands in d as the values before. Changes that
// change nothing on d are dropped.
func Rebase(d *Document, e Edit) (Edit, error) {
	tree, err := d.checkedTree()
	if err != nil {
		return Edit{}, err
	}
	return rebase(tree, documentShape, e)
}

// RebaseShop is Rebase for the shop's document.
func RebaseShop(s *Shop, e Edit) (Edit, error) {
	tree, err := s.checkedTree()
	if err != nil {
		return Edit{}, err
	}
	return rebase(tree, shopShape, e)
}

// Together joins edits made on the same document into one.
func Together(label string, edits ...Edit) Edit {
	all := Edit{Label: label}
	for _, e := range edits {
		all.Changes = append(all.Changes, e.Changes...)
	}
	return all
}

func (e Edit) inverse() []Change {
	back := slices.Clone(e.Changes)
	slices.Reverse(back)
	for i := range back {
		back[i].Before, back[i].After = back[i].After, back[i].Before
	}
	return back
}

func alter(d *Document, changes []Change) (*Document, error) {
	tree, err := d.checkedTree()
	if err != nil {
		return nil, err
	}
	if err := applyTo(tree, documentShape, changes); err != nil {
		return nil, err
	}
	return documentOf(tree)
}

func alterShop(s *Shop, changes []Change) (*Shop, error) {
	tree, err := s.checkedTree()
	if err != nil {
		return nil, err
	}
	if err := applyTo(tree, shopShape, changes); err != nil {
		return nil, err
	}
	return shopOf(tree)
}

func applyTo(tree map[string]any, s *shape, changes []Change) error {
	for _, c := range changes {
		if err := applyChange(tree, s, c); err != nil {
			return err
		}
	}
	return nil
}

func applyChange(tree map[string]any, s *shape, c Change) error {
	parts := splitPath(c.Path)
	if last := len(parts) - 1; last < 0 || last > MaxDocumentDepth || last == 0 && fixedName(parts[0]) {
		return &PathError{c.Path}
	} else if last > 0 && parts[last] == entryKey && strings.HasPrefix(parts[last-1], "@") {
		return &PathError{c.Path} // an entry keeps its identity
	}
	after, err := fromRaw(c.After)
	if err != nil {
		return err
	}
	return put(tree, s, parts, after, c)
}

// fixedName reports the names at the top of a document that no edit changes.
func fixedName(name string) bool { return name == "format" || name == "version" || name == "id" }

// put sets what stands at parts inside object; nil removes it.
func put(object map[string]any, s *shape, parts []string, after any, c Change) error {
	name, sub := parts[0], s.at(parts[0])
	if len(parts) == 1 {
		if after == nil {
			delete(object, name)
		} else {
			object[name] = after
		}
		return nil
	}
	if sub != nil && sub.entry != nil {
		if object[name] == nil {
			object[name] = []any{}
		}
		list, ok := object[name].([]any)
		id, isEntry := entryID(parts[1])
		if !ok || !isEntry || id == "" {
			return &PathError{c.Path}
		}
		if len(parts) > 2 {
			i := entryIndex(list, id)
			if i < 0 {
				return &GoneError{c.Path}
			}
			return put(list[i].(map[string]any), sub.entry, parts[2:], after, c)
		}
		list, err := putEntry(list, id, after, c)
		object[name] = list
		return err
	}
	inner, ok := object[name].(map[string]any)
	if !ok {
		if object[name] != nil {
			return &PathError{c.Path}
		}
		if after == nil {
			return nil
		}
		if sub == nil {
			return &PathError{c.Path} // undo could not tell what was made for it
		}
		inner = map[string]any{}
		object[name] = inner
	}
	return put(inner, sub, parts[1:], after, c)
}

func putEntry(list []any, id string, after any, c Change) ([]any, error) {
	i := entryIndex(list, id)
	if after == nil {
		if i >= 0 {
			list = slices.Delete(list, i, i+1)
		}
		return list, nil
	}
	entry, ok := after.(map[string]any)
	if !ok {
		return list, &PathError{c.Path}
	}
	entry[entryKey] = id
	if i >= 0 {
		list[i] = entry
		return list, nil
	}
	if len(list) >= MaxEntries {
		return list, &TooManyError{c.Path}
	}
	at := len(list)
	if c.Follows != nil {
		if *c.Follows == "" {
			at = 0
		} else if prev := entryIndex(list, *c.Follows); prev >= 0 {
			at = prev + 1
		}
	}
	return slices.Insert(list, at, any(entry)), nil
}

func rebase(tree map[string]any, s *shape, e Edit) (Edit, error) {
	out := Edit{Label: e.Label, Run: e.Run}
	for _, c := range e.Changes {
		parts := splitPath(c.Path)
		before, err := rawAt(tree, parts)
		if err != nil {
			return Edit{}, err
		}
		n := Change{Path: c.Path, Before: before, After: c.After, Follows: c.Follows}
		if before != nil && len(parts) > 1 {
			n.Follows = follows(tree, parts)
		}
		if err := applyChange(tree, s, n); err != nil {
			return Edit{}, err
		}
		if n.After, err = rawAt(tree, parts); err != nil {
			return Edit{}, err
		}
		if string(n.Before) != string(n.After) {
			out.Changes = append(out.Changes, n)
		}
	}
	return out, nil
}

// ErrOvertaken: an edit of an earlier run stands against what was entered since.
var ErrOvertaken = error(refusal.Error("something else was entered there since"))

// Overtaken reports whether something else than what edits in a row found or left
// stands at one of their places: whoever made it came later.
func (d *Document) Overtaken(edits []Edit) (bool, error) {
	tree, err := d.checkedTree()
	if err != nil {
		return false, err
	}
	return overtaken(tree, edits)
}

// Overtaken is the same for the shop.
func (s *Shop) Overtaken(edits []Edit) (bool, error) {
	tree, err := s.checkedTree()
	if err != nil {
		return false, err
	}
	return overtaken(tree, edits)
}

func overtaken(tree map[string]any, edits []Edit) (bool, error) {
	known := map[string][]string{}
	for _, e := range edits {
		for _, c := range e.Changes {
			known[c.Path] = append(known[c.Path], string(c.Before), string(c.After))
		}
	}
	for path, values := range known {
		parts, within := splitPath(path), false
		for n := 1; n < len(parts); n++ { // what they put in whole is looked at there
			within = within || known[joinPath(parts[:n]...)] != nil
		}
		if within || path == "/changed" {
			continue
		}
		now, err := rawAt(tree, parts)
		if err != nil {
			return false, err
		}
		if !slices.Contains(values, string(now)) {
			return true, nil
		}
	}
	return false, nil
}

// follows returns the identity of the entry before the one at parts; nil when
// parts do not name an entry.
func follows(tree map[string]any, parts []string) *string {
	last := len(parts) - 1
	at, _ := lookUp(tree, parts[:last])
	list, ok := at.([]any)
	id, isEntry := entryID(parts[last])
	if !ok || !isEntry {
		return nil
	}
	prev := ""
	if i := entryIndex(list, id); i > 0 {
		entry, _ := list[i-1].(map[string]any)
		prev, _ = entry[entryKey].(string)
	}
	return &prev
}

func rawAt(tree map[string]any, parts []string) (json.RawMessage, error) {
	v, ok := lookUp(tree, parts)
	if !ok || v == nil {
		return nil, nil
	}
	return canonical.Marshal(v)
}

func fromRaw(raw json.RawMessage) (any, error) {
	if raw == nil {
		return nil, nil
	}
	v, err := canonical.Parse(raw, canonical.Limits{Bytes: MaxDocumentBytes, Depth: MaxDocumentDepth})
	if err != nil {
		return nil, &DecodeError{Reason: refusal.Of(err), Cause: err}
	}
	return v, nil
}

// toRaw writes a Go value canonically; nil for what the document leaves out.
func toRaw(v any) (json.RawMessage, error) {
	text, err := json.Marshal(v)
	if err != nil {
		return nil, &DecodeError{Reason: refusal.Of(err), Cause: err}
	}
	tree, err := canonical.Parse(text, canonical.Limits{})
	if err != nil {
		return nil, &DecodeError{Reason: refusal.Of(err), Cause: err}
	}
	return canonical.Marshal(tree)
}
