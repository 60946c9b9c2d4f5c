package engine

import (
	"math"
	"strconv"

	"pegpour/engine/steel"
)

// SteelPlan is what is cut from stock lengths of steel and aluminium: the
// frame, and the footing where there is one.
type SteelPlan struct {
	Cuts     []SteelCut     `json:"cuts"`
	Sections []SteelSection `json:"sections"`
	Mass     float64        `json:"mass"`   // kg of all
	Stock    float64        `json:"stock"`  // length sold, mm
	SawCut   float64        `json:"sawCut"` // mm
}

// SteelCut is one line of the cut list.
type SteelCut struct {
	Mark    string `json:"mark"`
	Section string `json:"section"`
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
	Section string  `json:"section"`
	Length  float64 `json:"length"` // sum of blanks, mm
	Mass    float64 `json:"mass"`
	Pieces  int     `json:"pieces"`
}

// cutList gathers what is cut from stock lengths.
func (plan *Plan) cutList(in *inputs, p *Practice) {
	s := &plan.Steel
	s.Stock, s.SawCut = p.StockLength, p.SawCut
	for i := range plan.Leaf.Members {
		if m := &plan.Leaf.Members[i]; m.Metal {
			s.add(SteelCut{Mark: m.Mark, Section: m.Section, Length: m.Length, Blank: m.Blank, Count: m.Count, CutOff: m.CutOff, Mass: m.Mass})
		}
	}
	if f := plan.Footing; f != nil {
		bar, deep := barSection(p, f.Laid)
		tan := math.Abs(math.Tan(plan.Leaf.Slope))
		n := len(plan.Track.Lines)
		s.add(SteelCut{Mark: "Footing bar", Section: bar.Name, Length: f.Bar, Blank: f.Bar + deep*tan, Count: n, CutOff: math.Abs(plan.Leaf.Slope), Mass: bar.Mass(f.Bar) * float64(n)})
		tube, err := steel.Hollow(p.FootPost, p.FootPost, p.FootPostWall)
		if err != nil {
			tube, _ = steel.Flat(p.FootPost, p.FootPost)
		}
		if f.Levelled {
			for i := range f.Posts {
				q := &f.Posts[i]
				s.add(SteelCut{Mark: fill("Footing post {0}", strconv.Itoa(q.Number)), Section: tube.Name, Length: q.Length, Blank: q.Length + p.FootPost*tan, Count: 1, CutOff: math.Abs(plan.Leaf.Slope), Mass: tube.Mass(q.Length)})
			}
		}
		if o, ok := plan.Part(PartPadPlate, 1); ok {
			s.Mass += o.Area * p.PadPlate * steel.Density / 1e9
		}
	}
}

func (s *SteelPlan) add(c SteelCut) {
	if c.Count < 1 || c.Blank < 1 {
		return
	}
	c.Joined = int(math.Max(0, math.Ceil(c.Blank/s.Stock-1e-9)-1))
	s.Cuts = append(s.Cuts, c)
	s.Mass += c.Mass
	at := -1
	for i := range s.Sections {
		if s.Sections[i].Section == c.Section {
			at = i
		}
	}
	if at < 0 {
		at = len(s.Sections)
		s.Sections = append(s.Sections, SteelSection{Section: c.Section})
	}
	s.Sections[at].Length += c.Blank * float64(c.Count)
	s.Sections[at].Mass += c.Mass
	s.Sections[at].Pieces += c.Count
}

// SectionNest is what to buy of one section and what to cut from each length.
type SectionNest struct {
	Section string
	steel.Nest
}

// Nest finds, section by section, which stock lengths to buy and what to cut
// from each. It searches, and is for the cut list itself: Design does not run
// it. A piece longer than the stock is made of whole lengths and a rest.
func (s *SteelPlan) Nest() ([]SectionNest, error) {
	var nests []SectionNest
	for _, section := range s.Sections {
		var pieces []steel.Piece
		for _, c := range s.Cuts {
			if c.Section != section.Section {
				continue
			}
			rest := c.Blank - float64(c.Joined)*s.Stock
			if c.Joined > 0 {
				pieces = append(pieces, steel.Piece{Mark: c.Mark + ", joined", Length: s.Stock, Count: c.Count * c.Joined})
			}
			if rest >= 1 {
				pieces = append(pieces, steel.Piece{Mark: c.Mark, Length: rest, Count: c.Count})
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
