package storage

import (
	"encoding/json"
	"errors"
	"maps"
	"strconv"
	"strings"

	"pegpour/engine/input"
	"pegpour/engine/survey"
)

// WithValue returns d as the edit of [SetValue] leaves it, without making the
// edit: a screen draws with it at once while a key is still down, and stores the
// edit a moment later. d stays as it is. A value that is refused becomes a draft.
//
// It is nil where the edit has to be made to know: where nothing
// changes, or where a newer program kept something with the old value.
func WithValue(d *Document, path string, v survey.Value) *Document {
	f, ok := survey.FieldAt(path)
	if !ok || keptWith(d.extra, path) {
		return nil
	}
	key := draftKey(d, path)
	_, drafted := d.Drafts[key]
	if !drafted && f.Value(&d.Survey) == v {
		return nil
	}
	next := *d
	next.Survey = d.Survey.Clone()
	if err := f.SetValue(&next.Survey, v); err != nil {
		var refusal *input.FieldError
		if !errors.As(err, &refusal) || refusal.Reason == input.UnknownField {
			return nil
		}
		return WithDraft(d, path, draftOf(v))
	}
	if drafted {
		next.Drafts = maps.Clone(d.Drafts)
		delete(next.Drafts, key)
	}
	return &next
}

// typed implements subject: what a key changes is made in the typed document and in
// its tree side by side, where reading the one from the other takes a key's time.
func (d *Document) typed(tree map[string]any, changes []Change, at string) (subject, bool) {
	next := *d
	next.Survey, next.Drafts, next.Changed = d.Survey.Clone(), maps.Clone(d.Drafts), at
	for _, c := range changes {
		parts := splitPath(c.Path)
		if len(parts) == 2 && parts[0] == "drafts" {
			text := ""
			switch {
			case c.After == nil:
				delete(next.Drafts, parts[1])
			case json.Unmarshal(c.After, &text) != nil || text == "":
				return nil, false
			default:
				if next.Drafts == nil {
					next.Drafts = map[string]string{}
				}
				next.Drafts[parts[1]] = text
			}
			continue
		}
		path, ok := "", len(parts) > 2 && parts[0] == "survey"
		if ok {
			path, ok = fieldOf(tree["survey"], strings.Join(parts[1:], "."))
		}
		f, known := survey.FieldAt(path)
		if !ok || !known || !f.Numeric() || keptWith(d.extra, path) {
			return nil, false
		}
		var v survey.Value
		if c.After != nil {
			if json.Unmarshal(c.After, &v) != nil || v.IsZero() {
				return nil, false
			}
			if same, err := toRaw(v); err != nil || string(same) != string(c.After) {
				return nil, false // it holds what the type does not
			}
		}
		if f.SetValue(&next.Survey, v) != nil {
			return nil, false
		}
	}
	if len(next.Drafts) == 0 {
		next.Drafts = nil
	}
	documentShape.prune(tree)
	return &next, true
}

// WithDraft is [SetDraft] as WithValue is SetValue: nil where nothing changes.
func WithDraft(d *Document, path, text string) *Document {
	key := draftKey(d, path)
	if d.Drafts[key] == text {
		return nil
	}
	next := *d
	next.Drafts = maps.Clone(d.Drafts)
	if next.Drafts == nil {
		next.Drafts = map[string]string{}
	}
	next.Drafts[key] = text
	if text == "" {
		delete(next.Drafts, key)
	}
	return &next
}

// draftOf is the text that stands for a refused value.
func draftOf(v survey.Value) string {
	if v.Text != "" {
		return v.Text
	}
	return strconv.FormatFloat(v.Size, 'g', -1, 64)
}

// DraftsByField returns all drafts of the survey's fields by the path of the
// field, as [Document.Draft] takes it; nil when there are none.
func (d *Document) DraftsByField() map[string]string {
	if len(d.Drafts) == 0 {
		return nil
	}
	drafts := map[string]string{}
	for key, text := range d.Drafts {
		path, ok := fieldOf(d.extra["survey"], key)
		if !ok {
			path, ok = fieldOf(d.tree()["survey"], key)
		}
		if !ok {
			continue // of an entry that is gone
		}
		if _, ok := survey.FieldAt(path); ok { // not a rule's
			drafts[path] = text
		}
	}
	return drafts
}

// FieldAt is the path of the survey's field or entry at a place in the document, such as
// "/survey/quote/agreed/@…", with entries of lists counted as this state has them; false
// where an entry is not there.
func (d *Document) FieldAt(path string) (string, bool) {
	rest, ok := strings.CutPrefix(path, "/survey/")
	if !ok {
		return "", false
	}
	return fieldOf(d.tree()["survey"], strings.ReplaceAll(rest, "/", "."))
}

// fieldOf turns the key of a draft into the path of its field; false when the
// entry that it names is not there.
func fieldOf(survey any, key string) (string, bool) {
	if !strings.Contains(key, "@") {
		return key, true
	}
	parts := strings.Split(key, ".")
	at := survey
	for i, part := range parts {
		id, isEntry := entryID(part)
		if !isEntry {
			object, _ := at.(map[string]any)
			at = object[part]
			continue
		}
		list, _ := at.([]any)
		n := entryIndex(list, id)
		if n < 0 {
			return "", false
		}
		parts[i], at = strconv.Itoa(n), list[n]
	}
	return strings.Join(parts, "."), true
}

// keptWith reports whether the rest holds something at a survey field.
func keptWith(rest map[string]any, field string) bool {
	at := rest["survey"]
	for part := range strings.SplitSeq(field, ".") {
		switch v := at.(type) {
		case map[string]any:
			at = v[part]
		case []any:
			i, err := strconv.Atoi(part)
			if err != nil || i < 0 || i >= len(v) {
				return false
			}
			at = v[i]
		default:
			return false
		}
	}
	return at != nil
}
