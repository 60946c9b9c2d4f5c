package photo

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pegpour/engine/reference/cases"
)

func TestHomography(t *testing.T) {
	for _, ref := range cases.OfTopic(t, "photo.json", "photo") {
		t.Run(ref.ID, func(t *testing.T) {
			var in struct {
				From, To, Quad [][2]float64
				Point          [2]float64
				Back           [2]float64 `json:"back_point"`
			}
			ref.Fill(t, &in)
			if in.Quad != nil {
				in.From, in.To, in.Point = [][2]float64{{0, 0}, {1, 0}, {1, 1}, {0, 1}}, in.Quad, [2]float64{0.5, 0.5}
			}
			var pairs []Pair
			for i := range in.From {
				pairs = append(pairs, Pair{X: in.From[i][0], Y: in.From[i][1], U: in.To[i][0], V: in.To[i][1]})
			}
			f, err := Homography(pairs, 1)
			if err != nil {
				t.Fatal(err)
			}
			p, err := f.ToPicture(Ground{in.Point[0], in.Point[1]})
			if err != nil {
				t.Fatal(err)
			}
			if in.Quad != nil {
				ref.Compare(t, "x", p.U)
				ref.Compare(t, "y", p.V)
				return
			}
			ref.Compare(t, "u", p.U)
			ref.Compare(t, "v", p.V)
			g, err := f.ToGround(Pixel{in.Back[0], in.Back[1]})
			if err != nil {
				t.Fatal(err)
			}
			ref.Compare(t, "x", g.X)
			ref.Compare(t, "y", g.Y)
			if ref.Expects("h0") {
				for i, h := range f.Matrix() {
					ref.Compare(t, fmt.Sprintf("h%d", i), h)
				}
				for i, h := range f.Inverse() {
					ref.Compare(t, fmt.Sprintf("i%d", i), h)
				}
			}
			if !f.NoCheck || f.Residuals[0].Pixels > 1e-9 {
				t.Error("four points fit and have no check", f.Residuals)
			}
		})
	}
}

// camera is a pinhole at a height over flat ground, looking along Y and down.
type camera struct{ x, y, height, tilt, pan, focal, cu, cv float64 }

func phone() camera { return camera{2000, -4000, 1600, 0.25, 0.1, 3000, 2000, 1500} }

func (c camera) project(g Ground) (Pixel, float64) {
	dx, dy, dz := g.X-c.x, g.Y-c.y, -c.height
	rx, ry := dx*math.Cos(c.pan)-dy*math.Sin(c.pan), dx*math.Sin(c.pan)+dy*math.Cos(c.pan)
	depth := ry*math.Cos(c.tilt) - dz*math.Sin(c.tilt)
	down := -ry*math.Sin(c.tilt) - dz*math.Cos(c.tilt)
	return Pixel{c.cu + c.focal*rx/depth, c.cv + c.focal*down/depth}, depth
}

func siteGround() []Ground {
	return []Ground{{0, 0}, {4000, 0}, {4300, 3500}, {-200, 3000}, {2000, 1500}, {6000, 1000}, {1000, 5000}}
}

func picked(c camera, places []Ground, r *rand.Rand, sigma float64) []Pair {
	var out []Pair
	for i, g := range places {
		p, _ := c.project(g)
		if r != nil {
			p.U += sigma * r.NormFloat64()
			p.V += sigma * r.NormFloat64()
		}
		out = append(out, Pair{Name: fmt.Sprint("P", i+1), X: g.X, Y: g.Y, U: p.U, V: p.V})
	}
	return out
}

func TestExactCamera(t *testing.T) {
	c := phone()
	for n := 4; n <= 7; n++ {
		f, err := Homography(picked(c, siteGround()[:n], nil, 0), 2)
		if err != nil {
			t.Fatal(n, err)
		}
		r := rand.New(rand.NewPCG(1, 1))
		for range 200 {
			g := Ground{-3000 + 12000*r.Float64(), -1500 + 20000*r.Float64()}
			want, depth := c.project(g)
			got, err := f.ToPicture(g)
			if depth < 500 {
				continue
			}
			if err != nil || math.Hypot(got.U-want.U, got.V-want.V) > 1e-4 {
				t.Fatal(n, g, got, want, err)
			}
			back, err := f.ToGround(got)
			if err != nil || math.Hypot(back.X-g.X, back.Y-g.Y) > 1e-3 {
				t.Fatal(n, g, back, err)
			}
		}
		if f.Mirrored {
			t.Error("X turns into Y anticlockwise in this picture")
		}
		a, b, d, ok := f.Horizon()
		// The horizon lies f·tan(tilt) above the middle.
		if !ok || math.Abs(a) > 1e-6 || math.Abs(-d/b-(c.cv-c.focal*math.Tan(c.tilt))) > 1e-3 || b <= 0 {
			t.Error("horizon", a, b, d, ok)
		}
		if _, err := f.ToGround(Pixel{2000, -d/b - 1}); err == nil {
			t.Error("a spot in the sky has no ground")
		}
	}
}

// Residuals, predictions and stated uncertainty over noisy pickings.
func TestNoisyCameras(t *testing.T) {
	trials := 4000
	if testing.Short() {
		trials = 500
	}
	c, r, places := phone(), rand.New(rand.NewPCG(3, 9)), siteGround()
	const sigma = 3
	target := Ground{3000, 4200}
	truth, _ := c.project(target)
	var unit, sure, off2, groundOff2, groundSure, alarms, std float64
	for range trials {
		f, err := Homography(picked(c, places, r, sigma), sigma)
		if err != nil {
			t.Fatal(err)
		}
		unit += f.UnitDeviation * f.UnitDeviation
		got, err := f.ToPicture(target)
		if err != nil {
			t.Fatal(err)
		}
		uu, _, vv := f.picture(target.X, target.Y)
		off2 += (got.U-truth.U)*(got.U-truth.U) + (got.V-truth.V)*(got.V-truth.V)
		sure += uu + vv
		g, err := f.ToGround(truth)
		if err != nil {
			t.Fatal(err)
		}
		groundOff2 += math.Pow(math.Hypot(g.X-target.X, g.Y-target.Y), 2)
		_, s, err := f.Uncertainty(target)
		if err != nil {
			t.Fatal(err)
		}
		groundSure += s * s
		std += f.Residuals[0].Standardized * f.Residuals[0].Standardized
		if len(f.Suspects) > 0 {
			alarms++
		}
	}
	n := float64(trials)
	wide := 1.0
	if testing.Short() {
		wide = 2
	}
	if m := unit / n; math.Abs(m-1) > 0.05*wide {
		t.Errorf("mean square unit deviation %.3f", m)
	}
	if q := off2 / sure; math.Abs(q-1) > 0.08*wide {
		t.Errorf("picture: scatter over stated variance %.3f", q)
	}
	// The longer axis holds most of the error on the ground, not all.
	if q := groundOff2 / groundSure; q < 0.9 || q > 1.4 {
		t.Errorf("ground: scatter over stated variance %.3f", q)
	}
	if m := std / n; math.Abs(m-2) > 0.2*wide {
		t.Errorf("standardised residuals squared average %.3f, expected 2", m)
	}
	if alarms/n > 0.02 {
		t.Errorf("false alarms in %.3f", alarms/n)
	}
}

func TestWrongPointIsNamed(t *testing.T) {
	c, r, places := phone(), rand.New(rand.NewPCG(4, 9)), siteGround()
	hit := 0
	const trials = 200
	for range trials {
		pairs := picked(c, places, r, 2)
		bad := r.IntN(len(pairs))
		pairs[bad].U += 150
		f, err := Homography(pairs, 2)
		if err != nil {
			t.Fatal(err)
		}
		if slices.Equal(f.Suspects, []int{bad}) {
			hit++
		}
	}
	if hit < trials*8/10 {
		t.Errorf("named %d of %d", hit, trials)
	}
}

func TestFifthPointChecks(t *testing.T) {
	// The fifth off the diagonals of the four others, so that any four spread.
	pairs := picked(phone(), append(siteGround()[:4], siteGround()[5]), nil, 0)
	pairs[4].V += 40
	f, err := Homography(pairs, 2)
	if err != nil {
		t.Fatal(err)
	}
	if f.NoCheck || len(f.Suspects) != 5 {
		t.Error("five points show that one is wrong, not which", f.NoCheck, f.Suspects)
	}
	for i, r := range f.Residuals {
		if !r.LeftOut {
			t.Error("not predicted", i)
		}
	}
	last := f.Residuals[4]
	if !last.LeftOut || math.Abs(last.PredictedPixels-40) > 1e-6 || last.PredictedGround < 10 {
		t.Errorf("the four others predict the fifth exactly: %+v", last)
	}
	if last.Ground <= 0 || last.Pixels <= 0 || last.Pixels >= 40 {
		t.Errorf("%+v", last)
	}
}
