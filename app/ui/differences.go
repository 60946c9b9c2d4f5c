package ui

import (
	"encoding/json"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/editing"
	"pegpour/app/element"
	"pegpour/app/language"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
	"pegpour/storage"
)

// DifferenceList says which fields changed, from what to what.
func DifferenceList(w *editing.Site, before, after *storage.Document) app.UI {
	found, err := storage.Differences(before, after)
	if err != nil {
		return element.Text("p", "error", w.SayWith("The two versions cannot be compared: {0}", w.ErrorWords(err)))
	}
	if len(found) == 0 {
		return element.Text("p", "quiet", w.Say("Nothing that one measures or writes changed."))
	}
	told := ""
	return element.Box("dl", "changes", app.Range(found).Slice(func(i int) app.UI {
		d := found[i]
		if strings.HasPrefix(d.Field, survey.QuoteAgreed+".") {
			entry := strings.Join(strings.Split(d.Path, "/")[:5], "/")
			if entry == told {
				return app.Text("") // it is one agreement, and is told once
			}
			told = entry
			return agreementChange(w, before, after, entry)
		}
		return app.Elem("div").Class("change").DataSet("change", d.Path).Body(
			element.Text("dt", "", DifferenceName(w.Speaker, d)),
			element.Text("dd", "", w.SayWith("{0} → {1}", RawWords(w, d.Field, d.Before), RawWords(w, d.Field, d.After))))
	}))
}

// DifferenceName is what a field is called on screen.
func DifferenceName(l *language.Speaker, d storage.Difference) string {
	if d.Field != "" {
		if f, ok := survey.FieldAt(d.Field); ok {
			return l.SayName(f.Name)
		}
	}
	parts := strings.Split(strings.TrimPrefix(d.Path, "/"), "/")
	switch {
	case parts[0] == "photos":
		return l.Say("Photo")
	case parts[0] == "notes":
		return l.Say("Note")
	case parts[0] == "ticks":
		return l.Say("Ticked off on site")
	case parts[0] == "drafts":
		return l.Say("Typed, and not read")
	case parts[0] == "shopRules":
		return l.Say("Shop rules")
	case parts[0] == "practice" && len(parts) > 1:
		if r, ok := practice.RuleByKey(parts[1]); ok {
			return l.SayName(r.Name)
		}
	case strings.HasPrefix(d.Field, survey.QuoteAgreed):
		return l.Say("Quote")
	case strings.HasPrefix(d.Field, survey.RunBackObstructions):
		return l.Say("Something in the way")
	}
	return l.SayName(d.Name)
}

// RawWords writes a side of a difference or of a conflict for a person.
func RawWords(w *editing.Site, field string, raw json.RawMessage) string {
	if len(raw) == 0 {
		return w.Say("nothing")
	}
	if words, ok := agreementCell(w, field, raw); ok {
		return words
	}
	f, known := survey.FieldAt(field)
	known = known && field != ""
	var value survey.Value
	if known && f.Numeric() && json.Unmarshal(raw, &value) == nil {
		if !value.Known() {
			return w.Say("nothing")
		}
		return w.SayWith("{0}, {1}", w.Size(value.Size, f.Dimension), w.Say(f.MethodWords(value.How)))
	}
	var words string
	if json.Unmarshal(raw, &words) == nil {
		if known && f.Dimension == text.Choice {
			return w.Say(editing.OptionWords(f, words))
		}
		return "“" + words + "”"
	}
	var entry struct{ Name, Text, Note, Kind string }
	if json.Unmarshal(raw, &entry) == nil {
		for _, t := range []string{entry.Note, entry.Text, entry.Name, entry.Kind} {
			if t != "" {
				return "“" + t + "”"
			}
		}
	}
	switch plain := string(raw); {
	case plain == "true":
		return w.Say("yes")
	case plain == "false":
		return w.Say("no")
	case len(plain) > 60:
		return w.Say("something")
	default:
		return plain
	}
}

// FieldOfPath is the survey's field at a place in the document.
func FieldOfPath(path string) string {
	rest, ok := strings.CutPrefix(path, "/survey/")
	if !ok {
		return ""
	}
	parts := strings.Split(rest, "/")
	for i := range parts {
		if strings.HasPrefix(parts[i], "@") {
			parts[i] = "0"
		}
	}
	return strings.Join(parts, ".")
}

// ConflictName is what the field of a conflict is called on screen.
func ConflictName(l *language.Speaker, c storage.Conflict, field string) string {
	if name := DifferenceName(l, storage.Difference{Path: c.Path, Field: field, Name: c.Name}); name != "" {
		return name
	}
	if f, ok := survey.FieldAt(field); ok {
		return l.SayName(f.Name)
	}
	return strings.TrimPrefix(c.Path, "/")
}
