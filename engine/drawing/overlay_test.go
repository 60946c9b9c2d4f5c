package drawing_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pegpour/engine"
	"pegpour/engine/drawing"
	"pegpour/engine/enginetest"
	"pegpour/engine/geom"
	"pegpour/engine/photo"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
)

// camera is a pinhole 1600 mm above the ground, looking down the run-back; it
// is written without the package under test.
type camera struct{ x, y, height, pan, tilt, focal, cu, cv float64 }

func (c camera) see(g geom.Point) (u, v float64) {
	dx, dy, dz := g.X-c.x, g.Y-c.y, -c.height
	// Pan about the vertical, then tilt downwards.
	ahead, side := dx*math.Cos(c.pan)+dy*math.Sin(c.pan), dx*math.Sin(c.pan)-dy*math.Cos(c.pan)
	depth := ahead*math.Cos(c.tilt) - dz*math.Sin(c.tilt)
	down := -ahead*math.Sin(c.tilt) - dz*math.Cos(c.tilt)
	return c.cu + c.focal*side/depth, c.cv + c.focal*down/depth
}

func cameraSpots(t *testing.T, made *plan.Plan, c camera, r *rand.Rand, noise float64,
	ids ...string) []drawing.PhotoSpot {
	t.Helper()
	var spots []drawing.PhotoSpot
	for _, p := range drawing.PhotoPlaces(made) {
		for _, id := range ids {
			if p.ID == id {
				u, v := c.see(p.At)
				spots = append(spots, drawing.PhotoSpot{Name: p.Name, At: p.At, U: u + noise*r.NormFloat64(),
					V: v + noise*r.NormFloat64()})
			}
		}
	}
	return spots
}

func TestOverlaySyntheticCamera(t *testing.T) {
	p := practice.DefaultPractice()
	s := enginetest.SquareSite()
	s.Gate.Guide = survey.GuideCastIn
	made, _ := engine.Design(s, p)
	// From inside the drive, looking along the fence.
	c := camera{x: -2500, y: 4200, height: 1700, pan: -0.45, tilt: 0.25, focal: 1700, cu: 1024, cv: 768}
	r := rand.New(rand.NewPCG(4, 5))
	ids := []string{"post.latch.in", "post.latch.front", "post.runBack.in"}
	for _, g := range made.Pegs {
		if g.Of == "pad" {
			ids = append(ids, "peg."+strconv.Itoa(g.Number))
		}
	}
	spots := cameraSpots(t, &made, c, r, 0, ids...)
	if len(spots) < 5 {
		t.Fatalf("only %d places", len(spots))
	}
	got, err := drawing.Overlay(&made, spots, drawing.PhotoFrame{}, p)
	if err != nil {
		t.Fatal(err)
	}
	if got.Miss > 1e-3 || got.NoCheck || got.SwappedSides {
		t.Errorf("misses by %v mm, no check %v, swapped %v", got.Miss, got.NoCheck, got.SwappedSides)
	}
	shapes := 0
	for _, shape := range got.Shapes {
		o, ok := made.Outline(shape.ID)
		if !ok {
			continue
		}
		shapes++
		for k, corner := range o.Ring {
			u, v := c.see(corner)
			best := math.Inf(1)
			for _, q := range shape.Lines[0] {
				best = math.Min(best, math.Hypot(q.U-u, q.V-v))
			}
			if best > 0.01 {
				t.Errorf("%s corner %d is %.3f pixels off", shape.ID, k, best)
			}
		}
	}
	if shapes < 3 {
		t.Errorf("%d outlines drawn", shapes)
	}

	// Pointed at with the scatter that practice says: the miss on the ground is
	// a few millimetres, and a spot taken at the wrong post is named.
	noisy := cameraSpots(t, &made, c, r, p.PhotoPointing, ids...)
	got, err = drawing.Overlay(&made, noisy, drawing.PhotoFrame{}, p)
	if err != nil || got.Miss < 0.5 || got.Miss > 150 || got.Uncertainty <= 0 {
		t.Errorf("with scatter: misses by %v, sure to %v, %v", got.Miss, got.Uncertainty, err)
	}
	wrong := append([]drawing.PhotoSpot(nil), spots...)
	wrong[2].U += 120
	got, err = drawing.Overlay(&made, wrong, drawing.PhotoFrame{}, p)
	if err != nil || !slices.Contains(got.Suspects, 2) || len(got.Suspects) > 2 {
		t.Errorf("the wrong spot was not named: %v, %v", got.Suspects, err)
	}
	// Left and right the wrong way round.
	for i := range wrong {
		wrong[i] = spots[i]
		wrong[i].U = 2048 - wrong[i].U
	}
	if got, err = drawing.Overlay(&made, wrong, drawing.PhotoFrame{}, p); err != nil || !got.SwappedSides {
		t.Errorf("a mirrored picture went unnoticed: %v", err)
	}
}

func TestOverlayRefuses(t *testing.T) {
	p := practice.DefaultPractice()
	made, _ := engine.Design(enginetest.SquareSite(), p)
	if _, err := drawing.Overlay(&made, nil, drawing.PhotoFrame{}, p); err == nil {
		t.Error("no spots were taken")
	}
	inLine := []drawing.PhotoSpot{{At: geom.Point{X: 0}, U: 0, V: 10}, {At: geom.Point{X: 1000}, U: 100, V: 12},
		{At: geom.Point{X: 2000}, U: 200, V: 14}, {At: geom.Point{X: 3000}, U: 300, V: 16}}
	if _, err := drawing.Overlay(&made, inLine, drawing.PhotoFrame{}, p); err == nil {
		t.Error("four places in one line were taken")
	}
}

// Spots along the fence alone are refused; the place named next is the one that
// brings the fit, and it is no place on the fence.
func TestNextPhotoPlace(t *testing.T) {
	p := practice.DefaultPractice()
	s := enginetest.SquareSite()
	s.Gate.Guide = survey.GuideCastIn
	s.RunBack.Obstructions = []survey.Obstruction{{Kind: survey.ObstructionTank,
		Along: survey.Measured(7000, survey.ByTape), Offset: survey.Measured(2500, survey.ByTape),
		Length: survey.Measured(2500, survey.ByTape), Width: survey.Measured(2000, survey.ByTape)}}
	made, _ := engine.Design(s, p)
	c := camera{x: -2500, y: 4200, height: 1700, pan: -0.45, tilt: 0.25, focal: 1700, cu: 1024, cv: 768}
	see := func(q drawing.PhotoPlace) drawing.PhotoSpot {
		u, v := c.see(q.At)
		return drawing.PhotoSpot{Name: q.Name, At: q.At, U: u, V: v}
	}
	passed := map[string]bool{}
	var spots []drawing.PhotoSpot
	for _, q := range drawing.PhotoPlaces(&made) {
		if q.ID == "post.latch.in" || q.ID == "post.latch.far" || q.ID == "post.runBack.in" || q.ID == "post.runBack.far" {
			passed[q.ID] = true
			spots = append(spots, see(q))
		}
	}
	if _, err := drawing.Overlay(&made, spots, drawing.PhotoFrame{}, p); err == nil {
		t.Fatal("four places on the fence were taken")
	}
	first, ok := drawing.NextPhotoPlace(&made, spots, passed)
	if !ok || !strings.HasPrefix(first.ID, "thing.") {
		t.Fatalf("named %+v, the tank stands farthest off the line", first)
	}
	taken := 0
	for ; taken < 3; taken++ {
		q, ok := drawing.NextPhotoPlace(&made, spots, passed)
		if !ok || passed[q.ID] {
			t.Fatalf("named %+v", q)
		}
		passed[q.ID] = true
		spots = append(spots, see(q))
		if _, err := drawing.Overlay(&made, spots, drawing.PhotoFrame{}, p); err == nil {
			break
		}
	}
	got, err := drawing.Overlay(&made, spots, drawing.PhotoFrame{}, p)
	if err != nil || got.Miss > 1e-3 {
		t.Fatalf("after %d more places: %v, misses by %v mm", taken+1, err, got.Miss)
	}

	// What the picture does not show is passed over; pegs come when nothing that
	// stands is left, and then there is an end.
	seen := map[string]bool{}
	for {
		q, ok := drawing.NextPhotoPlace(&made, spots, passed)
		if !ok {
			break
		}
		if seen[q.ID] {
			t.Fatalf("%s was named twice", q.ID)
		}
		passed[q.ID], seen[q.ID] = true, true
	}
	if len(passed) != len(drawing.PhotoPlaces(&made)) {
		t.Errorf("%d of %d places were named", len(passed), len(drawing.PhotoPlaces(&made)))
	}
	many := make([]drawing.PhotoSpot, photo.MaxPairs)
	if q, ok := drawing.NextPhotoPlace(&made, many, nil); ok {
		t.Errorf("%s was named beyond the most there may be", q.ID)
	}
}

// The guide post's corners and tops can be marked, but it is not asked for before it is
// built; the tops of posts whose feet are marked are named, one of each post.
func TestNextPhotoTop(t *testing.T) {
	s := enginetest.SquareSite()
	s.Gate.Guide = survey.GuideCastIn
	made, _ := engine.Design(s, practice.DefaultPractice())
	tops := map[string]drawing.PhotoPlace{}
	for _, q := range drawing.PhotoTops(&made) {
		tops[q.ID] = q
	}
	guide, ok := made.Part(plan.PartGuidePost, 1)
	if !ok {
		t.Fatal("no guide post")
	}
	low, high := guide.Ring.Bounds()
	if got := tops["top.post.guide.in"].At; got != (geom.Point{X: low.X, Y: high.Y}) {
		t.Errorf("the guide post's top lies at %v", got)
	}
	passed := map[string]bool{}
	var spots []drawing.PhotoSpot
	if q, ok := drawing.NextPhotoTop(&made, spots, passed); ok {
		t.Errorf("%s was named before any foot", q.ID)
	}
	for _, q := range drawing.PhotoPlaces(&made) {
		if q.ID == "post.latch.front" || q.ID == "post.runBack.in" || q.ID == "post.guide.in" {
			passed[q.ID] = true
			spots = append(spots, drawing.PhotoSpot{Name: q.Name, At: q.At})
		}
		if strings.HasPrefix(q.ID, "post.guide.") != (q.Pegged() && strings.HasPrefix(q.ID, "post.")) {
			t.Errorf("%s: stands there anyway: %v", q.ID, !q.Pegged())
		}
	}
	for _, want := range []string{"top.post.latch.front", "top.post.runBack.in", "top.post.guide.in"} {
		q, ok := drawing.NextPhotoTop(&made, spots, passed)
		if !ok || q.ID != want || q != tops[want] {
			t.Fatalf("named %+v, %v, want %s", q, ok, want)
		}
		passed[q.ID] = true
		spots = append(spots, drawing.PhotoSpot{Name: q.Name, At: q.At, Height: 1800})
	}
	if q, ok := drawing.NextPhotoTop(&made, spots, passed); ok {
		t.Errorf("%s was named, one of each post is enough", q.ID)
	}
	if q, ok := drawing.NextPhotoTop(&made, make([]drawing.PhotoSpot, photo.MaxPairs), map[string]bool{}); ok {
		t.Errorf("%s was named beyond the most there may be", q.ID)
	}
}

// From nothing: the places that are named one after the other fix the picture
// with the fourth, or the fifth, on every kind of site.
func TestNextPhotoPlaceFromNothing(t *testing.T) {
	p := practice.DefaultPractice()
	fixed := 0
	for seed := range uint64(120) {
		r := rand.New(rand.NewPCG(seed, 5))
		made, _ := engine.Design(enginetest.RandomSite(r), p)
		see := func(q drawing.PhotoPlace) drawing.PhotoSpot {
			w := 1 + q.At.Y*0.0002
			return drawing.PhotoSpot{Name: q.Name, At: q.At, U: 1500 - 0.1*q.At.X/w, V: 1200 - 0.1*q.At.Y/w}
		}
		var all []photo.Ground
		for _, q := range drawing.PhotoPlaces(&made) {
			all = append(all, photo.Ground{X: q.At.X, Y: q.At.Y})
		}
		if photo.Spread(all[:min(len(all), photo.MaxPairs)]) < photo.SpreadEnough {
			continue // a site so narrow that hardly any places fix a picture
		}
		fixed++
		passed := map[string]bool{}
		var spots []drawing.PhotoSpot
		var err error
		for len(spots) < 5 {
			q, ok := drawing.NextPhotoPlace(&made, spots, passed)
			if !ok {
				break
			}
			passed[q.ID] = true
			spots = append(spots, see(q))
			if _, err = drawing.Overlay(&made, spots, drawing.PhotoFrame{}, p); err == nil {
				break
			}
		}
		if err != nil {
			t.Errorf("seed %d: still refused with %d places: %v", seed, len(spots), err)
		}
	}
	if fixed < 30 {
		t.Errorf("only %d of 120 sites have places enough", fixed)
	}
}

// At the first visit no peg stands: the feet and tops of the two posts and one
// chalk mark bring the plan onto the picture, on either hand and on a slope, and
// where the plan then lies is stated.
func TestOverlayByPostTops(t *testing.T) {
	rules := practice.DefaultPractice()
	for _, x := range []struct {
		name  string
		slope float64
		hand  string
	}{
		{"level", 0, survey.HandRight}, {"level, to the left", 0, survey.HandLeft},
		{"rising", 0.05, survey.HandRight}, {"rising, to the left", 0.05, survey.HandLeft},
	} {
		s := enginetest.SquareSite()
		s.Opening.Hand = x.hand
		if x.slope > 0 {
			s.Ground = enginetest.RakedSite().Ground
		}
		made, _ := engine.Design(s, rules)
		if made.Mirrored() != (x.hand == survey.HandLeft) {
			t.Fatal("the hand")
		}
		if made.Ground.Known() != (x.slope > 0) {
			t.Fatal("the slope is not known")
		}
		// A camera seen from above has its own ground, X to the right.
		c := camera{x: 1800, y: 7500, height: 1700, pan: -math.Pi / 2, tilt: 0.12, focal: 1400, cu: 1024, cv: 768}
		level := made.Ground.SurfaceLevel
		see := func(g geom.Point, height float64) (u, v float64) {
			at := c
			at.height -= level(g.X, g.Y) - level(0, 0) + height // carried by the camera instead
			if made.Mirrored() {
				u, v = at.see(g)
				return 2*c.cu - u, v
			}
			return at.see(g)
		}
		// This camera looks along −Y with X to its left, as a frame that is right-handed does.
		var spots []drawing.PhotoSpot
		add := func(q drawing.PhotoPlace, height float64) {
			u, v := see(q.At, height)
			spots = append(spots, drawing.PhotoSpot{Name: q.Name, At: q.At, Height: height, U: u, V: v})
		}
		for _, q := range drawing.PhotoPlaces(&made) {
			if q.ID == "post.latch.in" || q.ID == "post.runBack.in" {
				add(q, 0)
			}
		}
		for _, q := range drawing.PhotoTops(&made) {
			if q.ID == "top.post.latch.in" || q.ID == "top.post.runBack.in" {
				add(q, 1500)
			}
		}
		if len(spots) != 4 {
			t.Fatal(x.name, spots)
		}
		add(drawing.PhotoPlace{ID: "own.1", Name: "Chalk", At: geom.Point{X: 1500, Y: 2000}}, 0)
		frame := drawing.PhotoFrame{Wide: 2048, High: 1536, Focal: c.focal * 43.266615 / 2560}
		got, err := drawing.Overlay(&made, spots, frame, rules)
		if err != nil {
			t.Fatal(x.name, err)
		}
		if got.NoCheck || got.SwappedSides || got.Miss > 0.01 || got.Uncertainty <= 0 {
			t.Errorf("%s: %+v", x.name, got)
		}
		shapes := 0
		for _, shape := range got.Shapes {
			o, ok := made.Outline(shape.ID)
			if !ok || o.Kind == plan.PartPad {
				continue
			}
			shapes++
			for k, corner := range o.Ring {
				u, v := see(corner, 0)
				best := math.Inf(1)
				for _, q := range shape.Lines[0] {
					best = math.Min(best, math.Hypot(q.U-u, q.V-v))
				}
				if best > 0.01 {
					t.Errorf("%s: %s corner %d is %.3f pixels off", x.name, shape.ID, k, best)
				}
			}
		}
		if shapes < 2 {
			t.Errorf("%s: %d outlines drawn", x.name, shapes)
		}
		// Places above the ground lie where the camera has them.
		if !got.Stands {
			t.Fatal(x.name, "no upright")
		}
		for _, g := range []geom.Point{{X: 0, Y: 0}, {X: 3000, Y: 150}, {X: 7000, Y: 300}} {
			for _, high := range []float64{0, 900, 2100} {
				u, v := see(g, high)
				a, b, w := got.Space.At(g.X, g.Y, level(g.X, g.Y)+high)
				if math.Hypot(a-u, b-v) > 0.01 || w <= 0 {
					t.Errorf("%s: %v, %v high, lies at %.2f %.2f, not %.2f %.2f", x.name, g, high, a, b, u, v)
				}
			}
		}
		// Nor need the file tell the focal length.
		guessed, err := drawing.Overlay(&made, spots, drawing.PhotoFrame{Wide: 2048, High: 1536}, rules)
		if err != nil || len(guessed.Suspects) > 0 || guessed.Miss > 30 {
			t.Errorf("%s: %+v, %v", x.name, guessed, err)
		}
		for i, shape := range guessed.Shapes {
			for k, q := range shape.Lines[0] {
				if was := got.Shapes[i].Lines[0][k]; math.Hypot(q.U-was.U, q.V-was.V) > 8 {
					t.Errorf("%s: %s moves from %v to %v", x.name, shape.ID, was, q)
				}
			}
		}
		// Feet and tops alone lie in one plane, and fit whatever they are.
		if four, err := drawing.Overlay(&made, spots[:4], frame, rules); err != nil || !four.NoCheck {
			t.Error(x.name, "four do not fit", err)
		}
	}
}

// Marks on the ground alone stand the gate up too, where a camera can be told from them; the
// foot of all stays where the ground fits, and so does its error.
func TestOverlayStandsOnFlatGround(t *testing.T) {
	rules := practice.DefaultPractice()
	s := enginetest.SquareSite()
	s.Gate.Guide = survey.GuideCastIn
	made, _ := engine.Design(s, rules)
	c := camera{x: -2500, y: 4200, height: 1700, pan: -0.45, tilt: 0.25, focal: 1700, cu: 1024, cv: 768}
	ids := []string{"post.latch.in", "post.latch.front", "post.runBack.in"}
	for _, g := range made.Pegs {
		if g.Of == "pad" {
			ids = append(ids, "peg."+strconv.Itoa(g.Number))
		}
	}
	frame := drawing.PhotoFrame{Wide: 2048, High: 1536, Focal: c.focal * 43.266615305567875 / 2560}
	for _, noise := range []float64{0, 1} {
		spots := cameraSpots(t, &made, c, rand.New(rand.NewPCG(4, 5)), noise, ids...)
		got, err := drawing.Overlay(&made, spots, frame, rules)
		if err != nil || !got.Stands {
			t.Fatal(err, got.Stands)
		}
		plain, err := drawing.Overlay(&made, spots, drawing.PhotoFrame{}, rules)
		if err != nil || plain.Miss != got.Miss || plain.Stands {
			t.Errorf("the miss changes from %v to %v, %v", plain.Miss, got.Miss, err)
		}
		if !drawing.FromInside(&got.Space) {
			t.Error("taken from inside")
		}
		for _, g := range []geom.Point{{X: 0, Y: 0}, {X: 4000, Y: 150}, {X: 6000, Y: 300}} {
			for _, high := range []float64{0, 1800} {
				at := c
				at.height -= high
				u, v := at.see(g)
				a, b, _ := got.Space.At(g.X, g.Y, high)
				if limit := 0.01 + noise*25; math.Hypot(a-u, b-v) > limit {
					t.Errorf("noise %v: %v, %v high, is %.2f off", noise, g, high, math.Hypot(a-u, b-v))
				}
			}
		}
	}
}

// The model of the gate on a photo has the leaf where the plan has it, behind posts that hide
// it as high as they were marked; its frame takes it where the picture has it.
func TestPhotoModelLiesInThePicture(t *testing.T) {
	made, _ := engine.Design(enginetest.SquareSite(), practice.DefaultPractice())
	space := photo.Space{{1500, 1000, 0, 4e6}, {0, 700, -1500, 5e6}, {0, 1, 0, 6000}}
	low, _ := made.Site.PostLatch.Bounds()
	model, err := drawing.NewPhotoModel(&made, drawing.FromInside(&space),
		[]drawing.PhotoSpot{{At: geom.Point{X: low.X, Y: low.Y}, Height: 2345}})
	if err != nil || drawing.FromInside(&space) {
		t.Fatal(err)
	}
	top := 0.0
	for i := range model.Hidden {
		top = math.Max(top, float64(model.Corners[8*i+2]))
	}
	if model.Hidden == 0 || math.Abs(top-2345) > 1e-3 {
		t.Errorf("%d corners hide, up to %v", model.Hidden, top)
	}
	for _, open := range []float64{0, 0.4, 1} {
		var frame [16 * (2 + 2*drawing.ModelParts)]float32
		model.PhotoFrame(&space, 2000, 1500, open, &frame)
		for i := 8 * model.Hidden; i < len(model.Corners); i += 8 {
			c := model.Corners[i:]
			part := frame[32+16*int(c[7]):]
			p := [4]float64{float64(c[0] + part[12]), float64(c[1] + part[13]), float64(c[2] + part[14]), 1}
			var q [4]float64
			for r := range q {
				for k := range p {
					q[r] += float64(frame[4*k+r]) * p[k]
				}
			}
			u, v, w := space.At(p[0], p[1], p[2])
			if math.Hypot((q[0]/q[3]+1)*1000-u, (1-q[1]/q[3])*750-v) > 0.01 || math.Abs(q[2]) > q[3] || w <= 0 {
				t.Fatalf("open %v: %v lies at %v", open, p, q)
			}
		}
		slid := float64(frame[32+16*2+12])
		if math.Abs(slid-open*made.Leaf.Travel) > 0.01 {
			t.Errorf("open %v: slid by %v", open, slid)
		}
	}
}
