package editing

import (
	"errors"
	"math"
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/language"
	"pegpour/engine/plan"
	"pegpour/engine/survey"
	"pegpour/engine/text"
	"pegpour/engine/units"
	"pegpour/storage"
)

// UnitOf is the unit that stands beside an entry.
func (s *Site) UnitOf(f survey.Field) string {
	switch {
	case f.Dimension == text.AngleOf:
		return "°"
	case f.Dimension == text.Grade:
		return "%"
	case f.Dimension == text.Length && s.Feet():
		return "ft in"
	case f.Dimension == text.Length:
		return "mm"
	}
	return ""
}

// parse reads an entry in the field's dimension.
func (s *Site) parse(f survey.Field, words string) (float64, error) {
	switch f.Dimension {
	case text.Length:
		return units.Parse(words, s.Unit())
	case text.AngleOf:
		return units.ParseAngle(words)
	case text.Grade:
		g, err := units.ParseGrade(words, units.Percent)
		return float64(g), err
	}
	return strconv.ParseFloat(strings.ReplaceAll(strings.TrimSpace(words), ",", "."), 64)
}

// format writes a number of the field's dimension as one would type it.
func (s *Site) format(f survey.Field, v float64) string {
	switch f.Dimension {
	case text.Length:
		if !s.Feet() && v != math.Trunc(v) {
			return units.Format(v, units.Style{Unit: units.Millimetre, Decimals: 2, Comma: s.DecimalSign() == ","})
		}
		return s.Length(v, false)
	case text.AngleOf:
		return s.Number(units.FormatAngle(v, 1))
	case text.Grade:
		return s.Number(units.Decimal(v*100, 2))
	}
	return s.Number(units.Decimal(v, 3))
}

// Entry is the text in the entry and what is wrong with it.
func (s *Site) Entry(f survey.Field) (words, problem string) {
	if s.Heard(f) {
		return s.heard.typed, s.problem(f, s.heard.typed)
	}
	if draft, ok := s.drafts[f.Path]; ok {
		return draft, s.problem(f, draft)
	}
	v := f.Value(&s.Doc.Survey)
	if !v.Known() {
		return "", ""
	}
	if size, err := s.parse(f, v.Text); err == nil && math.Abs(size-v.Size) < 1e-6 {
		return v.Text, ""
	}
	return s.format(f, v.Size), ""
}

// problem says what was read, what is allowed and what to do.
// WordsEntry is what stands in the entry of a field of words, and why it may not stand
// there; "" where it may.
func (s *Site) WordsEntry(f survey.Field) (words, problem string) {
	draft, refused := s.Doc.Draft(f.Path)
	if !refused {
		return f.Words(&s.Doc.Survey), ""
	}
	if e := f.CheckWords(draft); e != nil {
		problem = s.Sentence(e.Detail)
	}
	return draft, problem
}

func (s *Site) problem(f survey.Field, words string) string {
	v, err := s.parse(f, words)
	if err != nil {
		return s.misreadWords(err, s.example(f))
	}
	if v < f.Low || v > f.High {
		return s.SayWith("Read as {0}; allowed is {1} – {2}.", s.Size(v, f.Dimension), s.Size(f.Low, f.Dimension),
			s.Size(f.High, f.Dimension))
	}
	if e := s.refused.At(f.Path); e != nil {
		return s.Sentence(e.Detail)
	}
	return ""
}

// Unfinished is what to say of a number that is typed just now and too small so
// far: the next digit may make it right, so it is no fault yet. "" when it is
// none of these.
func (s *Site) Unfinished(f survey.Field) string {
	v, err := s.parse(f, s.drafts[f.Path])
	if s.typing != f.Path || err != nil || v <= 0 || v >= f.Low {
		return ""
	}
	number := func(v float64) string { return s.WriteOnDrawing(text.Arg{Value: v, Dimension: f.Dimension}) }
	return s.SayWith("{0} so far; {1} – {2} allowed.", number(v), number(f.Low), s.Size(f.High, f.Dimension))
}

// misreadWords says why an entry was not read.
func (s *Site) misreadWords(err error, example string) string {
	var misread *units.ParseError
	switch {
	case !errors.As(err, &misread):
		return s.Say("Not read: a number was expected.")
	case len(misread.Readings) > 0:
		return s.SayWith("Not read: {0}: {1}. Write the unit meant.", s.Say(string(misread.Reason)),
			s.either(misread.Readings))
	}
	return s.SayWith("Not read: {0}. For example {1}.", s.Say(string(misread.Reason)), example)
}

// example is an entry of a field as one may type it.
func (s *Site) example(f survey.Field) string {
	switch {
	case f.Dimension == text.AngleOf:
		return s.Number("82.5")
	case f.Dimension == text.Grade:
		return s.Say("2.5, 1:40")
	}
	return s.lengthExample()
}

func (s *Site) lengthExample() string {
	if s.Feet() {
		return `10' 6 1/2"`
	}
	return s.Say("3204, 3.204 m")
}

// either names readings of which one was meant.
func (s *Site) either(readings []string) string {
	all := ""
	for i, r := range readings {
		if i == 0 {
			all = s.Number(r)
		} else {
			all = s.SayWith("{0} or {1}", all, s.Number(r))
		}
	}
	return all
}

// EntrySays is the line under the entry: a problem, what was read, or what is
// assumed.
func (s *Site) EntrySays(f survey.Field, problem string) string {
	if h, ok := s.heardOf(f); ok {
		return h.says
	}
	if unfinished := s.Unfinished(f); unfinished != "" {
		return unfinished
	}
	assumed := ""
	taken := s.Survey()
	if a, ok := f.Assumed(&taken, &s.Practice); ok {
		assumed = s.Write(text.Arg{Value: a, Dimension: f.Dimension})
	}
	if problem != "" {
		if assumed != "" {
			return language.Sentences(problem, s.SayWith("The drawing uses ~{0}.", assumed))
		}
		return problem
	}
	if e := s.refused.At(f.Path); e != nil && !e.Detail.Empty() {
		return s.Sentence(e.Detail)
	}
	v := f.Value(&s.Doc.Survey)
	if v.Known() {
		return s.SayWith("Read as {0}, {1}.", s.Size(v.Size, f.Dimension), s.Say(f.MethodWords(v.How)))
	}
	if v, ok := s.secondFor(f); ok {
		return s.SayWith("The laser's second number: {0}. Next takes it.", s.Size(v.Size, f.Dimension))
	}
	if g, ok := s.Outlines().Network.Give(f.Path); ok {
		return s.SayWith("From the tape network: {0}. What is typed here is used instead.", s.Give(g, f.Dimension))
	}
	if guess, ok := s.GuessOf(f); ok {
		words := "As at the place before: {0}. Next takes it."
		if DropOf(f.Path) < 0 {
			words = "A guess, as at the last site: {0}. Next takes it as one by eye."
		} else if guess.How == survey.ByEstimate {
			words = "A guess: {0}. Next takes it as one by eye."
		}
		return s.SayWith(words, s.Size(guess.Size, f.Dimension))
	}
	if assumed != "" {
		return s.SayWith("Not measured yet: the drawing assumes ~{0}.", assumed)
	}
	return s.Say("Not measured yet.")
}

// Placeholder stands in an empty entry: what is used instead.
func (s *Site) Placeholder(f survey.Field) string {
	if v, ok := s.GuessOf(f); ok {
		return guessMark(v) + s.format(f, v.Size)
	}
	if g, ok := s.Outlines().Network.Give(f.Path); ok {
		return s.format(f, math.Round(g.Value))
	}
	taken := s.Survey()
	if a, ok := f.Assumed(&taken, &s.Practice); ok {
		return "~ " + s.format(f, a)
	}
	return "?"
}

// guessMark stands before a value by eye.
func guessMark(v survey.Value) string {
	if v.How == survey.ByEstimate {
		return "~ "
	}
	return ""
}

// Method is how the next value of a field is taken.
func (s *Site) Method(f survey.Field) survey.Method {
	if v := f.Value(&s.Doc.Survey); v.Known() {
		return v.How
	}
	if _, column, ok := BookCell(f.Path); ok && (column == "back" || column == "intermediate" || column == "fore") {
		return survey.ByStaff
	}
	if f.Dimension == text.Grade && s.How != survey.ByPhone && s.How != survey.ByEstimate {
		return survey.ByStaff // typed from a level that shows the slope
	}
	if f.Dimension == text.AngleOf && s.How == survey.ByLaser {
		return survey.ByTape
	}
	return s.How
}

// SetMethod says how a value was measured, and the next one with it.
func (s *Site) SetMethod(ctx app.Context, f survey.Field, m survey.Method) {
	s.How = m
	v := f.Value(&s.Doc.Survey)
	if !v.Known() {
		s.Refresh(ctx)
		return
	}
	v.How = m
	e, err := storage.SetValue(s.Doc, f.Path, v)
	s.Commit(ctx, e, err)
}

// Keys counts what was typed, key by key.
func (s *Site) Keys() int { return s.keys }

// Type takes the whole text of the entry after each keystroke: what can be
// used becomes the value, what cannot is kept as it is.
func (s *Site) Type(ctx app.Context, f survey.Field, words string) {
	s.typing = f.Path
	s.keys++
	s.heard = heard{} // what is typed is seen
	if before, _ := s.Entry(f); before == words {
		return
	}
	var v survey.Value // not measured, where nothing stands
	var misread error
	if strings.TrimSpace(words) != "" {
		v = survey.Value{How: s.Method(f), Text: words}
		if old := f.Value(&s.Doc.Survey); old.How == survey.ByEstimate && old.Text == "" {
			v.How = s.How // what was guessed is read now
		}
		v.Size, misread = s.parse(f, words)
	}
	if words != "" {
		s.takePlace(ctx, f)
	}
	before := s.Doc
	edit := func() (e storage.Edit, err error) {
		if misread != nil {
			e, err = storage.SetDraft(before, f.Path, words)
		} else {
			e, err = storage.SetValue(before, f.Path, v)
		}
		e.Run = "typing " + f.Path
		return e, err
	}
	// The screen first; the edit is made when it is stored.
	var next *storage.Document
	if misread != nil {
		next = storage.WithDraft(before, f.Path, words)
	} else {
		next = storage.WithValue(before, f.Path, v)
	}
	if next != nil {
		s.showThenStore(next, edit)
		s.RefreshInQuiet(ctx)
		return
	}
	e, err := edit()
	s.Commit(ctx, e, err)
}

// TypeWords takes the words of a text field after each keystroke.
func (s *Site) TypeWords(ctx app.Context, f survey.Field, words string) {
	e, err := storage.SetWords(s.Doc, f.Path, words)
	e.Run = "typing " + f.Path
	s.Commit(ctx, e, err)
}

// Give writes what the tape network gives, with its standard uncertainty.
func (s *Site) Give(g plan.Given, d text.Dimension) string {
	return s.Write(text.Arg{Value: g.Value, Dimension: d}) + " ± " + s.Decimal(g.Sigma, 1) + " mm"
}

// NextMethod is the way of measuring that the button offers after this one.
func NextMethod(f survey.Field, now survey.Method) survey.Method {
	ways := []survey.Method{survey.ByTape, survey.ByLaser, survey.ByString, survey.ByEstimate}
	switch {
	case f.Dimension == text.Grade:
		ways = []survey.Method{survey.ByPhone, survey.ByStaff, survey.ByEstimate}
	case f.Dimension == text.AngleOf:
		ways = []survey.Method{survey.ByTape, survey.ByPhone, survey.ByEstimate}
	case f.Dimension == text.Force || f.Dimension == text.Count || f.Dimension == text.Ratio:
		ways = []survey.Method{survey.ByTape, survey.ByEstimate}
	}
	for i, way := range ways {
		if way == now {
			return ways[(i+1)%len(ways)]
		}
	}
	return ways[0]
}

// OptionWords are what the answer of a choice is called on screen.
func OptionWords(f survey.Field, value string) string {
	for _, o := range f.Options {
		if o.Value == value {
			return o.Words
		}
	}
	return value
}

// AssumedWords writes what stands in for a value that was not measured.
func (s *Site) AssumedWords(a *survey.Assumption) string {
	switch {
	case a.Unknown:
		return "?"
	case a.Dimension == text.Choice:
		return "~ " + s.Say(a.Words)
	}
	return "~" + language.NoBreak + s.Size(a.Value, a.Dimension)
}
