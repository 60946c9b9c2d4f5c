package slab

import (
	"errors"
	"testing"
)

func someCheck() WheelCheck {
	return WheelCheck{Strip: Strip{300, 200, 27000, 0.04}, Poisson: 0.15,
		Loads: []StripLoad{{1000, 8000}, {2500, 8000}}, FromEnd: true,
		Radius: 100, Strength: 3.1, Safety: 1.7, AllowedEarth: 0.0718}
}

func TestGoverning(t *testing.T) {
	narrow, err := someCheck().Governing()
	if err != nil || narrow.SlabCases || len(narrow.Cases) != 2 {
		t.Fatalf("%+v %v", narrow, err)
	}
	wide := someCheck()
	wide.Width = 1500
	w, err := wide.Governing()
	if err != nil || !w.SlabCases || len(w.Cases) != 6 {
		t.Fatalf("%+v %v", w, err)
	}
	if name := w.Cases[w.Governing].Name; name != "slab, wheel half over its edge" {
		t.Errorf("a wide strip is governed by %q", name)
	}
	for _, a := range []WheelAnswer{narrow, w} {
		for _, c := range a.Cases {
			if c.Use > a.GreatestUse || c.Use != c.Stress*1.7/3.1 || c.Pressure > a.EarthPeak {
				t.Errorf("%+v above %v", c, a)
			}
		}
		if a.GreatestUse != a.Cases[a.Governing].Use || a.EarthUse != a.EarthPeak/0.0718 {
			t.Errorf("%+v", a)
		}
	}
	// A wheel on the very end presses hardest and hogs.
	end := someCheck()
	end.Loads = []StripLoad{{0, 8000}}
	e, err := end.Governing()
	if err != nil || !e.Cases[e.Governing].Top || e.EarthPeak <= narrow.EarthPeak {
		t.Errorf("%+v %v", e, err)
	}
	thick := someCheck()
	thick.Thickness = 300
	if k, err := thick.Governing(); err != nil || k.GreatestUse >= narrow.GreatestUse {
		t.Errorf("%+v %v", k, err)
	}
	none := someCheck()
	none.Loads = nil
	var refused *ArgumentError
	if _, err := none.Governing(); !errors.As(err, &refused) {
		t.Errorf("no wheels: %v", err)
	}
}
