package advice

import (
	"cmp"
	"runtime"
	"slices"
	"strings"
	"sync"
	"sync/atomic"

	"pegpour/engine"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/sorting"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// BuildOption is one way to build this site, designed in full.
type BuildOption struct {
	// Key names the choices, e.g. "gate.guide=cast in, gate.panels=2".
	Key string `json:"key"`
	// Choices are the words of what was chosen, one for each question asked.
	Choices []BuildChoice `json:"choices"`
	// Changes make the survey into this option; empty for the site as it stands.
	Changes []plan.Change `json:"changes,omitempty"`
	Current bool          `json:"current,omitempty"`
	// Needs are what lets the option be built where a Stop forbids it as the shop's
	// rules and the motor stand; Changes make them.
	Needs []text.Text `json:"needs,omitempty"`
	// Reasons are the checks that say Stop; with any the option cannot be built.
	Reasons []text.Text `json:"reasons,omitempty"`
	// Warnings are the checks of severity Warning with a margin, the shop's own
	// minima aside.
	Warnings []text.Text `json:"minds,omitempty"`
	// Cost is the sum of what has a rate; Unpriced names the rest.
	Cost     float64     `json:"cost"`
	Unpriced []text.Name `json:"unpriced,omitempty"`
	Dig      float64     `json:"dig"`      // mm³ in the bank
	Concrete float64     `json:"concrete"` // mm³, waste not counted
	Room     float64     `json:"room"`     // mm along the fence behind the run-back post
	Out      float64     `json:"out"`      // mm out from the back of the fence that is dug or stood on
	Clear    float64     `json:"clear"`    // mm of clear opening, straight in
	// Plan is for the drawing: it has neither figures nor load cases.
	Plan *plan.Plan `json:"-"`

	way *survey.Survey // before it is mended
}

// Feasible reports whether nothing says Stop, once what it needs is done.
func (w *BuildOption) Feasible() bool { return len(w.Reasons) == 0 }

// standing is how near an option is to being built: 0 as it is, 1 with what it
// needs, 2 not at all.
func (w *BuildOption) standing() int {
	switch {
	case !w.Feasible():
		return 2
	case len(w.Needs) > 0:
		return 1
	}
	return 0
}

// BuildChoice is one question and its answer in this option.
type BuildChoice struct {
	Path  string    `json:"path"`
	Name  text.Name `json:"name"`
	Value string    `json:"value"`
	Words string    `json:"words"`
}

// OptionsReport is every sensible way to build a site.
type OptionsReport struct {
	// Options are those that can be built as they are, in order of rank, then those
	// that need something first, then the others.
	Options  []BuildOption `json:"ways"`
	Feasible int           `json:"feasible"` // as they are
	Mended   int           `json:"mended"`   // with what they need
	Designs  int           `json:"designs"`  // of ways; what mends them not counted
	// By says what the order rests on: RankByCost, or RankByVolume where rates
	// are missing, which Missing names.
	By      string      `json:"by"`
	Missing []text.Name `json:"missing,omitempty"`
	// Notes say what is not known and what would settle it.
	Notes []text.Text `json:"notes,omitempty"`
}

// What an order of options rests on.
const (
	RankByCost   = "cost"
	RankByVolume = "volume" // concrete and dig together
)

// optionQuestions are the choices that make one way to build differ from another,
// in the order a card shows them. Values are tried where the field is asked of
// this site, and only those that can differ in its drawing or its quantities.
var optionQuestions = []string{survey.GateCarried, survey.GateGuide, survey.GatePanels, survey.DrivePaverMethod, survey.GateFootingBar,
	survey.GatePadOn}

// BuildOptions designs every sensible combination of what carries the leaf and what
// holds it, of panels, of how pavers are dealt with, and on falling ground of the steel footing, and
// ranks those that can be built: by cost where every line of each has a rate,
// else by concrete and dig together, then by dig, concrete and room. Options that
// a rule of the shop or a choice which makes no other way lets be built follow with
// what they need, then those that cannot be built with their reasons.
//
// A hard stop is part of every option, for a leaf without one can leave its guide;
// only where none with one can be built are options without it looked at, and
// say so. The other hand is not an option: its run-back was not measured.
//
// The report is deterministic and changes neither argument.
func BuildOptions(s survey.Survey, p practice.Practice) OptionsReport {
	o := BeginOptions(s, p)
	for {
		o.designAll()
		for o.done < len(o.waiting)-1 {
			o.Next()
		}
		if !o.Next() {
			return o.Report()
		}
	}
}

// designAll designs all options that wait, on as many processors as there are: none
// knows of another. It begins at the end of the list, where those that hang free stand:
// they take longest, and begun last they would leave a processor idle.
func (o *OptionsSearch) designAll() {
	var next atomic.Int64
	next.Store(int64(len(o.waiting)))
	var all sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), len(o.waiting)-o.done) {
		all.Go(func() {
			for i := next.Add(-1); i >= int64(o.done); i = next.Add(-1) {
				o.waiting[i].design(&o.practice)
			}
		})
	}
	all.Wait()
}

// OptionsSearch is [BuildOptions] one option at a time, for a screen that shows how far
// it has come.
type OptionsSearch struct {
	survey   survey.Survey
	practice practice.Practice
	waiting  []*BuildOption
	done     int
	report   OptionsReport
	none     *OptionsReport // with a hard stop, where options without one are looked at
}

// BeginOptions lists the options and designs none of them yet. Both arguments are kept,
// and neither is changed.
func BeginOptions(s survey.Survey, p practice.Practice) *OptionsSearch {
	p.ReplaceRefused()
	o := &OptionsSearch{survey: s, practice: p}
	o.list(survey.Yes)
	return o
}

// Next designs one option more and reports whether any is left.
func (o *OptionsSearch) Next() bool {
	if o.done < len(o.waiting) {
		w := o.waiting[o.done]
		if w.Plan == nil {
			w.design(&o.practice)
		}
		o.report.add(w)
		o.done++
	}
	if o.done == len(o.waiting) && o.none == nil && o.report.Feasible+o.report.Mended == 0 {
		none := o.report
		o.report, o.none = OptionsReport{Designs: none.Designs}, &none
		o.list(survey.No)
	}
	return o.done < len(o.waiting)
}

// Progress is how many options were designed and how many there are, as far as is known.
func (o *OptionsSearch) Progress() (done, all int) { return o.done, len(o.waiting) }

// Report is what was found of the options designed so far.
func (o *OptionsSearch) Report() OptionsReport {
	r := o.report
	if o.none != nil && r.Feasible+r.Mended == 0 {
		designs := r.Designs
		r = *o.none
		r.Designs = designs
	}
	r.Options = slices.Clone(r.Options)
	r.rank()
	r.note(&o.survey)
	return r
}

// list adds the options with a hard stop or without it to those that wait, each once.
func (o *OptionsSearch) list(stop string) {
	s := &o.survey
	var shared []plan.Change
	if f := survey.FieldOf(survey.GateHardStop); f.Chosen(s) != stop {
		shared = append(shared, plan.Change{Path: f.Path, Words: stop})
	}
	type combo struct {
		changes []plan.Change
		way     *survey.Survey
	}
	var combos []combo
	add := func(list []combo, changes []plan.Change) []combo {
		if way, _, ok := with(s, &o.practice, changes); ok {
			list = append(list, combo{changes, way})
		}
		return list
	}
	combos = add(combos, shared)
	for _, path := range optionQuestions {
		f, ok := survey.FieldAt(path)
		if !ok || len(f.Options) < 2 {
			continue
		}
		chosen := f.Chosen(s)
		next := make([]combo, 0, len(combos)*len(f.Options))
		for i := range combos {
			c := &combos[i]
			if !f.Needed(c.way) {
				next = append(next, *c)
				continue
			}
			for _, v := range f.Options {
				if v.Value == chosen {
					next = append(next, *c)
				} else {
					next = add(next, append(slices.Clip(c.changes), plan.Change{Path: path, Words: v.Value}))
				}
			}
		}
		combos = next
	}
	for _, changes := range pairs(s, shared) {
		combos = add(combos, changes)
	}
	keys := map[string]bool{}
	for i := range combos {
		c := &combos[i]
		w := &BuildOption{Changes: c.changes, Current: len(c.changes) == 0, way: c.way}
		if w.describe(c.way); !keys[w.Key] {
			keys[w.Key] = true
			o.waiting = append(o.waiting, w)
		}
	}
}

// design designs an option, with what it needs.
func (w *BuildOption) design(p *practice.Practice) {
	made := w.mend(engine.Attempt(w.way, p))
	w.Plan, w.Room = made.Plan, made.Room()
	w.measure()
}

// add counts an option that was designed.
func (r *OptionsReport) add(w *BuildOption) {
	r.Designs++
	switch w.standing() {
	case 0:
		r.Feasible++
	case 1:
		r.Mended++
	}
	r.Options = append(r.Options, *w)
}

// pairs are two leaves that meet where one leaf shuts the opening now, and one leaf where
// two do. Two are tried where the room behind the latch post was measured.
func pairs(s *survey.Survey, shared []plan.Change) [][]plan.Change {
	other := survey.LeavesPair
	if survey.Paired(s) {
		other = survey.LeavesOne
	} else if !roomAtLatch(s) {
		return nil
	}
	return [][]plan.Change{append(slices.Clip(shared), plan.Change{Path: survey.GateLeaves, Words: other})}
}

// roomAtLatch reports whether the room behind the latch post was measured.
func roomAtLatch(s *survey.Survey) bool {
	return survey.FieldOf(survey.Path(survey.OnSide(survey.RunBackRoom, true))).Answered(s)
}

// describe names the choices of the option as this survey stands.
func (w *BuildOption) describe(s *survey.Survey) {
	var key strings.Builder
	add := func(path string) {
		f, ok := survey.FieldAt(path)
		if !ok || !f.Needed(s) {
			return
		}
		value := f.Chosen(s)
		c := BuildChoice{Path: path, Name: f.Name, Value: value}
		for _, o := range f.Options {
			if o.Value == value {
				c.Words = o.Words
			}
		}
		w.Choices = append(w.Choices, c)
		if key.Len() > 0 {
			key.WriteString(", ")
		}
		key.WriteString(path + "=" + value)
	}
	for _, path := range optionQuestions {
		add(path)
	}
	add(survey.GateHardStop)
	add(survey.GateLeaves)
	w.Key = key.String()
}

// measure reads the plan's figures.
func (w *BuildOption) measure() {
	made := w.Plan
	q := &made.Quantities
	w.Cost, w.Unpriced, w.Dig, w.Concrete = q.Cost, q.Unpriced, q.DigBank, q.Concrete
	for _, side := range made.Sides() {
		w.Clear += side.Leaf.ClearStraight
	}
	for i := range made.Outlines {
		o := &made.Outlines[i]
		if o.Kind == plan.PartLeafShut || o.Kind == plan.PartLeafOpen {
			continue
		}
		_, high := o.Ring.Bounds()
		w.Out = max(w.Out, high.Y)
	}
	for i := range made.Checks {
		c := &made.Checks[i]
		switch {
		case c.Severity == plan.Stop:
			w.Reasons = append(w.Reasons, c.What)
		case c.Severity == plan.Warning && c.HasMargin && c.Question != plan.QuestionMinimum:
			w.Warnings = append(w.Warnings, c.What)
		}
	}
}

// rank orders the options.
func (r *OptionsReport) rank() {
	r.By = RankByCost
	for i := range r.Options {
		w := &r.Options[i]
		for _, name := range w.Unpriced {
			if !slices.Contains(r.Missing, name) {
				r.Missing = append(r.Missing, name)
			}
		}
		// What only a leaf that hangs free is made of may be without a rate: such a way
		// then stands behind those that are priced.
		if len(w.Unpriced) > 0 && (w.Current || !w.Plan.HangsFree()) {
			r.By = RankByVolume
		}
	}
	first := func(w *BuildOption) float64 {
		if r.By == RankByCost {
			return w.Cost
		}
		return w.Dig + w.Concrete
	}
	behind := func(w *BuildOption) int {
		if r.By == RankByCost {
			return min(1, len(w.Unpriced))
		}
		return 0
	}
	sorting.Stable(r.Options, func(a, b BuildOption) int {
		return cmp.Or(cmp.Compare(a.standing(), b.standing()), cmp.Compare(len(a.Needs), len(b.Needs)),
			cmp.Compare(len(a.Reasons), len(b.Reasons)), cmp.Compare(behind(&a), behind(&b)),
			cmp.Compare(first(&a), first(&b)),
			cmp.Compare(a.Dig, b.Dig), cmp.Compare(a.Concrete, b.Concrete), cmp.Compare(a.Room, b.Room))
	})
}

// note says what is not known.
func (r *OptionsReport) note(s *survey.Survey) {
	if r.By == RankByVolume {
		if slices.ContainsFunc(r.Options, func(w BuildOption) bool { return len(w.Plan.Leaf.Panels) > 1 && w.Feasible() }) {
			r.Notes = append(r.Notes,
				text.Say("Volumes do not show what more panels cost in wheels, rollers and making: set that rate before choosing them."))
		}
		r.Notes = append(r.Notes,
			text.Say("Without rates for everything the order is by concrete and dig together. Missing: {0}.",
				text.WordList(r.Missing)))
	}
	if r.By == RankByCost && len(r.Missing) > 0 {
		r.Notes = append(r.Notes,
			text.Say("Ways with something that has no rate stand behind those that are priced. Missing: {0}.", text.WordList(r.Missing)))
	}
	if !survey.Paired(s) && survey.FieldOf(survey.GateLeaves).Needed(s) && !roomAtLatch(s) {
		r.Notes = append(r.Notes,
			text.Say("Two leaves that meet are not among these: nobody measured behind the latch post. Choose two leaves under All figures and measure there."))
	}
	if r.Feasible+r.Mended == 0 {
		r.Notes = append(r.Notes,
			text.Say("No way can be built as measured: each says why. What would change it is more room, another place, or a check of the reading that is short."))
	} else if len(r.Options) > 0 {
		for _, c := range r.Options[0].Choices {
			if c.Path == survey.GateHardStop && c.Value == survey.No {
				r.Notes = append(r.Notes,
					text.Say("No way with a hard stop fits: something else must stop the leaf before it leaves its guide."))
			}
		}
	}
	if !s.Gate.Hanging.Bears.Known() && slices.ContainsFunc(r.Options, func(w BuildOption) bool { return w.Plan.HangsFree() && w.Feasible() }) {
		r.Notes = append(r.Notes,
			text.Say("What a carriage bears was not given: whether it carries a leaf that hangs free is not judged here."))
	}
	if !s.RunBack.Room.Known() {
		r.Notes = append(r.Notes,
			text.Say("The room behind the run-back post was not measured: ways that need more than there is are not left out."))
	}
	if !s.RunBack.Depth.Known() {
		r.Notes = append(r.Notes,
			text.Say("The depth out from the fence was not measured: ways that need more than there is are not left out."))
	}
	r.Notes = append(r.Notes,
		text.Say("The gate running the other way is not among these: nobody measured that side. Change which way it runs and measure there; what was read here is kept."))
}
