package soil

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The pressure under a block carries its load where its load is: by the wedge's own
// area and centroid, found by slices.
func TestBlockPressureCarriesItsLoad(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 7))
	inside := 0
	for range 2000 {
		b := Block{Length: 500 + 3000*r.Float64(), Breadth: 300 + 600*r.Float64(), Weight: 3000 + 20000*r.Float64()}
		for range 3 {
			b.Loads = append(b.Loads, BlockLoad{At: b.Length * r.Float64(), Down: -1500 + 6000*r.Float64(),
				Push: -500 + 1000*r.Float64(), Height: 1500 * r.Float64()})
		}
		s, err := b.Stands()
		require.NoError(t, err)
		if !s.Inside {
			assert.Zero(t, s.Peak)
			continue
		}
		inside++
		const slices = 4000
		force, moment, step := 0.0, 0.0, b.Length/slices
		low := s.Peak - s.Peak*b.Length/s.Contact // at the other end, if the wedge went on
		if s.MiddleThird {
			low = 2*s.Vertical/(b.Breadth*b.Length) - s.Peak
		}
		for i := range slices {
			x := (float64(i) + 0.5) * step // from the toe that is pressed most
			p := math.Max(0, s.Peak+(low-s.Peak)*x/b.Length)
			force += p * b.Breadth * step
			moment += p * b.Breadth * step * x
		}
		assert.InEpsilon(t, s.Vertical, force, 1e-4)
		assert.InDelta(t, b.Length/2-math.Abs(s.Eccentricity), moment/force, b.Length*1e-4)
	}
	assert.Greater(t, inside, 500)
}

// A mirrored block stands as the same block seen from its other side.
func TestBlockMirrored(t *testing.T) {
	b := Block{Length: 2000, Breadth: 500, Weight: 12000, Loads: []BlockLoad{{At: 200, Down: 5000}, {At: 1700, Down: -2500},
		{Push: 300, Height: 560}}}
	m := b
	m.Loads = nil
	for _, l := range b.Loads {
		m.Loads = append(m.Loads, BlockLoad{At: b.Length - l.At, Down: l.Down, Push: -l.Push, Height: l.Height})
	}
	one, err := b.Stands()
	require.NoError(t, err)
	other, err := m.Stands()
	require.NoError(t, err)
	assert.InEpsilon(t, one.Near, other.Far, 1e-12)
	assert.InEpsilon(t, one.Far, other.Near, 1e-12)
	assert.InDelta(t, one.Eccentricity, -other.Eccentricity, 1e-9)
	assert.InEpsilon(t, one.Peak, other.Peak, 1e-12)
}

func TestBlockRefusesAndFalls(t *testing.T) {
	good := Block{Length: 2000, Breadth: 500, Weight: 1000}
	lifted := good
	lifted.Loads = []BlockLoad{{At: 1000, Down: -2000}}
	s, err := lifted.Stands()
	require.NoError(t, err)
	assert.False(t, s.Inside)
	assert.Less(t, s.Near, 1.0)
	s, err = good.Stands()
	require.NoError(t, err)
	assert.Equal(t, float64(MostFactor), s.Near, "nothing turns it")
	for name, change := range map[string]func(*Block){
		"no length": func(b *Block) { b.Length = 0 },
		"breadth":   func(b *Block) { b.Breadth = math.NaN() },
		"weight":    func(b *Block) { b.Weight = -1 },
		"load":      func(b *Block) { b.Loads = []BlockLoad{{Down: math.Inf(1)}} },
		"height":    func(b *Block) { b.Loads = []BlockLoad{{Push: 1, Height: -1}} },
	} {
		b := good
		change(&b)
		_, err := b.Stands()
		assert.Error(t, err, name)
	}
}
