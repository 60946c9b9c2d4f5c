package levels

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// bestOfAll looks at every line through two of the points, each as it is, raised by
// what may be packed and lowered by what may be ground: where the least material is
// moved one of these moves it.
func bestOfAll(points []Point, grind, pack float64) (moved float64, there bool) {
	weights := make([]float64, len(points))
	whole := points[len(points)-1].Chainage - points[0].Chainage
	for i := 1; i < len(points); i++ {
		half := (points[i].Chainage - points[i-1].Chainage) / 2 / whole
		weights[i-1] += half
		weights[i] += half
	}
	moved = math.Inf(1)
	try := func(z0, grade float64) {
		sum := 0.0
		for i, q := range points {
			over := z0 + grade*q.Chainage - q.Level
			if over > pack+1e-7 || over < -grind-1e-7 {
				return
			}
			sum += weights[i] * math.Abs(over)
		}
		moved, there = math.Min(moved, sum), true
	}
	shifts := []float64{0, pack, -grind}
	for i := range points {
		for k := range i {
			for _, a := range shifts {
				for _, b := range shifts {
					grade := (points[i].Level + a - points[k].Level - b) / (points[i].Chainage - points[k].Chainage)
					try(points[i].Level+a-grade*points[i].Chainage, grade)
				}
			}
		}
	}
	return moved, there
}

func uneven(r *rand.Rand) []Point {
	points := make([]Point, 2+r.IntN(7))
	x, fall := 1000*r.Float64(), 0.1*(r.Float64()-0.5)
	for i := range points {
		x += 200 + 2000*r.Float64()
		points[i] = Point{Chainage: x, Level: 10000 + fall*x + math.Round(30*(r.Float64()-0.5))}
	}
	return points
}

func TestLayAgainstEveryLine(t *testing.T) {
	fitted, refused := 0, 0
	for seed := range uint64(3000) {
		r := rand.New(rand.NewPCG(seed, 7))
		points, pack, grind := uneven(r), 5+25*r.Float64(), 8*r.Float64()
		way := LayLeast
		if seed%2 == 0 {
			way, grind = LayPacked, 0
		}
		want, there := bestOfAll(points, grind, pack)
		line, err := Lay(points, way, grind, pack)
		if !there {
			var uneven *TooUnevenError
			require.True(t, errors.As(err, &uneven), "seed %d: %v", seed, err)
			assert.Greater(t, uneven.Needed, pack+grind)
			refused++
			continue
		}
		require.NoError(t, err, "seed %d", seed)
		assert.InDelta(t, want, line.Moved, 1e-5, "seed %d", seed)
		for _, q := range points {
			over := line.At(q.Chainage) - q.Level
			assert.LessOrEqual(t, over, pack+1e-6, "seed %d: no more than the packers", seed)
			assert.GreaterOrEqual(t, over, -grind-1e-6, "seed %d: not under a point", seed)
		}
		fitted++
	}
	require.Greater(t, fitted, 500)
	require.Greater(t, refused, 100)
}

// Where the surface needs it and no more, one step less of packing is refused.
func TestLayNeedsWhatItSays(t *testing.T) {
	for seed := range uint64(300) {
		points := uneven(rand.New(rand.NewPCG(seed, 9)))
		if len(points) < 3 {
			continue
		}
		_, err := Lay(points, LayPacked, 0, 0)
		var needs *TooUnevenError
		if !errors.As(err, &needs) {
			continue
		}
		_, err = Lay(points, LayPacked, 0, needs.Needed+1e-6)
		require.NoError(t, err, "seed %d", seed)
		_, err = Lay(points, LayPacked, 0, needs.Needed-1e-3)
		require.Error(t, err, "seed %d", seed)
	}
}

// Free to move, the squares are those of the fit that finds grades; weights are
// equal where the points are and the ends are read twice as often.
func TestLaySquaresIsTheFit(t *testing.T) {
	for seed := range uint64(50) {
		r := rand.New(rand.NewPCG(seed, 11))
		var points []Point
		for i := range 6 {
			sigma := 1.0
			if i == 0 || i == 5 {
				sigma = math.Sqrt2 // half the weight
			}
			points = append(points, Point{Chainage: 800 * float64(i), Level: 20 * r.Float64(), Sigma: sigma})
		}
		fit, err := FitLine(points)
		require.NoError(t, err)
		line, err := Lay(points, LaySquares, 1000, 1000)
		require.NoError(t, err)
		assert.InDelta(t, fit.Z0, line.Z0, 1e-5)
		assert.InDelta(t, float64(fit.Grade), float64(line.Grade), 1e-8)
	}
}

func TestLayByHand(t *testing.T) {
	points := []Point{{Chainage: 0, Level: 100}, {Chainage: 1000, Level: 104}, {Chainage: 2000, Level: 100}}
	line, err := Lay(points, LayPacked, 5, 5)
	require.NoError(t, err)
	assert.InDelta(t, 104, line.Z0, 1e-6, "level over the hump, though 5 might be ground")
	assert.InDelta(t, 0, float64(line.Grade), 1e-9)
	assert.InDelta(t, 4, line.Pack, 1e-6)
	line, err = Lay(points, LayLeast, 1, 5)
	require.NoError(t, err)
	assert.InDelta(t, 103, line.Z0, 1e-6, "1 off the hump spares 1 at either end")
	assert.InDelta(t, 2, line.Moved, 1e-6)

	straight := []Point{{Chainage: 0, Level: 10}, {Chainage: 3000, Level: 40}}
	line, err = Lay(straight, LayPacked, 0, 0)
	require.NoError(t, err)
	assert.InDelta(t, 0.01, float64(line.Grade), 1e-12)
	assert.InDelta(t, 0, line.Moved, 1e-9)
}

func TestLayRefuses(t *testing.T) {
	points := []Point{{Level: 1}, {Chainage: 1000}}
	for _, no := range []float64{math.NaN(), math.Inf(1), -1, 1001} {
		_, err := Lay(points, LayLeast, no, 1)
		assert.Error(t, err)
		_, err = Lay(points, LayLeast, 1, no)
		assert.Error(t, err)
	}
	_, err := Lay(points[:1], LayPacked, 0, 10)
	assert.Error(t, err)
	_, err = Lay([]Point{{Level: 1}, {Level: 2}}, LayPacked, 0, 10)
	assert.Error(t, err, "two at one place")
	_, err = Lay([]Point{{}, {Chainage: math.NaN()}}, LayPacked, 0, 10)
	assert.Error(t, err)
}
