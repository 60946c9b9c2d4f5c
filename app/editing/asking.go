package editing

import (
	"context"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/engine/advice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// idleAfter is how long nothing was edited before questions are looked at.
const idleAfter = 250 * time.Millisecond

// asking knows which open questions change nothing at this site. They are left
// out of the walk until an answer makes them matter.
type asking struct {
	leftOut  map[string]bool
	leftFrom string             // the seal of the design that leftOut was found with
	stop     context.CancelFunc // ends the search that is under way; may be nil
}

// findIdleInQuiet finds anew, once nothing was edited for a moment, what need not be
// asked. Until it is done the walk stays as it was; the next edit stops it.
func (s *Site) findIdleInQuiet() {
	if !app.IsClient || s.Doc == nil {
		return
	}
	if s.asking.stop != nil {
		s.asking.stop()
	}
	c, stop := context.WithCancel(context.Background())
	s.asking.stop = stop
	go func() {
		select {
		case <-c.Done():
		case <-time.After(idleAfter):
			s.Run(func() { s.findIdle(c) })
		}
	}()
}

// findIdle asks the engine question by question, a design at a time.
func (s *Site) findIdle(c context.Context) {
	if s.Doc == nil || c.Err() != nil {
		return
	}
	seal, taken, practice, plan := s.Seal, s.survey, s.Practice, *s.Plan()
	s.InSteps(c, func(pause func()) {
		left := map[string]bool{}
		for _, path := range openQuestions(&taken) {
			left[path] = !advice.MattersInSteps(taken, practice, &plan, path, pause)
		}
		s.Run(func() {
			if c.Err() == nil {
				s.leaveOut(left, seal)
			}
		})
	})
}

// openQuestions are the questions of a site that nobody has answered.
func openQuestions(taken *survey.Survey) []string {
	var open []string
	for _, f := range survey.Fields(taken) {
		if f.Needed(taken) && !f.Answered(taken) && f.Dimension != text.Words && f.Path != survey.GateColour {
			open = append(open, f.Path)
		}
	}
	return open
}

// leaveOut takes the questions that change nothing out of the walk.
func (s *Site) leaveOut(left map[string]bool, seal string) {
	s.asking.leftFrom = seal
	same := true
	for path, out := range left {
		same = same && s.asking.leftOut[path] == out
	}
	s.asking.leftOut = left
	if !same {
		s.walk = nil
		if s.Screen != nil {
			s.Refresh(s.Screen)
		}
	}
}

// recheckLeftOut asks anew about the questions that are left out, before the walk
// goes past them: the last answer may have made one matter, and the quiet moment
// to find out has not come yet.
func (s *Site) recheckLeftOut() {
	if s.asking.leftFrom == s.Seal {
		return
	}
	for path, out := range s.asking.leftOut {
		if out && advice.Matters(s.survey, s.Practice, s.Plan(), path) {
			s.asking.leftOut[path] = false
		}
	}
	s.asking.leftFrom, s.walk = s.Seal, nil
}

// isLeftOut reports whether the walk passes a step by; never one at which something
// stands.
func (s *Site) isLeftOut(step string) bool {
	if _, drafted := s.drafts[step]; drafted || step == survey.GroundLevelsString {
		return false // also the string's level, which changes no more than all levels on paper
	}
	return s.asking.leftOut[step] && step != s.Asked && !s.Known(step)
}

// StillAssumed parts what is assumed into what is worth measuring, most first, and
// what makes no difference at this site. The order takes a few hundred designs, so
// that it is asked at the end of the walk only and kept until something changes.
func (s *Site) StillAssumed() (matter, idle []survey.Assumption) {
	if s.rankedFor != s.Seal {
		report := advice.Confidence(s.Survey(), s.Practice, *s.Plan())
		most, least := advice.StillAssumed(s.Plan(), &report)
		s.rankedFor, s.matter = s.Seal, append(most, least...)
	}
	for _, a := range s.matter {
		if _, drafted := s.drafts[a.Path]; drafted {
			continue // it stands among what cannot be used
		}
		if s.asking.leftOut[a.Path] {
			idle = append(idle, a)
		} else {
			matter = append(matter, a)
		}
	}
	return matter, idle
}
