package tape

import (
	"math"
	"testing"

	"pegpour/engine/reference/cases"
)

func TestAdjust(t *testing.T) {
	for _, c := range []struct{ id, unknown string }{{"trilateration-14.1", "U"}, {"distance-intersection-W", "W"}} {
		t.Run(c.id, func(t *testing.T) {
			var in struct {
				Pegs      map[string][2]float64 `json:"pegs"`
				Distances map[string]float64    `json:"distances"`
				Sigmas    map[string]float64    `json:"sigmas"`
			}
			ref := cases.Named(t, "tape.json", c.id)
			ref.Fill(t, &in)
			// The metre network is scaled to mm; the foot one is read as mm.
			scale := 1.0
			if in.Sigmas != nil {
				scale = 1000
			}
			n := Network{Pegs: []Peg{{Name: c.unknown}}}
			for _, name := range []string{"A", "B", "C"} {
				p := in.Pegs[name]
				n.Pegs = append(n.Pegs, Peg{Name: name, Known: true, X: p[0] * scale, Y: p[1] * scale})
				s := 1.0
				if in.Sigmas != nil {
					s = in.Sigmas[name] * scale
				}
				n.Tapes = append(n.Tapes,
					Taped{From: c.unknown, To: name, Length: in.Distances[name] * scale, Sigma: s})
			}
			r, err := n.Adjust()
			if err != nil {
				t.Fatal(err)
			}
			p, _ := r.Peg(c.unknown)
			ref.Compare(t, "x", p.X/scale)
			ref.Compare(t, "y", p.Y/scale)
			for i, name := range []string{"A", "B", "C"} {
				ref.Compare(t, "v"+name, r.Tapes[i].Residual/scale)
			}
			if in.Sigmas != nil {
				ref.Compare(t, "su", p.Ellipse.Major/scale)
				ref.Compare(t, "sv", p.Ellipse.Minor/scale)
				ref.Compare(t, "sx", math.Sqrt(p.Covariance[0][0])/scale)
				ref.Compare(t, "sy", math.Sqrt(p.Covariance[1][1])/scale)
			}
			if r.DegreesOfFreedom != 1 {
				t.Error("degrees of freedom", r.DegreesOfFreedom)
			}
		})
	}
	t.Run("sss-3-4-5", func(t *testing.T) {
		var in struct{ A, B, C float64 }
		ref := cases.Named(t, "tape.json", "sss-3-4-5")
		ref.Fill(t, &in)
		n := Network{Pegs: []Peg{{Name: "C"}, {Name: "B"}, {Name: "A", Side: Left}},
			Tapes: []Taped{{"C", "B", in.A, 2}, {"C", "A", in.B, 2}, {"A", "B", in.C, 2}}}
		r, err := n.Adjust()
		if err != nil {
			t.Fatal(err)
		}
		a, _ := r.Peg("A")
		ref.Compare(t, "angle_C_deg", math.Atan2(a.Y, a.X)*180/math.Pi)
		for _, tape := range r.Tapes {
			if tape.Checked || !math.IsInf(tape.SmallestFound, 1) {
				t.Error("three tapes of a triangle check nothing", tape)
			}
		}
	})
	t.Run("quad-3-4", func(t *testing.T) {
		var in struct{ A, B, Error, Sigma float64 }
		ref := cases.Named(t, "tape.json", "quad-3-4")
		ref.Fill(t, &in)
		d := math.Hypot(in.A, in.B)
		n := Network{
			Pegs: []Peg{{Name: "1"}, {Name: "2"}, {Name: "3", Side: Left}, {Name: "4", Side: Left}},
			Tapes: []Taped{{"1", "2", in.A, in.Sigma}, {"2", "3", in.B, in.Sigma}, {"3", "4", in.A, in.Sigma},
				{"4", "1", in.B, in.Sigma}, {"1", "3", d + in.Error, in.Sigma}, {"2", "4", d, in.Sigma}},
		}
		r, err := n.Adjust()
		if err != nil {
			t.Fatal(err)
		}
		// Redundancy is judged on the true figure: within the curvature of the error.
		n.Tapes[4].Length = d
		square, err := n.Adjust()
		if err != nil {
			t.Fatal(err)
		}
		ref.Compare(t, "r_a", square.Tapes[0].Redundancy)
		ref.Compare(t, "r_b", square.Tapes[1].Redundancy)
		ref.Compare(t, "r_diagonal", square.Tapes[5].Redundancy)
		ref.Compare(t, "smallest_found", square.Tapes[5].SmallestFound)
		for _, tape := range r.Tapes {
			ref.Compare(t, "standardized", math.Abs(tape.Standardized))
		}
		if len(r.Suspects) != 6 {
			t.Error("one check cannot name the wrong tape of six", r.Suspects)
		}
	})
}

func TestCorrect(t *testing.T) {
	t.Run("tape-temp", func(t *testing.T) {
		var in struct {
			L  float64 `json:"L_m"`
			T0 float64 `json:"t0"`
			T  float64 `json:"t"`
			K  float64 `json:"k"`
		}
		ref := cases.Named(t, "tape.json", "tape-temp")
		ref.Fill(t, &in)
		c, err := Tape{Expansion: in.K, StandardTemperature: in.T0}.Correct(in.L*1000, Conditions{Temperature: in.T})
		if err != nil {
			t.Fatal(err)
		}
		ref.Compare(t, "corr_mm", c.Temperature)
	})
	t.Run("tape-slope-civilnote", func(t *testing.T) {
		var in struct {
			Reading float64 `json:"reading_m"`
			Height  float64 `json:"height_m"`
		}
		ref := cases.Named(t, "tape.json", "tape-slope-civilnote")
		ref.Fill(t, &in)
		c, err := Tape{}.Correct(in.Reading*1000, Conditions{HeightDifference: in.Height * 1000})
		if err != nil {
			t.Fatal(err)
		}
		ref.Compare(t, "slope_mm", c.Slope)
		ref.Compare(t, "length_m", c.Length/1000)
	})
	t.Run("taping-ghilani-6.1", func(t *testing.T) {
		var in struct {
			Reading float64   `json:"reading_ft"`
			Nominal float64   `json:"nominal_ft"`
			True    float64   `json:"true_ft"`
			Pull    float64   `json:"pull_lb"`
			Weight  float64   `json:"weight_lb_per_ft"`
			Spans   []float64 `json:"spans_ft"`
		}
		ref := cases.Named(t, "tape.json", "taping-ghilani-6.1")
		ref.Fill(t, &in)
		const foot, pound = 304.8, 4.4482216152605
		for i := range in.Spans {
			in.Spans[i] *= foot
		}
		c, err := Tape{Nominal: in.Nominal * foot, Standardized: in.True * foot, Weight: in.Weight * pound / foot}.
			Correct(in.Reading*foot, Conditions{Pull: in.Pull * pound, Spans: in.Spans})
		if err != nil {
			t.Fatal(err)
		}
		ref.Compare(t, "standardization_ft", c.Standardization/foot)
		ref.Compare(t, "sag_ft", c.Sag/foot)
	})
	t.Run("taping-mahun-e4", func(t *testing.T) {
		var in map[string]any
		ref := cases.Named(t, "tape.json", "taping-mahun-e4")
		ref.Fill(t, &in)
		v := func(k string) float64 { return in[k].(float64) }
		const foot, pound, inch = 304.8, 4.4482216152605, 25.4
		celsius := func(f float64) float64 { return (f - 32) / 1.8 }
		var spans []float64
		for _, s := range in["spans_ft"].([]any) {
			spans = append(spans, s.(float64)*foot)
		}
		c, err := Tape{
			Nominal: v("nominal_ft") * foot, Standardized: v("true_ft") * foot,
			StandardTemperature: celsius(v("standard_F")), Expansion: v("k_per_F") * 1.8,
			StandardPull: v("standard_lb") * pound, Area: v("area_in2") * inch * inch,
			Modulus: v("modulus_psi") * pound / (inch * inch),
			Weight:  v("weight_lb") * pound / (v("weighed_ft") * foot),
		}.Correct(v("reading_ft")*foot, Conditions{Temperature: celsius(v("field_F")), Pull: v("pull_lb") * pound,
			Spans: spans})
		if err != nil {
			t.Fatal(err)
		}
		ref.Compare(t, "standardization_ft", c.Standardization/foot)
		ref.Compare(t, "temperature_ft", c.Temperature/foot)
		ref.Compare(t, "pull_ft", c.Pull/foot)
		ref.Compare(t, "sag_ft", c.Sag/foot)
		ref.Compare(t, "length_ft", c.Length/foot)
	})
}

func TestCorrectRefuses(t *testing.T) {
	for _, c := range []struct {
		name    string
		tape    Tape
		reading float64
		cond    Conditions
	}{
		{"NaN reading", Tape{}, math.NaN(), Conditions{}},
		{"no reading", Tape{}, 0, Conditions{}},
		{"hanging without pull", Tape{Weight: 1e-4}, 30000, Conditions{Spans: []float64{30000}}},
		{"span longer than the reading", Tape{Weight: 1e-4}, 3000, Conditions{Pull: 50, Spans: []float64{4000}}},
		{"spans together too long", Tape{Weight: 1e-4}, 3000, Conditions{Pull: 50, Spans: []float64{2000, 2000}}},
		{"steeper than the tape is long", Tape{}, 1000, Conditions{HeightDifference: -1000}},
		{"boiling", Tape{Expansion: 1e-5}, 1000, Conditions{Temperature: 100}},
		{"true length of another tape", Tape{Nominal: 30000, Standardized: 50000}, 1000, Conditions{}},
	} {
		if _, err := c.tape.Correct(c.reading, c.cond); err == nil {
			t.Error(c.name, "accepted")
		}
	}
}

// A general-purpose library's own cases, as far as they are in the plane and
// determined.
func TestTrilateration(t *testing.T) {
	ran := 0
	for _, ref := range cases.OfTopic(t, "tape.json", "trilateration") {
		ran++
		t.Run(ref.ID, func(t *testing.T) {
			var in struct {
				Positions [][2]float64 `json:"positions"`
				Distances []float64    `json:"distances"`
				Delta     float64      `json:"accepted_delta"`
			}
			ref.Fill(t, &in)
			scale := 1000.0 // metres to mm, but for the case that is in hundreds already
			if in.Distances[0] > 100 {
				scale = 1
			}
			n := Network{Pegs: []Peg{{Name: "P"}}}
			for i, p := range in.Positions {
				name := string(rune('A' + i))
				n.Pegs = append(n.Pegs, Peg{Name: name, Known: true, X: p[0] * scale, Y: p[1] * scale})
				n.Tapes = append(n.Tapes, Taped{From: name, To: "P", Length: in.Distances[i] * scale, Sigma: 10})
			}
			r, err := n.Adjust()
			if err != nil {
				t.Fatal(err)
			}
			p, _ := r.Peg("P")
			if in.Delta < 1 { // one case is accepted there within more than it is
				ref.Compare(t, "x", p.X/scale)
				ref.Compare(t, "y", p.Y/scale)
			}
			if dx, dy := p.X/scale-ref.Expected["x"].(float64),
				p.Y/scale-ref.Expected["y"].(float64); math.Abs(dx) > in.Delta || math.Abs(dy) > in.Delta {
				t.Errorf("at %v %v, published %v", p.X/scale, p.Y/scale, ref.Expected)
			}
		})
	}
	if ran < 8 {
		t.Error("only", ran)
	}
}
