package editing

import (
	"context"
	"errors"
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/engine"
	"pegpour/engine/input"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
	"pegpour/storage"
)

// Live is a drawing that follows each design at once, before anything else is done.
type Live interface{ DrawAgain() }

// Site is the site being edited: its document, what was typed and not understood,
// the design, and undo. It is touched on the goroutine of the screens only; the
// store is called on another one, in order.
type Site struct {
	*Device

	Doc              *storage.Document // nil before a site is in hand
	Revision         storage.Revision  // what the store has of it
	CanUndo, CanRedo bool

	Practice practice.Practice
	// Seal changes with each design.
	Seal string
	// Live is drawn anew with each design; it may be nil.
	Live Live
	// Designed hears of each design; it may be nil.
	Designed func()

	// Overwrote are changes made elsewhere that an edit made here replaced, until a
	// person has seen them.
	Overwrote []storage.Change

	followed string        // the site of the address
	missed   bool          // it may have been changed elsewhere while something waited
	look     func() bool   // stops the timer of the next look
	moved    bool          // another tab came between the edits that are being stored
	survey   survey.Survey // as the engine was asked
	drafts   map[string]string
	sketch   *engine.Sketch // nil before the first design
	refused  input.Refusals
	designs  int

	walk    []string // the steps of the walk for this design and question; nil: not found yet
	asking  asking
	second  second            // of a laser's two numbers
	heard   heard             // of speaking a number
	offered []string          // the steps of the walk before what is asked was answered
	brought map[string]string // steps that an answer brought up, by that answer's step
	ranking ranking

	// Asked is the field, or step, being asked.
	Asked   string
	typing  string            // the field that was typed into last, while it is asked
	keys    int               // how often something was typed
	last    *storage.Document // the site begun last beside this one, where it may answer questions; see Usual
	fromEnd []string          // the steps when a reading was gone to from the list at the end; nil: it was not
	// How is how the next value is measured.
	How survey.Method
}

// NewSite returns a Site with nothing in hand. It is designed anew with each change
// of the shop's rules.
func NewSite(d *Device) *Site {
	s := &Site{Device: d, How: survey.ByTape}
	d.shopChanged = s.DesignAgain
	d.emptied, d.wasAside = s.lookAgain, s.forgetUnstored
	return s
}

// DesignAgain designs the site in hand, if there is one, by the rules and in the
// words of now.
func (s *Site) DesignAgain() {
	if s.Doc != nil {
		s.Design()
	}
}

// Follow is called by each screen of a site when it is shown: it opens the site of
// the address, calls then, which may be nil, and keeps the screen fresh.
func (s *Site) Follow(ctx app.Context, then func(app.Context)) {
	s.FollowAnd(ctx, then, func() {})
}

// FollowAnd is Follow for a screen that does something, as to put the cursor into its entry,
// once it is told to be drawn with the site: what shown defers finds it on the page.
func (s *Site) FollowAnd(ctx app.Context, then func(app.Context), shown func()) {
	s.Enter(ctx)
	id := IDOf(ctx.Page().URL().Path)
	s.followed = id
	s.WithStore(func(ctx app.Context) {
		if s.followed != id {
			return // gone on to another one meanwhile
		}
		if s.Doc != nil && s.Doc.ID == id {
			if then != nil {
				then(ctx)
			}
			s.Refresh(ctx)
			shown()
			return
		}
		s.Doc, s.Asked = nil, ""
		answered := s.sayIfNoAnswer(func() bool { return s.followed == id && s.Doc == nil })
		s.Background(func(c context.Context) error {
			loaded, err := s.Store.Load(c, id)
			// Read, begun, designed whole and shown: each takes a cheap phone a while.
			s.Run(func() {
				s.InTurns(func(ctx app.Context) bool {
					answered()
					if s.followed != id {
						return false
					}
					if err != nil {
						s.Failure = s.SayWith("This site cannot be opened: {0}", s.ErrorWords(err))
						return false
					}
					s.Failure = ""
					loaded.Document = s.ahead(loaded.Document)
					s.Hold(loaded)
					if then != nil {
						then(ctx)
					}
					return true
				}, func(app.Context) bool {
					s.Plan()
					return true
				}, func(ctx app.Context) bool {
					if s.followed == id {
						s.Refresh(ctx)
						shown()
					}
					return true
				})
			})
			return nil
		})
	})
}

// IDOf is the identity in /site/<identity>/<screen>.
func IDOf(path string) string {
	parts := strings.Split(strings.Trim(path, "/"), "/")
	if len(parts) >= 2 && parts[0] == "site" {
		return parts[1]
	}
	return ""
}

// Hold takes a site as the store has it into hand.
func (s *Site) Hold(l storage.Loaded) {
	if s.Doc == nil || s.Doc.ID != l.Document.ID {
		s.asking.leftOut, s.Overwrote, s.brought, s.offered = nil, nil, nil, nil // another site's
		defer s.readLast()
	}
	s.moved = false
	s.Doc, s.Revision, s.CanUndo, s.CanRedo = l.Document, l.Revision, l.CanUndo, l.CanRedo
	s.Design()
}

// Plan is the plan of the site in hand, but for the remedies that are found by search:
// the first call after an edit waits for what the edit's drawing did not.
func (s *Site) Plan() *plan.Plan {
	if s.sketch == nil {
		return &plan.Plan{}
	}
	return s.sketch.Judge()
}

// WholePlan is Plan with all its remedies.
func (s *Site) WholePlan() *plan.Plan {
	if s.sketch == nil {
		return &plan.Plan{}
	}
	return s.sketch.Finish()
}

// Outlines is the plan as far as drawings go: see engine.Sketch.
func (s *Site) Outlines() *plan.Plan {
	if s.sketch == nil {
		return &plan.Plan{}
	}
	return s.sketch.Plan()
}

// Designs counts the designs made.
func (s *Site) Designs() int { return s.designs }

// Stops counts the checks that say stop.
func (s *Site) Stops() int {
	n := 0
	for i := range s.Plan().Checks {
		if s.Plan().Checks[i].Severity == plan.Stop {
			n++
		}
	}
	return n
}

// Survey is the survey as the engine was asked: without what cannot be read.
// Nobody changes it.
func (s *Site) Survey() survey.Survey { return s.survey }

// Draft is what was typed for a field and not understood.
func (s *Site) Draft(path string) (words string, ok bool) {
	words, ok = s.drafts[path]
	return words, ok
}

// Design asks the engine again.
func (s *Site) Design() {
	s.Practice, _ = s.Shop.Practice(s.Doc)
	s.survey, s.walk = s.readSurvey(), nil
	s.StopRanking()
	sketch, err := engine.Begin(s.survey, s.Practice)
	s.sketch, s.refused = sketch, nil
	var refused input.Refusals
	if errors.As(err, &refused) {
		s.refused = refused
	}
	s.designs++
	s.Seal = strconv.Itoa(s.designs)
	if s.Live != nil {
		s.Live.DrawAgain()
	}
	s.findIdleInQuiet()
	if s.Designed != nil {
		s.Designed()
	}
}

// readSurvey makes the survey to ask the engine with: a field whose entry cannot
// be read counts as not measured, for its old value no longer holds.
func (s *Site) readSurvey() survey.Survey {
	taken := s.Doc.Survey.Clone()
	s.drafts = s.Doc.DraftsByField()
	for path := range s.drafts {
		f, _ := survey.FieldAt(path)
		if f.Numeric() {
			_ = f.SetValue(&taken, survey.Value{})
		} else if f.Dimension == text.Choice {
			_ = f.SetWords(&taken, "")
		}
	}
	return taken
}
