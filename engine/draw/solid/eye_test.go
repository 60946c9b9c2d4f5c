package solid

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/draw"
)

// In a picture 1000 pixels wide the matrix that graphics get puts places where a pinhole has
// them that is worked out by angles, to a hundredth of a pixel, and far away where the
// parallel projection has them.
func TestEyeIsAPinhole(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 8))
	for range 300 {
		e := Eye{Camera: Camera{Azimuth: 7 * r.Float64(), Elevation: 1.4 * r.Float64()},
			At: Point{4000 * r.Float64(), 3000 * r.Float64(), 900 * r.Float64()}, Away: 9000 + 20000*r.Float64(), Half: 0.4}
		m := e.Matrix(0.75, 8000)
		columns := m.Columns()
		eye := e.Place()
		for range 20 {
			p := Point{e.At.X + 5000*(r.Float64()-0.5), e.At.Y + 5000*(r.Float64()-0.5), e.At.Z + 4000*(r.Float64()-0.5)}
			// Bearing and height as seen from the eye, from the line it looks along.
			dx, dy, dz := p.X-eye.X, p.Y-eye.Y, p.Z-eye.Z
			bearing := math.Atan2(dx, dy) + e.Azimuth
			flat := math.Hypot(dx, dy)
			level, height := math.Atan2(dz, flat*math.Cos(bearing)), 0.0
			height = level + e.Elevation
			long := math.Hypot(dz, flat*math.Cos(bearing))
			ahead := long * math.Cos(height)
			x, y := flat*math.Sin(bearing)/ahead/0.4, long*math.Sin(height)/ahead/0.3
			var q [4]float32
			for c, v := range [4]float64{p.X, p.Y, p.Z, 1} {
				for i := range q {
					q[i] += columns[4*c+i] * float32(v)
				}
			}
			require.InDelta(t, x*500, float64(q[0]/q[3])*500, 0.01)
			require.InDelta(t, y*375, float64(q[1]/q[3])*375, 0.01)
			require.InDelta(t, ahead, float64(q[3]), 0.1)
			assert.True(t, q[2] > -q[3] && q[2] < q[3], "%v", q)
		}
		far := e
		far.Away, far.Half = 1e9, 1e-6
		m = far.Matrix(1, 8000)
		p := Point{e.At.X + 1000, e.At.Y - 700, e.At.Z + 500}
		x, y, _ := m.Apply(p)
		want, middle := e.Project(p), e.Project(e.At)
		require.InDelta(t, want.X-middle.X, x*1000, 0.01)
		require.InDelta(t, want.Y-middle.Y, y*1000, 0.01)
	}
}

// A mesh has the faces of its bodies and each edge once; what the sun does not fall on says so.
func TestMeshOfABox(t *testing.T) {
	b, err := Box(draw.Tag{Material: draw.MaterialZinc}, Point{}, Point{1000, 200, 300})
	require.NoError(t, err)
	var m Mesh
	sun := Corner.Sun()
	m.Add(b, 3, sun, true, draw.Material.DayColour)
	require.Len(t, m.Corners, 12*3*MeshCorner)
	require.Len(t, m.Edges, 12*MeshEdge)
	lit, area := 0, 0.0
	for i := 0; i < len(m.Corners); i += 3 * MeshCorner {
		at := func(k int) Point {
			c := m.Corners[i+k*MeshCorner:]
			return Point{float64(c[0]), float64(c[1]), float64(c[2])}
		}
		n := crossProduct(minus(at(1), at(0)), minus(at(2), at(0)))
		area += math.Sqrt(dot(n, n)) / 2
		bright := Light(unit(n), sun) != draw.LightShade
		if bright {
			lit++
		}
		require.Equal(t, bright, m.Corners[i+6] >= MeshLit)
		require.EqualValues(t, 3, m.Corners[i+7])
	}
	require.Equal(t, 6, lit) // the top, and two sides
	require.InDelta(t, 2*(1000*200+1000*300+200*300), area, 1e-3)
}
