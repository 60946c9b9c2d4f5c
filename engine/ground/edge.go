package ground

import (
	"cmp"
	"math"
	"slices"

	"pegpour/engine/geom"
	"pegpour/engine/input"
	"pegpour/engine/sorting"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// farthestMeeting is how far along the fence an edge may meet it and still be
// taken for an edge of this driveway, mm from its post.
const farthestMeeting = 12000

// ReadEdge makes one driveway edge a broken line in the frame. base is the
// chainage of the post that its Along values start from. square reports a
// straight edge at a right angle to the fence. taped are the points it was taped
// by, refused ones included.
func ReadEdge(r *survey.Reader, paths *survey.EdgePaths, e *survey.Edge, base float64) (line geom.Edge, square bool,
	taped []TapedPoint) {
	switch r.Choice(paths.Given) {
	case survey.EdgePoints:
		line, taped, ok := edgeByPoints(r, paths, e, base)
		if ok {
			return line, false, taped
		}
		return straightEdge(base, math.Pi/2), true, taped
	case survey.EdgeAngle:
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

// FirstAngle is the angle of the edge's first stretch to the fence.
func FirstAngle(e geom.Edge) float64 {
	return math.Atan2(1000, e.At(1000)-e.At(0))
}

// TapedPoint is a taped point with the chainage of the post it was taped from,
// and which of the edge's points it is.
type TapedPoint struct {
	geom.Point
	Base  float64
	Edge  *survey.EdgePaths
	Index int
}

func edgeByPoints(r *survey.Reader, paths *survey.EdgePaths, e *survey.Edge, base float64) (line geom.Edge,
	taped []TapedPoint, ok bool) {
	refuse := func(at survey.Path, name text.Name, detail text.Text) (geom.Edge, []TapedPoint, bool) {
		r.Refuse(input.FieldError{Path: string(at), Name: name, Reason: input.Impossible, Detail: detail})
		return geom.Edge{}, taped, false
	}
	refuseAt := func(at survey.Path, detail text.Text) (geom.Edge, []TapedPoint, bool) {
		return refuse(at, survey.FieldOf(at).Name, detail)
	}
	if len(e.Points) > survey.MaxEdgePoints {
		return refuse(paths.Points, "Driveway edge", text.Say("at most {0} points", text.Number(survey.MaxEdgePoints)))
	}
	taped = make([]TapedPoint, 0, len(e.Points))
	for i := range e.Points {
		x, okX := r.Number(paths.PointAlong.At(i))
		y, okY := r.Number(paths.PointOffset.At(i))
		if okX && okY {
			taped = append(taped, TapedPoint{geom.Point{X: base + x, Y: y}, base, paths, i})
		}
	}
	if len(taped) < 2 {
		r.Assume(survey.Assumption{Path: string(paths.Points),
			Name: "Driveway edge points (two are needed; a square edge stands in)", Dimension: text.Length, Unknown: true})
		if len(taped) == 1 {
			return straightEdge(taped[0].X, math.Pi/2), taped, true
		}
		return geom.Edge{}, taped, false
	}
	inwards := slices.Clone(taped)
	sorting.Stable(inwards, func(a, b TapedPoint) int { return cmp.Compare(a.Y, b.Y) })
	points := make([]geom.Point, len(inwards))
	for i, t := range inwards {
		points[i] = t.Point
		if i == 0 {
			continue
		}
		dx, dy := math.Abs(t.X-inwards[i-1].X), t.Y-inwards[i-1].Y
		if dy <= 0 || math.Atan2(dy, dx) < survey.EdgeAngleLow {
			return refuseAt(paths.PointOffset.At(max(t.Index, inwards[i-1].Index)),
				text.Say("this stretch runs along the fence and never meets it: take the two points further apart square to the fence"))
		}
	}
	line, err := geom.NewEdge(points)
	if err != nil {
		return refuseAt(paths.PointOffset.At(0), text.Because(err))
	}
	if meets := line.At(0) - base; math.Abs(meets) > farthestMeeting {
		return refuseAt(paths.PointAlong.At(0),
			text.Say("the edge meets the fence line {0} from the post, allowed up to {1}: check the readings",
				text.MM(math.Round(math.Abs(meets))), text.MM(farthestMeeting)))
	}
	return line, taped, true
}
