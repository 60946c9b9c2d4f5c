package drawing

import (
	"math"

	"pegpour/engine/draw"
	"pegpour/engine/draw/solid"
	"pegpour/engine/plan"
)

// Sizes of what the owner's views show for scale, mm: a middling car and a
// grown person (common practice, no published source).
const (
	carLong, carWide, carHigh = 4400.0, 1800.0, 1450.0
	carBelt                   = 890.0 // the sills of its windows
	carWheel                  = 320.0 // radius
	personHigh                = 1750.0
	personRoom                = 1250.0 // beside the end of the fence
)

// The car from its side, x from its front, z up: the body, the cabin on it, its
// windows and its doors.
var (
	carBody = draw.Ring{{X: 3900, Y: carBelt}, {X: 1150, Y: carBelt}, {X: 220, Y: 740}, {X: 20, Y: 610}, {X: 0, Y: 400},
		{X: 50, Y: 230}, {X: 4350, Y: 230}, {X: carLong, Y: 450}, {X: 4380, Y: 830}}
	carCabin = draw.Ring{{X: 1150, Y: carBelt}, {X: 3900, Y: carBelt}, {X: 3250, Y: 1410}, {X: 2550, Y: carHigh},
		{X: 1850, Y: 1430}}
	carWindows = [...]draw.Ring{
		{{X: 1420, Y: 920}, {X: 2330, Y: 920}, {X: 2330, Y: 1370}, {X: 1930, Y: 1370}},
		{{X: 2430, Y: 920}, {X: 3620, Y: 920}, {X: 3150, Y: 1350}, {X: 2430, Y: 1370}}}
	carDoors = [...]draw.Ring{draw.RectRing(1290, 290, 2380, 860), draw.RectRing(2380, 290, 3130, 860)}
	carAxles = [...]float64{830, 3480}
)

// personRing is a person standing, z up: trunk, arms and legs; the head is apart.
var personRing = draw.Ring{{X: 40}, {X: 165}, {X: 185, Y: 850}, {X: 190, Y: 1180}, {X: 232, Y: 790}, {X: 310, Y: 790},
	{X: 272, Y: 1360}, {X: 195, Y: 1455}, {X: 60, Y: 1475}, {X: -60, Y: 1475}, {X: -195, Y: 1455}, {X: -272, Y: 1360},
	{X: -310, Y: 790}, {X: -232, Y: 790}, {X: -190, Y: 1180}, {X: -185, Y: 850}, {X: -165}, {X: -40}, {X: 0, Y: 800}}

// roundRing is a circle by its corners.
func roundRing(x, y, radius float64) draw.Ring {
	out := make(draw.Ring, 14)
	for i := range out {
		sin, cos := math.Sincos((float64(i) + 0.5) * 2 * math.Pi / float64(len(out)))
		out[i] = draw.Pt(x+radius*cos, y+radius*sin)
	}
	return out
}

// placed is something set down on the drive: its own x runs along it.
type placed struct {
	origin   draw.Point
	sin, cos float64
}

func (c placed) point(x, y float64) draw.Point {
	return draw.Pt(c.origin.X+x*c.cos-y*c.sin, c.origin.Y+x*c.sin+y*c.cos)
}

func (c placed) ring(r draw.Ring) draw.Ring {
	out := make(draw.Ring, len(r))
	for i, q := range r {
		out[i] = c.point(q.X, q.Y)
	}
	return out
}

// ownerCar stands in the middle of the drive, along it, its front to the gate: beyond
// the gate as it is looked at, so that it hides nothing of it.
func ownerCar(p *plan.Plan, inside bool) placed {
	a, sin, cos, ok := driveAxis(p)
	if inside {
		return placed{origin: draw.Pt(a.X, -ownerNear), sin: -1}
	}
	if !ok {
		return placed{origin: draw.Pt(a.X, ownerNear), sin: 1}
	}
	// A drive that runs in very flat would put the car across the gate.
	if sin < 0.6 {
		sin, cos = 1, 0
	}
	gap := ownerNear * 0.9
	return placed{origin: draw.Pt(a.X+gap*cos/sin, gap), sin: sin, cos: cos}
}

// ownerPerson is where the person stands: beyond the end of the fence on the latch
// side, clear of gate and posts from either side.
func ownerPerson(p *plan.Plan) draw.Point {
	start, _ := ownerExtent(p)
	return draw.Pt(start-personRoom*0.56, -postDepth(p)-250)
}

// car is a body with a cabin on it, windows, doors, wheels and lamps.
func (v *ownerView) car() {
	c := ownerCar(v.p, v.o.Inside)
	// It stands on the plane of the drive, and leans with it.
	drive := solid.Level{}
	if v.p.Ground.Known() {
		drive = trackPlane(v.p.Ground)
	}
	at := func(x, y, z float64) solid.Point {
		q := c.point(x, y)
		return solid.Point{X: q.X, Y: q.Y, Z: drive.At(q.X, q.Y) + z}
	}
	// How far out the sides stand: those of the cabin lean in.
	side := func(z float64) float64 {
		if z > carBelt {
			return carWide/2 - 70 - 0.33*(z-carBelt)
		}
		return carWide / 2
	}
	body := func(ring draw.Ring, belt float64) {
		b, err := solid.Extrude(v.tag("car"), ring,
			func(q draw.Point) solid.Point { return at(q.X, side(q.Y+belt), q.Y) },
			func(q draw.Point) solid.Point { return at(q.X, -side(q.Y+belt), q.Y) })
		v.add(b, err)
	}
	body(carBody, 0)
	body(carCabin, 1e-9)
	sheet := func(id string, ring draw.Ring, to func(draw.Point) solid.Point) {
		b, err := solid.Extrude(v.tag(id), ring, nil, to)
		v.add(b, err)
	}
	beside := func(id string, ring draw.Ring, out float64) {
		turned := make(draw.Ring, len(ring))
		for i, q := range ring {
			turned[i] = draw.Pt(-q.X, q.Y)
		}
		sheet(id, ring, func(q draw.Point) solid.Point { return at(q.X, -side(q.Y)-out, q.Y) })
		sheet(id, turned, func(q draw.Point) solid.Point { return at(-q.X, side(q.Y)+out, q.Y) })
	}
	for _, ring := range carDoors {
		beside("car", ring, 2)
	}
	for _, ring := range carWindows {
		beside("glass", ring, 2)
	}
	for _, x := range carAxles {
		// Flat on the side, which at the size of the view is round enough.
		beside("wheel", roundRing(x, carWheel, carWheel), 3)
		beside("hub", roundRing(x, carWheel, carWheel*0.5), 4)
	}
	// Panes lie on the slopes from a point of the side on.
	ahead := func(id string, from, to draw.Point, wide, less, z1, z2 float64) {
		pane := draw.Ring{{X: -wide, Y: z1}, {X: wide, Y: z1}, {X: wide - less, Y: z2}, {X: less - wide, Y: z2}}
		way := 1.0
		if from.X < carLong/2 {
			way = -1
		}
		sheet(id, pane, func(q draw.Point) solid.Point {
			return at(from.X+(q.Y-from.Y)*(to.X-from.X)/(to.Y-from.Y)+3*way, q.X*way, q.Y)
		})
	}
	ahead("glass", carCabin[0], carCabin[4], 750, 160, 930, 1390)
	ahead("glass", carCabin[1], carCabin[2], 750, 160, 930, 1370)
	ahead("glass", carBody[4], carBody[3], 480, 0, 440, 580)
}

// person is a flat figure that is turned to the eye, as on an architect's drawing.
func (v *ownerView) person() {
	foot := ownerPerson(v.p)
	z := v.standing(foot.X, foot.Y)
	sin, cos := math.Sincos(v.camera.Azimuth)
	head := roundRing(0, personHigh-118, 118)
	// The shadow is that of one who faces the sun.
	sun := v.camera.Sun()
	long := math.Hypot(sun.X, sun.Y)
	for _, ring := range [...]draw.Ring{personRing, head} {
		across := func(x, y float64) solid.Body {
			b, err := solid.Extrude(v.tag("person"), ring, nil, func(q draw.Point) solid.Point {
				return solid.Point{X: foot.X + q.X*x, Y: foot.Y + q.X*y, Z: z + q.Y}
			})
			if err != nil && v.err == nil {
				v.err = err
			}
			return b
		}
		if v.parts != nil { // set down and turned with its part
			foot, z, v.part = draw.Point{}, 0, partPerson
			v.add(across(1, 0), nil)
			v.part = partStill
			continue
		}
		v.bodies = append(v.bodies, across(cos, sin))
		v.casters = append(v.casters, across(-sun.Y/long, sun.X/long))
	}
}

// carFromAbove draws the car in the plan. A person from above would be taken for an eye.
func carFromAbove(s *draw.Scene, p *plan.Plan) {
	c := ownerCar(p, false)
	place := func(id string, ring draw.Ring) {
		t := ownerTag(p, id)
		t.Layer = LayerScaleFigures
		s.Add(draw.Region{Tag: t, Outer: c.ring(ring), Light: draw.LightFull})
	}
	add := func(id string, half draw.Ring) {
		ring := append(draw.Ring(nil), half...)
		for i := len(half) - 1; i >= 0; i-- {
			ring = append(ring, draw.Pt(half[i].X, -half[i].Y))
		}
		place(id, ring)
	}
	const half = carWide / 2
	for _, y := range [...]float64{-half - 130, half - 40} { // mirrors
		place("car", draw.RectRing(1330, y, 1470, y+170))
	}
	add("car", draw.Ring{{X: 0, Y: 560}, {X: 90, Y: 740}, {X: 330, Y: half - 30}, {X: 900, Y: half}, {X: 3600, Y: half},
		{X: 4130, Y: half - 30}, {X: 4330, Y: 740}, {X: carLong, Y: 560}})
	add("glass", draw.Ring{{X: 1180, Y: 700}, {X: 1780, Y: 610}})
	add("glass", draw.Ring{{X: 3330, Y: 610}, {X: 3830, Y: 700}})
	for _, side := range [...]float64{-1, 1} {
		place("glass", draw.Ring{{X: 1480, Y: 790 * side}, {X: 3620, Y: 790 * side}, {X: 3280, Y: 660 * side},
			{X: 1870, Y: 660 * side}})
	}
}
