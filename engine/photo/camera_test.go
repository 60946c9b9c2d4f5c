package photo

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"pegpour/engine/reference/cases"
)

// full is where a place above or on the ground shows for a test camera, which is
// written without the package.
func (c camera) full(x, y, z float64) (Pixel, float64) {
	raised := c
	raised.height -= z
	return raised.project(Ground{x, y})
}

var frame = Frame{Wide: 4000, High: 3000, Focal: 3000 * filmDiagonal / 5000, Spread: 0.2}

func marked(c camera, places [][3]float64, r *rand.Rand, sigma float64) []Mark {
	var out []Mark
	for i, g := range places {
		p, _ := c.full(g[0], g[1], g[2])
		if r != nil {
			p.U += sigma * r.NormFloat64()
			p.V += sigma * r.NormFloat64()
		}
		out = append(out, Mark{Pair: Pair{Name: fmt.Sprint("M", i+1), X: g[0], Y: g[1], U: p.U, V: p.V}, Z: g[2],
			Raised: g[2] > 0})
	}
	return out
}

// twoPosts are their feet and tops, and a chalk mark before them.
func twoPosts() [][3]float64 {
	return [][3]float64{{0, 0, 0}, {4000, 0, 0}, {0, 0, 1800}, {4000, 0, 1800}, {1500, -1500, 0}}
}

func TestCameraOverPosts(t *testing.T) {
	c := phone()
	for _, n := range []int{4, 5} {
		f, err := Camera(marked(c, twoPosts()[:n], nil, 0), frame, 2)
		if err != nil {
			t.Fatal(n, err)
		}
		for _, g := range []Ground{{2000, 3000}, {-1000, 1000}, {6000, -1000}, {2000, 20000}} {
			want, _ := c.project(g)
			got, err := f.ToPicture(g)
			if err != nil || math.Hypot(got.U-want.U, got.V-want.V) > 1e-4 {
				t.Errorf("%d marks: %v lies at %v, not %v, %v", n, g, got, want, err)
			}
		}
		if f.NoCheck != (n == 4) || f.Mirrored || f.UnitDeviation > 1e-6 || len(f.Suspects) > 0 {
			t.Errorf("%d marks: %+v", n, f)
		}
	}
}

// randomCamera stands somewhere around two posts, 1.2 to 2.2 m up, and looks at
// them over its shoulder or straight; its marks are the posts', and chalk.
func randomCamera(r *rand.Rand, chalk int) (camera, [][3]float64) {
	places := twoPosts()[:4]
	high := 1000 + 1200*r.Float64()
	places[2][2], places[3][2] = high, high
	for {
		side, far := 2*math.Pi*r.Float64(), 5000+6000*r.Float64()
		c := camera{x: 2000 + far*math.Sin(side), y: -far * math.Cos(side), height: 1200 + 1000*r.Float64(),
			pan: -side + 0.3*(r.Float64()-0.5), tilt: 0.05 + 0.3*r.Float64(), focal: 2200 + 1500*r.Float64(), cu: 2000, cv: 1500}
		all := places
		for range chalk {
			all = append(all[:len(all):len(all)], [3]float64{-1000 + 6000*r.Float64(), (1000 + 2000*r.Float64()) * math.Copysign(1, r.Float64()-0.5), 0})
		}
		shown := true
		for _, g := range all {
			p, depth := c.full(g[0], g[1], g[2])
			shown = shown && depth > 1500 && p.U > 0 && p.U < 4000 && p.V > 0 && p.V < 3000
		}
		// Along the fence the posts are one.
		if shown && math.Abs(math.Cos(side)) > 0.3 {
			return c, all
		}
	}
}

// Places of the plan lie where random cameras see them, within what is stated:
// pointing has scatter, and the focal length is not what is expected.
func TestRandomCameras(t *testing.T) {
	trials := 500
	if testing.Short() {
		trials = 200
	}
	for _, chalk := range []int{0, 1, 3, 4} {
		r := rand.New(rand.NewPCG(7, uint64(chalk)))
		const sigma = 3
		var squares, far, refused, alarms float64
		count := 0.0
		for range trials {
			c, places := randomCamera(r, chalk)
			if chalk == 4 { // any four or five of all these
				r.Shuffle(len(places), func(i, j int) { places[i], places[j] = places[j], places[i] })
				places = places[:4+r.IntN(2)]
			}
			expected := frame
			expected.Focal = c.focal * filmDiagonal / 5000 * (1 + 0.1*r.NormFloat64())
			expected.Spread = 0.1
			f, err := Camera(marked(c, places, r, sigma), expected, sigma)
			if errors.Is(err, ErrCamera) {
				refused++
				continue
			}
			if err != nil {
				t.Fatal(c, places, err)
			}
			if len(f.Suspects) > 0 {
				alarms++
			}
			g := Ground{4000 * r.Float64(), 1500 - 3000*r.Float64()}
			want, _ := c.project(g)
			got, err := f.ToPicture(g)
			if err != nil {
				t.Fatal(c, places, err)
			}
			uu, uv, vv := f.picture(g.X, g.Y)
			du, dv := got.U-want.U, got.V-want.V
			chi := (du*du*vv - 2*du*dv*uv + dv*dv*uu) / (uu*vv - uv*uv)
			squares += chi
			if chi > 13.8 { // 0.1 %
				far++
			}
			count++
		}
		t.Logf("%d chalk marks: χ² %.3f of 2, beyond 0.1 %%: %.4f, refused %.4f, alarms %.4f", chalk, squares/count,
			far/count, refused/float64(trials), alarms/count)
		if squares/count > 2.4 || squares/count < 1.6 || far/count > 0.01 || refused/float64(trials) > 0.05 || alarms/count > 0.02 {
			t.Errorf("with %d chalk marks", chalk)
		}
	}
}

// With enough marks on the ground the camera is the homography, found in another
// way: exact data give the same to a millionth of a pixel, in either hand.
func TestCameraIsTheHomography(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 11))
	for trial := range 100 {
		c, places := randomCamera(r, 5)
		expected := frame
		expected.Spread = 1 // the focal length is as good as unknown
		expected.Focal = c.focal * filmDiagonal / 5000
		marks := marked(c, places, nil, 0)
		if trial%2 == 1 {
			expected.LeftHanded = true
			for i := range marks {
				marks[i].Y = -marks[i].Y
			}
		}
		var pairs []Pair
		for _, m := range marks {
			if !m.Raised {
				pairs = append(pairs, m.Pair)
			}
		}
		plane, err := Homography(pairs, 2)
		if err != nil {
			continue
		}
		for _, given := range [][]Mark{marks, marks[4:]} {
			f, err := Camera(given, expected, 2)
			if err != nil {
				t.Fatal(trial, err)
			}
			for _, p := range pairs {
				a, err1 := plane.ToPicture(Ground{p.X, p.Y})
				b, err2 := f.ToPicture(Ground{p.X, p.Y})
				if err1 != nil || err2 != nil || math.Hypot(a.U-b.U, a.V-b.V) > 1e-6 {
					t.Fatal(trial, p, a, b, err1, err2)
				}
			}
			if f.Mirrored != plane.Mirrored || f.Mirrored != expected.LeftHanded {
				t.Error(trial, "the hand")
			}
		}
	}
}

// On a slope the plan lies in the ground's plane, whose levels the marks have.
func TestCameraOnASlope(t *testing.T) {
	c := phone()
	sloping := frame
	sloping.Level, sloping.AlongX, sloping.AlongY = 100300, 0.06, -0.03
	for _, left := range []bool{false, true} {
		sign := 1.0
		if left {
			sign = -1
		}
		sloping.LeftHanded = left
		marks := marked(c, twoPosts(), nil, 0)
		for i, g := range twoPosts() {
			// The camera's frame is right-handed, its zero the level of 100300.
			level := sloping.ground(g[0], sign*g[1])
			p, _ := c.full(g[0], g[1], level-100300+g[2])
			marks[i].U, marks[i].V, marks[i].Y, marks[i].Z = p.U, p.V, sign*g[1], level+g[2]
		}
		f, err := Camera(marks, sloping, 2)
		if err != nil {
			t.Fatal(err)
		}
		for _, g := range []Ground{{2000, 3000}, {-1000, 1000}, {6000, -1000}} {
			want, _ := c.full(g.X, g.Y, sloping.ground(g.X, sign*g.Y)-100300)
			got, err := f.ToPicture(Ground{g.X, sign * g.Y})
			if err != nil || math.Hypot(got.U-want.U, got.V-want.V) > 1e-4 {
				t.Error(left, g, got, want, err)
			}
		}
		for i, res := range f.Residuals {
			if res.Ground > 1e-3 {
				t.Error(left, i, res)
			}
		}
	}
}

// What does not fix a camera is refused, and what is wrong is named.
func TestCameraRefuses(t *testing.T) {
	c := phone()
	var line *InLineError
	var ranged *RangeError
	at := func(places ...[3]float64) []Mark { return marked(c, places, nil, 0) }
	for _, x := range []struct {
		name  string
		marks []Mark
		as    any
	}{
		{"three", marked(c, twoPosts()[:3], nil, 0), &ranged},
		{"no number", func() []Mark { m := marked(c, twoPosts(), nil, 0); m[2].Z = math.NaN(); return m }(), &ranged},
		{"feet in line", at([3]float64{0, 0, 0}, [3]float64{100, 0, 0}, [3]float64{4000, 0, 0}, [3]float64{4100, 0, 0}), &line},
		{"one post", at([3]float64{0, 0, 0}, [3]float64{0, 0, 600}, [3]float64{0, 0, 1200}, [3]float64{0, 0, 1800}), &line},
		{"the line of sight", at([3]float64{2000, 0, 0}, [3]float64{2000.1, 2000, 0}, [3]float64{2000, 0, 1600}, [3]float64{2000, 5000, 1600}), nil},
	} {
		_, err := Camera(x.marks, frame, 2)
		if err == nil || x.as != nil && !errors.As(err, x.as) {
			t.Errorf("%s: %v", x.name, err)
		}
	}
	// Feet in line and one top tell the turn about that line by one post's length
	// alone: what is given is unsure, or nothing.
	if f, err := Camera(at([3]float64{0, 0, 0}, [3]float64{2000, 0, 0}, [3]float64{4000, 0, 0}, [3]float64{4000, 0, 300}), frame, 10); err == nil {
		if _, ground, _ := f.Uncertainty(Ground{2000, 1500}); ground < 200 {
			t.Errorf("a short post gives a plan to ± %v mm", ground)
		}
	}
	// Three places, one of them marked twice, leave several cameras.
	for name, marks := range map[string][]Mark{
		"three": at([3]float64{0, 0, 0}, [3]float64{4000, 0, 0}, [3]float64{4000, 0, 1800}, [3]float64{4000, 0, 1802}),
		"chalk": at([3]float64{0, 0, 0}, [3]float64{2000, -1500, 0}, [3]float64{4000, 0, 1800}, [3]float64{4000, 2, 1800}),
	} {
		if f, err := Camera(marks, frame, 4); !errors.Is(err, ErrCamera) {
			_, ground, _ := f.Uncertainty(Ground{2000, 1500})
			t.Errorf("%s: %v mm, %v", name, ground, err)
		}
	}
	wrong := marked(c, append(twoPosts(), [3]float64{3000, 2500, 0}, [3]float64{500, 3000, 0}), nil, 0)
	wrong[3].V -= 100
	f, err := Camera(wrong, frame, 2)
	if err != nil || len(f.Suspects) == 0 || f.Suspects[0] != 3 {
		t.Error("the wrong top was not named", err, f)
	}
}

// The focal length that is expected tells where the camera stood when the marks
// do not: posts seen square on.
func TestFocalLengthIsObserved(t *testing.T) {
	c := camera{2000, -8000, 1000, 0, 0, 3000, 2000, 1500} // level and square: the posts' plane lies parallel to the picture
	marks := marked(c, twoPosts()[:4], nil, 0)
	unsure := func(spread float64) float64 {
		with := frame
		with.Spread = spread
		f, err := Camera(marks, with, 2)
		if err != nil {
			t.Fatal(err)
		}
		_, ground, err := f.Uncertainty(Ground{2000, -1500})
		if err != nil {
			t.Fatal(err)
		}
		return ground
	}
	if wide, narrow := unsure(0.2), unsure(0.02); wide < 2*narrow {
		t.Error(wide, narrow)
	}
}

func TestResection(t *testing.T) {
	for _, ref := range cases.OfTopic(t, "photo.json", "camera") {
		t.Run(ref.ID, func(t *testing.T) {
			var in struct {
				Focal float64
				Spots [][2]float64
				Place [][3]float64
			}
			ref.Fill(t, &in)
			known := Frame{Wide: 36, High: 24, Focal: in.Focal, Spread: 1e-7}
			var marks []Mark
			for i, s := range in.Spots {
				g := in.Place[i]
				marks = append(marks, Mark{Pair: Pair{X: g[0], Y: g[1], U: 18 + s[0], V: 12 - s[1]}, Z: g[2]})
			}
			if err := checkMarks(marks, known, 0.05); err != nil {
				t.Fatal(err)
			}
			f, c := known.normalise(marks)
			c.weight = square(0.05 * f.pickScale / (known.Spread * c.focal))
			best, ok := c.best(&known, 0.05*f.pickScale)
			if !ok {
				t.Fatal("no camera")
			}
			p := best.place()
			scale := f.ground[0]
			ref.Compare(t, "x", (p[0]-f.ground[2])/scale)
			ref.Compare(t, "y", (p[1]-f.ground[5])/scale)
			ref.Compare(t, "z", p[2]/scale)
			// The published camera has its axes right, up and back.
			ref.Compare(t, "r31", best.turn[2])
		})
	}
}
