package plan

import (
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// Footing is the steel footing that carries the track over ground that
// falls away: a flat bar on square posts in concrete, one bar under each track.
type Footing struct {
	Laid    string    `json:"laid"`    // BarFlat or BarOnEdge
	Section text.Name `json:"section"` // of the bar
	From    float64   `json:"from"`    // chainage of the bar's near end
	To      float64   `json:"to"`      // chainage of its far end
	Bar     float64   `json:"bar"`     // cut length along the grade, mm
	Spacing float64   `json:"spacing"` // between posts along the fence, mm
	// Wheel is the load that bar and posts are made for, N: the heaviest wheel
	// with its margin.
	Wheel float64 `json:"wheel"`
	// Push is the sideways push of a wheel that bar and posts are made for, N: of
	// the wind on the open leaf, or of a person who leans on it.
	Push float64 `json:"push"`
	// Flat and OnEdge are both ways to lay the bar; Laid says which is built.
	Flat   BarCase `json:"flat"`
	OnEdge BarCase `json:"onEdge"`
	// Through is what the bar as built does when it runs unbroken over its posts.
	Through BarThrough    `json:"through"`
	Posts   []FootingPost `json:"posts"`
	// OnPad is set when the bar starts on the concrete of the motor pad.
	OnPad bool `json:"onPad"`
	// PadOn is what the motor stands on; PadDrop how far the lowest ground
	// under a concrete pad lies below the track, PadMeanDrop the same in the
	// middle of it, mm.
	PadOn       string  `json:"padOn,omitempty"`
	PadDrop     float64 `json:"padDrop"`
	PadMeanDrop float64 `json:"padMeanDrop"`
	// Levelled is set when the ground off the edge was levelled; without it
	// the posts' heights are not known.
	Levelled bool `json:"levelled"`
	// HoleSize of the square holes, PostSize of the posts, Deep of the bar as it
	// lies, Plate the thickness of a steel plate under the motor, mm.
	HoleSize float64 `json:"holeSize"`
	PostSize float64 `json:"postSize"`
	Deep     float64 `json:"deep"`
	Plate    float64 `json:"plate"`
	// Highest is the number of the post that stands highest, Worst of the one
	// with the greatest use.
	Highest int `json:"highest"`
	Worst   int `json:"worst"`
}

// Built is the case of the two that Laid names.
func (f *Footing) Built() *BarCase {
	if f.Laid == survey.BarOnEdge {
		return &f.OnEdge
	}
	return &f.Flat
}

// BarCase is the bar laid one way over simply supported spans.
type BarCase struct {
	Laid string `json:"laid"`
	// Widest is the widest spacing that stress, deflection and the shop's most
	// allow; SetBy says which of them: "stress", "deflection", "practice".
	Widest float64   `json:"widest"`
	SetBy  text.Name `json:"setBy"`
	Spans  int       `json:"spans"`
	// At the spacing that divides the length evenly:
	Spacing    float64 `json:"spacing"`
	Moment     float64 `json:"moment"` // N·mm under a wheel in mid-span
	Stress     float64 `json:"stress"` // MPa, sideways push included
	Allowable  float64 `json:"allowable"`
	Deflection float64 `json:"deflection"` // mm
	Limit      float64 `json:"limit"`      // mm
	Feasible   bool    `json:"feasible"`
}

// BarThrough is the bar unbroken over all its posts under the rolling wheels.
type BarThrough struct {
	Sagging    float64 `json:"sagging"` // N·mm
	Hogging    float64 `json:"hogging"` // N·mm, over a post
	Deflection float64 `json:"deflection"`
	Reaction   float64 `json:"reaction"` // greatest on a post, N
	Uplift     float64 `json:"uplift"`   // greatest pull up on a post, N
	// Unjudged is set where none of this could be worked out.
	Unjudged bool `json:"unjudged,omitempty"`
}

// FootingPost is one post of the footing.
type FootingPost struct {
	Number   int     `json:"number"`
	Panel    int     `json:"panel"` // whose track it carries; 0 under the motor's plate
	Chainage float64 `json:"chainage"`
	Offset   float64 `json:"offset"`
	// Above is its height from the ground to the underside of the bar, Depth
	// its hole below the ground, Length the cut length, mm.
	Above  float64 `json:"above"`
	Depth  float64 `json:"depth"`
	Length float64 `json:"length"`
	// Guess is set where the ground was not levelled as far out.
	Guess bool `json:"guess,omitempty"`
	// Load down on it and Push sideways at its top, N.
	Load float64 `json:"load"`
	Push float64 `json:"push"`
	// Use of its strength, buckling and bending together; above 1 fails.
	Use         float64 `json:"use"`
	Slenderness float64 `json:"slenderness"`
	Sway        float64 `json:"sway"` // of its top, mm
	// BearingUse is the part of the ground's strength that its load takes.
	BearingUse float64 `json:"bearing"`
	// Held is set when a hole of a depth within reach holds it.
	Held bool `json:"held"`
	// Unjudged is set where its strength could not be worked out.
	Unjudged bool `json:"unjudged,omitempty"`
}
