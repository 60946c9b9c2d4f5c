package soil

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Broms (1964), short piles with a free head, recalled: k even,
// y = 4P(1 + 1.5e/L)/(kL), θ = 6P(1 + 2e/L)/(kL²); k growing,
// y = 18P(1 + 1.333e/L)/(nL²), θ = 24P(1 + 1.5e/L)/(nL³).
func TestMovementOfShortPiles_Broms(t *testing.T) {
	p := EmbeddedPost{Force: 457, Height: 1850}
	const length = 900.0
	e := p.Height / length
	even, err := p.Movement(LateralStiffness{Even: 4.1}, length)
	require.NoError(t, err)
	assert.InEpsilon(t, 4*p.Force*(1+1.5*e)/(4.1*length), even.AtGround, 1e-12)
	assert.InEpsilon(t, 6*p.Force*(1+2*e)/(4.1*length*length), even.Turn, 1e-12)
	growing, err := p.Movement(LateralStiffness{Growing: 2.2e-3}, length)
	require.NoError(t, err)
	assert.InEpsilon(t, 18*p.Force*(1+4*e/3)/(2.2e-3*length*length), growing.AtGround, 1e-12)
	assert.InEpsilon(t, 24*p.Force*(1+1.5*e)/(2.2e-3*length*length*length), growing.Turn, 1e-12)
}

// A thousand slices of the ground hold the post in balance.
func TestMovementOfSlices(t *testing.T) {
	p, k := EmbeddedPost{Force: 1200, Height: 1500}, LateralStiffness{Even: 1.5, Growing: 0.002}
	const depth, slices = 1100.0, 1000
	m, err := p.Movement(k, depth)
	require.NoError(t, err)
	force, turn := 0.0, 0.0
	for i := range slices {
		z := (float64(i) + 0.5) * depth / slices
		q := (k.Even + k.Growing*z) * (m.AtGround - m.Turn*z) * depth / slices
		force += q
		turn += q * z
	}
	assert.InEpsilon(t, p.Force, force, 1e-5)
	assert.InEpsilon(t, -p.Force*p.Height, turn, 1e-5)
}

func TestMovementRefused(t *testing.T) {
	ok := LateralStiffness{Even: 1}
	for name, refused := range map[string]func() error{
		"no stiffness": func() error {
			_, err := EmbeddedPost{Force: 1}.Movement(LateralStiffness{}, 500)
			return err
		},
		"no depth":       func() error { _, err := EmbeddedPost{Force: 1}.Movement(ok, 0); return err },
		"not a number":   func() error { _, err := EmbeddedPost{Force: math.NaN()}.Movement(ok, 500); return err },
		"without end":    func() error { _, err := EmbeddedPost{Height: math.Inf(1)}.Movement(ok, 500); return err },
		"a pull of less": func() error { _, err := EmbeddedPost{Force: -1}.Movement(ok, 500); return err },
	} {
		assert.Error(t, refused(), name)
	}
	for i := range classRows {
		c := classRows[i].class()
		k := c.LateralStiffness()
		assert.Positive(t, k.Even+k.Growing, c.Key)
	}
}
