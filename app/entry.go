package app

import (
	"errors"
	"math"
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/engine/survey"
	"pegpour/engine/text"
	"pegpour/engine/units"
	"pegpour/storage"
)

func (w *workspace) unitOf(f survey.Field) string {
	switch {
	case f.Dimension == text.AngleOf:
		return "°"
	case f.Dimension == text.Grade:
		return "%"
	case f.Dimension == text.Length && w.feet():
		return "ft in"
	case f.Dimension == text.Length:
		return "mm"
	}
	return ""
}

// parse reads an entry in the field's dimension.
func (w *workspace) parse(f survey.Field, words string) (float64, error) {
	switch f.Dimension {
	case text.Length:
		return units.Parse(words, w.unit())
	case text.AngleOf:
		return units.ParseAngle(words)
	case text.Grade:
		g, err := units.ParseGrade(words, units.Percent)
		return float64(g), err
	}
	return strconv.ParseFloat(strings.ReplaceAll(strings.TrimSpace(words), ",", "."), 64)
}

// format writes a number of the field's dimension as one would type it.
func (w *workspace) format(f survey.Field, v float64) string {
	switch f.Dimension {
	case text.Length:
		if !w.feet() && v != math.Trunc(v) {
			return units.Format(v, units.Style{Unit: units.Millimetre, Decimals: 2, Comma: language.DecimalSign() == ","})
		}
		return w.length(v, false)
	case text.AngleOf:
		return language.Number(units.FormatAngle(v, 1))
	case text.Grade:
		return language.Number(units.Decimal(v*100, 2))
	}
	return language.Number(units.Decimal(v, 3))
}

// entry is the text in the entry and what is wrong with it.
func (w *workspace) entry(f survey.Field) (text, problem string) {
	if draft, ok := w.drafts[f.Path]; ok {
		return draft, w.problem(f, draft)
	}
	v := f.Value(&w.doc.Survey)
	if !v.Known() {
		return "", ""
	}
	if size, err := w.parse(f, v.Text); err == nil && math.Abs(size-v.Size) < 1e-6 {
		return v.Text, ""
	}
	return w.format(f, v.Size), ""
}

// problem says what was read, what is allowed and what to do.
func (w *workspace) problem(f survey.Field, text string) string {
	v, err := w.parse(f, text)
	if err != nil {
		return w.misreadWords(err, w.example(f))
	}
	if v < f.Low || v > f.High {
		return sayWith("Read as {0}; allowed is {1} – {2}.", w.size(v, f.Dimension), w.size(f.Low, f.Dimension), w.size(f.High, f.Dimension))
	}
	if e := w.refused.At(f.Path); e != nil {
		return w.sentence(e.Detail)
	}
	return ""
}

// unfinished is what to say of a number that is typed just now and too small so
// far: the next digit may make it right, so it is no fault yet. "" when it is
// none of these.
func (w *workspace) unfinished(f survey.Field) string {
	v, err := w.parse(f, w.drafts[f.Path])
	if w.typing != f.Path || err != nil || v <= 0 || v >= f.Low {
		return ""
	}
	number := func(v float64) string { return w.figure(text.Arg{Value: v, Dimension: f.Dimension}) }
	return sayWith("{0} so far; {1} – {2} allowed.", number(v), number(f.Low), w.size(f.High, f.Dimension))
}

// misreadWords says why an entry was not read.
func (w *workspace) misreadWords(err error, example string) string {
	var misread *units.ParseError
	switch {
	case !errors.As(err, &misread):
		return say("Not read: a number was expected.")
	case len(misread.Readings) > 0:
		return sayWith("Not read: {0}: {1}. Write the unit meant.", say(string(misread.Reason)), w.either(misread.Readings))
	}
	return sayWith("Not read: {0}. For example {1}.", say(string(misread.Reason)), example)
}

// example is an entry of a field as one may type it.
func (w *workspace) example(f survey.Field) string {
	switch {
	case f.Dimension == text.AngleOf:
		return language.Number("82.5")
	case f.Dimension == text.Grade:
		return say("2.5, 1:40")
	}
	return w.lengthExample()
}

func (w *workspace) lengthExample() string {
	if w.feet() {
		return `10' 6 1/2"`
	}
	return say("3204, 3.204 m")
}

// either names readings of which one was meant.
func (w *workspace) either(readings []string) string {
	all := ""
	for i, r := range readings {
		if i == 0 {
			all = language.Number(r)
		} else {
			all = sayWith("{0} or {1}", all, language.Number(r))
		}
	}
	return all
}

// entrySays is the line under the entry: a problem, what was read, or what is
// assumed.
func (w *workspace) entrySays(f survey.Field, problem string) string {
	if unfinished := w.unfinished(f); unfinished != "" {
		return unfinished
	}
	assumed := ""
	survey := w.effective()
	if a, ok := f.Assumed(&survey, &w.practice); ok {
		assumed = w.write(text.Arg{Value: a, Dimension: f.Dimension})
	}
	if problem != "" {
		if assumed != "" {
			return sentences(problem, sayWith("The drawing uses ~{0}.", assumed))
		}
		return problem
	}
	if e := w.refused.At(f.Path); e != nil && !e.Detail.Empty() {
		return w.sentence(e.Detail)
	}
	v := f.Value(&w.doc.Survey)
	if v.Known() {
		return sayWith("Read as {0}, {1}.", w.size(v.Size, f.Dimension), say(methodWords(v.How)))
	}
	if g, ok := w.outlines().Network.Give(f.Path); ok {
		return sayWith("From the tape network: {0}. What is typed here is used instead.", w.give(g, f.Dimension))
	}
	if assumed != "" {
		return sayWith("Not measured yet: the drawing assumes ~{0}.", assumed)
	}
	return say("Not measured yet.")
}

func (w *workspace) placeholder(f survey.Field) string {
	if g, ok := w.outlines().Network.Give(f.Path); ok {
		return w.format(f, math.Round(g.Value))
	}
	survey := w.effective()
	if a, ok := f.Assumed(&survey, &w.practice); ok {
		return "~ " + w.format(f, a)
	}
	return "?"
}

// method is how the next value of a field is taken.
func (w *workspace) method(f survey.Field) survey.Method {
	if v := f.Value(&w.doc.Survey); v.Known() {
		return v.How
	}
	if _, column, ok := bookCell(f.Path); ok && (column == "back" || column == "intermediate" || column == "fore") {
		return survey.ByStaff
	}
	if f.Dimension == text.Grade && w.how != survey.ByPhone && w.how != survey.ByEstimate {
		return survey.ByStaff // typed from a level that shows the slope
	}
	if f.Dimension == text.AngleOf && w.how == survey.ByLaser {
		return survey.ByTape
	}
	return w.how
}

func (w *workspace) setMethod(ctx app.Context, f survey.Field, m survey.Method) {
	w.how = m
	v := f.Value(&w.doc.Survey)
	if !v.Known() {
		w.refresh(ctx)
		return
	}
	v.How = m
	e, err := storage.SetValue(w.doc, f.Path, v)
	w.commit(ctx, e, err)
}

// typed takes the whole text of the entry after each keystroke: what can be
// used becomes the value, what cannot is kept as it is.
//
// from is the entry that it stands in; nil where that knows already.
func (w *workspace) typed(ctx app.Context, f survey.Field, text string, from app.Value) {
	defer noteShown(from, f.Path, text) // after the drawing, which waits for nothing
	w.typing = f.Path
	if before, _ := w.entry(f); before == text {
		return
	}
	var v survey.Value // not measured, where nothing stands
	var misread error
	if strings.TrimSpace(text) != "" {
		v = survey.Value{How: w.method(f), Text: text}
		v.Size, misread = w.parse(f, text)
	}
	before := w.doc
	edit := func() (e storage.Edit, err error) {
		if misread != nil {
			e, err = storage.SetDraft(before, f.Path, text)
		} else {
			e, err = storage.SetValue(before, f.Path, v)
		}
		e.Run = "typing " + f.Path
		return e, err
	}
	// The screen first; the edit is made when it is stored.
	var next *storage.Document
	if misread != nil {
		next = storage.WithDraft(before, f.Path, text)
	} else {
		next = storage.WithValue(before, f.Path, v)
	}
	if next != nil {
		w.put(next, edit)
		w.refreshInQuiet(ctx)
		return
	}
	e, err := edit()
	w.commit(ctx, e, err)
}

// typedWords takes the words of a text field after each keystroke.
func (w *workspace) typedWords(ctx app.Context, f survey.Field, text string) {
	noteShown(entryOf(f.Path), f.Path, text)
	e, err := storage.SetWords(w.doc, f.Path, text)
	e.Run = "typing " + f.Path
	w.commit(ctx, e, err)
}
