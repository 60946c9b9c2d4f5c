package editing

import (
	"context"
	"slices"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/engine/survey"
	"pegpour/storage"
)

// usual are the questions that a shop answers much the same from one site to the next:
// what is built, never what was found there, and nothing that anybody's safety rests on.
var usual = []string{survey.GateGuide, survey.GateMotor, survey.GateOutlet, survey.GateCladding, survey.GateHeight,
	survey.GateMetal, survey.GateInfill}

// alike are the questions of what is found, which one answer in a region often fits. How
// the last site answered them is shown where they are asked, and taken by no tap but theirs.
var alike = []string{survey.OpeningPostMade, survey.DriveSurface, survey.DrivePaverBase, survey.DriveVehicle,
	survey.GroundSoil, survey.GroundClass, survey.GroundExpansive, survey.GroundFrost}

func mayBeGuessed(path string) bool {
	return slices.Contains(usual, path) || slices.Contains(alike, path)
}

// mostLooked is how many sites are looked into for one that answers any of them.
const mostLooked = 3

// Usual are the questions open at a site that another one answered and a shop mostly
// answers alike, in the order of the walk.
func Usual(last, here *survey.Survey) []string { return openAs(last, here, usual) }

// openAs are those of the questions that are open at a site and answered at another one.
func openAs(last, here *survey.Survey, questions []string) []string {
	var open []string
	for _, path := range questions {
		if f, _ := survey.FieldAt(path); f.Needed(here) && !f.Answered(here) && f.Answered(last) {
			open = append(open, path)
		}
	}
	return open
}

// readLast reads the site that was begun last beside the one in hand, of those that answer
// something open here, as long as the walk has not come to the gate.
func (s *Site) readLast() {
	s.last = nil
	id, taken := s.Doc.ID, s.Doc.Survey
	if s.Store == nil || s.Doc.Demo || taken.Gate.Guide != "" && taken.Gate.Motor != "" {
		return
	}
	s.Background(func(c context.Context) error {
		last := lastBegun(c, s.Store, id, func(d *storage.Document) bool {
			return len(Usual(&d.Survey, &taken))+len(openAs(&d.Survey, &taken, alike)) > 0
		})
		s.Dispatch(func(app.Context) {
			if s.Doc != nil && s.Doc.ID == id {
				s.last = last
			}
		})
		return nil
	})
}

// lastBegun is the last site that was begun on this device beside id and that will do;
// nil where none of the last few does.
func lastBegun(c context.Context, store storage.Store, id string, will func(*storage.Document) bool) *storage.Document {
	all, err := store.Sites(c)
	if err != nil {
		return nil
	}
	for range mostLooked {
		var last *storage.Summary
		for i := range all {
			at := &all[i]
			if at.Demo || at.Trashed || at.ID == id || at.Condition != storage.Sound {
				continue
			}
			if last == nil || storage.CompareTimes(at.Created, last.Created) > 0 {
				last = at
			}
		}
		if last == nil {
			return nil
		}
		if l, err := store.Load(c, last.ID); err == nil && will(l.Document) {
			return l.Document
		}
		last.Trashed = true // looked into
	}
	return nil
}

// AsLast are the open questions of the part that is asked about which can be answered as
// at the last site in one tap, and that site; none where a question would be left that
// nobody passes by.
func (s *Site) AsLast() (last *storage.Document, open []string) {
	if s.last == nil || !slices.Contains(usual, s.Asked) {
		return nil, nil
	}
	open = slices.DeleteFunc(Usual(&s.last.Survey, &s.Doc.Survey), func(path string) bool {
		_, drafted := s.drafts[path]
		return drafted
	})
	steps := s.Steps()
	at := slices.Index(steps, s.Asked)
	for _, step := range steps[max(at, 0):] {
		if slices.Contains(mustLook, step) && !s.Known(step) && s.GroupOf(step) == survey.GroupGate &&
			!slices.Contains(open, step) {
			return nil, nil
		}
	}
	if at < 0 || len(open) < 2 {
		return nil, nil
	}
	return s.last, open
}

// LastWords is how the last site answered a choice that is often answered alike; ""
// where it did not.
func (s *Site) LastWords(f survey.Field) string {
	if s.last == nil || !mayBeGuessed(f.Path) {
		return ""
	}
	return f.Words(&s.last.Survey)
}

// TakeAsLast answers them so, and goes on behind this part of the site: what the last site
// left as assumed stays assumed here too.
func (s *Site) TakeAsLast(ctx app.Context) {
	last, open := s.AsLast()
	if last == nil {
		return
	}
	answers := make([]Answered, len(open))
	for i, path := range open {
		f, _ := survey.FieldAt(path)
		answers[i] = Answered{Path: path, Words: f.Words(&last.Survey)}
		if f.Numeric() {
			answers[i].Value = survey.Measured(f.Value(&last.Survey).Size, survey.ByEstimate)
		}
	}
	next := s.behindPart()
	s.AnswerAll(ctx, "As at the last site", answers...)
	s.Ask(next)
	s.Refresh(ctx)
}

// behindPart is the first step behind the part that is asked about.
func (s *Site) behindPart() string {
	steps := s.Steps()
	at := slices.Index(steps, s.Asked)
	for s.GroupOf(steps[at]) == s.GroupOf(s.Asked) {
		at++
	}
	return steps[at]
}

// Answered is what a field is answered with: words, or a number.
type Answered struct {
	Path, Words string
	Value       survey.Value
}

// AnswerAll answers fields by one edit, so that one undo takes all of it back.
func (s *Site) AnswerAll(ctx app.Context, label string, answers ...Answered) {
	d, edits := s.Doc, []storage.Edit(nil)
	for _, a := range answers {
		e, err := storage.SetWords(d, a.Path, a.Words)
		if a.Value.Known() {
			e, err = storage.SetValue(d, a.Path, a.Value)
		}
		if err == nil {
			d, err = storage.Apply(d, e)
		}
		if err != nil {
			s.Fail(err)
			s.Refresh(ctx)
			return
		}
		edits = append(edits, e)
	}
	s.Commit(ctx, storage.Together(label, edits...), nil)
}

// PassAnswered goes on to the last of the questions behind this one that were answered
// with it.
func (s *Site) PassAnswered(answers []Answered) {
	steps := s.Steps()
	for i := slices.Index(steps, s.Asked); i >= 0 && i < len(steps) &&
		slices.ContainsFunc(answers, func(a Answered) bool { return a.Path == steps[i] }); i++ {
		s.Asked = steps[i]
	}
}
