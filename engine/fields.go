package engine

import (
	"math"
	"strconv"
	"strings"
)

// Field describes one value of the survey: what it is called, what is allowed,
// what is assumed while it is not measured, and how to take it. Screens,
// validation, the command line and the documentation are all made from it.
type Field struct {
	Path      string // e.g. "opening.width"; lists hold an index: "runBack.obstructions.0.length"
	Group     string // the part of the site: a Group constant
	Name      string
	Dimension Dimension
	Low, High float64  // of a number, both ends included
	Options   []Option // of a choice, the assumed one first
	Help      string   // where the tape goes

	// Assumed gives the value used while none was measured; false means that
	// nothing is assumed and the plan does without.
	assumed func(*Survey, *Practice) (float64, bool)
	needed  func(*Survey) bool // nil: always
	number  func(*Survey) *Value
	words   func(*Survey) *string

	// A field of an entry of a list whose fields stand in a table has these
	// instead; entry is which.
	entry       int
	entryNumber func(*Survey, int) *Value
	entryWords  func(*Survey, int) *string
}

// numberIn is where the field's number stands in s; nil for words, and for an
// entry that s has not.
func (f *Field) numberIn(s *Survey) *Value {
	switch {
	case f.number != nil:
		return f.number(s)
	case f.entryNumber != nil:
		return f.entryNumber(s, f.entry)
	}
	return nil
}

// wordsIn is where the field's text or choice stands in s; nil for a number, and
// for an entry that s has not.
func (f *Field) wordsIn(s *Survey) *string {
	switch {
	case f.words != nil:
		return f.words(s)
	case f.entryWords != nil:
		return f.entryWords(s, f.entry)
	}
	return nil
}

// Option is one choice: its value in documents and its words.
type Option struct{ Value, Words string }

// The parts of a site, in the order one walks it.
const (
	GroupSite      = "Site"
	GroupOpening   = "Opening"
	GroupDrive     = "Driveway"
	GroupRunBack   = "Run-back"
	GroupGround    = "Ground"
	GroupGate      = "Gate"
	GroupObstacles = "In the way"
)

// Groups lists the parts of a site in the order one walks it.
func Groups() []string {
	return []string{GroupSite, GroupOpening, GroupDrive, GroupRunBack, GroupGround, GroupGate, GroupObstacles}
}

// The most list entries a survey may hold.
const (
	MaxEdgePoints   = 20
	MaxObstructions = 50
	MaxWords        = 20000 // characters in one text field
)

// Needed reports whether this site needs the field, given what is known so far.
func (f Field) Needed(s *Survey) bool { return f.needed == nil || f.needed(s) }

// Assumed returns the value that stands in while none was measured; false
// means that the plan does without one.
func (f Field) Assumed(s *Survey, p *Practice) (float64, bool) {
	if f.assumed == nil {
		return 0, false
	}
	return f.assumed(s, p)
}

// Numeric reports whether the field holds a number.
func (f Field) Numeric() bool { return f.number != nil || f.entryNumber != nil }

// Value returns the field's number in s; the zero Value for words and choices.
func (f Field) Value(s *Survey) Value {
	if v := f.numberIn(s); v != nil {
		return *v
	}
	return Value{}
}

// Words returns the field's text or choice in s.
func (f Field) Words(s *Survey) string {
	if w := f.wordsIn(s); w != nil {
		return *w
	}
	return ""
}

// Chosen returns the choice in s, or the assumed one while none was made.
func (f Field) Chosen(s *Survey) string {
	if w := f.Words(s); w != "" {
		return w
	}
	if len(f.Options) > 0 {
		return f.Options[0].Value
	}
	return ""
}

// Answered reports whether the survey holds anything for the field.
func (f Field) Answered(s *Survey) bool {
	if f.Numeric() {
		return f.Value(s).Known()
	}
	return f.Words(s) != ""
}

// SetValue puts a number into the survey after checking it. A refused number
// leaves the survey as it was.
func (f Field) SetValue(s *Survey, v Value) error {
	if !f.Numeric() {
		return &FieldError{Path: f.Path, Name: f.Name, Reason: UnknownField, Detail: say("takes no number")}
	}
	if e := f.checkValue(v); e != nil {
		return e
	}
	if at := f.numberIn(s); at != nil {
		*at = v
		return nil
	}
	return &FieldError{Path: f.Path, Name: f.Name, Reason: UnknownField}
}

// SetWords puts a text or a choice into the survey after checking it.
func (f Field) SetWords(s *Survey, w string) error {
	if f.Numeric() {
		return &FieldError{Path: f.Path, Name: f.Name, Reason: UnknownField, Detail: say("takes no words")}
	}
	if e := f.checkWords(w); e != nil {
		return e
	}
	if at := f.wordsIn(s); at != nil {
		*at = w
		return nil
	}
	return &FieldError{Path: f.Path, Name: f.Name, Reason: UnknownField}
}

func (f Field) checkValue(v Value) *FieldError {
	if !v.How.Valid() {
		return &FieldError{Path: f.Path, Name: f.Name, Reason: UnknownHow, Text: string(v.How), Allowed: methodNames()}
	}
	if !v.Known() {
		return nil
	}
	if math.IsNaN(v.Size) || math.IsInf(v.Size, 0) {
		return &FieldError{Path: f.Path, Name: f.Name, Dimension: f.Dimension, Given: v.Size, Low: f.Low, High: f.High, Reason: NotANumber}
	}
	if v.Size < f.Low || v.Size > f.High {
		return &FieldError{Path: f.Path, Name: f.Name, Dimension: f.Dimension, Given: v.Size, Low: f.Low, High: f.High, Reason: OutOfRange}
	}
	if math.IsNaN(v.Sigma) || v.Sigma < 0 || v.Sigma > f.High-f.Low {
		return &FieldError{Path: f.Path + ".sigma", Name: fill("{0}, standard uncertainty", f.Name), Dimension: f.Dimension, Given: v.Sigma, Low: 0, High: f.High - f.Low, Reason: OutOfRange}
	}
	return nil
}

func (f Field) checkWords(w string) *FieldError {
	if f.Dimension == Words {
		if n := len(w); n > MaxWords {
			return &FieldError{Path: f.Path, Name: f.Name, Reason: TooMany, Given: float64(n), High: MaxWords, Detail: say("at most {0} characters", number(MaxWords))}
		}
		return nil
	}
	if w == "" {
		return nil
	}
	for _, o := range f.Options {
		if o.Value == w {
			return nil
		}
	}
	allowed := make([]string, len(f.Options))
	for i, o := range f.Options {
		allowed[i] = o.Value
	}
	return &FieldError{Path: f.Path, Name: f.Name, Reason: NotAChoice, Text: w, Allowed: allowed}
}

func methodNames() []string {
	names := make([]string, 0, len(Methods()))
	for _, m := range Methods() {
		names = append(names, string(m))
	}
	return names
}

// Fields lists every field this survey has: the fixed ones and those of each
// list entry present, in the order one walks the site.
func Fields(s *Survey) []Field {
	entries := 2*(len(s.Drive.RunBackEdge.Points)+len(s.Drive.LatchEdge.Points)) + len(bookFields)*len(s.Ground.Levels.Book) + len(dropFields)*len(s.Ground.Levels.Drops) +
		6*len(s.RunBack.Obstructions)
	all := make([]Field, 0, len(fixedFields)+entries)
	for i := range fixedFields {
		f := fixedFields[i]
		all = append(all, f)
		switch f.Path {
		case "drive.runBackEdge.given":
			all = appendEdgePoints(all, "drive.runBackEdge", s.Drive.RunBackEdge.Points)
		case "drive.latchEdge.given":
			all = appendEdgePoints(all, "drive.latchEdge", s.Drive.LatchEdge.Points)
		default:
			all = appendGroundEntries(all, f.Path, s)
		}
	}
	for i := range s.RunBack.Obstructions {
		all = appendObstruction(all, i)
	}
	return appendNetwork(all, s)
}

func appendEdgePoints(all []Field, edge string, points []EdgePoint) []Field {
	for i := range points {
		for _, name := range []string{"along", "offset"} {
			if f, ok := edgePointField(edge, i, name); ok {
				all = append(all, f)
			}
		}
	}
	return all
}

func appendObstruction(all []Field, i int) []Field {
	for _, name := range []string{"kind", "name", "along", "offset", "length", "width"} {
		if f, ok := obstructionField(i, name); ok {
			all = append(all, f)
		}
	}
	return all
}

// FieldAt finds the field of a path. List entries are found whether or not the
// survey holds them; SetValue on a missing one is refused.
func FieldAt(path string) (Field, bool) {
	if i, ok := fixedFieldAt[path]; ok {
		return fixedFields[i], true
	}
	if f, ok := groundEntryField(path); ok {
		return f, true
	}
	if f, ok := networkField(path); ok {
		return f, true
	}
	if rest, ok := strings.CutPrefix(path, "runBack.obstructions."); ok {
		if i, name, ok := indexed(rest, MaxObstructions); ok {
			return obstructionField(i, name)
		}
	}
	for _, edge := range []string{"drive.runBackEdge", "drive.latchEdge"} {
		if rest, ok := strings.CutPrefix(path, edge+".points."); ok {
			if i, name, ok := indexed(rest, MaxEdgePoints); ok {
				return edgePointField(edge, i, name)
			}
		}
	}
	return Field{}, false
}

func indexed(rest string, most int) (int, string, bool) {
	index, name, ok := strings.Cut(rest, ".")
	i, err := strconv.Atoi(index)
	if !ok || err != nil || i < 0 || i >= most {
		return 0, "", false
	}
	return i, name, true
}

func obstructionField(i int, name string) (Field, bool) {
	f := Field{Path: "runBack.obstructions." + strconv.Itoa(i) + "." + name, Group: GroupObstacles, Dimension: Length}
	at := func(s *Survey) *Obstruction {
		if i < len(s.RunBack.Obstructions) {
			return &s.RunBack.Obstructions[i]
		}
		return nil
	}
	number := func(pick func(*Obstruction) *Value) func(*Survey) *Value {
		return func(s *Survey) *Value {
			if o := at(s); o != nil {
				return pick(o)
			}
			return nil
		}
	}
	nothing := func(*Survey, *Practice) (float64, bool) { return 0, true }
	box := func(*Survey, *Practice) (float64, bool) { return 300, true }
	switch name {
	case "kind":
		f.Name, f.Dimension, f.Options = "What is in the way", Choice, []Option{
			{ObstructionOther, "Something else"}, {ObstructionTree, "Tree"}, {ObstructionPit, "Pit or drain"}, {ObstructionTap, "Tap"},
			{ObstructionService, "Buried service"}, {ObstructionTank, "Tank"}, {ObstructionWall, "Wall or building"}}
		f.words = func(s *Survey) *string {
			if o := at(s); o != nil {
				return &o.Kind
			}
			return nil
		}
	case "name":
		f.Name, f.Dimension = "Note", Words
		f.words = func(s *Survey) *string {
			if o := at(s); o != nil {
				return &o.Name
			}
			return nil
		}
	case "along":
		f.Name, f.Low, f.High = "From the run-back post to its near side", -20000, 30000
		f.Help = "Along the fence from the inner face of the run-back post; minus is back into the opening."
		f.number, f.assumed = number(func(o *Obstruction) *Value { return &o.Along }), nothing
	case "offset":
		f.Name, f.Low, f.High = "From the back of the fence to its near side", -5000, 30000
		f.Help = "Square into the property."
		f.number, f.assumed = number(func(o *Obstruction) *Value { return &o.Offset }), nothing
	case "length":
		f.Name, f.Low, f.High = "Its length along the fence", 1, 30000
		f.number, f.assumed = number(func(o *Obstruction) *Value { return &o.Length }), box
	case "width":
		f.Name, f.Low, f.High = "Its width out from the fence", 1, 30000
		f.number, f.assumed = number(func(o *Obstruction) *Value { return &o.Width }), box
	default:
		return Field{}, false
	}
	return f, true
}

func edgePointField(edge string, i int, name string) (Field, bool) {
	pick := func(s *Survey) *EdgePoint {
		e := &s.Drive.RunBackEdge
		if edge == "drive.latchEdge" {
			e = &s.Drive.LatchEdge
		}
		if i < len(e.Points) {
			return &e.Points[i]
		}
		return nil
	}
	f := Field{Path: edge + ".points." + strconv.Itoa(i) + "." + name, Group: GroupDrive, Dimension: Length}
	atLatch := edge == "drive.latchEdge"
	number := strconv.Itoa(i + 1)
	switch name {
	case "along":
		f.Name, f.Low, f.High = fill("Point {0} of the run-back side edge: along the fence", number), -20000, 30000
		f.Help = "From the inner face of the run-back post; plus is the way the gate runs to open."
		if atLatch {
			f.Name = fill("Point {0} of the latch side edge: along the fence", number)
			f.Help = "From the inner face of the latch post; plus is the way the gate runs to open."
		}
		f.number = func(s *Survey) *Value {
			if p := pick(s); p != nil {
				return &p.Along
			}
			return nil
		}
	case "offset":
		f.Name, f.Low, f.High = fill("Point {0} of the run-back side edge: out from the fence", number), -2000, 30000
		if atLatch {
			f.Name = fill("Point {0} of the latch side edge: out from the fence", number)
		}
		f.Help = "Square into the property from the back of the fence."
		f.number = func(s *Survey) *Value {
			if p := pick(s); p != nil {
				return &p.Offset
			}
			return nil
		}
	default:
		return Field{}, false
	}
	return f, true
}
