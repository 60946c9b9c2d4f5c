package engine

import (
	"math"

	"pegpour/engine/geom"
)

// makeRoom sizes the lists for what a site of this ground usually has, so that
// they need not be moved while they grow.
func (plan *Plan) makeRoom() {
	figures, checks, outlines := 44, 16, 12
	if plan.Ground != nil {
		figures, checks, outlines = 64, 24, 28
	}
	plan.Figures, plan.Checks, plan.Outlines = make([]Figure, 0, figures), make([]Check, 0, checks), make([]Outline, 0, outlines)
	plan.Dimensions, plan.Pegs, plan.Diagonals = make([]DimensionLine, 0, 24), make([]Peg, 0, 16), make([]Diagonal, 0, 8)
	plan.Cautions, plan.Quantities.Lines = make([]Caution, 0, 10), make([]CostLine, 0, 12)
}

// Design turns a survey and a practice into a plan.
//
// The plan is always usable: a value that was refused is treated as not
// measured and the assumed one stands in, so that the rest of the drawing
// remains. The error, when there is one, is a Refusals that names each refused
// field, what was given and what is allowed. Rules of practice out of range
// stand at their defaults.
//
// Design is deterministic and changes neither argument.
func Design(s Survey, p Practice) (Plan, error) {
	refused := p.check()
	for i := range refused {
		for k := range rules {
			if "practice."+rules[k].Key == refused[i].Path {
				*rules[k].at(&p) = rules[k].Default
			}
		}
	}
	network, misread := surveyNetwork(&s, &p)
	in := resolve(&s, &p)
	obstructions := resolveObstructions(&s, &p, &in)
	network.outline(obstructions)

	var plan Plan
	plan.Network = network
	plan.Opening, plan.Hand, plan.SeenFrom = in.width, in.hand, in.seenFrom
	l := place(&in, &p)
	plan.modelGround(&s, &in, &p, &l)
	plan.makeRoom()
	plan.Leaf = planLeaf(&in, &p, &l)
	plan.Track = planTrack(&p, &l, &plan.Leaf)
	plan.buildLeaf(&in, &p, &l)
	stripLimits(&in, &p, &l, &plan.Leaf)
	plan.fall(&in, &p, &l)
	treatment := treat(&in, &p, &l)
	plan.Site = siteOutline(&in, &p, &l, obstructions)
	plan.pour(&in, &p, &l, &treatment)
	plan.shapeGround(&in, &p, &l)
	plan.deepenPad(&in, &p, &l)
	plan.moveLeaf(&in, &p, &l)
	plan.strengthen(&in, &p, &l, &treatment)
	plan.cutList(&in, &p)
	plan.setOut(&in)
	plan.pegPosts()
	plan.levelPegs()
	plan.quantify(&in, &p, &l, &treatment)
	plan.dimension(&in, &p, &l, &treatment)
	plan.explain(&in, &p, &l, &treatment)
	plan.explainStrength(&in, &p, &treatment)
	plan.check(&in, &p, &l, &treatment)
	plan.Assumed = in.assumed
	refused = append(append(refused, misread...), in.refused...)
	return plan, refused.orNil()
}

// resolveObstructions puts the taped obstructions into the frame.
func resolveObstructions(s *Survey, p *Practice, in *inputs) []ObstructionBox {
	list := s.RunBack.Obstructions
	if len(list) > MaxObstructions {
		in.refused = append(in.refused, FieldError{Path: "runBack.obstructions", Name: "Things in the way", Dimension: Count,
			Given: float64(len(list)), High: MaxObstructions, Reason: OutOfRange})
		list = list[:MaxObstructions]
	}
	r := &resolver{survey: s, practice: p, in: in}
	boxes := make([]ObstructionBox, 0, len(list))
	for i := range list {
		// What was started and not measured yet is not drawn.
		if !list[i].Along.Known() && !list[i].Offset.Known() {
			continue
		}
		at := func(name string) string { f, _ := obstructionField(i, name); return f.Path }
		kind := r.choice(at("kind"))
		r.words(at("name"))
		along, _ := r.number(at("along"))
		offset, _ := r.number(at("offset"))
		length, _ := r.number(at("length"))
		width, _ := r.number(at("width"))
		x := in.width + along
		boxes = append(boxes, ObstructionBox{Index: i, Kind: kind, Name: list[i].Name, Box: box{x, offset, x + length, offset + width}.ring()})
	}
	return boxes
}

// siteOutline is what stands there, as far as the drawing shows it.
func siteOutline(in *inputs, p *Practice, l *layout, obstructions []ObstructionBox) SiteOutline {
	site := SiteOutline{Surface: in.surface, CarriesTrack: l.carries, Obstructions: obstructions,
		Room: in.width + in.room, RoomKnown: in.roomKnown, Depth: in.depth, DepthKnown: in.depthKnown}
	site.PostLatch = box{-in.postLatch, -in.postDepth, 0, 0}.ring()
	site.PostRunBack = box{in.width, -in.postDepth, in.width + in.postRunBack, 0}.ring()
	// Far enough in to show the pad and a car's length of drive, and a little
	// of the street side.
	inner := math.Max(l.padOut, math.Max(p.PadOut, 0)) + in.width/3
	outer := -in.postDepth - in.width/8
	site.RunBackEdge = in.runBackEdge.Between(outer, inner)
	site.LatchEdge = in.latchEdge.Between(outer, inner)
	site.Drive = make(geom.Polygon, 0, len(site.RunBackEdge)+len(site.LatchEdge))
	site.Drive = append(site.Drive, site.RunBackEdge...)
	for i := len(site.LatchEdge) - 1; i >= 0; i-- {
		site.Drive = append(site.Drive, site.LatchEdge[i])
	}
	return site
}
