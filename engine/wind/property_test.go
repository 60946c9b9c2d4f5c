package wind

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"
)

func TestDenserLeavesCatchMoreWind(t *testing.T) {
	for _, length := range []float64{3000, 6000, 14000} {
		last := -1.0
		for s := 0.0; s <= 1; s += 0.005 {
			c, err := NetCoefficient(length, 1800, math.Min(s, 1))
			if err != nil {
				t.Fatal(err)
			}
			if c < last-1e-12 {
				t.Fatalf("solidity %v of %v mm: %v, less than before, %v", s, length, c, last)
			}
			if last >= 0 && c > last+0.05 {
				t.Fatalf("solidity %v of %v mm: jumps from %v to %v", s, length, last, c)
			}
			last = c
		}
	}
}

func TestZonesCoverTheWall(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 300 {
		length, height := 200+r.Float64()*20000, 500+r.Float64()*2500
		zones, err := Zones(length, height, r.Float64()*3000, 0.8+r.Float64()*0.2)
		if err != nil {
			t.Fatal(err)
		}
		at := 0.0
		for _, z := range zones {
			if math.Abs(z.From-at) > 1e-6 || z.To <= z.From || z.Coefficient < 1.2-1e-9 || z.Coefficient > 3.4 {
				t.Fatalf("%+v", zones)
			}
			at = z.To
		}
		if math.Abs(at-length) > 1e-6 {
			t.Fatalf("covered to %v of %v", at, length)
		}
	}
}

func TestPressureGrows(t *testing.T) {
	for i, terrain := range Terrains() {
		last := 0.0
		for z := 0.0; z <= 30000; z += 500 {
			q, err := terrain.PeakPressure(28, z)
			if err != nil || q < last || q <= 0 {
				t.Fatalf("%s at %v: %v after %v (%v)", terrain.Key, z, q, last, err)
			}
			last = q
			if i > 0 {
				open, _ := Terrains()[i-1].PeakPressure(28, z)
				if q >= open {
					t.Fatalf("%s at %v is windier than %s", terrain.Key, z, Terrains()[i-1].Key)
				}
			}
		}
	}
	if _, ok := TerrainOf("V"); ok {
		t.Error("unknown terrain found")
	}
}

// Force and both moments must balance for any supports.
func TestHeldBalances(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 1))
	for range 500 {
		l := Leaf{Length: 2000 + r.Float64()*6000, Bottom: r.Float64() * 200, Top: 1200 + r.Float64()*1000,
			Solidity: r.Float64(), Pressure: 200 + r.Float64()*1000}
		upper := []Support{{r.Float64() * l.Length, 800 + r.Float64()*1500}}
		if r.IntN(2) == 0 {
			upper = append(upper, Support{upper[0].At + 1000, 800 + r.Float64()*1500})
		}
		wheels := [2]float64{300, l.Length - 300}
		load, err := l.Load()
		if err != nil {
			t.Fatal(err)
		}
		h, err := l.Hold(upper, wheels)
		if err != nil {
			t.Fatal(err)
		}
		force, tilt, turn := load.Force, load.Moment, load.Force*load.Middle
		for i, s := range upper {
			force, tilt, turn = force-h.Upper[i], tilt-h.Upper[i]*s.Height, turn-h.Upper[i]*s.At
		}
		for i, at := range wheels {
			force, turn = force-h.Bottom[i], turn-h.Bottom[i]*at
		}
		if math.Abs(force) > 1e-6 || math.Abs(tilt) > 1e-3 || math.Abs(turn) > 1e-2 {
			t.Fatalf("%+v: left over %v %v %v", l, force, tilt, turn)
		}
	}
}

func TestRefusals(t *testing.T) {
	good := Leaf{Length: 4000, Top: 1800, Solidity: 1, Pressure: 600}
	for _, v := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), -1, 1e300} {
		_, e1 := BasicPressure(v)
		_, e2 := GustPressure(40, v)
		_, e3 := NetCoefficient(v, 1800, 1)
		_, e4 := LatticeCoefficient(v)
		l := good
		l.Pressure = v
		_, e5 := l.Load()
		_, e6 := good.Hold([]Support{{0, v}}, [2]float64{0, 3000})
		_, e7 := Terrains()[0].Exposure(v)
		for i, err := range []error{e1, e2, e3, e4, e5, e6, e7} {
			var e *ArgumentError
			if !errors.As(err, &e) || e.Error() == "" {
				t.Errorf("call %d takes %v: %v", i+1, v, err)
			}
		}
	}
	if _, err := good.Hold([]Support{{100, 1700}, {100, 1700}}, [2]float64{0, 3000}); err == nil {
		t.Error("two supports in one place taken")
	}
	if _, err := good.Hold(nil, [2]float64{0, 3000}); err == nil {
		t.Error("no upper support taken")
	}
}

func FuzzLeaf(f *testing.F) {
	f.Add(4000.0, 50.0, 1800.0, 0.6, 700.0, 4200.0, 1750.0, 400.0, 3600.0)
	f.Fuzz(func(t *testing.T, length, bottom, top, solidity, q, at, z, w1, w2 float64) {
		l := Leaf{Length: length, Bottom: bottom, Top: top, Solidity: solidity, Pressure: q}
		h, err := l.Hold([]Support{{at, z}}, [2]float64{w1, w2})
		if err != nil {
			return
		}
		for _, v := range []float64{h.Upper[0], h.Bottom[0], h.Bottom[1], h.Moment[0]} {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				t.Fatalf("%+v: %+v", l, h)
			}
		}
	})
}

func TestRowSolidity(t *testing.T) {
	for _, c := range []struct{ size, gap, want float64 }{{65, 9, 65.0 / 74}, {90, 0, 1}, {20, 100, 1.0 / 6}} {
		if got, err := RowSolidity(c.size, c.gap); err != nil || got != c.want {
			t.Errorf("%+v: %v, %v", c, got, err)
		}
	}
	for _, v := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), -1, 1e300} {
		for _, pair := range [][2]float64{{v, 9}, {65, v}} {
			_, err := RowSolidity(pair[0], pair[1])
			if refused := new(ArgumentError); !errors.As(err, &refused) {
				t.Errorf("%v taken: %v", pair, err)
			}
		}
	}
}
