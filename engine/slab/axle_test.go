package slab

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"
)

func someCrossedStrip() CrossedStrip {
	return CrossedStrip{Width: 300, Thickness: 150, Cylinder: 20, Poisson: 0.15, RuptureSafety: 1.7,
		SubgradeLow: 0.03, SubgradeHigh: 0.03, Length: 8000, SteelRatio: 0.0018,
		Wheel: 10000, TyrePressure: 0.3, AxleTrack: 1600, FromEnd: 300, WheelFactor: 1.6,
		Bars: 3, BarSize: 7.6, BarYield: 500, BarsCover: 40}
}

func randomCrossedStrip(r *rand.Rand) CrossedStrip {
	c := someCrossedStrip()
	c.Width, c.Thickness = 200+1300*r.Float64(), 120+300*r.Float64()
	c.Cylinder, c.SubgradeLow = 15+30*r.Float64(), 0.01+0.1*r.Float64()
	c.SubgradeHigh = c.SubgradeLow * (1 + r.Float64())
	c.Wheel, c.TyrePressure, c.FromEnd = 1000+20000*r.Float64(), 0.2+0.5*r.Float64(), 1500*r.Float64()
	return c
}

// The parts by hand from the formulas of ACI 318 (memory): 20 MPa, a wheel of
// 10 kN on 3 bar.
func TestUnderAxleParts_ACI_318_memory(t *testing.T) {
	got, err := someCrossedStrip().UnderAxle()
	if err != nil {
		t.Fatal(err)
	}
	area := 3 * math.Pi / 4 * 7.6 * 7.6
	block := area * 500 / (0.85 * 20 * 300)
	for name, pair := range map[string][2]float64{
		"rupture": {got.Rupture, 0.62 * math.Sqrt(20)},
		"contact": {got.Contact, math.Sqrt(10000 / (math.Pi * 0.3))},
		"mesh":    {got.Bar, 0.9 * area * 500 * (150 - 40 - 3.8 - block/2)},
		"bottom":  {got.Bottom, got.Sagging / (300 * 150 * 150 / 6)},
		"use":     {got.BarUse, 1.6 * got.Sagging / got.Bar},
	} {
		if math.Abs(pair[0]-pair[1]) > 1e-12*pair[1] {
			t.Errorf("%s %v, by hand %v", name, pair[0], pair[1])
		}
	}
	if got.AsSlab || got.Interior != 0 {
		t.Errorf("narrower than %v, and taken as a slab: %+v", got.Relative, got)
	}
}

// WheelCheck goes another way through the cases of a slab, and through a beam
// without another end under an axle at one place: a wheel at any other is worse.
func TestUnderAxleAgainstWheelCheck(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 1))
	slabs := 0
	for range 200 {
		c := randomCrossedStrip(r)
		c.Length = 20000
		got, err := c.UnderAxle()
		if err != nil {
			continue // a foot too large for so thin a slab: see TestUnderAxleRefuses
		}
		modulus, _ := ModulusACI(c.Cylinder)
		judge, err := WheelCheck{Strip: Strip{c.Width, c.Thickness, modulus, c.SubgradeLow}, Poisson: c.Poisson,
			FromEnd: true,
			Loads:   []StripLoad{{c.FromEnd, c.Wheel}, {c.FromEnd + c.AxleTrack, c.Wheel}},
			Radius:  got.Contact, Strength: got.Rupture, Safety: c.RuptureSafety, AllowedEarth: 1}.Governing()
		if err != nil {
			t.Fatal(err)
		}
		section := c.Width * c.Thickness * c.Thickness / 6
		if got.AsSlab != judge.SlabCases || got.Sagging < 0.997*judge.Cases[0].Stress*section ||
			got.Hogging < 0.997*judge.Cases[1].Stress*section {
			t.Fatalf("%+v\n%+v\nby cases %+v", c, got, judge)
		}
		if got.AsSlab {
			slabs++
			for i, stress := range map[int]float64{2: got.Interior, 3: got.Edge, 5: got.Corner} {
				if judge.Cases[i].Stress != stress {
					t.Fatalf("%s: %v, by cases %v", judge.Cases[i].Name, stress, judge.Cases[i].Stress)
				}
			}
			if got.Bottom < math.Max(got.Interior, got.Edge) || got.Top < got.Corner {
				t.Fatalf("%+v", got)
			}
		}
	}
	if slabs < 20 || slabs > 180 {
		t.Error("slabs:", slabs)
	}
}

func TestUnderAxleGrowsWithTheWheel(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 1))
	for range 200 {
		c := randomCrossedStrip(r)
		base, err := c.UnderAxle()
		if err != nil {
			continue
		}
		// As heavy a wheel on as large a foot: pressure grows with it.
		c.Wheel *= 1.2
		c.TyrePressure *= 1.2
		heavier, err := c.UnderAxle()
		if err != nil {
			t.Fatal(err)
		}
		if heavier.PlainUse <= base.PlainUse || heavier.BarUse <= base.BarUse || heavier.Pressure <= base.Pressure {
			t.Fatalf("%+v, heavier %+v", base, heavier)
		}
		if heavier.Bar != base.Bar || heavier.TopUse > heavier.PlainUse {
			t.Fatalf("%+v, heavier %+v", base, heavier)
		}
	}
}

func TestUnderAxleRefuses(t *testing.T) {
	var refused *ArgumentError
	// A foot wider than half the radius of relative stiffness: no case of a slab
	// holds, and none is left at nothing.
	wide := someCrossedStrip()
	wide.Width, wide.Thickness, wide.Wheel, wide.TyrePressure = 1500, 75, 60000, 0.2
	wide.SubgradeLow, wide.SubgradeHigh = 0.3, 0.3
	wide.BarsCover = 20
	if _, err := wide.UnderAxle(); !errors.As(err, &refused) || refused.Argument != "contact radius" {
		t.Error(err)
	}
	strong := someCrossedStrip()
	strong.Bars, strong.BarSize = 6, 12
	if _, err := strong.UnderAxle(); err != ErrTooMuchMesh {
		t.Error(err)
	}
	for _, v := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), -1, 1e300} {
		for name, change := range map[string]func(*CrossedStrip){
			"width": func(c *CrossedStrip) { c.Width = v }, "thickness": func(c *CrossedStrip) { c.Thickness = v },
			"cylinder": func(c *CrossedStrip) { c.Cylinder = v }, "Poisson": func(c *CrossedStrip) { c.Poisson = v },
			"rupture safety": func(c *CrossedStrip) { c.RuptureSafety = v }, "subgrade": func(c *CrossedStrip) {
				c.SubgradeLow = v
			}, "stiffer subgrade": func(c *CrossedStrip) { c.SubgradeHigh = v },
			"length": func(c *CrossedStrip) { c.Length = v }, "least steel": func(c *CrossedStrip) { c.SteelRatio = v },
			"wheel": func(c *CrossedStrip) { c.Wheel = v }, "tyre": func(c *CrossedStrip) { c.TyrePressure = v },
			"from the end": func(c *CrossedStrip) { c.FromEnd = v }, "wheel factor": func(c *CrossedStrip) {
				c.WheelFactor = v
			},
			"bars": func(c *CrossedStrip) { c.Bars = v }, "bar yield": func(c *CrossedStrip) { c.BarYield = v },
		} {
			c := someCrossedStrip()
			change(&c)
			if _, err := c.UnderAxle(); !errors.As(err, &refused) {
				t.Errorf("%s takes %v: %v", name, v, err)
			}
		}
	}
}
