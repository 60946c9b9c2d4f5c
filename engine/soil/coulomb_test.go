package soil

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// wedge is the thrust coefficient that holds (active) or moves (passive) the
// wedge over a plane at an angle rho through the foot of a wall 1 high, by the
// equilibrium of its three forces; NaN where plane and ground do not meet.
func wedge(f Face, sign, rho float64) float64 {
	top := [2]float64{-math.Tan(f.Lean), 1}
	dx, dy := math.Cos(f.Slope), math.Sin(f.Slope)
	px, py := math.Cos(rho), math.Sin(rho)
	// top + s·d = t·p
	det := dx*py - dy*px
	t := (dx*top[1] - dy*top[0]) / det
	if det == 0 || t <= 0 || (top[0]-t*px)*dx+(top[1]-t*py)*dy > 0 {
		return math.NaN()
	}
	weight := math.Abs(top[0]*t*py-top[1]*t*px) / 2
	nx, ny := math.Cos(f.Lean), math.Sin(f.Lean)
	wx := nx*math.Cos(f.Friction) - sign*ny*math.Sin(f.Friction)
	wy := ny*math.Cos(f.Friction) + sign*nx*math.Sin(f.Friction)
	rx := -py*math.Cos(f.FrictionAngle) + sign*px*math.Sin(f.FrictionAngle)
	ry := px*math.Cos(f.FrictionAngle) + sign*py*math.Sin(f.FrictionAngle)
	d := wx*ry - wy*rx
	if p, r := -rx*weight/d, wx*weight/d; p > 0 && r > 0 {
		return 2 * p
	}
	return math.NaN()
}

// Coulomb's coefficients are the worst of all wedges.
func TestCoulombByWedges(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 12))
	for range 40 {
		f := Face{FrictionAngle: (20 + 25*r.Float64()) * degree}
		f.Slope = (r.Float64()*1.4 - 0.7) * f.FrictionAngle
		f.Friction = r.Float64() / 3 * f.FrictionAngle
		f.Lean = (r.Float64()*20 - 10) * degree
		active, err := f.Active()
		require.NoError(t, err)
		passive, err := f.Passive()
		require.NoError(t, err)
		most, least := 0.0, math.Inf(1)
		for rho := f.Slope + 0.1*degree; rho < 90*degree+f.Lean; rho += 0.02 * degree {
			if k := wedge(f, 1, rho); k > most {
				most = k
			}
			if k := wedge(f, -1, rho); k < least {
				least = k
			}
		}
		assert.InEpsilon(t, most, active, 2e-4, "%+v", f)
		assert.InEpsilon(t, least, passive, 2e-4, "%+v", f)
	}
}

// Without friction, slope and lean Coulomb is Rankine.
func TestCoulombIsRankine(t *testing.T) {
	for phi := 10.0; phi < 45; phi += 5 {
		f := Face{FrictionAngle: phi * degree}
		a, err := f.Active()
		require.NoError(t, err)
		want, _ := Active(phi*degree, 0)
		assert.InEpsilon(t, want, a, 1e-12)
		p, err := f.Passive()
		require.NoError(t, err)
		want, _ = Passive(phi * degree)
		assert.InEpsilon(t, want, p, 1e-12)
	}
	_, err := Face{FrictionAngle: 30 * degree, Friction: 15 * degree}.Passive()
	assert.Error(t, err)
	_, err = Face{FrictionAngle: math.NaN()}.Active()
	assert.Error(t, err)
}

func TestFallingGround(t *testing.T) {
	for phi := 15.0; phi <= 45; phi += 5 {
		before := 1.0
		for fall := 0.0; fall <= 60; fall++ {
			part, err := FallingGround(phi*degree, fall*degree)
			require.NoError(t, err)
			assert.LessOrEqual(t, part, before)
			before = part
			if fall >= phi {
				assert.Zero(t, part)
			}
		}
		level, _ := FallingGround(phi*degree, 0)
		assert.Equal(t, 1.0, level)
	}
	sand, _ := ClassOf("sand")
	part, err := sand.FallingGround(math.Atan(0.5))
	require.NoError(t, err)
	assert.InDelta(t, 0.22, part, 0.001, "a bank of 1 in 2 leaves hardly a quarter of sand's lateral strength")
	for _, angle := range []float64{sand.FrictionAngle.Low, sand.FrictionAngle.High} {
		end, _ := FallingGround(angle, math.Atan(0.5))
		assert.LessOrEqual(t, part, end)
	}
	for _, bad := range []float64{math.NaN(), -0.1, 2} {
		_, err := FallingGround(30*degree, bad)
		assert.Error(t, err)
		_, err = sand.FallingGround(bad)
		assert.Error(t, err)
	}
}

// The push of layers against a sum over thin slices.
func TestLayersBySlices(t *testing.T) {
	l := Layers{Layers: []Layer{{900, 17e-6, 20e-6, 28 * degree}, {700, 18e-6, 20.5e-6, 33 * degree},
		{1200, 19e-6, 21e-6, 22 * degree}}, Surcharge: 0.005, WaterDepth: 1250, Slope: 10 * degree, Friction: 2.0 / 3}
	got, err := l.Push()
	require.NoError(t, err)
	const step = 0.5
	var force, moment, water, down float64
	over := l.Surcharge
	for z := step / 2; z < 2800; z += step {
		layer := l.Layers[2]
		if z < 900 {
			layer = l.Layers[0]
		} else if z < 1600 {
			layer = l.Layers[1]
		}
		weight, u := layer.UnitWeight, 0.0
		if z > l.WaterDepth {
			weight, u = layer.SaturatedWeight-WaterWeight, WaterWeight*(z-l.WaterDepth)
		}
		delta := l.Friction * layer.FrictionAngle
		k, _ := Face{FrictionAngle: layer.FrictionAngle, Slope: l.Slope, Friction: delta}.Active()
		p := k * math.Cos(delta) * (over + weight*step/2)
		over += weight * step
		force += (p + u) * step
		moment += (p + u) * step * (2800 - z)
		water += u * step
		down += p * math.Tan(delta) * step
	}
	assert.InEpsilon(t, force, got.Force, 1e-4)
	assert.InEpsilon(t, moment, got.Moment, 1e-4)
	assert.InEpsilon(t, water, got.Water, 1e-4)
	assert.InEpsilon(t, down, got.Down, 1e-4)
	assert.InEpsilon(t, got.Moment/got.Force, got.Height, 1e-12)
	assert.Len(t, got.Pressures, 4)

	// One dry layer is the wall of posts at a spacing of 1000.
	one := Layers{Layers: []Layer{{1500, 18e-6, 0, 30 * degree}}, Surcharge: 0.003, WaterDepth: 1500}
	dry, err := one.Push()
	require.NoError(t, err)
	posted, err := PostedWall(1500, 1000, 18e-6, 30*degree, 0, 0.003)
	require.NoError(t, err)
	assert.InEpsilon(t, posted.Force, dry.Force*1000, 1e-12)
	assert.InEpsilon(t, posted.Moment, dry.Moment*1000, 1e-12)

	one.WaterDepth = 500
	_, err = one.Push()
	assert.Error(t, err, "wet ground needs its saturated weight")
	one.WaterDepth = math.NaN()
	_, err = one.Push()
	assert.Error(t, err)
	_, err = Layers{}.Push()
	assert.Error(t, err)
}

// A load nearer the edge, leaning more or on weaker ground is never borne better.
func TestBearingNeverKinder(t *testing.T) {
	r := rand.New(rand.NewPCG(13, 14))
	for range 200 {
		f := Footing{Width: 300 + 500*r.Float64(), Length: 300 + 1500*r.Float64(), Depth: 500 * r.Float64(),
			FrictionAngle: 40 * r.Float64() * degree, Cohesion: 0.02 * r.Float64(), WeightOver: 17e-6, WeightBelow: 18e-6,
			Vertical: 5000 + 20000*r.Float64()}
		f.Horizontal = 0.2 * f.Vertical * r.Float64()
		f.MomentWidth = f.Vertical * f.Width * 0.4 * r.Float64()
		was, err := f.Bearing()
		require.NoError(t, err)
		for name, worse := range map[string]func(f *Footing){
			"off the middle": func(f *Footing) { f.MomentWidth += f.Vertical * 5 },
			"off along":      func(f *Footing) { f.MomentLength += f.Vertical * 5 },
			"leaning":        func(f *Footing) { f.Horizontal += 0.02 * f.Vertical },
			"weaker":         func(f *Footing) { f.FrictionAngle *= 0.95 },
			"shallower":      func(f *Footing) { f.Depth *= 0.9 },
		} {
			g := f
			worse(&g)
			is, err := g.Bearing()
			require.NoError(t, err)
			assert.LessOrEqual(t, is.Load, was.Load*(1+1e-9), name)
		}
	}
	clay := Footing{Width: 500, Length: 500, FrictionAngle: 0, Cohesion: 0.04, WeightBelow: 18e-6, Vertical: 10000}
	is, err := clay.Bearing()
	require.NoError(t, err)
	assert.InEpsilon(t, 0.04*(math.Pi+2)*(1+1/(math.Pi+2)), is.Pressure, 1e-9, "Prandtl on clay")
	clay.MomentWidth = 10000 * 260
	_, err = clay.Bearing()
	assert.Error(t, err, "a load outside the base")
	clay.MomentWidth = math.NaN()
	_, err = clay.Bearing()
	assert.Error(t, err)
}

// Posts stand as far apart as the shop's rule allows.
func TestPostedWallToSixMetres(t *testing.T) {
	one, err := PostedWall(1000, 6000, 18e-6, 30*degree, 0, 0)
	require.NoError(t, err)
	half, err := PostedWall(1000, 3000, 18e-6, 30*degree, 0, 0)
	require.NoError(t, err)
	assert.InEpsilon(t, 2*half.Force, one.Force, 1e-12)
	_, err = PostedWall(1000, 6001, 18e-6, 30*degree, 0, 0)
	assert.Error(t, err)
}
