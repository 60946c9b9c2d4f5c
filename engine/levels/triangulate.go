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
	x, y  int64 // grid steps
	index int   // into the points given
}

// orient is twice the signed area of a, b, c: over 0 when they turn
// anticlockwise, exactly 0 when they lie on a line.
func orient(a, b, c vertex) int64 {
	return (b.x-a.x)*(c.y-a.y) - (b.y-a.y)*(c.x-a.x)
}

// triangulate covers the convex hull of vertices with triangles, each
// anticlockwise, by sweeping from left to right; false when all lie on a line.
// Vertices must be distinct.
func triangulate(vs []vertex) (triangles [][3]int, hull []int, ok bool) {
	order := make([]int, len(vs))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int {
		return cmp.Or(cmp.Compare(vs[a].x, vs[b].x), cmp.Compare(vs[a].y, vs[b].y))
	})
	k := 2
	for k < len(order) && orient(vs[order[0]], vs[order[1]], vs[order[k]]) == 0 {
		k++
	}
	if k >= len(order) {
		return nil, nil, false
	}
	apex := order[k]
	base := slices.Clone(order[:k])
	if orient(vs[base[0]], vs[base[1]], vs[apex]) < 0 {
		slices.Reverse(base)
	}
	for i := 0; i+1 < k; i++ {
		triangles = append(triangles, [3]int{base[i], base[i+1], apex})
	}
	hull = append(base, apex)
	for _, p := range order[k+1:] {
		triangles, hull = addOutside(vs, triangles, hull, p)
	}
	return triangles, hull, true
}

// addOutside joins p, which lies outside the hull, to every hull edge that it
// sees.
func addOutside(vs []vertex, triangles [][3]int, hull []int, p int) ([][3]int, []int) {
	n := len(hull)
	sees := func(i int) bool { return orient(vs[hull[i%n]], vs[hull[(i+1)%n]], vs[p]) < 0 }
	first := -1
	for i := range n {
		if sees(i) && !sees(i+n-1) {
			first = i
			break
		}
	}
	if first < 0 {
		return triangles, hull
	}
	end := first
	for sees(end) && end < first+n {
		triangles = append(triangles, [3]int{hull[(end+1)%n], hull[end%n], p})
		end++
	}
	// Hull vertices strictly between first and end are now inside.
	next := make([]int, 0, n+1)
	for i := end; i <= first+n; i++ {
		next = append(next, hull[i%n])
	}
	return triangles, append(next, p)
}

// flipToDelaunay turns edges until no triangle's circle holds a neighbour's
// vertex (Lawson). The circle test is in floating point with a margin: a tie
// may fall either way, the covering stays exact all the same.
func flipToDelaunay(vs []vertex, triangles [][3]int) {
	neighbour := newEdgeTable(len(vs), 3*len(triangles))
	touched := make([]bool, len(triangles))
	for range 4 * len(triangles) {
		neighbour.clear()
		for t, tri := range triangles {
			for e := range 3 {
				neighbour.set(tri[e], tri[(e+1)%3], t)
			}
		}
		flipped := false
		clear(touched)
		for t := range triangles {
			for e := range 3 {
				if touched[t] {
					break
				}
				a, b, c := triangles[t][e], triangles[t][(e+1)%3], triangles[t][(e+2)%3]
				u, shared := neighbour.triangle(b, a)
				if !shared || touched[u] || u == t {
					continue
				}
				d := opposite(triangles[u], a, b)
				if orient(vs[c], vs[a], vs[d]) <= 0 || orient(vs[d], vs[b], vs[c]) <= 0 || !inCircle(vs[a], vs[b], vs[c], vs[d]) {
					continue
				}
				triangles[t], triangles[u] = [3]int{c, a, d}, [3]int{d, b, c}
				touched[t], touched[u], flipped = true, true, true
			}
		}
		if !flipped {
			return
		}
	}
}

// edgeTable finds the triangle that an edge belongs to, the edge taken in the
// sense in which its triangle turns. Few vertices have a place for every pair,
// which costs a tenth of a map; many have a map.
type edgeTable struct {
	vertices int
	pairs    []int32 // triangle + 1 at from·vertices + to, 0 for none
	edges    map[[2]int]int
}

// maxPairVertices is up to how many vertices every pair has a place: 40 kB.
const maxPairVertices = 100

func newEdgeTable(vertices, edges int) edgeTable {
	if vertices <= maxPairVertices {
		return edgeTable{vertices: vertices, pairs: make([]int32, vertices*vertices)}
	}
	return edgeTable{edges: make(map[[2]int]int, edges)}
}

func (t *edgeTable) clear() {
	clear(t.pairs)
	clear(t.edges)
}

func (t *edgeTable) set(from, to, triangle int) {
	if t.edges == nil {
		t.pairs[from*t.vertices+to] = int32(triangle) + 1
		return
	}
	t.edges[[2]int{from, to}] = triangle
}

func (t *edgeTable) triangle(from, to int) (int, bool) {
	if t.edges == nil {
		found := t.pairs[from*t.vertices+to]
		return int(found) - 1, found != 0
	}
	found, ok := t.edges[[2]int{from, to}]
	return found, ok
}

func opposite(tri [3]int, a, b int) int {
	for _, v := range tri {
		if v != a && v != b {
			return v
		}
	}
	return tri[0]
}

// inCircle reports whether d lies clearly inside the circle through a, b, c,
// which turn anticlockwise.
func inCircle(a, b, c, d vertex) bool {
	ax, ay := float64(a.x-d.x), float64(a.y-d.y)
	bx, by := float64(b.x-d.x), float64(b.y-d.y)
	cx, cy := float64(c.x-d.x), float64(c.y-d.y)
	a2, b2, c2 := ax*ax+ay*ay, bx*bx+by*by, cx*cx+cy*cy
	det := a2*(bx*cy-by*cx) - b2*(ax*cy-ay*cx) + c2*(ax*by-ay*bx)
	size := a2*(math.Abs(bx*cy)+math.Abs(by*cx)) + b2*(math.Abs(ax*cy)+math.Abs(ay*cx)) + c2*(math.Abs(ax*by)+math.Abs(ay*bx))
	return det > 1e-14*size
}
