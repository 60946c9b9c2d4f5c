package editing

import (
	"context"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/engine/advice"
	"pegpour/engine/survey"
)

// ranking is what is still assumed at a site, most worth measuring first.
type ranking struct {
	seal  string // of the design that all is of; "" before it is worked out
	all   []survey.Assumption
	asked string // the seal of the design that is being worked on
	stop  context.CancelFunc
}

// Rank works out which of what is assumed is worth measuring, and shows it: a few hundred
// designs, in steps. It is asked at the end of the walk only; an edit and StopRanking
// end it, and what it found is kept until something changes. step hears of each step, off
// the goroutine of the screens.
func (s *Site) Rank(step func()) {
	r := &s.ranking
	if s.Doc == nil || r.seal == s.Seal || r.asked == s.Seal {
		return
	}
	s.StopRanking()
	c, stop := context.WithCancel(context.Background())
	r.asked, r.stop = s.Seal, stop
	seal, taken, practice, made := s.Seal, s.survey, s.Practice, *s.Plan()
	s.InSteps(c, func(pause func()) {
		report := advice.ConfidenceInSteps(taken, practice, made, func() {
			pause()
			step()
		})
		most, least := advice.StillAssumed(&made, &report)
		s.Dispatch(func(app.Context) {
			if c.Err() == nil {
				r.seal, r.all = seal, append(most, least...)
			}
		})
	})
}

// StopRanking ends the work of Rank that is under way.
func (s *Site) StopRanking() {
	if s.ranking.stop != nil {
		s.ranking.stop()
	}
	s.ranking.asked, s.ranking.stop = "", nil
}

// StillAssumed parts what is assumed into what is worth measuring, most first, and
// what makes no difference at this site; known says whether Rank has worked it out.
func (s *Site) StillAssumed() (matter, idle []survey.Assumption, known bool) {
	if s.ranking.seal != s.Seal {
		return nil, nil, false
	}
	for _, a := range s.ranking.all {
		if _, drafted := s.drafts[a.Path]; drafted {
			continue // it stands among what cannot be used
		}
		if s.asking.leftOut[a.Path] {
			idle = append(idle, a)
		} else {
			matter = append(matter, a)
		}
	}
	return matter, idle, true
}
