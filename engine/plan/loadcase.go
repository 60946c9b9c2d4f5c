package plan

import (
	"pegpour/engine/text"
)

// Impact is the leaf as it meets one of its stops. All of it is characteristic:
// no load is factored.
type Impact struct {
	Stop MeetsStop `json:"stop"`
	By   ImpactBy  `json:"by"`
	// Panel is the number of the one that meets the stop, with the whole leaf
	// behind it.
	Panel  int     `json:"panel"`
	Speed  float64 `json:"speed"`  // mm/s
	Energy float64 `json:"energy"` // N·mm of the whole leaf
	Drive  float64 `json:"drive"`  // N that goes on pushing while it stops
	Force  float64 `json:"force"`  // N on the stop, its peak
	Height float64 `json:"height"` // mm of the stop above the foot of the track
	// Wheel is what the wheel that is relieved most has left at the peak, N;
	// negative: it lifts.
	Wheel float64 `json:"wheel"`
	// Shear and Tension are what each anchor of the stop must hold, N: of the hard
	// stop only, on concrete.
	Shear   float64 `json:"shear,omitempty"`
	Tension float64 `json:"tension,omitempty"`
}

// MeetsStop says at which end of the travel a stop is met.
type MeetsStop string

// The two stops.
const (
	StopShut MeetsStop = "shut" // at the latch post
	StopOpen MeetsStop = "open" // the hard stop in the run-back
)

// ImpactBy says what brings a leaf to its stop.
type ImpactBy string

// What brings a leaf to its stop.
const (
	ByMotor ImpactBy = "motor" // at its speed, pushing on
	ByGrade ImpactBy = "grade" // released at the far end of its travel
	ByHand  ImpactBy = "hand"  // pushed by a hand that goes on pushing
)

// WorstImpact is the hardest on a stop and the one that leaves a wheel the least,
// nil where nothing meets it.
func (s *Strength) WorstImpact(stop MeetsStop) (hardest, lightest *Impact) {
	for i := range s.Impacts {
		hit := &s.Impacts[i]
		if hit.Stop != stop {
			continue
		}
		if hardest == nil || hit.Force > hardest.Force {
			hardest = hit
		}
		if lightest == nil || hit.Wheel < lightest.Wheel {
			lightest = hit
		}
	}
	return hardest, lightest
}

// LoadCase is one way in which the leaf is loaded, as a line of a table. Loads are
// what acts on the leaf, Forces what the places that hold it must give.
type LoadCase struct {
	// ID is "shut", "open", "leaning", "moving", "released", "stalled", or "impact."
	// with the stop and what brings the leaf to it.
	ID   string    `json:"id"`
	Name text.Name `json:"name"`
	// What is a sentence: how the leaf stands, and what is tried at which end.
	What   text.Text   `json:"what"`
	Loads  []CaseForce `json:"loads"`
	Forces []CaseForce `json:"forces"`
	Speed  float64     `json:"speed,omitempty"` // of the first panel, or of the one that meets the stop, mm/s
	// Factor is what the loads are multiplied by: 1, all are characteristic.
	// Safety is what stands on the other side, where the case has one of its own,
	// and Source where it comes from.
	Factor float64 `json:"factor"`
	Safety float64 `json:"safety,omitempty"`
	Source string  `json:"source"`
}

// CaseForce is one force of a load case, N.
type CaseForce struct {
	Name  text.Name `json:"name"`
	Force float64   `json:"force"`
	// Where is the ID of the part at which it acts; empty for the leaf itself.
	Where string `json:"where,omitempty"`
}

// LoadCaseConvention says how the loads of all cases are meant.
const LoadCaseConvention = "All loads are as they act, none is multiplied. Safety stands on the side of what holds: steel may be " +
	"worked to its yield over a factor, ground to what codes let one presume, concrete to its strength over a factor. " +
	"Each is a rule of the shop. Sources that multiply loads were turned into this way."
