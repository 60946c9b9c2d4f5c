package levels

import (
	"cmp"
	"math"
	"slices"
)

// gridStep is the step to which plan coordinates are rounded for the
// triangulation, mm: a power of two, so that within ±MaxCoordinate every
// orientation test is exact in 64-bit integers, and far finer than a tape.
const gridStep = 1.0 / 256

type vertex struct {
	x, y int64 // grid steps
}

func (v vertex) compare(o vertex) int { return cmp.Or(cmp.Compare(v.x, o.x), cmp.Compare(v.y, o.y)) }

// orient is twice the signed area of a, b, c: over 0 when they turn
// anticlockwise, exactly 0 when they lie on a line.
func orient(a, b, c vertex) int64 {
	return (b.x-a.x)*(c.y-a.y) - (b.y-a.y)*(c.x-a.x)
}

// outside stands where a triangle has no neighbour.
const outside = -1

// mesh is a covering of triangles, each of which knows its neighbours.
type mesh struct {
	vs        []vertex
	triangles [][3]int // corners, anticlockwise
	// beside is the triangle on the other side of each side, the first of which
	// runs from the first corner to the second.
	beside [][3]int
	hull   []int // corners of the outline, anticlockwise
	rim    []int // the triangle at each side of the hull
}

// leftToRight orders vertices for the sweep, the ones in one place by number.
func leftToRight(vs []vertex) []int {
	order := make([]int, len(vs))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int {
		if c := vs[a].compare(vs[b]); c != 0 {
			return c
		}
		return a - b
	})
	return order
}

// triangulate covers the convex hull of vertices with triangles by sweeping in
// the order given, which is leftToRight's; false when all lie on a line.
// Vertices must be distinct.
func triangulate(vs []vertex, order []int) (m mesh, ok bool) {
	k := 2
	for k < len(order) && orient(vs[order[0]], vs[order[1]], vs[order[k]]) == 0 {
		k++
	}
	if k >= len(order) {
		return mesh{}, false
	}
	apex := order[k]
	n := len(vs)
	threes, ones := make([][3]int, 4*n), make([]int, 4*(n+1))
	room := func(k int) []int { return ones[k*(n+1) : k*(n+1) : (k+1)*(n+1)] }
	m = mesh{vs: vs, triangles: threes[: 0 : 2*n], beside: threes[2*n : 2*n], hull: room(0), rim: room(1)}
	m.hull = append(m.hull, order[:k]...)
	if orient(vs[order[0]], vs[order[1]], vs[apex]) < 0 {
		slices.Reverse(m.hull)
	}
	for i := range k - 1 {
		m.triangles = append(m.triangles, [3]int{m.hull[i], m.hull[i+1], apex})
		m.beside = append(m.beside, [3]int{outside, i + 1, i - 1})
		m.rim = append(m.rim, i)
	}
	m.beside[k-2][1] = outside
	m.hull, m.rim = append(m.hull, apex), append(m.rim, k-2, 0)
	hull, rim := room(2), room(3)
	for _, p := range order[k+1:] {
		hull, rim = m.addOutside(p, hull, rim)
	}
	return m, true
}

// addOutside joins p, which lies outside the hull, to every side of the hull
// that it sees. The next hull is made in the room of nextHull and nextRim; that
// of the old one is returned.
func (m *mesh) addOutside(p int, nextHull, nextRim []int) (room, rimRoom []int) {
	n := len(m.hull)
	sees := func(i int) bool { return orient(m.vs[m.hull[i%n]], m.vs[m.hull[(i+1)%n]], m.vs[p]) < 0 }
	// What p sees is one stretch of the hull, and the vertex before p, which is
	// the last of the hull, ends a side of it.
	first := n - 1
	if !sees(first) {
		first--
	}
	if !sees(first) {
		return nextHull, nextRim // cannot be
	}
	for first > 0 && sees(first-1) {
		first--
	}
	if first == 0 && sees(n-1) { // the stretch runs on over the hull's beginning
		for first = n - 1; sees(first - 1); {
			first--
		}
	}
	end, added := first, len(m.triangles)
	for sees(end) && end < first+n {
		t := len(m.triangles)
		m.triangles = append(m.triangles, [3]int{m.hull[(end+1)%n], m.hull[end%n], p})
		m.beside = append(m.beside, [3]int{m.rim[end%n], t - 1, t + 1})
		m.meet(m.rim[end%n], outside, m.hull[end%n], t)
		end++
	}
	last := len(m.triangles) - 1
	m.beside[added][1], m.beside[last][2] = outside, outside
	// Hull vertices strictly between first and end are now inside.
	nextHull, nextRim = nextHull[:0], nextRim[:0]
	for i := end; i <= first+n; i++ {
		nextHull, nextRim = append(nextHull, m.hull[i%n]), append(nextRim, m.rim[i%n])
	}
	nextRim[len(nextRim)-1] = added
	room, rimRoom = m.hull, m.rim
	m.hull, m.rim = append(nextHull, p), append(nextRim, last)
	return room, rimRoom
}

// meet tells triangle t that now beyond its side that begins at corner from, in
// place of before, lies now.
func (m *mesh) meet(t, before, from, now int) {
	if t == outside {
		return
	}
	for e := range 3 {
		if m.beside[t][e] == before && m.triangles[t][e] == from {
			m.beside[t][e] = now
			return
		}
	}
}

// flipToDelaunay turns edges until no triangle's circle holds a neighbour's
// vertex (Lawson). The circle test is in floating point with a margin: a tie
// may fall either way, the covering stays exact all the same. A triangle is
// looked at again only after it or a neighbour has changed.
func (m *mesh) flipToDelaunay() {
	n := len(m.triangles)
	marks := make([]bool, 3*n)
	touched, look, again := marks[:n], marks[n:2*n], marks[2*n:]
	for t := range look {
		look[t] = true
	}
	for range 4 * n {
		flipped := false
		clear(touched)
		clear(again)
		for t := range n {
			if !look[t] {
				continue
			}
			for e := 0; e < 3 && !touched[t]; e++ {
				u := m.beside[t][e]
				if u == outside || touched[u] || !m.wantsFlip(t, e, u) {
					continue
				}
				m.flip(t, e, u)
				touched[t], touched[u], flipped = true, true, true
				for _, changed := range [...]int{t, u} {
					again[changed] = true
					for _, beside := range m.beside[changed] {
						if beside != outside {
							again[beside] = true
						}
					}
				}
			}
		}
		if !flipped {
			return
		}
		look, again = again, look
	}
}

// opposite is the corner of triangle u that is neither a nor b.
func (m *mesh) opposite(u, a, b int) int {
	for _, v := range m.triangles[u] {
		if v != a && v != b {
			return v
		}
	}
	return m.triangles[u][0]
}

// wantsFlip reports whether the other diagonal is better for t and its
// neighbour u beyond side e, and can be had.
func (m *mesh) wantsFlip(t, e, u int) bool {
	a, b, c := m.triangles[t][e], m.triangles[t][(e+1)%3], m.triangles[t][(e+2)%3]
	d := m.opposite(u, a, b)
	va, vb, vc, vd := m.vs[a], m.vs[b], m.vs[c], m.vs[d]
	return orient(vc, va, vd) > 0 && orient(vd, vb, vc) > 0 && inCircle(va, vb, vc, vd)
}

// flip turns the side e between t and u to the other diagonal.
func (m *mesh) flip(t, e, u int) {
	a, b, c := m.triangles[t][e], m.triangles[t][(e+1)%3], m.triangles[t][(e+2)%3]
	d := m.opposite(u, a, b)
	bc, ca := m.beside[t][(e+1)%3], m.beside[t][(e+2)%3]
	var ad, db int
	for k := range 3 {
		switch m.triangles[u][k] {
		case a:
			ad = m.beside[u][k]
		case d:
			db = m.beside[u][k]
		}
	}
	m.triangles[t], m.triangles[u] = [3]int{c, a, d}, [3]int{d, b, c}
	m.beside[t], m.beside[u] = [3]int{ca, ad, u}, [3]int{db, bc, t}
	m.meet(ad, u, d, t)
	m.meet(bc, t, c, u)
}

// inCircle reports whether d lies clearly inside the circle through a, b, c,
// which turn anticlockwise.
func inCircle(a, b, c, d vertex) bool {
	ax, ay := float64(a.x-d.x), float64(a.y-d.y)
	bx, by := float64(b.x-d.x), float64(b.y-d.y)
	cx, cy := float64(c.x-d.x), float64(c.y-d.y)
	a2, b2, c2 := ax*ax+ay*ay, bx*bx+by*by, cx*cx+cy*cy
	det := a2*(bx*cy-by*cx) - b2*(ax*cy-ay*cx) + c2*(ax*by-ay*bx)
	size := a2*(math.Abs(bx*cy)+math.Abs(by*cx)) + b2*(math.Abs(ax*cy)+math.Abs(ay*cx)) +
		c2*(math.Abs(ax*by)+math.Abs(ay*bx))
	return det > 1e-14*size
}
