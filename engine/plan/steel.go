package plan

import (
	"pegpour/engine/steel"
	"pegpour/engine/text"
)

// Steel is what is cut from stock lengths of steel and aluminium: the
// frame, and the footing where there is one.
type Steel struct {
	Cuts     []SteelCut     `json:"cuts"`
	Sections []SteelSection `json:"sections"`
	Mass     float64        `json:"mass"`   // kg of all
	Stock    float64        `json:"stock"`  // length sold, mm
	SawCut   float64        `json:"sawCut"` // mm
}

// SteelCut is one line of the cut list.
type SteelCut struct {
	Mark    text.Name `json:"mark"`
	Section text.Name `json:"section"`
	// Length from cut to cut along one edge, Blank what it takes off the stock, mm.
	Length float64 `json:"length"`
	Blank  float64 `json:"blank"`
	Count  int     `json:"count"`
	CutOff float64 `json:"cutOff"` // of the ends off square, rad
	Mass   float64 `json:"mass"`   // of all Count, kg
	// Joined is how many joints each piece has because it is longer than the
	// stock.
	Joined int `json:"joined,omitempty"`
}

// SteelSection is all of one section.
type SteelSection struct {
	Section text.Name `json:"section"`
	Length  float64   `json:"length"` // sum of blanks, mm
	Mass    float64   `json:"mass"`
	Pieces  int       `json:"pieces"`
}

// SectionNest is what to buy of one section and what to cut from each length.
type SectionNest struct {
	Section text.Name
	steel.Nest
}

// Nest finds, section by section, which stock lengths to buy and what to cut
// from each. It searches, and is for the cut list itself: Design does not run
// it. A piece longer than the stock is made of whole lengths and a rest.
func (s *Steel) Nest() ([]SectionNest, error) {
	var nests []SectionNest
	for _, section := range s.Sections {
		var pieces []steel.Piece
		for _, c := range s.Cuts {
			if c.Section != section.Section {
				continue
			}
			rest := c.Blank - float64(c.Joined)*s.Stock
			if c.Joined > 0 {
				pieces = append(pieces, steel.Piece{Mark: c.Mark.String() + ", joined", Length: s.Stock, Count: c.Count * c.Joined})
			}
			if rest >= 1 {
				pieces = append(pieces, steel.Piece{Mark: c.Mark.String(), Length: rest, Count: c.Count})
			}
		}
		nest, err := steel.NestStock(pieces, []float64{s.Stock}, s.SawCut)
		if err != nil {
			return nil, err
		}
		nests = append(nests, SectionNest{section.Section, nest})
	}
	return nests, nil
}
