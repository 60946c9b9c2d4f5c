package engine

import (
	"math"
	"slices"
	"strconv"

	"pegpour/engine/geom"
)

// farthestMeeting is how far along the fence an edge may meet it and still be
// taken for an edge of this driveway, mm from its post.
const farthestMeeting = 12000

// edge resolves one driveway edge to a broken line in the frame. base is the
// chainage of the post that its Along values start from. square reports a
// straight edge at a right angle to the fence.
func (r *resolver) edge(path string, e *Edge, base float64) (line geom.Edge, square bool) {
	given := r.choice(path + ".given")
	switch given {
	case EdgePoints:
		if line, ok := r.edgeByPoints(path, e, base); ok {
			return line, false
		}
		return straightEdge(base, math.Pi/2), true
	case EdgeAngle:
		along, _ := r.number(path + ".along")
		angle, _ := r.number(path + ".angle")
		return straightEdge(base+along, angle), angle == math.Pi/2
	}
	along, _ := r.number(path + ".along")
	return straightEdge(base+along, math.Pi/2), true
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

// edgeAngle is the angle of the edge's first stretch to the fence.
func edgeAngle(e geom.Edge) float64 {
	return math.Atan2(1000, e.At(1000)-e.At(0))
}

type tapedPoint struct {
	geom.Point
	index int
}

// tapedAt is a taped point with the post it was taped from and its path.
type tapedAt struct {
	geom.Point
	base float64
	path string
}

func (r *resolver) edgeByPoints(path string, e *Edge, base float64) (geom.Edge, bool) {
	refuse := func(at string, detail Text) (geom.Edge, bool) {
		name := "Driveway edge"
		if f, ok := FieldAt(at); ok {
			name = f.Name
		}
		r.in.refused = append(r.in.refused, FieldError{Path: at, Name: name, Reason: Impossible, Detail: detail})
		return geom.Edge{}, false
	}
	if len(e.Points) > MaxEdgePoints {
		return refuse(path+".points", say("at most {0} points", number(MaxEdgePoints)))
	}
	taped := make([]tapedPoint, 0, len(e.Points))
	for i := range e.Points {
		at := path + ".points." + strconv.Itoa(i)
		x, okX := r.number(at + ".along")
		y, okY := r.number(at + ".offset")
		if okX && okY {
			taped = append(taped, tapedPoint{geom.Point{X: base + x, Y: y}, i})
			r.in.taped = append(r.in.taped, tapedAt{geom.Point{X: base + x, Y: y}, base, at})
		}
	}
	if len(taped) < 2 {
		r.assume(Assumption{Path: path + ".points", Name: "Driveway edge points (two are needed; a square edge stands in)", Dimension: Length, Unknown: true})
		if len(taped) == 1 {
			return straightEdge(taped[0].X, math.Pi/2), true
		}
		return geom.Edge{}, false
	}
	slices.SortStableFunc(taped, func(a, b tapedPoint) int {
		switch {
		case a.Y < b.Y:
			return -1
		case a.Y > b.Y:
			return 1
		}
		return 0
	})
	points := make([]geom.Point, len(taped))
	for i, t := range taped {
		points[i] = t.Point
		if i == 0 {
			continue
		}
		dx, dy := math.Abs(t.X-taped[i-1].X), t.Y-taped[i-1].Y
		last := path + ".points." + strconv.Itoa(max(t.index, taped[i-1].index)) + ".offset"
		if dy <= 0 || math.Atan2(dy, dx) < edgeAngleLow {
			return refuse(last, say("this stretch runs along the fence and never meets it: take the two points further apart square to the fence"))
		}
	}
	line, err := geom.NewEdge(points)
	if err != nil {
		return refuse(path+".points.0.offset", Because(err))
	}
	if meets := line.At(0) - base; math.Abs(meets) > farthestMeeting {
		return refuse(path+".points.0.along", say("the edge meets the fence line {0} from the post, allowed up to {1}: check the readings", mm(math.Round(math.Abs(meets))), mm(farthestMeeting)))
	}
	return line, true
}
