package levels

import (
	"fmt"
	"math"
	"testing"

	"pegpour/engine/reference/cases"
)

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
	for _, ref := range cases.OfTopic(t, "levels.json", "levelling") {
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
			ref.Fill(t, &in)
			switch {
			case in.K > 0:
				allow, err := ByDistance(in.K, in.Km*1e6)
				if err != nil {
					t.Fatal(err)
				}
				ref.Compare(t, "allow_mm", allow)
				return
			case in.SumBS > 0: // totals only: one setup carries the same change
				bs, fs := in.SumBS*1000, in.SumFS*1000
				r, err := Reduce([]Row{{Back: Read(bs)}, {Fore: Read(fs)}}, in.First*1000)
				if err != nil {
					t.Fatal(err)
				}
				ref.Compare(t, "last_rl_m", r.Check.Last/1000)
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
				if ref.Expects(name) {
					ref.Compare(t, name, row.ByRiseAndFall/unit)
					ref.Compare(t, name, row.ByCollimation/unit)
				}
				if hi := fmt.Sprintf("hi%d", row.Setup); ref.Expects(hi) {
					ref.Compare(t, hi, row.Collimation/unit)
				}
			}
			for name, got := range map[string]float64{"sum_bs": r.Check.Back, "sum_fs": r.Check.Fore,
				"sum_rise": r.Check.Rise, "sum_fall": r.Check.Fall} {
				if ref.Expects(name) {
					ref.Compare(t, name, got/unit)
				}
			}
		})
	}
}

func TestClose(t *testing.T) {
	for _, ref := range cases.OfTopic(t, "levels.json", "level adjustment") {
		t.Run(ref.ID, func(t *testing.T) {
			var in struct {
				Known    float64   `json:"known_m"`
				Km       []float64 `json:"distance_km"`
				Observed []float64 `json:"observed_m"`
			}
			ref.Fill(t, &in)
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
				ref.Compare(t, fmt.Sprintf("adj%d", i), c.Adjusted[i+1]/scale)
			}
			if !c.Within {
				t.Errorf("misclosure %v beyond %v", c.Misclosure, c.Allowance)
			}
		})
	}
}

func TestGrade(t *testing.T) {
	for _, ref := range cases.OfTopic(t, "levels.json", "slope") {
		t.Run(ref.ID, func(t *testing.T) {
			var in struct {
				N float64 `json:"one_in"`
			}
			ref.Fill(t, &in)
			g, err := OneIn(in.N)
			if err != nil {
				t.Fatal(err)
			}
			ref.Compare(t, "percent", g.Percent())
			ref.Compare(t, "degrees", g.Degrees())
			p, _ := Percent(g.Percent())
			d, _ := Degrees(g.Degrees())
			if math.Abs(float64(p-g)) > 1e-15 || math.Abs(float64(d-g)) > 1e-15 || math.Abs(g.OneIn()-in.N) > 1e-12 {
				t.Errorf("percent %v degrees %v of %v", p, d, g)
			}
		})
	}
}

func TestFitLine(t *testing.T) {
	ref := cases.Named(t, "levels.json", "line-norris")
	var in struct{ X, Y []float64 }
	ref.Fill(t, &in)
	points := make([]Point, len(in.X))
	for i := range points {
		points[i] = Point{Chainage: in.X[i], Level: in.Y[i], Sigma: 1}
	}
	l, err := FitLine(points)
	if err != nil {
		t.Fatal(err)
	}
	ref.Compare(t, "b0", l.Z0)
	ref.Compare(t, "b1", float64(l.Grade))
	ref.Compare(t, "residual_sd", l.UnitDeviation)
	ref.Compare(t, "sd_b0", l.UnitDeviation*math.Sqrt(l.Covariance[0][0]))
	ref.Compare(t, "sd_b1", l.UnitDeviation*math.Sqrt(l.Covariance[1][1]))
}

func TestFitPlane(t *testing.T) {
	ref := cases.Named(t, "levels.json", "plane-four-corners")
	var in struct {
		X, Y, Z []float64
		Sigma   float64
	}
	ref.Fill(t, &in)
	points := make([]Point, len(in.X))
	for i := range points {
		points[i] = Point{Chainage: in.X[i], Offset: in.Y[i], Level: in.Z[i], Sigma: in.Sigma}
	}
	p, err := FitPlane(points)
	if err != nil {
		t.Fatal(err)
	}
	ref.Compare(t, "z0", p.Z0)
	ref.Compare(t, "grade", float64(p.Grade))
	ref.Compare(t, "crossfall", float64(p.CrossFall))
	ref.Compare(t, "sigma_grade", math.Sqrt(p.Covariance[1][1]))
	ref.Compare(t, "sigma_crossfall", math.Sqrt(p.Covariance[2][2]))
	ref.Compare(t, "residual0", p.Residuals[0].Value)
}

func TestEarthwork(t *testing.T) {
	for _, id := range []string{"prismoidal", "prismoid-frustum", "prismoid-loft", "prismoid-cut"} {
		t.Run(id, func(t *testing.T) {
			ref := cases.Named(t, "levels.json", id)
			v, err := Prismoid(ref.Number("L_m")*1e3, ref.Number("A1_m2")*1e6, ref.Number("Am_m2")*1e6,
				ref.Number("A2_m2")*1e6)
			if err != nil {
				t.Fatal(err)
			}
			ref.Compare(t, "V_m3", v/1e9)
		})
	}
	t.Run("prismoidal-embankment", func(t *testing.T) {
		ref := cases.Named(t, "levels.json", "prismoidal-embankment")
		var in struct {
			Width    float64   `json:"width_m"`
			Batter   float64   `json:"batter"`
			Heights  []float64 `json:"heights_m"`
			Interval float64   `json:"interval_m"`
		}
		ref.Fill(t, &in)
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
		ref.Compare(t, "end_area_m3", e/1e9)
		p, err := Prismoidal(sections)
		if err != nil {
			t.Fatal(err)
		}
		ref.Compare(t, "prismoidal_m3", p/1e9)
	})
	t.Run("end-area-pyramid", func(t *testing.T) {
		ref := cases.Named(t, "levels.json", "end-area-pyramid")
		var in struct {
			A float64 `json:"A_m2"`
			L float64 `json:"L_m"`
		}
		ref.Fill(t, &in)
		e, _ := EndArea([]Section{{0, in.A * 1e6}, {in.L * 1e3, 0}})
		ref.Compare(t, "end_area_m3", e/1e9)
		p, _ := Prismoid(in.L*1e3, in.A*1e6, in.A*1e6/4, 0)
		ref.Compare(t, "pyramid_m3", p/1e9)
	})
	t.Run("parking-lot-fill", func(t *testing.T) {
		ref := cases.Named(t, "levels.json", "parking-lot-fill")
		var in struct {
			Side      float64   `json:"side_ft"`
			Corners   []float64 `json:"corners_ft"`
			Formation float64   `json:"formation_ft"`
		}
		ref.Fill(t, &in)
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
		ref.Compare(t, "fill_yd3", cf.Fill/math.Pow(3*foot, 3))
		if cf.Cut != 0 || cf.Uncovered != 0 {
			t.Errorf("cut %v, uncovered %v", cf.Cut, cf.Uncovered)
		}
	})
}
