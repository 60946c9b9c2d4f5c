package engine

import (
	"math"
	"slices"
	"strconv"

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
	a.give("opening.width", &s.Opening.Width, width, sigma)
	for i := range a.plan.Pegs {
		p := &a.plan.Pegs[i]
		switch p.Role {
		case PegRoomEnd:
			along, sigma, _ := a.apart(p.Name, a.runBack)
			a.give("runBack.room", &s.RunBack.Room, along, sigma)
		case PegDepthEnd:
			a.give("runBack.depth", &s.RunBack.Depth, p.Offset, p.SigmaY)
		}
	}
	a.feedEdge("drive.runBackEdge", &s.Drive.RunBackEdge, PegRunBackEdge, a.runBack)
	a.feedEdge("drive.latchEdge", &s.Drive.LatchEdge, PegLatchEdge, a.latch)
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

// give puts a figure into the survey unless it was measured there in its own
// right; then the two are compared.
func (a *adjustment) give(path string, at *Value, value, sigma float64) {
	f, ok := FieldAt(path)
	if !ok {
		return
	}
	g := Given{Path: path, Name: f.Name, Value: value, Sigma: sigma}
	if at.Known() && at.How != ByNetwork {
		g.taped = at.Size
		if math.Abs(at.Size-value) > 3*math.Hypot(sigma, a.practice.sigma(&f, *at))+tolerance {
			a.plan.differs = append(a.plan.differs, g)
		}
		return
	}
	*at = Value{Size: value, How: ByNetwork, Sigma: sigma}
	a.plan.Gives = append(a.plan.Gives, g)
}

// feedEdge adds the pegs on an edge to its taped points. An edge that was
// given as square or by its angle stands.
func (a *adjustment) feedEdge(path string, e *Edge, role, base string) {
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
		at := path + ".points." + strconv.Itoa(len(points)) + "."
		point := EdgePoint{}
		a.give(at+"along", &point.Along, along, sigma)
		a.give(at+"offset", &point.Offset, p.Offset, p.SigmaY)
		points = append(points, point)
	}
	if len(points) > began {
		e.Points, e.Given = points, EdgePoints
		a.plan.Gives = append(a.plan.Gives, Given{Path: path + ".given", Name: "Driveway edge"})
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
		a.feedBox(i, &list[i], corners[thing])
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
	at := "runBack.obstructions." + strconv.Itoa(i) + "."
	own := !o.Along.Known() && !o.Offset.Known()
	along, sigma, _ := a.apart(left.Name, a.runBack)
	a.give(at+"along", &o.Along, along, sigma)
	a.give(at+"offset", &o.Offset, near.Offset, near.SigmaY)
	if len(corners) < 2 {
		return
	}
	long, sigmaLong, _ := a.apart(right.Name, left.Name)
	a.give(at+"length", &o.Length, math.Max(1, long), sigmaLong)
	a.give(at+"width", &o.Width, math.Max(1, far.Offset-near.Offset), math.Hypot(far.SigmaY, near.SigmaY))
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
