package app

import (
	"context"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/engine/advice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

const (
	judgeAfter = 250 * time.Millisecond // of quiet, so that typing is never held up
	judgePause = 4 * time.Millisecond   // between two questions, for what the user does
)

// asking knows which open questions change nothing at this site. They are left
// out of the walk until an answer makes them matter.
type asking struct {
	leftOut  map[string]bool
	leftFrom string             // the seal of the design that leftOut was found with
	stop     context.CancelFunc // ends the search that is under way; may be nil
}

// judge finds anew, once nothing was edited for a moment, what need not be
// asked. Until it is done the walk stays as it was; the next edit stops it.
func (w *workspace) judge() {
	if !app.IsClient || w.doc == nil {
		return
	}
	if w.asking.stop != nil {
		w.asking.stop()
	}
	c, stop := context.WithCancel(context.Background())
	w.asking.stop = stop
	go func() {
		select {
		case <-c.Done():
		case <-time.After(judgeAfter):
			w.run(func() { w.judgeNow(c) })
		}
	}()
}

// judgeNow asks the engine question by question.
func (w *workspace) judgeNow(c context.Context) {
	if w.doc == nil || c.Err() != nil {
		return
	}
	seal, survey, practice, plan := w.seal, w.survey, w.practice, *w.plan()
	go func() {
		left := map[string]bool{}
		for _, path := range openQuestions(&survey) {
			left[path] = !advice.Matters(survey, practice, &plan, path)
			time.Sleep(judgePause)
			if c.Err() != nil {
				return
			}
		}
		w.run(func() {
			if c.Err() == nil {
				w.leaveOut(left, seal)
			}
		})
	}()
}

// openQuestions are the questions of a site that nobody has answered.
func openQuestions(s *survey.Survey) []string {
	var open []string
	for _, f := range survey.Fields(s) {
		if f.Needed(s) && !f.Answered(s) && f.Dimension != text.Words {
			open = append(open, f.Path)
		}
	}
	return open
}

// leaveOut takes the questions that change nothing out of the walk.
func (w *workspace) leaveOut(left map[string]bool, seal string) {
	w.leftFrom = seal
	same := true
	for path, out := range left {
		same = same && w.asking.leftOut[path] == out
	}
	w.asking.leftOut = left
	if !same {
		w.walk = nil
		if w.screen != nil {
			w.refresh(w.screen)
		}
	}
}

// lookAgain asks anew about the questions that are left out, before the walk
// goes past them: the last answer may have made one matter, and the quiet moment
// to find out has not come yet.
func (w *workspace) lookAgain() {
	if w.leftFrom == w.seal {
		return
	}
	for path, out := range w.asking.leftOut {
		if out && advice.Matters(w.survey, w.practice, w.plan(), path) {
			w.asking.leftOut[path] = false
		}
	}
	w.leftFrom, w.walk = w.seal, nil
}

// isLeftOut reports whether the walk passes a step by.
func (w *workspace) isLeftOut(step string) bool {
	return w.asking.leftOut[step] && step != w.asked && !w.known(step)
}
