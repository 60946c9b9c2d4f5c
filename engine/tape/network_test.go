package tape

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// site is a network with known truth: gate posts on the fence, drive edges,
// obstructions; each tape is between two names.
type site struct {
	pegs  []Peg
	truth map[string][2]float64
	tapes [][2]string
}

func gateSite() site {
	truth := map[string][2]float64{"latch": {0, 0}, "post": {4200, 0}, "e1": {300, 3000}, "e2": {5200, 2800},
		"tree": {7900, 1500}, "pit": {9000, 400}}
	return site{
		pegs: []Peg{{Name: "latch"}, {Name: "post"}, {Name: "e1", Side: Left}, {Name: "e2", Side: Left},
			{Name: "tree", Side: Left}, {Name: "pit", Side: Left}},
		truth: truth,
		tapes: [][2]string{{"latch", "post"}, {"latch", "e1"}, {"post", "e1"}, {"post", "e2"}, {"latch", "e2"},
			{"e1", "e2"}, {"post", "tree"}, {"e2", "tree"}, {"latch", "tree"}, {"pit", "post"}, {"pit", "tree"},
			{"pit", "e2"}, {"pit", "latch"}},
	}
}

func (s site) network(r *rand.Rand, sigma float64) Network {
	n := Network{Pegs: s.pegs}
	for _, t := range s.tapes {
		a, b := s.truth[t[0]], s.truth[t[1]]
		d := math.Hypot(a[0]-b[0], a[1]-b[1])
		if r != nil {
			d += sigma * r.NormFloat64()
		}
		n.Tapes = append(n.Tapes, Taped{t[0], t[1], d, sigma})
	}
	return n
}

func TestExactTapesGiveTheTruth(t *testing.T) {
	s := gateSite()
	n := s.network(nil, 3)
	for range 20 {
		rand.New(rand.NewPCG(1, 1)).Shuffle(len(n.Tapes), func(i, j int) {
			n.Tapes[i], n.Tapes[j] = n.Tapes[j], n.Tapes[i]
		})
		r, err := n.Adjust()
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range r.Pegs {
			if want := s.truth[p.Name]; math.Hypot(p.X-want[0], p.Y-want[1]) > 1e-5 {
				t.Errorf("%s at %v %v, truth %v", p.Name, p.X, p.Y, want)
			}
		}
		if r.DegreesOfFreedom != len(s.tapes)-9 || len(r.Suspects) != 0 {
			t.Error(r.DegreesOfFreedom, r.Suspects)
		}
		var sum float64
		for _, x := range r.Tapes {
			sum += x.Redundancy
		}
		if math.Abs(sum-float64(r.DegreesOfFreedom)) > 1e-6 {
			t.Error("redundancy numbers must add up to the degrees of freedom", sum)
		}
	}
}

// The other side is the mirror image.
func TestSideMirrors(t *testing.T) {
	s := gateSite()
	n := s.network(nil, 3)
	n.Pegs = slices.Clone(n.Pegs)
	for i := range n.Pegs {
		if n.Pegs[i].Side == Left {
			n.Pegs[i].Side = Right
		}
	}
	r, err := n.Adjust()
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range r.Pegs {
		if want := s.truth[p.Name]; math.Hypot(p.X-want[0], p.Y+want[1]) > 1e-5 {
			t.Errorf("%s at %v %v", p.Name, p.X, p.Y)
		}
	}
}

// 95 % ellipses hold the truth in 95 % of simulated networks, intervals of
// distances too, and the standardised residuals are standard normal.
func TestEllipsesHoldTheirProbability(t *testing.T) {
	trials := 10000
	if testing.Short() {
		trials = 1000
	}
	s := gateSite()
	rnd := rand.New(rand.NewPCG(2024, 7))
	held := map[string]int{}
	between, suspects := 0, 0
	var w2 float64
	for range trials {
		n := s.network(rnd, 4)
		r, err := n.Adjust()
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range r.Pegs[2:] {
			want := s.truth[p.Name]
			e := p.Ellipse.At95()
			dx, dy := p.X-want[0], p.Y-want[1]
			u := (dx*math.Cos(e.Direction) + dy*math.Sin(e.Direction)) / e.Major
			v := (dy*math.Cos(e.Direction) - dx*math.Sin(e.Direction)) / e.Minor
			if u*u+v*v <= 1 {
				held[p.Name]++
			}
		}
		l, sigma, err := r.Between("e1", "pit")
		if err != nil {
			t.Fatal(err)
		}
		a, b := s.truth["e1"], s.truth["pit"]
		if math.Abs(l-math.Hypot(a[0]-b[0], a[1]-b[1])) < 1.959964*sigma {
			between++
		}
		w2 += r.Tapes[5].Standardized * r.Tapes[5].Standardized
		if len(r.Suspects) > 0 {
			suspects++
		}
	}
	// Four standard deviations of a share of 95 %.
	tol := 4 * math.Sqrt(0.95*0.05/float64(trials))
	held["between"] = between
	for name, k := range held {
		if share := float64(k) / float64(trials); math.Abs(share-0.95) > tol {
			t.Errorf("%s: held %.4f", name, share)
		}
	}
	if len(held) != 5 {
		t.Error(held)
	}
	if m := w2 / float64(trials); math.Abs(m-1) > 4*math.Sqrt(2/float64(trials)) {
		t.Errorf("mean square of a standardised residual %.3f", m)
	}
	if share := float64(suspects) / float64(trials); share > 0.04 {
		t.Errorf("false alarms in %.3f of sound networks", share)
	}
	t.Logf("held %v of %d; false alarms %d", held, trials, suspects)
}

func TestSuspectedTapeIsNamed(t *testing.T) {
	s := gateSite()
	// More braces, so that every tape is checked by several others.
	s.tapes = append(s.tapes, [2]string{"e1", "tree"}, [2]string{"e1", "pit"})
	rnd := rand.New(rand.NewPCG(5, 5))
	hit, tried := 0, 0
	for range 300 {
		n := s.network(rnd, 3)
		bad := rnd.IntN(len(n.Tapes))
		n.Tapes[bad].Length += 100 // a slip of a hundred
		r, err := n.Adjust()
		if err != nil {
			t.Fatal(err)
		}
		if r.Tapes[bad].SmallestFound > 60 {
			continue // the figure itself says it might not be noticed
		}
		tried++
		if slices.Equal(r.Suspects, []int{bad}) {
			hit++
		}
	}
	if tried < 200 || hit < tried*9/10 {
		t.Errorf("named %d of %d", hit, tried)
	}
}

// A tape misread by a whole metre, or half of one, must not be blamed on a side.
func TestMisreadMetreIsNamed(t *testing.T) {
	s := gateSite()
	s.tapes = append(s.tapes, [2]string{"e1", "tree"}, [2]string{"e1", "pit"})
	rnd := rand.New(rand.NewPCG(6, 5))
	named, noticed, tried := 0, 0, 0
	for _, slip := range []float64{-1000, -500, 500, 1000} {
		for bad := range s.tapes {
			n := s.network(rnd, 3)
			n.Tapes[bad].Length += slip
			tried++
			r, err := n.Adjust()
			if err != nil {
				t.Errorf("tape %d by %v: %v", bad, slip, err)
				continue
			}
			if len(r.Suspects) > 0 {
				noticed++
			}
			if slices.Equal(r.Suspects, []int{bad}) {
				named++
			}
		}
	}
	t.Logf("named %d of %d", named, tried)
	if noticed != tried || named < tried*85/100 {
		t.Errorf("noticed %d, named %d of %d", noticed, named, tried)
	}
}

func TestWhatIsMissing(t *testing.T) {
	abc := []Peg{{Name: "A"}, {Name: "B"}, {Name: "C", Side: Left}}
	t.Run("peg with one tape", func(t *testing.T) {
		n := Network{Pegs: append(slices.Clone(abc), Peg{Name: "D"}),
			Tapes: []Taped{{"A", "B", 3000, 2}, {"A", "C", 4000, 2}, {"B", "C", 5000, 2}, {"D", "C", 1000, 2}}}
		_, err := n.Adjust()
		var u *UnderDeterminedError
		if !errors.As(err, &u) || !slices.Equal(u.Pegs, []string{"D"}) || u.MissingFrom != "D" || u.MissingTo != "B" {
			t.Error(err)
		}
	})
	t.Run("peg with no tape", func(t *testing.T) {
		n := Network{Pegs: abc, Tapes: []Taped{{"A", "B", 3000, 2}}}
		_, err := n.Adjust()
		var u *UnderDeterminedError
		if !errors.As(err, &u) || !slices.Equal(u.Pegs, []string{"C"}) || u.MissingFrom != "C" {
			t.Error(err)
		}
	})
	t.Run("base line not taped", func(t *testing.T) {
		n := Network{Pegs: abc, Along: "B", Tapes: []Taped{{"A", "C", 4000, 2}, {"B", "C", 5000, 2}}}
		_, err := n.Adjust()
		var u *UnderDeterminedError
		if !errors.As(err, &u) || u.MissingFrom != "A" || u.MissingTo != "B" {
			t.Error(err)
		}
	})
	t.Run("side", func(t *testing.T) {
		n := Network{Pegs: []Peg{{Name: "A"}, {Name: "B"}, {Name: "C"}},
			Tapes: []Taped{{"A", "B", 3000, 2}, {"A", "C", 4000, 2}, {"B", "C", 5000, 2}}}
		_, err := n.Adjust()
		var s *SideError
		if !errors.As(err, &s) || s.Peg != "C" || s.Contradicts || s.Base != [2]string{"A", "B"} &&
			s.Base != [2]string{"B", "A"} {
			t.Error(err)
		}
	})
	t.Run("a third tape answers for the side", func(t *testing.T) {
		n := Network{Pegs: append(slices.Clone(abc), Peg{Name: "D"}),
			Tapes: []Taped{{"A", "B", 3000, 2}, {"A", "C", 4000, 2}, {"B", "C", 5000, 2}, {"D", "A", 5000, 2},
				{"D", "B", 4000, 2}, {"D", "C", 3000, 2}}}
		r, err := n.Adjust()
		if err != nil {
			t.Fatal(err)
		}
		if d, _ := r.Peg("D"); math.Hypot(d.X-3000, d.Y-4000) > 1e-3 {
			t.Error(d)
		}
		n.Pegs[3].Side = Right
		_, err = n.Adjust()
		var s *SideError
		if !errors.As(err, &s) || !s.Contradicts || s.Peg != "D" {
			t.Error(err)
		}
	})
	t.Run("side that does not tell", func(t *testing.T) {
		// D hangs on B and C; both its places lie left of A → B.
		n := Network{Pegs: append(slices.Clone(abc), Peg{Name: "D", Side: Left}),
			Tapes: []Taped{{"A", "B", 3000, 2}, {"A", "C", 4000, 2}, {"B", "C", 5000, 2}, {"D", "C", 2600, 2},
				{"D", "B", 2600, 2}}}
		_, err := n.Adjust()
		var s *SideError
		if !errors.As(err, &s) || s.Peg != "D" || !slices.Contains(s.Base[:], "B") || !slices.Contains(s.Base[:], "C") {
			t.Fatal(err)
		}
		n.Pegs[3] = Peg{Name: "D", Side: Right, Base: [2]string{"B", "C"}}
		if _, err = n.Adjust(); err != nil {
			t.Error(err)
		}
	})
	t.Run("tapes that cannot meet", func(t *testing.T) {
		n := Network{Pegs: abc, Tapes: []Taped{{"A", "B", 3000, 2}, {"A", "C", 1000, 2}, {"B", "C", 1900, 2}}}
		_, err := n.Adjust()
		var m *MeetError
		if !errors.As(err, &m) || m.Peg != "C" || math.Abs(m.Gap-100) > 1e-9 {
			t.Error(err)
		}
	})
	t.Run("peg on the line of its tapes", func(t *testing.T) {
		n := Network{Pegs: append(slices.Clone(abc), Peg{Name: "D"}),
			Tapes: []Taped{{"A", "B", 3000, 2}, {"A", "C", 4000, 2}, {"B", "C", 5000, 2}, {"A", "D", 1000, 2},
				{"B", "D", 1998, 2}}}
		_, err := n.Adjust()
		var u *UnderDeterminedError
		if !errors.As(err, &u) || !slices.Equal(u.Pegs, []string{"D"}) || u.MissingTo != "C" {
			t.Fatal(err)
		}
		n.Tapes = append(n.Tapes, Taped{"D", "C", math.Hypot(1000, 4000), 2})
		r, err := n.Adjust()
		if err != nil {
			t.Fatal(err)
		}
		if d, _ := r.Peg("D"); math.Abs(d.Y) > 2 {
			t.Error(d)
		}
	})
	t.Run("unchecked tape", func(t *testing.T) {
		s := gateSite()
		s.pegs = append(s.pegs, Peg{Name: "tap", Side: Left})
		s.truth["tap"] = [2]float64{2000, 2500}
		s.tapes = append(s.tapes, [2]string{"tap", "latch"}, [2]string{"tap", "post"})
		n := s.network(nil, 3)
		r, err := n.Adjust()
		if err != nil {
			t.Fatal(err)
		}
		for i, tape := range r.Tapes {
			if hangs := i >= len(r.Tapes)-2; tape.Checked == hangs {
				t.Errorf("tape %d checked %v, redundancy %v", i, tape.Checked, tape.Redundancy)
			}
		}
	})
}

func TestRefusals(t *testing.T) {
	good := []Taped{{"A", "B", 3000, 2}}
	for name, n := range map[string]Network{
		"one peg":       {Pegs: []Peg{{Name: "A"}}, Tapes: good},
		"no tapes":      {Pegs: []Peg{{Name: "A"}, {Name: "B"}}},
		"no name":       {Pegs: []Peg{{Name: "A"}, {}}, Tapes: good},
		"name twice":    {Pegs: []Peg{{Name: "A"}, {Name: "A"}}, Tapes: good},
		"no such peg":   {Pegs: []Peg{{Name: "A"}, {Name: "C"}}, Tapes: good},
		"to itself":     {Pegs: []Peg{{Name: "A"}, {Name: "B"}}, Tapes: []Taped{{"A", "A", 1, 1}}},
		"NaN length":    {Pegs: []Peg{{Name: "A"}, {Name: "B"}}, Tapes: []Taped{{"A", "B", math.NaN(), 1}}},
		"no length":     {Pegs: []Peg{{Name: "A"}, {Name: "B"}}, Tapes: []Taped{{"A", "B", 0, 1}}},
		"no sigma":      {Pegs: []Peg{{Name: "A"}, {Name: "B"}}, Tapes: []Taped{{"A", "B", 10, 0}}},
		"known in spot": {Pegs: []Peg{{Name: "A", Known: true}, {Name: "B", Known: true}}, Tapes: good},
		"known NaN":     {Pegs: []Peg{{Name: "A", Known: true, X: math.NaN()}, {Name: "B"}}, Tapes: good},
		"side":          {Pegs: []Peg{{Name: "A"}, {Name: "B", Side: "up"}}, Tapes: good},
		"base of one":   {Pegs: []Peg{{Name: "A"}, {Name: "B", Base: [2]string{"A", ""}}}, Tapes: good},
		"own base":      {Pegs: []Peg{{Name: "A"}, {Name: "B", Base: [2]string{"A", "B"}}}, Tapes: good},
		"base unknown":  {Pegs: []Peg{{Name: "A"}, {Name: "B", Base: [2]string{"A", "Z"}}}, Tapes: good},
		"along unknown": {Pegs: []Peg{{Name: "A"}, {Name: "B"}}, Tapes: good, Along: "Z"},
	} {
		if _, err := n.Adjust(); err == nil {
			t.Error(name, "accepted")
		} else if err.Error() == "" {
			t.Error(name, "says nothing")
		}
	}
	r, err := (&Network{Pegs: []Peg{{Name: "A", Known: true, X: 100, Y: 50}, {Name: "B"}}, Tapes: good,
		Along: "B"}).Adjust()
	if err != nil || r.Pegs[1].X != 3100 || r.Pegs[1].Y != 50 {
		t.Error(r, err)
	}
	if _, _, err := r.Between("A", "Q"); err == nil {
		t.Error("unknown peg between")
	}
}

func FuzzAdjust(f *testing.F) {
	f.Add([]byte{0, 1, 30, 0, 2, 40, 1, 2, 50}, byte(0x15))
	f.Add([]byte{0, 1, 30, 0, 2, 40, 1, 2, 50, 3, 0, 50, 3, 1, 40, 3, 2, 30}, byte(0))
	f.Fuzz(func(t *testing.T, data []byte, sides byte) {
		n := Network{}
		for i, name := range []string{"A", "B", "C", "D", "E"} {
			p := Peg{Name: name}
			switch sides >> (2 * (i % 4)) & 3 {
			case 1:
				p.Side = Left
			case 2:
				p.Side = Right
			case 3:
				p.Known, p.X, p.Y = i%2 == 0, float64(i*1000), float64(i*i*400)
			}
			n.Pegs = append(n.Pegs, p)
		}
		for i := 0; i+2 < len(data) && i < 60; i += 3 {
			n.Tapes = append(n.Tapes, Taped{n.Pegs[data[i]%5].Name, n.Pegs[data[i+1]%5].Name, float64(data[i+2]) * 50,
				1 + float64(data[i+2]%5)})
		}
		r, err := n.Adjust()
		if err != nil {
			_ = err.Error()
			return
		}
		for _, p := range r.Pegs {
			for _, v := range []float64{p.X, p.Y, p.Ellipse.Major, p.Ellipse.Minor, p.Ellipse.Direction} {
				if math.IsNaN(v) || math.IsInf(v, 0) {
					t.Fatalf("%+v", p)
				}
			}
		}
		for _, x := range r.Tapes {
			if math.IsNaN(x.Residual) || math.IsNaN(x.Standardized) || math.IsNaN(x.Redundancy) {
				t.Fatalf("%+v", x)
			}
		}
	})
}

func BenchmarkAdjust(b *testing.B) {
	n := gateSite().network(rand.New(rand.NewPCG(1, 2)), 3)
	for b.Loop() {
		if _, err := n.Adjust(); err != nil {
			b.Fatal(err)
		}
	}
}
