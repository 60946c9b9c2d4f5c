package steel

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The rectangle against Saint-Venant's series.
func TestFlatTwistIsSaintVenants(t *testing.T) {
	for _, n := range []float64{1, 0.8, 0.5, 0.2, 0.05} {
		const a = 100.0
		b := a * n
		s, err := Flat(a, b)
		require.NoError(t, err)
		constant, modulus, err := s.Torsion()
		require.NoError(t, err)
		sum, stress := 0.0, 0.0
		for k := 1.0; k < 200; k += 2 {
			x := k * math.Pi * a / (2 * b)
			sum += math.Tanh(x) / math.Pow(k, 5)
			stress += 1 / (k * k * math.Cosh(math.Min(x, 700)))
		}
		exact := a * b * b * b * (1.0/3 - 64/math.Pow(math.Pi, 5)*b/a*sum)
		most := b * (1 - 8/(math.Pi*math.Pi)*stress) // shear stress over the twist and G
		assert.InEpsilon(t, exact, constant, 0.004, "b/a %v", n)
		assert.InEpsilon(t, exact/most, modulus, 0.05, "b/a %v", n)
	}
}

func TestPlasticBySlices(t *testing.T) {
	h, err := Hollow(100, 50, 4)
	require.NoError(t, err)
	pipe, err := Pipe(76.1, 3)
	require.NoError(t, err)
	round, err := Round(30)
	require.NoError(t, err)
	flat, err := Flat(80, 10)
	require.NoError(t, err)
	// chord is the width of a rounded rectangle at y from its middle.
	chord := func(y, height, width, r float64) float64 {
		over := math.Abs(y) - (height/2 - r)
		if over <= 0 {
			return width
		}
		return width - 2*r + 2*math.Sqrt(math.Max(0, r*r-over*over))
	}
	for _, c := range []struct {
		s     Section
		width func(y float64) float64
	}{
		{h, func(y float64) float64 {
			w := chord(y, 100, 50, 8)
			if math.Abs(y) < 46 {
				w -= chord(y, 92, 42, 4)
			}
			return w
		}},
		{pipe, func(y float64) float64 {
			w := chord(y, 76.1, 76.1, 38.05)
			if math.Abs(y) < 35.05 {
				w -= chord(y, 70.1, 70.1, 35.05)
			}
			return w
		}},
		{round, func(y float64) float64 { return chord(y, 30, 30, 15) }},
		{flat, func(float64) float64 { return 10 }},
	} {
		const n = 20000
		step, sum := c.s.Height/n, 0.0
		for i := range n {
			y := -c.s.Height/2 + (float64(i)+0.5)*step
			sum += math.Abs(y) * c.width(y) * step
		}
		got, _, err := c.s.Plastic()
		require.NoError(t, err)
		assert.InEpsilon(t, sum, got, 1e-4, c.s.Name)
	}
	angle, err := Angle(50, 50, 5, 7)
	require.NoError(t, err)
	_, _, err = angle.Plastic()
	assert.EqualError(t, err, "no formula holds for a section of this shape")
	_, _, err = angle.Torsion()
	assert.NoError(t, err)
	_, _, err = Section{}.Torsion()
	assert.Error(t, err)
}

// A slender bar on edge kips at Timoshenko's load; a stout one yields.
func TestKipping(t *testing.T) {
	k := Kipping{Height: 100, Thickness: 6, Length: 4000, Elasticity: 200000, Yield: 235, Safety: 1.5}
	r, err := k.Strength()
	require.NoError(t, err)
	side, twist := 100*6.0*6*6/12, 100*6.0*6*6/3
	exact := math.Pi / 4000 * math.Sqrt(200000*side*200000/2.6*twist)
	assert.InEpsilon(t, exact, r.Elastic, 0.03, "1.9 is rounded down")
	assert.Less(t, r.Elastic, exact)
	assert.InEpsilon(t, r.Strength/1.5, r.Allowable, 1e-12)
	above := k
	above.Above = 50
	lower, err := above.Strength()
	require.NoError(t, err)
	assert.InEpsilon(t, r.Strength*(1-1.74*0.806*50/4000), lower.Strength, 1e-9)
	before := math.Inf(1)
	for l := 50.0; l < 15000; l *= 1.05 {
		k.Length = l
		r, err := k.Strength()
		require.NoError(t, err)
		assert.LessOrEqual(t, r.Strength, before*(1+0.001), "longer")
		assert.LessOrEqual(t, r.Strength, 1.5*235*10000*(1+1e-9))
		before = r.Strength
	}
	k.Thickness = math.NaN()
	_, err = k.Strength()
	assert.Error(t, err)
}

// The amplifier against a strut bent step by step: v” = −(M + N·v)/EI.
func TestAmplifierByIntegration(t *testing.T) {
	const n = 2000
	first := map[Bent]func(x float64) float64{
		BentAlong:   func(float64) float64 { return 1 },
		BentEvenly:  func(x float64) float64 { return 4 * x * (1 - x) },
		BentAtPoint: func(x float64) float64 { return 2 * math.Min(x, 1-x) },
	}
	for bent, moment := range first {
		for _, ratio := range []float64{0.05, 0.3, 0.6} {
			push := ratio * math.Pi * math.Pi // N·l²/EI
			v := make([]float64, n+1)
			h := 1.0 / n
			for range 200 {
				next := make([]float64, n+1)
				slope := 0.0
				for i := 1; i < n; i++ {
					slope -= (moment(float64(i)*h) + push*v[i]) * h
					next[i+1] = next[i] + slope*h
				}
				tilt := next[n]
				for i := range next {
					next[i] -= tilt * float64(i) * h
				}
				v = next
			}
			got, err := Amplifier(bent, ratio)
			require.NoError(t, err)
			assert.InEpsilon(t, moment(0.5)+push*v[n/2], got, 2e-3, "%v at %v", bent, ratio)
		}
	}
	for _, bent := range []Bent{BentAlong, BentEvenly, BentAtPoint} {
		for _, ratio := range []float64{0, 1e-9, 1e-7, 0.01, 0.9, 0.999} {
			a, err := Amplifier(bent, ratio)
			require.NoError(t, err)
			along, _ := Amplifier(BentAlong, ratio)
			assert.LessOrEqual(t, a, along*(1+1e-12))
			assert.GreaterOrEqual(t, a, 1.0)
		}
		for _, bad := range []float64{-0.1, 1, math.NaN()} {
			_, err := Amplifier(bent, bad)
			assert.Error(t, err)
		}
	}
	_, err := Amplifier(3, 0.5)
	assert.Error(t, err)
}
