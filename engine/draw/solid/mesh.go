package solid

import "pegpour/engine/draw"

// Mesh is bodies as a graphics processor draws them, which hides what lies behind by its
// depth. All numbers are float32, one after the other.
type Mesh struct {
	// Corners are those of triangles, eight numbers each: place (mm), colour (0 to 1),
	// look and part. A look is the material's number, and MeshLit more where the sun falls
	// on the face, so that it can lie in a shadow.
	Corners []float32
	// Edges have eleven each: both ends (mm), colour, part, and 0.
	Edges []float32
}

// MeshLit in a corner's look says that the sun falls on the face.
const MeshLit = 32

// Numbers of a corner and of an edge.
const (
	MeshCorner = 8
	MeshEdge   = 11
)

// Add adds a body that is moved as its part is, lit by the sun; colour is that of a
// material in a light, of its edges with draw.LightNone. Without edges it has none.
func (m *Mesh) Add(b Body, part int, sun Point, edges bool, colour func(draw.Material, draw.Light) [3]float64) {
	corner := func(p Point, c [3]float64, look float32) {
		m.Corners = append(m.Corners, float32(p.X), float32(p.Y), float32(p.Z), float32(c[0]), float32(c[1]), float32(c[2]),
			look, float32(part))
	}
	type rim struct{ a, b Point }
	drawn := map[rim]bool{}
	for i := range b.faces {
		f := &b.faces[i]
		light := Light(f.normal, sun)
		c, look := colour(f.tag.Material, light), float32(f.tag.Material)
		if light != draw.LightShade {
			look += MeshLit
		}
		for k := 2; k < len(f.ps); k++ { // a face is convex
			corner(f.ps[0], c, look)
			corner(f.ps[k-1], c, look)
			corner(f.ps[k], c, look)
		}
		if !edges {
			continue
		}
		c = colour(f.tag.Material, draw.LightNone)
		for k, p := range f.ps {
			q := f.ps[(k+1)%len(f.ps)]
			if !f.edge[k] || drawn[rim{q, p}] {
				continue // two faces share it
			}
			drawn[rim{p, q}] = true
			m.Edges = append(m.Edges, float32(p.X), float32(p.Y), float32(p.Z), float32(q.X), float32(q.Y), float32(q.Z),
				float32(c[0]), float32(c[1]), float32(c[2]), float32(part), 0)
		}
	}
}
