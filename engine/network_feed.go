package engine

import (
	"math"
	"slices"

	"pegpour/engine/geom"
)

// feed puts what the network gives into the survey.
func (a *adjustment) feed() {
	a.plan.outlines = map[int]geom.Polygon{}
	s := a.survey
	width, sigma, ok := a.apart(a.runBack, a.latch)
	if !ok {
		return
	}
	a.offer(OpeningWidth, &s.Opening.Width, width, sigma)
	for i := range a.plan.Pegs {
		p := &a.plan.Pegs[i]
		switch p.Role {
		case PegRoomEnd:
			along, sigma, _ := a.apart(p.Name, a.runBack)
			a.offer(RunBackRoom, &s.RunBack.Room, along, sigma)
		case PegDepthEnd:
			a.offer(RunBackDepth, &s.RunBack.Depth, p.Offset, p.SigmaY)
		}
	}
	a.feedEdge(&RunBackEdgePaths, &s.Drive.RunBackEdge, PegRunBackEdge, a.runBack)
	a.feedEdge(&LatchEdgePaths, &s.Drive.LatchEdge, PegLatchEdge, a.latch)
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
	return p.X - q.X, math.Sqrt(math.Max(0, p.Covariance[0][0]+q.Covariance[0][0]-2*both[0][0])), true
}

// offer puts a figure into the survey unless it was measured there in its own
// right; then the two are compared.
func (a *adjustment) offer(path Path, at *Value, value, sigma float64) {
	f := FieldOf(path)
	g := Given{Path: f.Path, Name: f.Name, Value: value, Sigma: sigma}
	if at.Known() && at.How != ByNetwork {
		g.taped = at.Size
		if math.Abs(at.Size-value) > 3*math.Hypot(sigma, f.Uncertainty(*at, a.practice))+tolerance {
			a.plan.differs = append(a.plan.differs, g)
		}
		return
	}
	*at = Value{Size: value, How: ByNetwork, Sigma: sigma}
	a.plan.Gives = append(a.plan.Gives, g)
}

// feedEdge adds the pegs on an edge to its taped points. An edge that was
// given as square or by its angle stands.
func (a *adjustment) feedEdge(paths *EdgePaths, e *Edge, role, base string) {
	if e.Given == EdgeSquare || e.Given == EdgeAngle {
		return
	}
	var points []EdgePoint
	for i := range e.Points {
		if e.Points[i].Along.Known() || e.Points[i].Offset.Known() {
			points = append(points, e.Points[i])
		}
	}
	began := len(points)
	for i := range a.plan.Pegs {
		p := &a.plan.Pegs[i]
		along, sigma, ok := a.apart(p.Name, base)
		if p.Role != role || !ok || len(points) >= MaxEdgePoints {
			continue
		}
		point := EdgePoint{}
		a.offer(paths.PointAlong.At(len(points)), &point.Along, along, sigma)
		a.offer(paths.PointOffset.At(len(points)), &point.Offset, p.Offset, p.SigmaY)
		points = append(points, point)
	}
	if len(points) > began {
		e.Points, e.Given = points, EdgePoints
		a.plan.Gives = append(a.plan.Gives, Given{Path: string(paths.Given), Name: "Driveway edge"})
	}
}

// feedObstructions turns the corners of each thing into its box, and into its
// own outline where there are three or more.
func (a *adjustment) feedObstructions() {
	var names []string
	corners := map[string][]*PegPlace{}
	for i := range a.plan.Pegs {
		p := &a.plan.Pegs[i]
		if p.Role != PegCorner {
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
		i := slices.IndexFunc(list, func(o Obstruction) bool { return o.Name == thing })
		if i < 0 {
			if len(list) >= MaxObstructions {
				break
			}
			i = len(list)
			list = append(list, Obstruction{Name: thing, Kind: ObstructionOther})
		}
		if i < MaxObstructions { // those beyond are not read
			a.feedBox(i, &list[i], corners[thing])
		}
	}
	a.survey.RunBack.Obstructions = list
}

func (a *adjustment) feedBox(i int, o *Obstruction, corners []*PegPlace) {
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
	a.offer(ObstructionAlong.At(i), &o.Along, along, sigma)
	a.offer(ObstructionOffset.At(i), &o.Offset, near.Offset, near.SigmaY)
	if len(corners) < 2 {
		return
	}
	long, sigmaLong, _ := a.apart(right.Name, left.Name)
	a.offer(ObstructionLength.At(i), &o.Length, math.Max(1, long), sigmaLong)
	a.offer(ObstructionWidth.At(i), &o.Width, math.Max(1, far.Offset-near.Offset), math.Hypot(far.SigmaY, near.SigmaY))
	if hull := geom.Hull(points); own && len(hull) >= 3 {
		a.plan.outlines[i] = hull
	}
}

// outline gives the obstructions their own outline where the network has it.
func (n *NetworkPlan) outline(obstructions []ObstructionBox) {
	if n == nil {
		return
	}
	for i := range obstructions {
		if hull, ok := n.outlines[obstructions[i].Index]; ok {
			obstructions[i].Box = hull
		}
	}
}
