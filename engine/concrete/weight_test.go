package concrete

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"
)

func TestHoldingMoment_by_hand(t *testing.T) {
	slab := Block{Area: 400 * 1000, Centroid: 200, Thickness: 100} // 960 N
	for name, c := range map[string]struct {
		width  float64
		blocks []Block
		want   float64
	}{
		"nothing":             {400, nil, 0},
		"even slab":           {400, []Block{slab}, 960 * 200},
		"nearer side decides": {500, []Block{slab}, 960 * 200},
		"the other side":      {300, []Block{slab}, 960 * 100},
		"two blocks":          {400, []Block{slab, {Area: 100 * 1000, Centroid: 50, Thickness: 200}}, 960*200 + 480*50},
		"beyond the side":     {150, []Block{slab}, 0},
	} {
		t.Run(name, func(t *testing.T) {
			if got, err := HoldingMoment(c.width, c.blocks...); err != nil || math.Abs(got-c.want) > 1e-9*c.want {
				t.Errorf("%v, by hand %v, %v", got, c.want, err)
			}
		})
	}
}

// Seen from the other side it holds as much; twice as thick, twice as much.
func TestHoldingMomentMirrorsAndGrows(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 9))
	for range 300 {
		width := 300 + 1000*r.Float64()
		var blocks, mirrored, thick []Block
		for range 1 + r.IntN(4) {
			b := Block{1e4 + 1e6*r.Float64(), width * r.Float64(), 50 + 400*r.Float64()}
			blocks = append(blocks, b)
			mirrored = append(mirrored, Block{b.Area, width - b.Centroid, b.Thickness})
			thick = append(thick, Block{b.Area, b.Centroid, 2 * b.Thickness})
		}
		holds := must(HoldingMoment(width, blocks...))(t)
		if other := must(HoldingMoment(width, mirrored...))(t); math.Abs(other-holds) > 1e-9*holds {
			t.Fatalf("%v, mirrored %v", holds, other)
		}
		if twice := must(HoldingMoment(width, thick...))(t); math.Abs(twice-2*holds) > 1e-9*holds {
			t.Fatalf("%v, twice as thick %v", holds, twice)
		}
	}
}

func TestHoldingMomentRefuses(t *testing.T) {
	for _, v := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), -1e7, 1e300} {
		good := Block{1e5, 100, 100}
		area, centroid, thickness := good, good, good
		area.Area, centroid.Centroid, thickness.Thickness = v, v, v
		_, width := HoldingMoment(v, good)
		for _, b := range []Block{area, centroid, thickness} {
			_, err := HoldingMoment(400, b)
			if refused := new(ArgumentError); !errors.As(err, &refused) || !errors.As(width, &refused) {
				t.Errorf("%+v taken: %v, %v", b, err, width)
			}
		}
	}
}
