package ground

import (
	"pegpour/engine/soil"
	"pegpour/engine/survey"
)

// Bearing is what the ground beside the drive can bear and what it weighs on a
// wall. It is found once, and all that stands in it or holds it back asks it.
type Bearing struct {
	// Firm is the ground that footings are taken down to. Where its class was not
	// named it is the weakest that the code lets be presumed. Firm.Presumed is
	// false where nothing built on it can be judged without a trial pit.
	Firm soil.Class
	// Retained is what a wall holds back: the soft ground over the firm where there
	// is some, fill of which nothing is known where nobody looked.
	Retained soil.Class
	Named    bool // the class of the firm ground was named on site
	Seen     bool // the ground was looked at
	// DepthToFirm is how deep soft or wet ground lies over the firm, mm: what
	// stands in it holds nothing, and levers reach down to the firm.
	DepthToFirm float64
	Frost       float64 // how deep the ground freezes, mm; 0 where frost does not lift it
	Swells      float64 // how deep clay that swells moves with the seasons, mm; 0 where none is known to
}

// Moves is how deep frost or swelling clay lifts the ground, mm: what stands on
// the ground above that depth moves with it.
func (b *Bearing) Moves() float64 { return max(b.Frost, b.Swells) }

// FindBearing finds what the ground bears: soil is what a spade met, seen whether
// one was put in, class the name given to the firm ground or "", and depthToFirm
// how deep it lies where the ground above is soft or wet, mm. A class that no
// table knows bears nothing.
func FindBearing(spade string, seen bool, class string, depthToFirm float64) Bearing {
	b := Bearing{Named: class != "", Seen: seen}
	soft := spade == survey.SoilSoft || spade == survey.SoilWet
	key := class
	switch {
	case key != "":
	case spade == survey.SoilRock:
		key = "soft-rock"
	default:
		key = "clay"
	}
	firm, known := soil.ClassOf(key)
	if !known {
		firm = soil.Class{Key: key}
	}
	b.Firm, b.Retained = firm, firm
	switch {
	case soft:
		b.DepthToFirm = depthToFirm
		b.Retained, _ = soil.ClassOf("soft")
	case !seen || !known:
		b.Retained, _ = soil.ClassOf("fill")
	}
	return b
}

// Scale multiplies what the firm ground bears by a factor: under a footing, beside a
// post, against sliding. What it weighs and how stiff it is stays.
func (b *Bearing) Scale(by float64) {
	for _, v := range [...]*float64{&b.Firm.Bearing, &b.Firm.Lateral, &b.Firm.Friction, &b.Firm.Adhesion} {
		*v *= by
	}
}
