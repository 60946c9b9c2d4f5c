package ui

import (
	"encoding/json"
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/editing"
	"pegpour/app/element"
	"pegpour/engine/survey"
	"pegpour/storage"
)

// agreementAt is the agreement on a price that stands at a place in a document, counted
// from 0; nil where there is none.
func agreementAt(d *storage.Document, path string) (a *survey.Agreement, n int) {
	parts := strings.Split(path, "/")
	field, ok := d.FieldAt(strings.Join(parts[:min(len(parts), 5)], "/"))
	if !ok {
		return nil, 0
	}
	n, err := strconv.Atoi(strings.TrimPrefix(field, survey.QuoteAgreed+"."))
	if err != nil || n < 0 || n >= len(d.Survey.Quote.Agreed) {
		return nil, 0
	}
	return &d.Survey.Quote.Agreed[n], n
}

// agreementWords say who accepted what sum, and when.
func agreementWords(w *editing.Site, a *survey.Agreement) string {
	switch {
	case a == nil || *a == survey.Agreement{}:
		return w.Say("nothing")
	case a.On == "":
		return w.SayWith("{0}, not signed", w.Amount(a.Total))
	}
	return w.SayWith("{0} accepted {1} on {2}.", a.Owner, w.Amount(a.Total), w.LocalTime(a.On))
}

// agreementLines are the lines of an agreement, each with its price.
func agreementLines(w *editing.Site, lines string) []app.UI {
	var rows []app.UI
	for line := range strings.SplitSeq(lines, "\n") {
		if cells := strings.Split(line, "\t"); len(cells) == 5 {
			rows = append(rows, PairOf(cells[1], w.Amount(cells[4])))
		}
	}
	return rows
}

// agreementChange is what became of an agreement between two states.
func agreementChange(w *editing.Site, before, after *storage.Document, path string) app.UI {
	was, n := agreementAt(before, path)
	now, k := agreementAt(after, path)
	name, of := w.Say("Quote"), now
	if of == nil {
		of, k = was, n
	}
	if k > 0 {
		name = w.SayWith("Variation {0}", strconv.Itoa(k))
	}
	if of == nil {
		return app.Text("")
	}
	return app.Elem("div").Class("change").DataSet("change", path).Body(
		element.Text("dt", "", name),
		element.Text("dd", "", w.SayWith("{0} → {1}", agreementWords(w, was), agreementWords(w, now))),
		element.Box("dd", "", element.Box("details", "", element.Box("summary", "", element.Text("span", "", w.Say("Line by line"))),
			element.Box("dl", "pairs", agreementLines(w, of.Lines)...))))
}

// agreementCell writes one cell of an agreement, or the whole of it, for a person; false
// where the field is none.
func agreementCell(w *editing.Site, field string, raw json.RawMessage) (words string, ok bool) {
	rest, ok := strings.CutPrefix(field, survey.QuoteAgreed+".")
	if !ok {
		return "", false
	}
	if _, cell, part := strings.Cut(rest, "."); part {
		if json.Unmarshal(raw, &words) != nil {
			return "", false
		}
		switch cell {
		case "on":
			return w.LocalTime(words), true
		case "total":
			return w.Amount(words), true
		case "sign":
			return w.Say("a signature"), true
		case "lines":
			return w.SayCount(strings.Count(words, "\n")+1, "one line", "{0} lines"), true
		}
		return "“" + words + "”", true
	}
	var a survey.Agreement
	if json.Unmarshal(raw, &a) != nil {
		return "", false
	}
	return agreementWords(w, &a), true
}
