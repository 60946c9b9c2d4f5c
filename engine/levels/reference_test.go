package levels

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"testing"

	"pegpour/engine/reference/record"
)

// reference is one published or computed case of testdata/references.
type reference struct {
	ID        string             `json:"id"`
	Topic     string             `json:"topic"`
	Inputs    json.RawMessage    `json:"inputs"`
	Expected  map[string]float64 `json:"expected"`
	Tolerance map[string]float64 `json:"rel_tolerance"`
}

func (r *reference) input(t *testing.T, into any) {
	t.Helper()
	if err := json.Unmarshal(r.Inputs, into); err != nil {
		t.Fatal(r.ID, err)
	}
}

func (r *reference) check(t *testing.T, name string, got float64) {
	t.Helper()
	record.Got(r.ID, name, got)
	want, ok := r.Expected[name]
	if !ok {
		t.Fatalf("%s: no expected value %q", r.ID, name)
	}
	tol, ok := r.Tolerance[name]
	if !ok {
		tol = r.Tolerance["*"]
	}
	if !(math.Abs(got-want) <= tol*math.Max(math.Abs(want), 1e-9)) {
		t.Errorf("%s: got %.12g, published %.12g", name, got, want)
	}
}

func references(t *testing.T, topic string) []reference {
	t.Helper()
	raw, err := os.ReadFile("../../testdata/references/levels.json")
	if err != nil {
		t.Fatal(err)
	}
	var all, out []reference
	if err := json.Unmarshal(raw, &all); err != nil {
		t.Fatal(err)
	}
	for _, r := range all {
		if r.Topic == topic {
			out = append(out, r)
		}
	}
	if len(out) == 0 {
		t.Fatalf("no references for %q", topic)
	}
	return out
}

func referenceCase(t *testing.T, topic, id string) reference {
	t.Helper()
	for _, r := range references(t, topic) {
		if r.ID == id {
			return r
		}
	}
	t.Fatalf("no reference %q", id)
	return reference{}
}

type bookedRow struct {
	BS       *float64 `json:"bs"`
	IS       *float64 `json:"is"`
	FS       *float64 `json:"fs"`
	Inverted bool     `json:"inverted"`
}

func pageRows(in []bookedRow, unit float64) []Row {
	sight := func(v *float64, inverted bool) Sight {
		switch {
		case v == nil:
			return Sight{}
		case inverted:
			return ReadInverted(*v * unit)
		}
		return Read(*v * unit)
	}
	rows := make([]Row, len(in))
	for i, r := range in {
		rows[i] = Row{Back: sight(r.BS, false), Intermediate: sight(r.IS, r.Inverted), Fore: sight(r.FS, r.Inverted)}
	}
	return rows
}

func TestReduce(t *testing.T) {
	for _, ref := range references(t, "levelling") {
		t.Run(ref.ID, func(t *testing.T) {
			var in struct {
				Rows  []bookedRow `json:"rows"`
				Start float64     `json:"start_rl_m"`
				Unit  float64     `json:"unit_mm"`
				K     float64     `json:"k_mm"`
				Km    float64     `json:"length_km"`
				SumBS float64     `json:"sum_bs_m"`
				SumFS float64     `json:"sum_fs_m"`
				First float64     `json:"first_rl_m"`
			}
			ref.input(t, &in)
			switch {
			case in.K > 0:
				allow, err := ByDistance(in.K, in.Km*1e6)
				if err != nil {
					t.Fatal(err)
				}
				ref.check(t, "allow_mm", allow)
				return
			case in.SumBS > 0: // totals only: one setup carries the same change
				bs, fs := in.SumBS*1000, in.SumFS*1000
				r, err := Reduce([]Row{{Back: Read(bs)}, {Fore: Read(fs)}}, in.First*1000)
				if err != nil {
					t.Fatal(err)
				}
				ref.check(t, "last_rl_m", r.Check.Last/1000)
				return
			}
			unit := 1000.0
			if in.Unit > 0 {
				unit = in.Unit
			}
			r, err := Reduce(pageRows(in.Rows, unit), in.Start*unit)
			if err != nil {
				t.Fatal(err)
			}
			if !r.Check.RiseAndFallHolds || !r.Check.CollimationHolds {
				t.Errorf("arithmetic checks: %+v", r.Check)
			}
			for i, row := range r.Rows {
				name := fmt.Sprintf("rl%d", i)
				if _, asked := ref.Expected[name]; asked {
					ref.check(t, name, row.ByRiseAndFall/unit)
					ref.check(t, name, row.ByCollimation/unit)
				}
				if hi := fmt.Sprintf("hi%d", row.Setup); ref.Expected[hi] != 0 {
					ref.check(t, hi, row.Collimation/unit)
				}
			}
			for name, got := range map[string]float64{"sum_bs": r.Check.Back, "sum_fs": r.Check.Fore, "sum_rise": r.Check.Rise, "sum_fall": r.Check.Fall} {
				if _, asked := ref.Expected[name]; asked {
					ref.check(t, name, got/unit)
				}
			}
		})
	}
}

func TestClose(t *testing.T) {
	for _, ref := range references(t, "level adjustment") {
		t.Run(ref.ID, func(t *testing.T) {
			var in struct {
				Known    float64   `json:"known_m"`
				Km       []float64 `json:"distance_km"`
				Observed []float64 `json:"observed_m"`
			}
			ref.input(t, &in)
			// One setup a leg stands for the levelled section; the scale of
			// distances (1:100 here, to stay on one site) does not matter. The
			// legs climb more than a staff, so heights are 1:100 too.
			const scale = 10.0
			rows := []Row{{Back: Read(4000)}}
			level, run := in.Known, 0.0
			for i, z := range in.Observed {
				r := Row{Fore: Read(4000 - (z-level)*scale), Run: (in.Km[i] - run) * 1000}
				if i+1 < len(in.Observed) {
					r.Back = Read(4000)
				}
				rows = append(rows, r)
				level, run = z, in.Km[i]
			}
			r, err := Reduce(rows, in.Known*scale)
			if err != nil {
				t.Fatal(err)
			}
			allow, err := ByDistance(12, run*1e6)
			if err != nil {
				t.Fatal(err)
			}
			c, err := Close(rows, &r, in.Known*scale, allow, EqualDistance)
			if err != nil {
				t.Fatal(err)
			}
			for i := range in.Observed {
				ref.check(t, fmt.Sprintf("adj%d", i), c.Adjusted[i+1]/scale)
			}
			if !c.Within {
				t.Errorf("misclosure %v beyond %v", c.Misclosure, c.Allowance)
			}
		})
	}
}

func TestGrade(t *testing.T) {
	for _, ref := range references(t, "slope") {
		t.Run(ref.ID, func(t *testing.T) {
			var in struct {
				N float64 `json:"one_in"`
			}
			ref.input(t, &in)
			g, err := OneIn(in.N)
			if err != nil {
				t.Fatal(err)
			}
			ref.check(t, "percent", g.Percent())
			ref.check(t, "degrees", g.Degrees())
			p, _ := Percent(g.Percent())
			d, _ := Degrees(g.Degrees())
			if math.Abs(float64(p-g)) > 1e-15 || math.Abs(float64(d-g)) > 1e-15 || math.Abs(g.OneIn()-in.N) > 1e-12 {
				t.Errorf("percent %v degrees %v of %v", p, d, g)
			}
		})
	}
}

func TestFitLine(t *testing.T) {
	ref := referenceCase(t, "line fit", "line-norris")
	var in struct{ X, Y []float64 }
	ref.input(t, &in)
	points := make([]Point, len(in.X))
	for i := range points {
		points[i] = Point{Chainage: in.X[i], Level: in.Y[i], Sigma: 1}
	}
	l, err := FitLine(points)
	if err != nil {
		t.Fatal(err)
	}
	ref.check(t, "b0", l.Z0)
	ref.check(t, "b1", float64(l.Grade))
	ref.check(t, "residual_sd", l.UnitDeviation)
	ref.check(t, "sd_b0", l.UnitDeviation*math.Sqrt(l.Covariance[0][0]))
	ref.check(t, "sd_b1", l.UnitDeviation*math.Sqrt(l.Covariance[1][1]))
}

func TestFitPlane(t *testing.T) {
	ref := referenceCase(t, "plane fit", "plane-four-corners")
	var in struct {
		X, Y, Z []float64
		Sigma   float64
	}
	ref.input(t, &in)
	points := make([]Point, len(in.X))
	for i := range points {
		points[i] = Point{Chainage: in.X[i], Offset: in.Y[i], Level: in.Z[i], Sigma: in.Sigma}
	}
	p, err := FitPlane(points)
	if err != nil {
		t.Fatal(err)
	}
	ref.check(t, "z0", p.Z0)
	ref.check(t, "grade", float64(p.Grade))
	ref.check(t, "crossfall", float64(p.CrossFall))
	ref.check(t, "sigma_grade", math.Sqrt(p.Covariance[1][1]))
	ref.check(t, "sigma_crossfall", math.Sqrt(p.Covariance[2][2]))
	ref.check(t, "residual0", p.Residuals[0].Value)
}

func TestEarthwork(t *testing.T) {
	t.Run("prismoidal", func(t *testing.T) {
		ref := referenceCase(t, "earthwork", "prismoidal")
		var in struct {
			A1 float64 `json:"A1_m2"`
			Am float64 `json:"Am_m2"`
			A2 float64 `json:"A2_m2"`
			L  float64 `json:"L_m"`
		}
		ref.input(t, &in)
		v, err := Prismoid(in.L*1e3, in.A1*1e6, in.Am*1e6, in.A2*1e6)
		if err != nil {
			t.Fatal(err)
		}
		ref.check(t, "V_m3", v/1e9)
	})
	t.Run("prismoidal-embankment", func(t *testing.T) {
		ref := referenceCase(t, "earthwork", "prismoidal-embankment")
		var in struct {
			Width    float64   `json:"width_m"`
			Batter   float64   `json:"batter"`
			Heights  []float64 `json:"heights_m"`
			Interval float64   `json:"interval_m"`
		}
		ref.input(t, &in)
		var sections []Section
		for i, h := range in.Heights {
			a, err := LevelSection(in.Width*1e3, h*1e3, in.Batter)
			if err != nil {
				t.Fatal(err)
			}
			sections = append(sections, Section{float64(i) * in.Interval * 1e3, a})
		}
		e, err := EndArea(sections)
		if err != nil {
			t.Fatal(err)
		}
		ref.check(t, "end_area_m3", e/1e9)
		p, err := Prismoidal(sections)
		if err != nil {
			t.Fatal(err)
		}
		ref.check(t, "prismoidal_m3", p/1e9)
	})
	t.Run("end-area-pyramid", func(t *testing.T) {
		ref := referenceCase(t, "earthwork", "end-area-pyramid")
		var in struct {
			A float64 `json:"A_m2"`
			L float64 `json:"L_m"`
		}
		ref.input(t, &in)
		e, _ := EndArea([]Section{{0, in.A * 1e6}, {in.L * 1e3, 0}})
		ref.check(t, "end_area_m3", e/1e9)
		p, _ := Prismoid(in.L*1e3, in.A*1e6, in.A*1e6/4, 0)
		ref.check(t, "pyramid_m3", p/1e9)
	})
	t.Run("parking-lot-fill", func(t *testing.T) {
		ref := referenceCase(t, "earthwork", "parking-lot-fill")
		var in struct {
			Side      float64   `json:"side_ft"`
			Corners   []float64 `json:"corners_ft"`
			Formation float64   `json:"formation_ft"`
		}
		ref.input(t, &in)
		const foot = 304.8
		l := in.Side * foot
		// With the mean at the middle the four triangles weigh each corner alike,
		// as the four-corner rule does.
		places := []Place{{0, 0}, {l, 0}, {l, l}, {0, l}}
		var points []Point
		var mean float64
		for i, c := range in.Corners {
			points = append(points, Point{Chainage: places[i].Chainage, Offset: places[i].Offset, Level: c * foot})
			mean += c * foot / 4
		}
		points = append(points, Point{Chainage: l / 2, Offset: l / 2, Level: mean})
		s, err := NewSurface(points)
		if err != nil {
			t.Fatal(err)
		}
		cf, err := s.Difference(places, Formation{Z0: in.Formation * foot})
		if err != nil {
			t.Fatal(err)
		}
		ref.check(t, "fill_yd3", cf.Fill/math.Pow(3*foot, 3))
		if cf.Cut != 0 || cf.Uncovered != 0 {
			t.Errorf("cut %v, uncovered %v", cf.Cut, cf.Uncovered)
		}
	})
}
