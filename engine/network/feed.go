package network

import (
	"math"
	"slices"

	"pegpour/engine/geom"
	"pegpour/engine/plan"
	"pegpour/engine/survey"
)

// feed puts what the network gives into the survey.
func (a *adjustment) feed() {
	a.plan.Outlines = map[int]geom.Polygon{}
	s := a.survey
	width, sigma, ok := a.apart(a.runBack, a.latch)
	if !ok {
		return
	}
	a.offer(survey.OpeningWidth, &s.Opening.Width, width, sigma)
	for i := range a.plan.Pegs {
		p := &a.plan.Pegs[i]
		switch p.Role {
		case survey.PegRoomEnd:
			along, sigma, _ := a.apart(p.Name, a.runBack)
			a.offer(survey.RunBackRoom, &s.RunBack.Room, along, sigma)
		case survey.PegDepthEnd:
			a.offer(survey.RunBackDepth, &s.RunBack.Depth, p.Offset, p.SigmaY)
		}
	}
	a.feedEdge(&survey.RunBackEdgePaths, &s.Drive.RunBackEdge, survey.PegRunBackEdge, a.runBack)
	a.feedEdge(&survey.LatchEdgePaths, &s.Drive.LatchEdge, survey.PegLatchEdge, a.latch)
	a.feedObstructions()
}

// apart is the difference in chainage between two pegs and its standard
// uncertainty, their correlation included.
func (a *adjustment) apart(name, base string) (along, sigma float64, ok bool) {
	p, okP := a.result.Peg(name)
	q, okQ := a.result.Peg(base)
	both, err := a.result.Covariance(name, base)
	if !okP || !okQ || err != nil {
		return 0, 0, false
	}
	return p.X - q.X, math.Sqrt(max(0, p.Covariance[0][0]+q.Covariance[0][0]-2*both[0][0])), true
}

// offer puts a figure into the survey unless it was measured there in its own
// right; then the two are compared.
func (a *adjustment) offer(path survey.Path, at *survey.Value, value, sigma float64) {
	f := survey.FieldOf(path)
	g := plan.Given{Path: f.Path, Name: f.Name, Value: value, Sigma: sigma}
	if at.Known() && at.How != survey.ByNetwork {
		g.Taped = at.Size
		if math.Abs(at.Size-value) > 3*math.Hypot(sigma, f.Uncertainty(*at, a.practice))+plan.Tolerance {
			a.plan.Differs = append(a.plan.Differs, g)
		}
		return
	}
	*at = survey.Value{Size: value, How: survey.ByNetwork, Sigma: sigma}
	a.plan.Gives = append(a.plan.Gives, g)
}

// feedEdge adds the pegs on an edge to its taped points. An edge that was
// given as square or by its angle stands.
func (a *adjustment) feedEdge(paths *survey.EdgePaths, e *survey.Edge, role, base string) {
	if e.Given == survey.EdgeSquare || e.Given == survey.EdgeAngle {
		return
	}
	var points []survey.EdgePoint
	for i := range e.Points {
		if e.Points[i].Along.Known() || e.Points[i].Offset.Known() {
			points = append(points, e.Points[i])
		}
	}
	began := len(points)
	for i := range a.plan.Pegs {
		p := &a.plan.Pegs[i]
		along, sigma, ok := a.apart(p.Name, base)
		if p.Role != role || !ok || len(points) >= survey.MaxEdgePoints {
			continue
		}
		point := survey.EdgePoint{}
		a.offer(paths.PointAlong.At(len(points)), &point.Along, along, sigma)
		a.offer(paths.PointOffset.At(len(points)), &point.Offset, p.Offset, p.SigmaY)
		points = append(points, point)
	}
	if len(points) > began {
		e.Points, e.Given = points, survey.EdgePoints
		a.plan.Gives = append(a.plan.Gives, plan.Given{Path: string(paths.Given), Name: "Driveway edge"})
	}
}

// feedObstructions turns the corners of each thing into its box, and into its
// own outline where there are three or more.
func (a *adjustment) feedObstructions() {
	var names []string
	corners := map[string][]*plan.PegPlace{}
	for i := range a.plan.Pegs {
		p := &a.plan.Pegs[i]
		if p.Role != survey.PegCorner {
			continue
		}
		thing := a.survey.Network.Pegs[p.Index].Thing
		if thing == "" {
			thing = p.Name
		}
		if len(corners[thing]) == 0 {
			names = append(names, thing)
		}
		corners[thing] = append(corners[thing], p)
	}
	list := a.survey.RunBack.Obstructions
	for _, thing := range names {
		i := slices.IndexFunc(list, func(o survey.Obstruction) bool { return o.Name == thing })
		if i < 0 {
			if len(list) >= survey.MaxObstructions {
				break
			}
			i = len(list)
			list = append(list, survey.Obstruction{Name: thing, Kind: survey.ObstructionOther})
		}
		if i < survey.MaxObstructions { // those beyond are not read
			a.feedBox(i, &list[i], corners[thing])
		}
	}
	a.survey.RunBack.Obstructions = list
}

func (a *adjustment) feedBox(i int, o *survey.Obstruction, corners []*plan.PegPlace) {
	left, right, near, far := corners[0], corners[0], corners[0], corners[0]
	var points []geom.Point
	for _, c := range corners {
		points = append(points, geom.Point{X: c.Chainage, Y: c.Offset})
		if c.Chainage < left.Chainage {
			left = c
		}
		if c.Chainage > right.Chainage {
			right = c
		}
		if c.Offset < near.Offset {
			near = c
		}
		if c.Offset > far.Offset {
			far = c
		}
	}
	own := !o.Along.Known() && !o.Offset.Known()
	along, sigma, _ := a.apart(left.Name, a.runBack)
	a.offer(survey.ObstructionAlong.At(i), &o.Along, along, sigma)
	a.offer(survey.ObstructionOffset.At(i), &o.Offset, near.Offset, near.SigmaY)
	if len(corners) < 2 {
		return
	}
	long, sigmaLong, _ := a.apart(right.Name, left.Name)
	a.offer(survey.ObstructionLength.At(i), &o.Length, max(1, long), sigmaLong)
	a.offer(survey.ObstructionWidth.At(i), &o.Width, max(1, far.Offset-near.Offset),
		math.Hypot(far.SigmaY, near.SigmaY))
	if hull := geom.Hull(points); own && len(hull) >= 3 {
		a.plan.Outlines[i] = hull
	}
}
