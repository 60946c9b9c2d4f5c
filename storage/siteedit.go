package storage

import (
	"encoding/json"
	"slices"
	"strconv"
	"strings"

	"pegpour/engine/input"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// edits gathers the changes of one Edit against a document's tree.
type edits struct {
	tree  map[string]any
	shape *shape
	out   Edit
	err   error
}

func onSite(d *Document, label string) *edits {
	tree, err := d.checkedTree()
	return &edits{tree: tree, shape: documentShape, out: Edit{Label: label}, err: err}
}

// set puts v at path; nil removes what stands there.
func (b *edits) set(path string, v any) {
	if b.err != nil {
		return
	}
	c := Change{Path: path}
	if v != nil {
		if c.After, b.err = toRaw(v); b.err != nil {
			return
		}
	}
	var one Edit
	if one, b.err = rebase(b.tree, b.shape, Edit{Changes: []Change{c}}); b.err == nil {
		b.out.Changes = append(b.out.Changes, one.Changes...)
	}
}

func (b *edits) done() (Edit, error) {
	if b.err != nil {
		return Edit{}, b.err
	}
	return b.out, nil
}

// refused keeps what was typed as a draft and hands the refusal on.
func (b *edits) refused(key, text string, refusal error) (Edit, error) {
	b.set(joinPath("drafts", key), text)
	if b.err != nil {
		return Edit{}, b.err
	}
	return b.out, refusal
}

// SetValue returns the edit that puts a number into the survey field of path,
// e.g. "opening.width", and clears the field's draft. A zero Value makes the
// field not measured. The whole value is replaced, with anything a newer
// program kept inside it about the old reading.
//
// A number that the engine refuses changes no value: the edit then keeps
// v.Text (or the number) as the field's draft, and the error is the
// *engine.FieldError. Use both: commit the edit and show the error.
func SetValue(d *Document, path string, v survey.Value) (Edit, error) {
	f, ok := survey.FieldAt(path)
	if !ok {
		return Edit{}, &input.FieldError{Path: path, Name: text.TypedName(path), Reason: input.UnknownField}
	}
	refusal := d.tryOn(func(s *survey.Survey) error { return f.SetValue(s, v) })
	draft := ""
	if refusal != nil {
		draft = draftOf(v)
	}
	if e, ok := plainEdit(d, f, v, draft); ok {
		return e, refusal
	}
	b := onSite(d, f.Name.String())
	at, found := fieldPath(b.tree, path)
	switch {
	case b.err != nil:
		return Edit{}, b.err
	case !found:
		return Edit{}, &input.FieldError{Path: path, Name: f.Name, Reason: input.UnknownField}
	case refusal != nil:
		return b.refused(draftKeyIn(b.tree, path), draftOf(v), refusal)
	}
	if v.IsZero() {
		b.set(at, nil)
	} else {
		b.set(at, v)
	}
	b.set(joinPath("drafts", draftKeyIn(b.tree, path)), nil)
	return b.done()
}

// tryOn makes a change on a survey of its own, and says what is wrong with it.
func (d *Document) tryOn(change func(*survey.Survey) error) error {
	taken := d.Survey.Clone()
	return change(&taken)
}

// plainEdit is the edit of SetValue, or with a draft that of SetDraft, made from what
// stands in d alone: many times as fast as by way of the tree, as it is made at each
// key. Not ok where only the tree tells: in what a newer program wrote, and in a
// document that was never decoded.
func plainEdit(d *Document, f survey.Field, v survey.Value, draft string) (Edit, bool) {
	at, key := joinPath(append([]string{"survey"}, strings.Split(f.Path, ".")...)...), f.Path
	if strings.ContainsAny(f.Path, "0123456789") {
		found := false
		if at, found = fieldPath(d.extra, f.Path); !found {
			return Edit{}, false
		}
		key = keyOf(at)
	}
	e, ok := Edit{Label: f.Name.String()}, !keptWith(d.extra, f.Path)
	change := func(path string, before, after any, was, is bool) {
		c := Change{Path: path}
		var err error
		if was {
			c.Before, err = toRaw(before)
		}
		if is && err == nil {
			c.After, err = toRaw(after)
		}
		ok = ok && err == nil
		if string(c.Before) != string(c.After) {
			e.Changes = append(e.Changes, c)
		}
	}
	if old := f.Value(&d.Survey); draft == "" {
		change(at, old, v, !old.IsZero(), !v.IsZero())
	}
	before, drafted := d.Drafts[key]
	change(joinPath("drafts", key), before, draft, drafted, draft != "")
	return e, ok
}

// SetWords is SetValue for a text or a choice; empty words clear the field.
//
// Another answer to which way the gate runs lays aside what was read on the side it
// ran to: it is not measured on the other. Going back brings it back.
func SetWords(d *Document, path, words string) (Edit, error) {
	f, ok := survey.FieldAt(path)
	if !ok {
		return Edit{}, &input.FieldError{Path: path, Name: text.TypedName(path), Reason: input.UnknownField}
	}
	b := onSite(d, f.Name.String())
	at, found := fieldPath(b.tree, path)
	if b.err == nil && !found {
		return Edit{}, &input.FieldError{Path: path, Name: f.Name, Reason: input.UnknownField}
	}
	if b.err != nil {
		return Edit{}, b.err
	}
	taken := d.Survey.Clone()
	was, from := f.Words(&taken), sideOf(&taken)
	if err := f.SetWords(&taken, words); err != nil {
		return b.refused(draftKeyIn(b.tree, path), words, err)
	}
	b.setWords(at, words)
	if to := sideOf(&taken); to != from && (was != "" || b.laidAside(to) != nil) {
		b.turn(from, to)
	}
	b.set(joinPath("drafts", draftKeyIn(b.tree, path)), nil)
	return b.done()
}

func (b *edits) setWords(at, words string) {
	if words == "" {
		b.set(at, nil)
	} else {
		b.set(at, words)
	}
}

// SetDraft returns the edit that keeps text as it was typed for a field while
// it cannot be read. The field's value stays.
func SetDraft(d *Document, path, text string) (Edit, error) {
	if f, ok := survey.FieldAt(path); ok && text != "" {
		if e, ok := plainEdit(d, f, survey.Value{}, text); ok {
			return e, nil
		}
	}
	b := onSite(d, fieldName(path).String())
	b.setWords(joinPath("drafts", draftKeyIn(b.tree, path)), text)
	return b.done()
}

// ClearDraft returns the edit that drops what was typed for a field and could
// not be used.
func ClearDraft(d *Document, path string) (Edit, error) { return SetDraft(d, path, "") }

func fieldName(path string) text.Name {
	if f, ok := survey.FieldAt(path); ok {
		return f.Name
	}
	if key, ok := strings.CutPrefix(path, practice.PracticePath); ok {
		if r, ok := practice.RuleByKey(key); ok {
			return r.Name
		}
	}
	return text.TypedName(path)
}

// SetRule returns the edit that overrides a rule for this site. As with
// SetValue, a refused number is kept as the draft of "practice." and the key,
// and the error comes beside the edit. text is the number as it was typed; it
// may be empty.
func SetRule(d *Document, key string, value float64, text string) (Edit, error) {
	return onSite(d, fieldName(practice.PracticePath+key).String()).rule("practice", key, value, text)
}

// ClearRule returns the edit that goes back to the shop's value for a rule.
func ClearRule(d *Document, key string) (Edit, error) {
	return onSite(d, fieldName(practice.PracticePath+key).String()).clearRule("practice", key)
}

func (b *edits) rule(in, key string, value float64, typed string) (Edit, error) {
	r, ok := practice.RuleByKey(key)
	if !ok {
		return Edit{}, &input.FieldError{Path: practice.PracticePath + key, Name: text.TypedName(key), Reason: input.UnknownField, Text: key}
	}
	if refusal := r.Check(value); refusal != nil {
		if typed == "" {
			typed = strconv.FormatFloat(value, 'g', -1, 64)
		}
		return b.refused(practice.PracticePath+key, typed, refusal)
	}
	b.set(joinPath(in, key), value)
	b.set(joinPath("drafts", practice.PracticePath+key), nil)
	return b.done()
}

func (b *edits) clearRule(in, key string) (Edit, error) {
	b.set(joinPath(in, key), nil)
	b.set(joinPath("drafts", practice.PracticePath+key), nil)
	return b.done()
}

// AddObstruction returns the edit that puts an obstruction at the end of the
// list. The error is an *engine.FieldError when there are too many.
func AddObstruction(d *Document, o survey.Obstruction) (Edit, error) {
	if n := len(d.Survey.RunBack.Obstructions); n >= survey.MaxObstructions {
		return Edit{}, tooMany(survey.RunBackObstructions, "Obstructions", n, survey.MaxObstructions)
	}
	return AddEntry(d, "Add an obstruction", survey.RunBackObstructions, o)
}

// RemoveObstruction returns the edit that takes obstruction i off the list,
// with its drafts.
func RemoveObstruction(d *Document, i int) (Edit, error) {
	return removeEntry(d, "Remove an obstruction", survey.RunBackObstructions, i)
}

// AddEdgePoint returns the edit that puts a point at the end of a driveway
// edge: "drive.runBackEdge" or "drive.latchEdge".
func AddEdgePoint(d *Document, edge string, p survey.EdgePoint) (Edit, error) {
	points, err := edgePoints(d, edge)
	if err != nil {
		return Edit{}, err
	}
	if n := len(points); n >= survey.MaxEdgePoints {
		return Edit{}, tooMany(edge+".points", "Points of the edge", n, survey.MaxEdgePoints)
	}
	return AddEntry(d, "Add a point of the edge", edge+".points", p)
}

// RemoveEdgePoint returns the edit that takes point i off an edge.
func RemoveEdgePoint(d *Document, edge string, i int) (Edit, error) {
	if _, err := edgePoints(d, edge); err != nil {
		return Edit{}, err
	}
	return removeEntry(d, "Remove a point of the edge", edge+".points", i)
}

func edgePoints(d *Document, edge string) ([]survey.EdgePoint, error) {
	switch edge {
	case survey.DriveRunBackEdge:
		return d.Survey.Drive.RunBackEdge.Points, nil
	case survey.DriveLatchEdge:
		return d.Survey.Drive.LatchEdge.Points, nil
	}
	return nil, &input.FieldError{Path: edge, Name: text.TypedName(edge), Reason: input.UnknownField}
}

func tooMany(path string, name text.Name, n, most int) error {
	return &input.FieldError{Path: path, Name: name, Reason: input.TooMany, Given: float64(n + 1), High: float64(most)}
}

// AddEntry returns the edit that puts an entry at the end of a list of the
// survey, e.g. "runBack.obstructions"; entry is of the list's Go type. It knows
// no limit but the engine's.
func AddEntry(d *Document, label, list string, entry any) (Edit, error) {
	s := documentShape.at("survey")
	for part := range strings.SplitSeq(list, ".") {
		s = s.at(part)
	}
	if s == nil || s.entry == nil {
		return Edit{}, &input.FieldError{Path: list, Name: text.Name(label), Reason: input.UnknownField}
	}
	b := onSite(d, label)
	b.set("/survey/"+strings.ReplaceAll(list, ".", "/")+"/@"+newEntryID(), entry)
	return b.done()
}

// RemoveEntry returns the edit that takes entry i off a list of the survey,
// with its drafts.
func RemoveEntry(d *Document, label, list string, i int) (Edit, error) {
	return removeEntry(d, label, list, i)
}

func removeEntry(d *Document, label, list string, i int) (Edit, error) {
	b := onSite(d, label)
	at, found := fieldPath(b.tree, list+"."+strconv.Itoa(i))
	if b.err == nil && !found {
		return Edit{}, &input.FieldError{Path: list + "." + strconv.Itoa(i), Name: text.Name(label), Reason: input.UnknownField}
	}
	prefix := draftKeyIn(b.tree, list+"."+strconv.Itoa(i)) + "."
	var drafts []string
	for key := range d.Drafts {
		if strings.HasPrefix(key, prefix) {
			drafts = append(drafts, key)
		}
	}
	slices.Sort(drafts)
	for _, key := range drafts {
		b.set(joinPath("drafts", key), nil)
	}
	b.set(at, nil)
	return b.done()
}

// SetTick returns the edit that ticks a thing on site off, or unticks it.
func SetTick(d *Document, name string, on bool) (Edit, error) {
	b := onSite(d, "Tick "+name)
	if on {
		b.set(joinPath("ticks", name), true)
	} else {
		b.set(joinPath("ticks", name), nil)
	}
	return b.done()
}

// PutPhoto returns the edit that adds a photo to the site, or changes what is
// said of it. The bytes go into the store apart.
func PutPhoto(d *Document, p Photo) (Edit, error) {
	b := onSite(d, "Photo")
	b.set(joinPath("photos", "@"+p.ID), p)
	return b.done()
}

// RemovePhoto returns the edit that takes a photo off the site. Its bytes stay
// in the store so that the edit can be undone.
func RemovePhoto(d *Document, id string) (Edit, error) {
	b := onSite(d, "Remove a photo")
	b.set(joinPath("photos", "@"+id), nil)
	return b.done()
}

// PutNote returns the edit that adds a note (with an empty ID) or changes one.
func PutNote(d *Document, n Note) (Edit, error) {
	if n.ID == "" {
		n.ID = newEntryID()
	}
	b := onSite(d, "Note")
	b.set(joinPath("notes", "@"+n.ID), n)
	return b.done()
}

// RemoveNote returns the edit that takes a note off the site.
func RemoveNote(d *Document, id string) (Edit, error) {
	b := onSite(d, "Remove a note")
	b.set(joinPath("notes", "@"+id), nil)
	return b.done()
}

// Stamped returns the edit with the time of changing, RFC 3339, put into it. A
// store does so itself with its own clock.
func (e Edit) Stamped(at string) Edit {
	e.Changes = slices.Clone(e.Changes)
	if raw, err := json.Marshal(at); err == nil {
		e.Changes = append(e.Changes, Change{Path: "/changed", After: raw})
	}
	return e
}
