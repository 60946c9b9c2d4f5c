package casting

import (
	"cmp"
	"math"
	"slices"

	"pegpour/engine/concrete"
	"pegpour/engine/geom"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// Dug is what was dug against the plan, and the concrete again.
type Dug struct {
	Parts []DugPart
	// Loose are entries that belong to no part, by their number from 0, and why.
	Loose map[int]text.Text
	// Concrete in place and to order as they were dug, mm³; More is the order less the
	// plan's. Bags and Batches are of the order.
	Concrete, Order, More float64
	Bags, MoreBags        int
	Batches               int
	// Refused says why there is no order; empty where there is one.
	Refused text.Text
}

// DugPart is one part of the plan.
type DugPart struct {
	Outline string
	Name    text.Name
	Planned float64 // depth of the concrete, mm
	// Count of the depths that were read; of none the plan's volume stands.
	Count             int
	Least, Mean, Most float64 // mm
	LeastAt           float64 // chainage
	Volume            float64 // mm³
	// Shallow is set where the least is less than planned by more than practice lets.
	Shallow bool
	Words   text.Text
}

// Sound reports whether every part has a depth and none is shallow.
func (d *Dug) Sound() bool {
	for i := range d.Parts {
		if d.Parts[i].Count == 0 || d.Parts[i].Shallow {
			return false
		}
	}
	return len(d.Parts) > 0 && len(d.Loose) == 0
}

// depthAt is a depth at a chainage.
type depthAt struct{ x, depth float64 }

// ReadDug compares depths with the plan that was made of the survey and sums the
// concrete again:
//
//	V = V_plan + A·(d − d_plan)
//
// A is the part's own area, d the mean of what was dug over its outline: straight
// between the chainages that were read and held beyond them; readings at one chainage
// are averaged.
func ReadDug(s survey.Survey, made *plan.Plan, p practice.Practice) Dug {
	r := read(&s, &p)
	q := &made.Quantities
	d := Dug{Loose: map[int]text.Text{}}
	byOutline := map[string][]depthAt{}
	depths := s.Build.Casting.Depths
	for i := range depths[:min(len(depths), survey.MaxDugDepths)] {
		of := partOf(r.Words(survey.DugDepthPart.At(i)), made)
		along, _, placed := r.Reading(survey.DugDepthAlong.At(i))
		depth, _, taken := r.Reading(survey.DugDepthDepth.At(i))
		switch piece := pieceAt(made, of.kind, along.Size); {
		case !taken:
			d.Loose[i] = text.Say("Cannot be judged yet: measure down to the bottom.")
		case !placed && of.kind != plan.PartPostHole:
			d.Loose[i] = text.Say("Cannot be judged yet: say where along the fence it was read.")
		case of.kind == plan.PartPostHole && made.Has(of.kind) && (made.Pair == nil || piece == nil):
			hole := made.Deepest(of.kind)
			x, _ := middle(hole)
			byOutline[hole.ID] = append(byOutline[hole.ID], depthAt{x, depth.Size})
		case piece == nil:
			d.Loose[i] = nowhere(made, of, along.Size)
		default:
			byOutline[piece.ID] = append(byOutline[piece.ID], depthAt{along.Size, depth.Size})
		}
	}
	for i := range q.Parts {
		part := &q.Parts[i]
		o, ok := made.Outline(part.ID)
		if !ok {
			continue
		}
		d.Concrete += part.Volume
		if o.Kind == plan.PartFootingHole || o.Kind == plan.PartCavity || o.Kind == plan.PartWall {
			continue // no depth is asked of these
		}
		dug := dugPart(part, &o, byOutline[o.ID], r.Practice())
		d.Concrete += dug.Volume - part.Volume
		d.Parts = append(d.Parts, dug)
	}
	d.order(q, r.Practice())
	return d
}

func dugPart(part *plan.PartQuantity, o *plan.Outline, found []depthAt, p *practice.Practice) DugPart {
	d := DugPart{Outline: o.ID, Name: part.Name, Planned: o.Deep(), Count: len(found), Volume: part.Volume,
		Least: math.Inf(1), Most: math.Inf(-1)}
	if d.Count == 0 {
		d.Least, d.Most = 0, 0
		d.Words = text.Say("Not measured: counted as planned, {0} deep.", text.MM(d.Planned))
		return d
	}
	for _, q := range found {
		if q.depth < d.Least {
			d.Least, d.LeastAt = q.depth, q.x
		}
		d.Most = max(d.Most, q.depth)
	}
	d.Mean = meanDepth(o.Ring, found)
	d.Volume = max(0, part.Volume+part.Area*(d.Mean-d.Planned))
	d.Shallow = d.Least < d.Planned-p.DepthWithin
	if d.Shallow {
		d.Words = text.Say("Dig {0} deeper at {1}: least {2}, planned {3}, mean {4}.", text.MM(d.Planned-d.Least),
			text.MM(d.LeastAt), text.MM(d.Least), text.MM(d.Planned), text.MM(d.Mean))
	} else {
		d.Words = text.Say("Deep enough: least {0}, planned {1}, mean {2}.", text.MM(d.Least), text.MM(d.Planned),
			text.MM(d.Mean))
	}
	return d
}

// meanDepth is the mean over an outline of depths that are straight between the
// chainages at which they were read and held beyond them. Between two of them the depth
// is a plane, whose mean is that at the centroid.
func meanDepth(ring geom.Polygon, found []depthAt) float64 {
	line := atOnePlace(found)
	low, high := ring.Bounds()
	var sum, area float64
	slab := func(from, to float64, depth func(x float64) float64) {
		from, to = max(from, low.X-1), min(to, high.X+1)
		if from >= to {
			return
		}
		piece, err := geom.Intersect([]geom.Region{ring.Region()},
			[]geom.Region{geom.RectangleOf(from, low.Y-1, to, high.Y+1).Ring().Region()})
		if a := geom.Area(piece); err == nil && a > 0 {
			area += a
			sum += a * depth(geom.Centroid(piece...).X)
		}
	}
	first, last := line[0], line[len(line)-1]
	slab(math.Inf(-1), first.x, func(float64) float64 { return first.depth })
	for i := 1; i < len(line); i++ {
		a, b := line[i-1], line[i]
		slab(a.x, b.x, func(x float64) float64 { return a.depth + (b.depth-a.depth)*(x-a.x)/(b.x-a.x) })
	}
	slab(last.x, math.Inf(1), func(float64) float64 { return last.depth })
	if area <= 0 {
		return first.depth
	}
	return sum / area
}

// atOnePlace are depths by chainage, those read at one chainage as their mean.
func atOnePlace(found []depthAt) []depthAt {
	const near = 25 // mm
	sorted := slices.Clone(found)
	slices.SortStableFunc(sorted, func(a, b depthAt) int { return cmp.Compare(a.x, b.x) })
	var line []depthAt
	for i := 0; i < len(sorted); {
		k, x, depth := i, 0.0, 0.0
		for ; k < len(sorted) && sorted[k].x-sorted[i].x <= near; k++ {
			x += sorted[k].x
			depth += sorted[k].depth
		}
		n := float64(k - i)
		line = append(line, depthAt{x / n, depth / n})
		i = k
	}
	return line
}

// order is what to order of the concrete as it was dug.
func (d *Dug) order(q *plan.Quantities, p *practice.Practice) {
	var err error
	if d.Order, err = concrete.Order(d.Concrete, p.ConcreteWaste); err == nil && d.Order > 0 {
		if d.Bags, err = concrete.Bags(d.Order, p.BagYield); err == nil {
			d.Batches, err = concrete.Batches(d.Order, p.MixerBatch)
		}
	}
	if err != nil {
		d.Refused = text.Say("Cannot be judged: {0}", text.List(text.Because(err)))
		return
	}
	d.More, d.MoreBags = d.Order-q.Order, d.Bags-q.Bags
}
