package editing

import (
	"context"
	"errors"
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/engine"
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

	Practice engine.Practice
	// Seal changes with each design.
	Seal string
	// Live is drawn anew with each design; it may be nil.
	Live Live
	// Designed hears of each design; it may be nil.
	Designed func()

	moved   bool          // another tab came between the edits that are being stored
	survey  engine.Survey // as the engine was asked
	drafts  map[string]string
	sketch  *engine.Sketch // nil before the first design
	refused engine.Refusals
	designs int

	walk      []string // the steps of the walk for this design and question; nil: not found yet
	asking    asking
	rankedFor string // the seal for which matter holds
	matter    []engine.Assumption

	// Asked is the field, or step, being asked.
	Asked  string
	typing string // the field that was typed into last, while it is asked
	// How is how the next value is measured.
	How engine.Method
}

// NewSite returns a Site with nothing in hand. It is designed anew with each change
// of the shop's rules.
func NewSite(d *Device) *Site {
	s := &Site{Device: d, How: engine.ByTape}
	d.shopChanged = s.DesignAgain
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
	s.Enter(ctx)
	id := IDOf(ctx.Page().URL().Path)
	s.WithStore(func(ctx app.Context) {
		if s.Doc != nil && s.Doc.ID == id {
			if then != nil {
				then(ctx)
			}
			s.Refresh(ctx)
			return
		}
		s.Doc, s.Asked = nil, ""
		s.Background(func(c context.Context) error {
			loaded, err := s.Store.Load(c, id)
			s.Dispatch(func(ctx app.Context) {
				if err != nil {
					s.Failure = s.SayWith("This site cannot be opened: {0}", s.ErrorWords(err))
					return
				}
				s.Failure = ""
				s.Hold(loaded)
				if then != nil {
					then(ctx)
				}
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
		s.asking.leftOut = nil // another site's
	}
	s.moved = false
	s.Doc, s.Revision, s.CanUndo, s.CanRedo = l.Document, l.Revision, l.CanUndo, l.CanRedo
	s.Design()
}

// Plan is the plan of the site in hand, whole: the first call after an edit waits
// for what the edit's drawing did not.
func (s *Site) Plan() *engine.Plan {
	if s.sketch == nil {
		return &engine.Plan{}
	}
	return s.sketch.Finish()
}

// Outlines is the plan as far as drawings go: see engine.Sketch.
func (s *Site) Outlines() *engine.Plan {
	if s.sketch == nil {
		return &engine.Plan{}
	}
	return s.sketch.Plan()
}

// Designs counts the designs made.
func (s *Site) Designs() int { return s.designs }

// Stops counts the checks that say stop.
func (s *Site) Stops() int {
	n := 0
	for i := range s.Plan().Checks {
		if s.Plan().Checks[i].Severity == engine.Stop {
			n++
		}
	}
	return n
}

// Survey is the survey as the engine was asked: without what cannot be read.
// Nobody changes it.
func (s *Site) Survey() engine.Survey { return s.survey }

// Draft is what was typed for a field and not understood.
func (s *Site) Draft(path string) (text string, ok bool) {
	text, ok = s.drafts[path]
	return text, ok
}

// Design asks the engine again.
func (s *Site) Design() {
	s.Practice, _ = s.Shop.Practice(s.Doc)
	s.survey, s.walk = s.readSurvey(), nil
	sketch, err := engine.Begin(s.survey, s.Practice)
	s.sketch, s.refused = sketch, nil
	var refused engine.Refusals
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
func (s *Site) readSurvey() engine.Survey {
	survey := s.Doc.Survey.Clone()
	s.drafts = s.Doc.DraftsByField()
	for path := range s.drafts {
		f, _ := engine.FieldAt(path)
		if f.Numeric() {
			_ = f.SetValue(&survey, engine.Value{})
		} else if f.Dimension == engine.Choice {
			_ = f.SetWords(&survey, "")
		}
	}
	return survey
}
