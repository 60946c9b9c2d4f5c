package photo

import (
	"math"

	"pegpour/engine/refusal"
)

// MinMarks fix a camera: three leave up to four places to stand.
const MinMarks = 4

// filmDiagonal is that of film 36 mm × 24 mm, to which focal lengths are given.
const filmDiagonal = 43.266615305567875

// Mark is one place seen in the picture, on the ground or above it.
type Mark struct {
	Pair
	Z float64 // level, mm
	// Raised is set for what stands above the ground, such as a post's top.
	Raised bool
}

// Frame is what is known of a picture before anything is pointed at in it.
type Frame struct {
	Wide, High float64 // pixels, of the whole picture: the lens looks at its middle
	// Focal is the focal length that is expected, as on film 36 mm wide, mm, and
	// Spread its standard uncertainty as a share of it.
	Focal, Spread float64
	// LeftHanded says that seen from above X turns into Y clockwise.
	LeftHanded bool
	// The plan lies in the plane z = Level + AlongX·x + AlongY·y.
	Level, AlongX, AlongY float64
}

// unsureTurn is the standard uncertainty of how the camera is turned, radians,
// and apart how far two cameras are turned from each other, from which on marks
// do not fix it. Common practice, no published source.
const (
	unsureTurn = 0.1
	apart      = 0.1
)

// ErrCamera: the marks leave open where the camera stood.
var ErrCamera = error(refusal.Error("these points leave open where the camera stood: take one more well off the line and the plane of the others"))

// Camera fits a camera to marks of which some stand above the ground: 4 to 24 of
// them. Its pixels are square and its lens looks at the middle of the picture;
// unknown are the focal length, observed by the frame as well as that is known,
// where it stood and how it was turned. pointing is as for Homography.
//
// The fit it gives is that of the plane of the plan: the homography follows from
// the camera, its covariance from that of the seven unknowns. A miss on the
// ground is measured at the level of its mark; that of a raised mark across the
// line of sight.
//
//	(u − u₀, v − v₀) = f·(d₁, d₂)/d₃,  d = R·x + t
//
// Gauss–Newton minimises Σ((v/σ)²) + ((f − f₀)/σf)² from cameras all around the
// marks; the best one above the ground is taken, and refused where another that
// stands elsewhere is as good.
//
// Errors: RangeError; InLineError when all marks lie nearly in line, in space or
// in the picture; HorizonError when one lies behind the camera, or its foot does;
// ErrCamera when the marks do not tell how the camera was turned.
//
// Source: collinearity equations and resection in space, P. Wolf and B. Dewitt,
// Elements of Photogrammetry, ch. 11 and app. D (memory). Checked:
// testdata/references/photo_camera.json; synthetic cameras and Homography in the
// tests.
func Camera(marks []Mark, frame Frame, pointing float64) (*Fit, error) {
	if err := checkMarks(marks, frame, pointing); err != nil {
		return nil, err
	}
	f, c := frame.normalise(marks)
	sigma := pointing * f.pickScale
	c.weight = square(sigma / (frame.Spread * c.focal))
	best, ok := c.best(&frame, sigma)
	if !ok {
		return nil, ErrCamera
	}
	q, err := f.byCamera(best, &frame, marks)
	if err != nil {
		return nil, err
	}
	for i := 1; i <= 3; i++ {
		if !(math.Sqrt(q[i][i])*sigma < unsureTurn) {
			return nil, ErrCamera
		}
	}
	return f, f.judgeCamera(best, marks, &q, pointing)
}

func square(v float64) float64 { return v * v }

func checkMarks(marks []Mark, frame Frame, pointing float64) error {
	if err := within("number of points", -1, float64(len(marks)), MinMarks, MaxPairs); err != nil {
		return err
	}
	pairs, space, picture := make([]Pair, len(marks)), make([][3]float64, len(marks)), make([][3]float64, len(marks))
	for i, m := range marks {
		pairs[i], space[i], picture[i] = m.Pair, [3]float64{m.X, m.Y, m.Z}, [3]float64{m.U, m.V}
		if err := within("level of point", i, m.Z, -MaxGround, MaxGround); err != nil {
			return err
		}
	}
	if err := checkPairs(pairs, pointing); err != nil {
		return err
	}
	for _, v := range []struct {
		name         string
		v, low, high float64
	}{
		{"width of the picture", frame.Wide, 1, MaxPixel}, {"height of the picture", frame.High, 1, MaxPixel},
		{"focal length", frame.Focal, 1, 2000}, {"uncertainty of the focal length", frame.Spread, 1e-9, 1},
		{"level of the ground", frame.Level, -MaxGround, MaxGround},
		{"slope of the ground", frame.AlongX, -1, 1}, {"slope of the ground", frame.AlongY, -1, 1},
	} {
		if err := within(v.name, -1, v.v, v.low, v.high); err != nil {
			return err
		}
	}
	if three, narrow := nearlyInLine(space, groundSpread); narrow {
		return inLine(InSpace, three, pairs)
	}
	if three, narrow := nearlyInLine(picture, pictureSpread); narrow {
		return inLine(InPicture, three, pairs)
	}
	return nil
}

// nearlyInLine reports whether no point stands off the line of the two farthest
// apart by a share of their distance, and names the two with the one that stands
// off most.
func nearlyInLine(points [][3]float64, share float64) (three [3]int, narrow bool) {
	var along [3]float64
	long := 0.0
	for i, p := range points {
		for j, q := range points[:i] {
			if d := minus(p, q); dot(d, d) > long {
				along, long, three[0], three[1] = d, dot(d, d), j, i
			}
		}
	}
	off := -1.0
	for i, p := range points {
		c := cross(along, minus(p, points[three[0]]))
		if d := dot(c, c); i != three[0] && i != three[1] && d > off {
			off, three[2] = d, i
		}
	}
	return three, !(off > square(share*long))
}

func minus(a, b [3]float64) [3]float64 { return [3]float64{a[0] - b[0], a[1] - b[1], a[2] - b[2]} }

func dot(a, b [3]float64) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }

func cross(a, b [3]float64) [3]float64 {
	return [3]float64{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}

func (p *Frame) ground(x, y float64) float64 { return p.Level + p.AlongX*x + p.AlongY*y }

// normalise moves the marks to the plan below their middle and scales them, and
// the picture to its middle and its diagonal. Seen from above X turns into Y
// anticlockwise then.
func (p *Frame) normalise(marks []Mark) (*Fit, *pinhole) {
	n := len(marks)
	f := &Fit{Residuals: make([]Residual, n), NoCheck: n == MinMarks, pickScale: 1 / math.Hypot(p.Wide, p.High)}
	var scale, cx, cy float64
	f.ground, scale = similarity(n, func(i int) (float64, float64) { return marks[i].X, marks[i].Y })
	if math.IsInf(scale, 0) { // one post: in line in space, and refused
		scale = 1
	}
	cx, cy = -f.ground[2]/scale, -f.ground[5]/scale
	if p.LeftHanded {
		f.ground[4], f.ground[5] = -f.ground[4], -f.ground[5]
	}
	c := &pinhole{focal: p.Focal / filmDiagonal, marks: make([]Mark, n)}
	c.expect = c.focal
	for i, m := range marks {
		m.X, m.Y, _ = f.ground.apply(m.X, m.Y)
		m.Z = (m.Z - p.ground(cx, cy)) * scale
		m.U, m.V = (m.U-p.Wide/2)*f.pickScale, (m.V-p.High/2)*f.pickScale
		c.marks[i] = m
	}
	return f, c
}

// slopes of the plan in normalised coordinates.
func (p *Frame) slopes() (x, y float64) {
	if p.LeftHanded {
		return p.AlongX, -p.AlongY
	}
	return p.AlongX, p.AlongY
}

// pinhole is a camera over normalised marks: turn takes them into its own axes,
// right, down and ahead, and shift is where the middle of the marks lies there.
type pinhole struct {
	marks          []Mark
	focal          float64
	turn           matrix3
	shift          [3]float64
	expect, weight float64 // the focal length expected, and how much it weighs against one coordinate of a spot
}

// seen is a place in the camera's own axes and in the picture.
func (c *pinhole) seen(m *Mark) (turned, d [3]float64, u, v float64) {
	for i := range 3 {
		turned[i] = c.turn[3*i]*m.X + c.turn[3*i+1]*m.Y + c.turn[3*i+2]*m.Z
		d[i] = turned[i] + c.shift[i]
	}
	return turned, d, c.focal * d[0] / d[2], c.focal * d[1] / d[2]
}

// derivatives of a mark's spot to share of focal length, turn and shift.
func (c *pinhole) derivatives(m *Mark) (u, v float64, du, dv [8]float64) {
	turned, d, u, v := c.seen(m)
	a, b := [3]float64{c.focal / d[2], 0, -u / d[2]}, [3]float64{0, c.focal / d[2], -v / d[2]}
	du[0], dv[0] = u, v
	ta, tb := cross(turned, a), cross(turned, b)
	copy(du[1:], ta[:])
	copy(dv[1:], tb[:])
	copy(du[4:], a[:])
	copy(dv[4:], b[:])
	return u, v, du, dv
}

func (c *pinhole) normal() (n matrix8, t [8]float64) {
	for i := range c.marks {
		m := &c.marks[i]
		u, v, du, dv := c.derivatives(m)
		n.add(&t, &du, &dv, m.U-u, m.V-v)
	}
	n[0][0] += c.weight * c.focal * c.focal
	t[0] += c.weight * c.focal * (c.expect - c.focal)
	n[7][7] = 1 // there are seven unknowns
	return n, t
}

func (c *pinhole) cost() float64 {
	sum := c.weight * square(c.focal-c.expect)
	for i := range c.marks {
		m := &c.marks[i]
		_, d, u, v := c.seen(m)
		if !(d[2] > 1e-6 && c.focal > 0) {
			return math.Inf(1)
		}
		sum += square(u-m.U) + square(v-m.V)
	}
	return sum
}

// moved turns by the quaternion (1, ½·turn), which is a rotation whatever its size.
func (c *pinhole) moved(by *[8]float64) model {
	to := *c
	to.focal *= 1 + by[0]
	a := [3]float64{by[1] / 2, by[2] / 2, by[3] / 2}
	n := 1 + dot(a, a)
	for k := range 3 {
		r := c.column(k)
		x, along := cross(a, r), dot(a, r)
		for i := range 3 {
			to.turn[3*i+k] = ((2-n)*r[i] + 2*x[i] + 2*along*a[i]) / n
		}
		to.shift[k] += by[4+k]
	}
	return &to
}

func (c *pinhole) column(k int) [3]float64 {
	return [3]float64{c.turn[k], c.turn[3+k], c.turn[6+k]}
}

// place is where the camera stands.
func (c *pinhole) place() (p [3]float64) {
	for k := range 3 {
		p[k] = -dot(c.column(k), c.shift)
	}
	return p
}

// best is the camera that fits best, of those above the ground if there are any;
// false when another that is turned away from it fits as well. sigma is the
// pointing in normalised units.
func (c *pinhole) best(frame *Frame, sigma float64) (*pinhole, bool) {
	var all []*pinhole
	least, above := math.Inf(1), false
	var best *pinhole
	px, py := frame.slopes()
	for _, start := range c.starts() {
		m, ok := descend(start, 60, 1e-9)
		if !ok {
			continue
		}
		at := m.(*pinhole)
		p := at.place()
		over := p[2] > px*p[0]+py*p[1]
		if above && !over {
			continue
		}
		if over && !above {
			all, least, above = nil, math.Inf(1), true
		}
		all = append(all, at)
		if cost := at.cost(); cost < least {
			best, least = at, cost
		}
	}
	if best == nil {
		return nil, false
	}
	// As good: no worse by χ² of one degree of freedom at 0.1 %, where the misses
	// themselves say how well was pointed if that is worse.
	limit := least + 10.83*max(square(sigma), least/float64(2*len(c.marks)-6))
	for _, other := range all {
		var trace float64
		for i, v := range other.turn {
			trace += v * best.turn[i]
		}
		if other.cost() < limit && trace < 1+2*math.Cos(apart) {
			return nil, false
		}
	}
	return best, true
}

// starts are cameras on eight sides of the marks and at three heights, held so
// and as far away that the marks, seen from afar, lie as in the picture.
func (c *pinhole) starts() (out []*pinhole) {
	var middle, spot [3]float64
	for i := range c.marks {
		m := &c.marks[i]
		for k, v := range [3]float64{m.X, m.Y, m.Z} {
			middle[k] += v / float64(len(c.marks))
		}
		spot[0] += m.U / float64(len(c.marks))
		spot[1] += m.V / float64(len(c.marks))
	}
	for side := range 27 {
		x, y, z := float64(side%3-1), float64(side/3%3-1), [3]float64{0.15, 0.7, 2}[side/9]
		if x == 0 && y == 0 {
			continue
		}
		flat := math.Hypot(x, y)
		long := math.Hypot(flat, z)
		ahead := [3]float64{-x / long, -y / long, -z / long}
		right := [3]float64{-y / flat, x / flat, 0}
		down := cross(ahead, right)
		var cos, sin, size, deep float64
		for i := range c.marks {
			m := &c.marks[i]
			d := minus([3]float64{m.X, m.Y, m.Z}, middle)
			a, b, u, v := dot(right, d), dot(down, d), m.U-spot[0], m.V-spot[1]
			cos, sin, size = cos+a*u+b*v, sin+a*v-b*u, size+a*a+b*b
			deep = max(deep, math.Abs(dot(ahead, d)))
		}
		held := math.Hypot(cos, sin)
		if !(held > 0) {
			continue
		}
		far := max(c.focal*size/held, 1.5*deep+0.1)
		cos, sin = cos/held, sin/held
		at := *c
		for k := range 3 {
			at.turn[k], at.turn[3+k], at.turn[6+k] = cos*right[k]-sin*down[k], sin*right[k]+cos*down[k], ahead[k]
		}
		_, d, _, _ := at.seen(&Mark{Pair: Pair{X: middle[0], Y: middle[1]}, Z: middle[2]})
		at.shift = minus([3]float64{spot[0] * far / c.focal, spot[1] * far / c.focal, far}, d)
		out = append(out, &at)
	}
	return out
}

// byCamera makes the fit that of the plane of the plan in a camera, and gives the
// covariance of the camera's unknowns for a pointing of one.
func (f *Fit) byCamera(c *pinhole, frame *Frame, marks []Mark) (matrix8, error) {
	n, _ := c.normal()
	q, ok := n.invert()
	if !ok {
		return q, ErrCamera
	}
	px, py := frame.slopes()
	up := c.column(2)
	var turned [2][3]float64 // what one step in X and in Y is for the camera
	for i := range 3 {
		turned[0][i], turned[1][i] = c.turn[3*i]+px*up[i], c.turn[3*i+1]+py*up[i]
	}
	scale := [3]float64{c.focal, c.focal, 1}
	var g matrix3
	for i := range 3 {
		g[3*i], g[3*i+1], g[3*i+2] = scale[i]*turned[0][i], scale[i]*turned[1][i], scale[i]*c.shift[i]
	}
	if !(g[8] > 1e-6) {
		return q, beyond(pairsOf(marks), every(pairsOf(marks)))
	}
	var slope [8][8]float64 // of the homography's entries, by unknown
	for k := range 7 {
		var d matrix3
		switch {
		case k == 0:
			copy(d[:6], g[:6])
		case k <= 3:
			var axis [3]float64
			axis[k-1] = 1
			for col := range 2 {
				for i, v := range cross(axis, turned[col]) {
					d[3*i+col] = scale[i] * v
				}
			}
		default:
			d[3*(k-4)+2] = scale[k-4]
		}
		for i := range 8 {
			slope[i][k] = (d[i] - g[i]/g[8]*d[8]) / g[8]
		}
	}
	for i := range 8 {
		f.normal[i] = g[i] / g[8]
		for j := range 8 {
			for k := range 7 {
				for l := range 7 {
					f.cov[i][j] += slope[i][k] * q[k][l] * slope[j][l]
				}
			}
		}
	}
	f.normal[8] = 1
	s := f.pickScale
	unNormal := matrix3{1 / s, 0, frame.Wide / 2, 0, 1 / s, frame.High / 2, 0, 0, 1}
	m := f.normal.times(&f.ground)
	f.h = unNormal.times(&m)
	if err := inFront(pairsOf(marks), &f.h); err != nil {
		return q, err
	}
	spots := pairsOf(marks)
	for i, p := range spots {
		a, b, w := f.h.apply(p.X, p.Y)
		spots[i].U, spots[i].V = a/w, b/w
	}
	return q, f.turnBack(spots)
}

func pairsOf(marks []Mark) []Pair {
	out := make([]Pair, len(marks))
	for i, m := range marks {
		out[i] = m.Pair
	}
	return out
}

// judgeCamera finds residuals and names the suspects.
func (f *Fit) judgeCamera(c *pinhole, marks []Mark, q *matrix8, pointing float64) error {
	sigma := pointing * f.pickScale
	f.cov.times(sigma * sigma)
	q.times(square(pointing))
	scale := math.Abs(f.ground[0])
	place := c.place()
	sum := c.weight * square(c.focal-c.expect) / square(sigma)
	for i := range c.marks {
		m, r := &c.marks[i], &f.Residuals[i]
		u, v, du, dv := c.derivatives(m)
		r.DU, r.DV = (u-m.U)/f.pickScale, (v-m.V)/f.pickScale
		r.Pixels = math.Hypot(r.DU, r.DV)
		if m.Raised {
			_, d, _, _ := c.seen(m)
			r.Ground = r.Pixels * f.pickScale * d[2] / c.focal / scale
		} else {
			var ray [3]float64
			for k := range 3 {
				ray[k] = dot(c.column(k), [3]float64{m.U / c.focal, m.V / c.focal, 1})
			}
			to := (m.Z - place[2]) / ray[2]
			if !(to > 0 && to < 1e9*scale) {
				return beyond(pairsOf(marks), []int{i})
			}
			r.DX = (place[0] + to*ray[0] - m.X) / scale
			r.DY = (place[1] + to*ray[1] - m.Y) / f.ground[4]
			r.Ground = math.Hypot(r.DX, r.DY)
		}
		sum += square(r.Pixels / pointing)
		if !f.NoCheck {
			uu, uv, vv := q.spread(&du, &dv)
			r.Standardized = r.standardized(uu, uv, vv, pointing)
		}
	}
	if !f.NoCheck {
		f.UnitDeviation = math.Sqrt(sum / float64(2*len(marks)-6))
	}
	f.suspect()
	return nil
}
