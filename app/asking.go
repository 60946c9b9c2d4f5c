package app

import (
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/engine"
)

const (
	judgeAfter = 250 * time.Millisecond // of quiet, so that typing is never held up
	judgePause = 4 * time.Millisecond   // between two questions, for what the user does
)

// asking knows which open questions change nothing at this site. They are left
// out of the walk until an answer makes them matter.
type asking struct {
	leftOut  map[string]bool
	leftFrom string // the seal of the design that leftOut was found with
	judges   bool   // somebody is at it
}

// judge finds anew, in quiet moments, what need not be asked. Until it is done
// the walk stays as it was.
func (w *workspace) judge() {
	if !app.IsClient || w.asking.judges || w.doc == nil {
		return
	}
	w.asking.judges = true
	go func() {
		time.Sleep(judgeAfter)
		w.screen.Dispatcher().Dispatch(app.Dispatch{Mode: app.Next, Function: func(app.Context) { w.judgeNow() }})
	}()
}

// judgeNow asks the engine question by question and begins again when something
// was edited meanwhile.
func (w *workspace) judgeNow() {
	if w.doc == nil {
		w.asking.judges = false
		return
	}
	seal, survey, practice, plan := w.seal, w.survey, w.practice, w.plan
	open := openQuestions(&survey)
	go func() {
		left := map[string]bool{}
		for _, path := range open {
			left[path] = !engine.Matters(survey, practice, &plan, path)
			time.Sleep(judgePause)
		}
		w.screen.Dispatcher().Dispatch(app.Dispatch{Mode: app.Next, Function: func(app.Context) {
			w.asking.judges = false
			if w.seal != seal {
				w.judge()
				return
			}
			w.leaveOut(left, seal)
		}})
	}()
}

// openQuestions are the questions of a site that nobody has answered.
func openQuestions(s *engine.Survey) []string {
	var open []string
	for _, f := range engine.Fields(s) {
		if f.Needed(s) && !f.Answered(s) && f.Dimension != engine.Words {
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
		if out && engine.Matters(w.survey, w.practice, &w.plan, path) {
			w.asking.leftOut[path] = false
		}
	}
	w.leftFrom, w.walk = w.seal, nil
}

// isLeftOut reports whether the walk passes a step by.
func (w *workspace) isLeftOut(step string) bool {
	return w.asking.leftOut[step] && step != w.asked && !w.known(step)
}
