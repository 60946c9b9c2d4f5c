// Package press fills orders for documents.
package press

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"time"

	"pegpour/app/papers/order"
	"pegpour/engine"
	"pegpour/engine/casting"
	"pegpour/engine/input"
	"pegpour/engine/plan"
	"pegpour/engine/refusal"
	"pegpour/engine/sheets"
	"pegpour/engine/survey"
	"pegpour/engine/tables"
	"pegpour/engine/text"
	"pegpour/engine/units"
	"pegpour/engine/words"
	"pegpour/storage"
)

// ErrDate is returned for a date that cannot be read, and for a site that has
// none where the order gives none either.
var ErrDate = error(refusal.Error("the date must be written like 2025-03-14 or 2025-03-14T09:26:53Z"))

// Print makes the document that is ordered, a PDF, the table of order.Cuts or the
// drawings of order.Exchange. Equal orders give equal bytes.
//
// A field whose entry could not be read counts as not measured, as it does on
// the screen; so does one whose value the engine refuses. Errors: those of
// storage.Decode, ErrDate, sheets.ErrReader, or one of the drawing.
func Print(o order.Order) ([]byte, error) {
	d, err := storage.Decode(o.Document)
	if err != nil {
		return nil, err
	}
	shop := storage.NewShop()
	shop.Rules = o.Rules
	practice, err := shop.Practice(d) // what is refused stays at its default, as on the screen
	var rules input.Refusals
	errors.As(err, &rules)
	taken := measured(d)
	made, err := engine.Design(taken, practice)
	var refused input.Refusals
	if err != nil && !errors.As(err, &refused) {
		return nil, err
	}
	var poured *sheets.Poured
	if (sheets.Reader(o.For) == sheets.ForSteel || o.For == order.Cuts) && taken.Build.Poured.Used() {
		stands := casting.ReadPoured(taken, &made, practice)
		planned := made
		made, _ = engine.Design(stands.Survey, practice)
		poured = &sheets.Poured{Changes: casting.ChangesBetween(&planned, &made)}
		if len(taken.Build.Poured.Levels) > 0 {
			poured.Problem = stands.Unlaid(&planned)
		}
		taken = stands.Survey
	}
	if o.For == order.Cuts {
		var table bytes.Buffer
		err := csv.NewWriter(&table).WriteAll(tables.Steel(&made, poured != nil))
		return table.Bytes(), err
	}
	i := sheets.Issue{Plan: &made, Survey: &taken, Practice: &practice, Refused: rules, Firm: o.Firm, Terms: o.Terms, Prices: o.Prices,
		Currency: o.Currency, Colour: o.Colour,
		Poured: poured, Units: "mm", Write: writer(o.Units, true), Figure: writer(o.Units, false), Done: pegs(d, &made), Ticks: d.Ticks,
		Revision: o.Revision}
	if o.Units == storage.UnitsFeet {
		i.Units = "ft in"
	}
	if len(o.Words) > 0 {
		if i.Language, err = words.Read(o.Words); err != nil {
			return nil, err
		}
	}
	if o.For == order.Exchange {
		return sheets.Exchange(i)
	}
	if i.Date, err = dateOf(o.Date, d); err != nil {
		return nil, err
	}
	state, err := storage.HandOverState(d)
	if err != nil {
		return nil, err
	}
	i.State = string(state)
	i.QuoteState = func(a *survey.Agreement) string {
		state, _ := storage.QuoteState(d, shop.RulesFor(d), a) // what cannot be named is not what was signed
		return string(state)
	}
	if i.Revision == "" {
		if i.Revision, err = contentName(d, shop.RulesFor(d)); err != nil {
			return nil, err
		}
	}
	return sheets.For(sheets.Reader(o.For), i)
}

// measured is the survey without the fields whose entry could not be read.
func measured(d *storage.Document) survey.Survey {
	taken := d.Survey.Clone()
	for path := range d.DraftsByField() {
		f, _ := survey.FieldAt(path)
		if f.Numeric() {
			_ = f.SetValue(&taken, survey.Value{})
		} else if f.Dimension == text.Choice {
			_ = f.SetWords(&taken, "")
		}
	}
	return taken
}

// pegs are the numbers of those that are ticked.
func pegs(d *storage.Document, made *plan.Plan) map[int]bool {
	done := map[int]bool{}
	for _, p := range made.Pegs {
		if d.Ticks[fmt.Sprint("peg.", p.Number)] {
			done[p.Number] = true
		}
	}
	return done
}

// writer writes arguments as the screens do.
func writer(system string, symbol bool) func(text.Arg) string {
	style := units.WholeMillimetres()
	style.Symbol = symbol
	if system == storage.UnitsFeet {
		style = units.FeetInches()
	}
	return func(a text.Arg) string {
		if a.Dimension == text.Length {
			return units.Format(a.Value, style)
		}
		return text.PlainArg(a)
	}
}

// dateOf is the date given, or else that of the document's last change.
func dateOf(given string, d *storage.Document) (time.Time, error) {
	for _, sentence := range [...]string{given, d.Changed, d.Created} {
		if sentence == "" {
			continue
		}
		if !strings.Contains(sentence, "T") {
			sentence += "T00:00:00Z"
		}
		at, err := time.Parse(time.RFC3339, sentence)
		if err != nil || at.IsZero() {
			return time.Time{}, fmt.Errorf("%w, not %q", ErrDate, sentence)
		}
		return at.UTC(), nil
	}
	return time.Time{}, ErrDate
}

// contentName names the state that is printed: by the canonical bytes of the
// document, and of the shop's rules where it has any.
func contentName(d *storage.Document, rules map[string]float64) (string, error) {
	sentence, err := storage.Encode(d)
	if err != nil {
		return "", err
	}
	if len(rules) > 0 {
		more, err := json.Marshal(rules)
		if err != nil {
			return "", err
		}
		sentence = append(append(sentence, '\n'), more...)
	}
	return string(storage.NameRevision(sentence)), nil
}
