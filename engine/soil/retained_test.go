package soil

import (
	"math"
	"testing"
)

// A post's load as a sum over its height: sand of 28°, 20 kN/m³, whose table's
// 60 psf for each foot governs; gravel of 34°, 21 kN/m³, whose table's 30 does not.
func TestRetained_slices(t *testing.T) {
	const table = 4.4482216152605 / (304.8 * 304.8 * 304.8)
	for _, k := range []struct {
		r      Retained
		growth float64
	}{
		{Retained{FrictionAngle: 28 * degree, UnitWeight: 20e-6, Least: LeastActive("sand"), Surcharge: 0.0025}, 60 * table},
		{Retained{FrictionAngle: 34 * degree, UnitWeight: 21e-6, Least: LeastActive("gravel"), Surcharge: 0.0025},
			21e-6 * math.Pow(math.Tan(28*degree), 2)},
	} {
		got, err := k.r.OnPost(1500, 1200)
		if err != nil {
			t.Fatal(err)
		}
		force, moment, step := 0.0, 0.0, 0.5
		for z := step / 2; z < 1500; z += step {
			p := k.growth * (z + k.r.Surcharge/k.r.UnitWeight) * step * 1200
			force, moment = force+p, moment+p*(1500-z)
		}
		if math.Abs(got.Force-force) > 1e-5*force || math.Abs(got.Moment-moment) > 1e-5*moment {
			t.Errorf("%+v: %+v, by slices %v and %v", k.r, got, force, moment)
		}
		if p, growth, err := k.r.PressureAt(0); err != nil || math.Abs(growth-k.growth) > 1e-12 ||
			math.Abs(p-k.growth*k.r.Surcharge/k.r.UnitWeight) > 1e-12 {
			t.Errorf("%v %v %v", p, growth, err)
		}
	}
	// A slope raises the table's pressure as it raises Rankine's.
	sloped := Retained{FrictionAngle: 28 * degree, UnitWeight: 20e-6, Least: LeastActive("sand"), Backslope: 15 * degree}
	k, err := sloped.Coefficient()
	up, _ := Active(28*degree, 15*degree)
	level, _ := Active(28*degree, 0)
	if err != nil || math.Abs(k-60*table/20e-6*up/level) > 1e-9 {
		t.Errorf("%v %v", k, err)
	}
	if LeastActive("no such ground") != LeastActive("clay") {
		t.Error("ground of no class pushes less than clay")
	}
	for _, v := range []float64{math.NaN(), math.Inf(1), -1} {
		for i, r := range []Retained{{v, 20e-6, 0, 0, 0}, {0.5, v, 0, 0, 0}, {0.5, 20e-6, v, 0, 0}, {0.5, 20e-6, 0, v, 0},
			{0.5, 20e-6, 0, 0, v}} {
			if _, err := r.Coefficient(); err == nil {
				t.Errorf("%d takes %v", i, v)
			}
		}
	}
}

// The bending of a post as a sum down to where no shear is left.
func TestBending_slices(t *testing.T) {
	p := EmbeddedPost{Force: 2476, Height: 206, Width: 450, Lateral: 200 * psfPerFoot, Factor: 1}
	got, err := p.Bending()
	if err != nil {
		t.Fatal(err)
	}
	shear, moment, step := p.Force, p.Force*p.Height, 0.01
	for z := step / 2; shear > 0; z += step {
		moment += shear * step
		shear -= p.Lateral * z * p.Width * step
	}
	if math.Abs(got-moment) > 1e-4*moment {
		t.Errorf("%v, by slices %v", got, moment)
	}
	p.Width = -1
	if _, err := p.Bending(); err == nil {
		t.Error("no width is taken")
	}
}

// A wall whose table governs and whose heel is weighed light, by hand: 1 m on a
// base of 1000 × 200, 190 thick, sand pushing 20 kN/m³ at 28°, 15 over the heel.
func TestWallAtTheEndThatHurts_hand(t *testing.T) {
	w := Wall{StemHeight: 1000, StemTop: 190, Heel: 810, BaseThickness: 200, WallWeight: 24e-6,
		FrictionAngle: 28 * degree, UnitWeight: 20e-6, HeelWeight: 15e-6, Least: LeastActive("sand"),
		BaseFriction: math.Atan(0.25)}
	got, err := w.Stability()
	if err != nil {
		t.Fatal(err)
	}
	push := 9.4252e-6 * 1200 * 1200 / 2
	weight := 24e-6*1000*200 + 24e-6*190*1000 + 15e-6*810*1000
	turn := push * 400
	hold := 24e-6*200*1000*500 + 24e-6*190*1000*95 + 15e-6*810*1000*595
	for name, pair := range map[string][2]float64{"push": {got.Horizontal, push}, "sliding": {got.Sliding, weight / 4 / push},
		"turning": {got.Overturning, hold / turn}, "stem": {got.StemMoment, 9.4252e-6 * 1e9 / 6}} {
		if math.Abs(pair[0]-pair[1]) > 1e-4*pair[1] {
			t.Errorf("%s %v, by hand %v", name, pair[0], pair[1])
		}
	}
}
