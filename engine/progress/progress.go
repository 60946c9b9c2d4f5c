// Package progress tells how far a site is by what was recorded of it. It asks no
// design, so that a yard can tell it of thousands of sites.
package progress

import (
	"slices"
	"strings"

	"pegpour/engine/handover"
	"pegpour/engine/survey"
)

// Step is a step of a job, in its order. The numbers are stored.
type Step int

// The steps. A site is at the furthest of which something was recorded.
const (
	New        Step = iota // nothing that a plan needs
	Measured               // opening and room are measured
	Pegged                 // pegs stand, by ticks or by tapes
	Formed                 // forms or depths were read, or the pour list was begun
	Poured                 // the pour has begun, by what was noted or ticked
	AsPoured               // what stands there was measured
	Tested                 // a test of the hand-over was done
	HandedOver             // both have signed
	Steps                  // how many there are
)

// words are what a step is called in English.
var words = [Steps]string{"nothing measured", "measured", "pegs stand", "dug and formed", "poured", "measured as poured", "tested",
	"handed over"}

// Words are what a step is called, in English.
func (s Step) Words() string {
	if s < 0 || s >= Steps {
		return ""
	}
	return words[s]
}

// names are what a step is called between programs; they stay as they are.
var names = [Steps]string{"new", "measured", "pegged", "formed", "poured", "as-poured", "tested", "handed-over"}

// Name is what a step is called between programs; "" for none.
func (s Step) Name() string {
	if s < 0 || s >= Steps {
		return ""
	}
	return names[s]
}

// Names lists what the steps are called between programs, in their order.
func Names() []string { return slices.Clone(names[:]) }

// Of tells how far a site is: the furthest step of which something was recorded. Yards
// store what it says: whoever has it say something else of a site has it told anew there,
// by a step of their layout.
func Of(s *survey.Survey, ticks map[string]bool) Step {
	done := All(s, ticks)
	for step := Steps - 1; step > New; step-- {
		if done[step] {
			return step
		}
	}
	return New
}

// All tells of each step whether something was recorded of it.
func All(s *survey.Survey, ticks map[string]bool) (done [Steps]bool) {
	done[New] = true
	done[Measured] = s.Opening.Width.Known() && s.RunBack.Room.Known()
	b := &s.Build
	done[Pegged] = len(b.Pegs.Tapes) > 0
	done[Formed] = len(b.Casting.Tops)+len(b.Casting.Depths) > 0
	done[Poured] = b.Casting.Pour.Began != "" || b.Casting.Pour.Ended != ""
	for tick, on := range ticks {
		done[Pegged] = done[Pegged] || on && strings.HasPrefix(tick, "peg.")
		if id, is := strings.CutPrefix(tick, "pour."); is && on {
			done[Formed] = true
			done[Poured] = done[Poured] || slices.Contains(concreteIn, id)
		}
	}
	done[AsPoured] = b.Poured.Used()
	h := &b.HandOver
	done[Tested] = h.StopShut != "" || h.StopOpen != "" || h.Released != "" || len(h.Forces) > 0
	done[HandedOver] = h.Fitter != "" && h.Owner != "" && handover.Signed(h.FitterSign) && handover.Signed(h.OwnerSign)
	return done
}

// concreteIn are the lines of the pour list that are ticked once concrete has come.
var concreteIn = []string{"holeFirst", "plumb", "rodded", "crown", "top", "track", "pad", "cover", "traffic", "clean"}
