package solid

import (
	"math"

	"pegpour/engine/draw"
)

// DrawApart is [Draw] for many bodies of which most stand clear of one another:
// where a plane square to an axis parts them, those beyond it are painted
// first, and only what no such plane parts goes through the partition. The
// picture is the same; there are far fewer pieces. A face whose edges are all
// real comes as one area with its outline. Returns ErrCamera.
func DrawApart(bodies []Body, c Camera) ([]draw.Element, error) {
	return paintApart(bodies, c, Level{})
}

// paintApart parts by planes that fall as lean does instead of level ones.
func paintApart(bodies []Body, c Camera, lean Level) ([]draw.Element, error) {
	if math.IsNaN(c.Azimuth) || math.IsInf(c.Azimuth, 0) || !(c.Elevation >= 0 && c.Elevation <= math.Pi/2) {
		return nil, ErrCamera
	}
	all := make([]bounded, 0, len(bodies))
	for _, b := range bodies {
		if len(b.faces) > 0 {
			all = append(all, bound(b, lean))
		}
	}
	a := apart{camera: c}
	_, _, toward := c.frame()
	a.toward = [3]float64{toward.X, toward.Y, toward.Z - lean.DX*toward.X - lean.DY*toward.Y}
	a.paint(all)
	return a.out, a.err
}

// bounded is a body with the box around it, heights counted from the lean.
type bounded struct {
	body      Body
	low, high [3]float64
}

func bound(b Body, lean Level) bounded {
	o := bounded{body: b}
	for k := range 3 {
		o.low[k], o.high[k] = math.Inf(1), math.Inf(-1)
	}
	for _, f := range b.faces {
		for _, p := range f.ps {
			for k, v := range [3]float64{p.X, p.Y, p.Z - lean.DX*p.X - lean.DY*p.Y} {
				o.low[k], o.high[k] = min(o.low[k], v), max(o.high[k], v)
			}
		}
	}
	return o
}

type apart struct {
	camera Camera
	toward [3]float64
	out    []draw.Element
	err    error
}

// touching is how far two bodies may reach into one another and still count as
// apart, mm.
const touching = 1e-6

func (a *apart) paint(all []bounded) {
	if len(all) > 1 {
		for axis := range 3 {
			groups := split3(all, axis)
			if len(groups) < 2 {
				continue
			}
			if a.toward[axis] < 0 {
				for i := len(groups) - 1; i >= 0; i-- {
					a.paint(groups[i])
				}
			} else {
				for _, g := range groups {
					a.paint(g)
				}
			}
			return
		}
	}
	bodies := make([]Body, len(all))
	for i := range all {
		bodies[i] = all[i].body
	}
	pieces, err := paint(bodies, a.camera)
	if err != nil {
		a.err = err
		return
	}
	for i := range pieces {
		a.out = append(a.out, pieces[i].elements()...)
	}
}

// split3 sorts bodies into groups that follow one another along an axis
// without overlap. A stable insertion sort: there are few, and equal input must
// give an equal picture.
func split3(all []bounded, axis int) [][]bounded {
	sorted := append([]bounded(nil), all...)
	for i := 1; i < len(sorted); i++ {
		for k := i; k > 0 && sorted[k].low[axis] < sorted[k-1].low[axis]; k-- {
			sorted[k], sorted[k-1] = sorted[k-1], sorted[k]
		}
	}
	var groups [][]bounded
	start, end := 0, math.Inf(-1)
	for i := range sorted {
		if i > start && sorted[i].low[axis] >= end-touching {
			groups = append(groups, sorted[start:i])
			start = i
		}
		end = max(end, sorted[i].high[axis])
	}
	return append(groups, sorted[start:])
}

func (p *piece) elements() []draw.Element {
	whole := true
	for _, real := range p.edge {
		whole = whole && real
	}
	area := p.area()
	area.Open = !whole
	out := []draw.Element{area}
	if whole {
		return out
	}
	// Edges that follow one another go as one line.
	n := len(p.ring)
	for k := 0; k < n; k++ {
		if !p.edge[k] || k > 0 && p.edge[k-1] {
			continue
		}
		line := []draw.Point{p.ring[k]}
		for i := k; i < n && p.edge[i]; i++ {
			line = append(line, p.ring[(i+1)%n])
		}
		out = append(out, draw.Polyline{Tag: p.tag, Points: line})
	}
	return out
}
