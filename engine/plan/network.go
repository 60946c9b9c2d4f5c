package plan

import (
	"math"
	"pegpour/engine/geom"
	"pegpour/engine/text"
	"slices"
)

// Network is the tape network adjusted: where the pegs stand, how sure
// that is, and which tapes do not fit.
type Network struct {
	// Pegs that the tapes fix, in the order of the survey.
	Pegs []PegPlace `json:"pegs,omitempty"`
	// Loose are the names of pegs that the tapes do not fix yet.
	Loose []string `json:"loose,omitempty"`
	// TapeNext is a distance to tape next; empty names where none is missing.
	TapeNext [2]string `json:"tapeNext"`
	// Tapes with a reading, in the order of the survey.
	Tapes            []TapeFit `json:"tapes,omitempty"`
	DegreesOfFreedom int       `json:"degreesOfFreedom"`
	// UnitDeviation is 1 when the tapes are as good as their uncertainties say;
	// 0 without a tape to spare.
	UnitDeviation float64 `json:"unitDeviation"`
	// Problem says why nothing comes of the network; empty when something does.
	Problem text.Text `json:"problem,omitzero"`
	// Gives are the figures of the survey that come from the network.
	Gives []Given `json:"gives,omitempty"`

	Outlines map[int]geom.Polygon `json:"-"` // of obstructions by index
	Differs  []Given              `json:"-"` // taped otherwise as well, and not the same
}

// PegPlace is where a peg stands.
type PegPlace struct {
	Index    int     `json:"index"` // in the survey
	Name     string  `json:"name"`  // as typed
	Role     string  `json:"role,omitempty"`
	Chainage float64 `json:"chainage"`
	Offset   float64 `json:"offset"`
	SigmaX   float64 `json:"sigmaX"`
	SigmaY   float64 `json:"sigmaY"`
	// Major95 and Minor95 are the semi-axes of the ellipse that holds the peg
	// with a probability of 95 %, mm; Direction is that of the longer one from
	// the fence line towards the property, rad.
	Major95   float64 `json:"major95"`
	Minor95   float64 `json:"minor95"`
	Direction float64 `json:"direction"`
	// Checked is set when some tape to the peg is checked by others.
	Checked bool `json:"checked"`
}

// TapeFit is how one tape sits in the network.
type TapeFit struct {
	Index int    `json:"index"` // in the survey
	From  string `json:"from"`  // names of pegs, as typed
	To    string `json:"to"`
	// Level is the reading with its corrections, Correction what was added, mm.
	Level      float64 `json:"level"`
	Correction float64 `json:"correction"`
	Sigma      float64 `json:"sigma"`
	// Used is set when the tape took part.
	Used bool `json:"used"`
	// Residual is adjusted less taped, mm; Standardized in its own standard
	// deviations, beyond 3 it is suspected.
	Residual     float64 `json:"residual"`
	Standardized float64 `json:"standardized"`
	// Redundancy is the share of an error in this tape that shows, 0 to 1.
	Redundancy float64 `json:"redundancy"`
	Checked    bool    `json:"checked"`
	// SmallestFound is the smallest error that would be noticed, mm; 0 where
	// none would.
	SmallestFound float64 `json:"smallestFound"`
	Suspect       bool    `json:"suspect,omitempty"`
}

// Name is what the tape is called: by the pegs at its ends.
func (t *TapeFit) Name() text.Name {
	return text.Named("{0} – {1}", text.TypedName(t.From), text.TypedName(t.To))
}

// Given is a figure of the survey that comes from the network.
type Given struct {
	Path  string    `json:"path"`
	Name  text.Name `json:"name"`
	Value float64   `json:"value"`
	Sigma float64   `json:"sigma"`
	Taped float64   `json:"-"` // the same as measured otherwise
}

// Give returns what the network says about a field of the survey.
func (n *Network) Give(path string) (Given, bool) {
	if n == nil {
		return Given{}, false
	}
	for _, g := range n.Gives {
		if g.Path == path {
			return g, true
		}
	}
	return Given{}, false
}

// Peg returns the place of a peg by name.
func (n *Network) Peg(name string) (PegPlace, bool) {
	if n == nil {
		return PegPlace{}, false
	}
	for _, p := range n.Pegs {
		if p.Name == name {
			return p, true
		}
	}
	return PegPlace{}, false
}

// Suspects are the tapes of which one is most likely wrong.
func (n *Network) Suspects() []TapeFit {
	var out []TapeFit
	for _, t := range n.Tapes {
		if t.Suspect {
			out = append(out, t)
		}
	}
	return out
}

// Unchecked are the pegs that only tapes lead to which nothing checks.
func (n *Network) Unchecked() []string {
	var out []string
	for _, p := range n.Pegs {
		if !p.Checked {
			out = append(out, p.Name)
		}
	}
	return out
}

// FarthestUntaped is a distance that would check a peg: to the peg farthest from it
// that was not taped to it yet.
func (n *Network) FarthestUntaped(name string) string {
	from, _ := n.Peg(name)
	best, to := 0.0, ""
	for _, p := range n.Pegs {
		taped := slices.ContainsFunc(n.Tapes, func(t TapeFit) bool {
			return t.From == name && t.To == p.Name || t.To == name && t.From == p.Name
		})
		if d := math.Hypot(p.Chainage-from.Chainage, p.Offset-from.Offset); p.Name != name && !taped && d > best {
			best, to = d, p.Name
		}
	}
	return to
}

// OutlineObstructions gives the obstructions their own outline where the network has it.
func (n *Network) OutlineObstructions(obstructions []ObstructionBox) {
	if n == nil {
		return
	}
	for i := range obstructions {
		if hull, ok := n.Outlines[obstructions[i].Index]; ok {
			obstructions[i].Box, obstructions[i].Voice = hull, VoiceWorkedOut
		}
	}
}
