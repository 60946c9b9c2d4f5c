package geom

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// The pour of the brief: a strip and a pad that share a corner, a post hole
// within the pad carried below.
func TestZones(t *testing.T) {
	strip := Box{Point{0, 0}, Point{4400, 200}}.Polygon()
	pad := Box{Point{4000, 0}, Point{4400, 400}}.Polygon()
	hole := Box{Point{4050, 50}, Point{4350, 350}}.Polygon()
	zones, err := Zones([]Deep{{strip, 100}, {pad, 100}})
	if err != nil || len(zones) != 1 || zones[0].Area != 0.96e6 || Volume(zones) != 0.096e9 {
		t.Fatal(zones, err)
	}
	zones, err = Zones([]Deep{{strip, 100}, {pad, 100}, {hole, 500}})
	if err != nil || len(zones) != 2 || zones[0].Depth != 500 || zones[0].Area != 90000 || zones[1].Area != 870000 ||
		len(zones[1].Region.Holes) != 1 {
		t.Fatal(zones, err)
	}
	if v := Volume(zones); v != 0.096e9+0.036e9 {
		t.Error(v)
	}
	if zones, err := Zones(nil); err != nil || len(zones) != 0 {
		t.Error(zones, err)
	}
	if _, err := Zones([]Deep{{strip, math.NaN()}}); err == nil {
		t.Error("a depth that is no number")
	}
}

// The volume of greatest depths is the sum over layers of the area that is at
// least so deep: another way to the same figure.
func TestZonesAgainstLayers(t *testing.T) {
	for seed := range uint64(seeds) {
		r := rand.New(rand.NewPCG(seed, 8))
		ps := outlines(r, 6)
		deep := make([]Deep, len(ps))
		levels := []float64{0}
		for i, p := range ps {
			deep[i] = Deep{p, float64(100 * (1 + r.IntN(4)))}
			levels = append(levels, deep[i].Depth)
		}
		slices.Sort(levels)
		levels = slices.Compact(levels)
		var want float64
		for i := 1; i < len(levels); i++ {
			var least []Polygon
			for _, d := range deep {
				if d.Depth >= levels[i] {
					least = append(least, d.Polygon)
				}
			}
			want += (levels[i] - levels[i-1]) * inclusionExclusion(least)
		}
		zones, err := Zones(deep)
		if err != nil || math.Abs(Volume(zones)-want) > 400*Grid*60000+1e-9*want {
			t.Errorf("seed %d: %v, layers %v, %v", seed, Volume(zones), want, err)
		}
		// No two zones share area, and together they are the union.
		var sum float64
		for i, z := range zones {
			sum += z.Area
			checkRegions(t, []Region{z.Region})
			if i > 0 && z.Depth > zones[i-1].Depth {
				t.Errorf("seed %d: depths out of order", seed)
			}
			for _, o := range zones[:i] {
				if both, err := Intersect([]Region{z.Region}, []Region{o.Region}); err != nil || Area(both) > 0.1 {
					t.Errorf("seed %d: zones overlap by %v, %v", seed, Area(both), err)
				}
			}
		}
		if u := UnionArea(ps...); math.Abs(sum-u) > Grid*120000 {
			t.Errorf("seed %d: zones sum to %v, union %v", seed, sum, u)
		}
	}
}

// What a hole adds is what all zones hold with it, less what they hold without.
func TestVolumeBeyondAgainstZones(t *testing.T) {
	for seed := range uint64(seeds) {
		r := rand.New(rand.NewPCG(seed, 11))
		ps := outlines(r, 6)
		holes := make([]Deep, len(ps))
		for i, p := range ps {
			holes[i] = Deep{p, float64(100 * (1 + r.IntN(4)))}
		}
		last := len(holes) - 1
		got, err := VolumeBeyond(holes[last], holes[:last])
		if err != nil {
			t.Fatal(seed, err)
		}
		all, err := Zones(holes)
		if err != nil {
			t.Fatal(seed, err)
		}
		before, err := Zones(holes[:last])
		if err != nil {
			t.Fatal(seed, err)
		}
		// The grid moves every corner by up to a millionth of a millimetre.
		if want := Volume(all) - Volume(before); math.Abs(got-want) > 1e-9*Volume(all)+1 {
			t.Error(seed, got, want)
		}
	}
	square := Box{Point{0, 0}, Point{400, 400}}.Polygon()
	if v, err := VolumeBeyond(Deep{square, 500},
		[]Deep{{square.Moved(200, 0), 300}, {square.Moved(100, 0), 900}}); err != nil || v != 100*400*500 {
		t.Error(v, err)
	}
	if v, err := VolumeBeyond(Deep{square, 500}, []Deep{{square.Moved(200, 0), 300}}); err != nil ||
		v != 200*400*500+200*400*200 {
		t.Error(v, err)
	}
	if _, err := VolumeBeyond(Deep{square, math.Inf(1)}, nil); err == nil {
		t.Error("a depth without end")
	}
	if _, err := VolumeBeyond(Deep{square, 1}, []Deep{{square, math.NaN()}}); err == nil {
		t.Error("a depth that is no number")
	}
}
