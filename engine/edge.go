package engine

import (
	"cmp"
	"math"
	"slices"

	"pegpour/engine/geom"
)

// farthestMeeting is how far along the fence an edge may meet it and still be
// taken for an edge of this driveway, mm from its post.
const farthestMeeting = 12000

// readEdge makes one driveway edge a broken line in the frame. base is the
// chainage of the post that its Along values start from. square reports a
// straight edge at a right angle to the fence. taped are the points it was taped
// by, refused ones included.
func readEdge(r *Reader, paths *EdgePaths, e *Edge, base float64) (line geom.Edge, square bool, taped []tapedPoint) {
	switch r.Choice(paths.Given) {
	case EdgePoints:
		line, taped, ok := edgeByPoints(r, paths, e, base)
		if ok {
			return line, false, taped
		}
		return straightEdge(base, math.Pi/2), true, taped
	case EdgeAngle:
		along, _ := r.Number(paths.Along)
		angle, _ := r.Number(paths.Angle)
		return straightEdge(base+along, angle), angle == math.Pi/2, nil
	}
	along, _ := r.Number(paths.Along)
	return straightEdge(base+along, math.Pi/2), true, nil
}

// straightEdge runs through chainage x at the fence at the angle given, which
// is measured from the fence on the run-back side: x_e(y) = x + y/tan(angle).
func straightEdge(x, angle float64) geom.Edge {
	const reach = 1000
	lean := 0.0
	if angle != math.Pi/2 {
		lean = reach / math.Tan(angle)
	}
	line, _ := geom.NewEdge([]geom.Point{{X: x, Y: 0}, {X: x + lean, Y: reach}})
	return line
}

// firstAngle is the angle of the edge's first stretch to the fence.
func firstAngle(e geom.Edge) float64 {
	return math.Atan2(1000, e.At(1000)-e.At(0))
}

// tapedPoint is a taped point with the chainage of the post it was taped from,
// and which of the edge's points it is.
type tapedPoint struct {
	geom.Point
	base  float64
	edge  *EdgePaths
	index int
}

func edgeByPoints(r *Reader, paths *EdgePaths, e *Edge, base float64) (line geom.Edge, taped []tapedPoint, ok bool) {
	refuse := func(at Path, name string, detail Text) (geom.Edge, []tapedPoint, bool) {
		r.Refuse(FieldError{Path: string(at), Name: name, Reason: Impossible, Detail: detail})
		return geom.Edge{}, taped, false
	}
	refuseAt := func(at Path, detail Text) (geom.Edge, []tapedPoint, bool) {
		return refuse(at, FieldOf(at).Name, detail)
	}
	if len(e.Points) > MaxEdgePoints {
		return refuse(paths.Points, "Driveway edge", say("at most {0} points", number(MaxEdgePoints)))
	}
	taped = make([]tapedPoint, 0, len(e.Points))
	for i := range e.Points {
		x, okX := r.Number(paths.PointAlong.At(i))
		y, okY := r.Number(paths.PointOffset.At(i))
		if okX && okY {
			taped = append(taped, tapedPoint{geom.Point{X: base + x, Y: y}, base, paths, i})
		}
	}
	if len(taped) < 2 {
		r.Assume(Assumption{Path: string(paths.Points), Name: "Driveway edge points (two are needed; a square edge stands in)", Dimension: Length, Unknown: true})
		if len(taped) == 1 {
			return straightEdge(taped[0].X, math.Pi/2), taped, true
		}
		return geom.Edge{}, taped, false
	}
	inwards := slices.Clone(taped)
	slices.SortStableFunc(inwards, func(a, b tapedPoint) int { return cmp.Compare(a.Y, b.Y) })
	points := make([]geom.Point, len(inwards))
	for i, t := range inwards {
		points[i] = t.Point
		if i == 0 {
			continue
		}
		dx, dy := math.Abs(t.X-inwards[i-1].X), t.Y-inwards[i-1].Y
		if dy <= 0 || math.Atan2(dy, dx) < edgeAngleLow {
			return refuseAt(paths.PointOffset.At(max(t.index, inwards[i-1].index)), say("this stretch runs along the fence and never meets it: take the two points further apart square to the fence"))
		}
	}
	line, err := geom.NewEdge(points)
	if err != nil {
		return refuseAt(paths.PointOffset.At(0), Because(err))
	}
	if meets := line.At(0) - base; math.Abs(meets) > farthestMeeting {
		return refuseAt(paths.PointAlong.At(0), say("the edge meets the fence line {0} from the post, allowed up to {1}: check the readings", mm(math.Round(math.Abs(meets))), mm(farthestMeeting)))
	}
	return line, taped, true
}
