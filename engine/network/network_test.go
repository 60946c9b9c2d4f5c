package network_test

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"reflect"
	"strings"
	"testing"

	"pegpour/engine"
	"pegpour/engine/advice"
	"pegpour/engine/draw"
	"pegpour/engine/drawing"
	"pegpour/engine/enginetest"
	"pegpour/engine/enginetest/designs"
	"pegpour/engine/geom"
	"pegpour/engine/network"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
)

// trueYard is where the pegs of the simulated site really stand: an angled
// drive 4350 wide, a tank of four corners and the wall that ends the run-back.
var trueYard = []struct {
	name, role, thing string
	x, y              float64
}{
	{"A", survey.PegLatch, "", 0, 0},
	{"B", survey.PegRunBack, "", 4350, 0},
	{"C", survey.PegRunBackEdge, "", 4410, 30},
	{"D", survey.PegRunBackEdge, "", 4925, 1430},
	{"E", survey.PegLatchEdge, "", -240, 60},
	{"F", survey.PegLatchEdge, "", 270, 1460},
	{"G", survey.PegCorner, "Tank", 7450, 850},
	{"H", survey.PegCorner, "Tank", 8050, 1000},
	{"I", survey.PegCorner, "Tank", 7900, 1600},
	{"J", survey.PegRoomEnd, "", 11300, 120},
}

// NetworkSite tapes the yard with errors drawn at random.
func networkSite(r *rand.Rand, sigma float64) survey.Survey {
	s := enginetest.SquareSite()
	s.Opening.Width, s.RunBack.Room = survey.Value{}, survey.Value{}
	s.Drive.RunBackEdge, s.Drive.LatchEdge = survey.Edge{}, survey.Edge{}
	at := map[string][2]float64{}
	for _, p := range trueYard {
		at[p.name] = [2]float64{p.x, p.y}
		s.Network.Pegs = append(s.Network.Pegs,
			survey.NetworkPeg{Name: p.name, Role: p.role, Thing: p.thing, Along: survey.Measured(p.x+200, survey.ByEstimate),
				Offset: survey.Measured(p.y+150, survey.ByEstimate)})
	}
	tapes := strings.Fields("AB AC AD AE AF AG BC BD BE BF BG BH BI BJ CD CE CF DE DF EF GH HI GI DG DH DI GJ HJ IJ CJ AJ")
	for _, t := range tapes {
		a, b := at[t[:1]], at[t[1:]]
		d := math.Hypot(a[0]-b[0], a[1]-b[1]) + sigma*r.NormFloat64()
		s.Network.Tapes = append(s.Network.Tapes,
			survey.NetworkTape{From: t[:1], To: t[1:], Length: survey.Measured(d, survey.ByTape)})
	}
	return s
}

func networkCheck(p *plan.Plan, code string) *plan.Check {
	for i := range p.Checks {
		if p.Checks[i].Code == code {
			return &p.Checks[i]
		}
	}
	return nil
}

func TestNetworkFeedsTheSurvey(t *testing.T) {
	p := practice.DefaultPractice()
	s := networkSite(rand.New(rand.NewPCG(1, 2)), 0)
	before, _ := json.Marshal(s)
	made, err := engine.Design(s, p)
	if err != nil {
		t.Fatal(err)
	}
	if after, _ := json.Marshal(s); string(after) != string(before) {
		t.Error("the caller's survey was changed")
	}
	near := func(name string, got, want float64) {
		t.Helper()
		if math.Abs(got-want) > 0.01 {
			t.Errorf("%s is %.3f, want %.3f", name, got, want)
		}
	}
	near("opening", made.Opening, 4350)
	near("room", made.Site.Room, 11300)
	near("edge at the fence", straightX(made.Site.RunBackEdge, 0), 4410-30*515.0/1400)
	near("edge a metre and a half in", straightX(made.Site.RunBackEdge, 1400), 4925-30*515.0/1400)
	near("latch edge", straightX(made.Site.LatchEdge, 1000), -240+940*510.0/1400)
	if n := len(made.Site.Obstructions); n != 1 {
		t.Fatalf("%d obstructions, want the tank", n)
	}
	low, high := made.Site.Obstructions[0].Box.Bounds()
	near("tank", low.X, 7450)
	near("tank", low.Y, 850)
	near("tank", high.X, 8050)
	near("tank", high.Y, 1600)
	if c := networkCheck(&made, "network.fits"); c == nil {
		t.Error("tapes without an error do not fit")
	}
	if g, ok := made.Network.Give(survey.OpeningWidth); !ok || g.Sigma <= 0 || g.Sigma > p.SigmaTape {
		t.Errorf("the opening's uncertainty is %v: a network is surer than one tape", g.Sigma)
	}
	for _, a := range made.Assumed {
		if a.Path == survey.OpeningWidth || a.Path == survey.RunBackRoom || strings.HasPrefix(a.Path, "drive.") &&
			strings.Contains(a.Path, "Edge") {
			t.Errorf("%s is assumed although the network gives it", a.Path)
		}
	}
}

// StraightX is the chainage of a straight edge at an offset.
func straightX(line []geom.Point, y float64) float64 {
	a, b := line[0], line[len(line)-1]
	for i := 1; i < len(line); i++ {
		if line[i].Y >= y {
			a, b = line[i-1], line[i]
			break
		}
	}
	return a.X + (y-a.Y)*(b.X-a.X)/(b.Y-a.Y)
}

// The places and the opening hold the probability that they claim, over a
// thousand networks drawn at random about one and the same truth; the ellipses
// of engine/tape are held over ten thousand in its own tests.
func TestNetworkHoldsItsProbability(t *testing.T) {
	r := rand.New(rand.NewPCG(20, 26))
	p := practice.DefaultPractice()
	trials, within95, width95 := 0, 0, 0
	suspects := 0
	for range 1000 {
		s := networkSite(r, p.SigmaTape)
		n, _ := network.Adjust(&s, &p)
		if n == nil || len(n.Pegs) != len(trueYard) {
			t.Fatalf("a network without blunders was not adjusted: %v", n.Problem)
		}
		if len(n.Suspects()) > 0 {
			suspects++
		}
		g, _ := n.Give(survey.OpeningWidth)
		if math.Abs(g.Value-4350) < 1.96*g.Sigma {
			width95++
		}
		for i, q := range n.Pegs {
			if q.Minor95 < 0.1 {
				continue // the frame itself
			}
			dx, dy := q.Chainage-trueYard[i].x, q.Offset-trueYard[i].y
			c, d := math.Cos(q.Direction), math.Sin(q.Direction)
			u, v := (dx*c+dy*d)/q.Major95, (-dx*d+dy*c)/q.Minor95
			// Truth turns about the latch post with the run-back post's own error,
			// which is none: that post lies on the fence line by definition.
			trials++
			if u*u+v*v < 1 {
				within95++
			}
		}
	}
	if got := float64(within95) / float64(trials); math.Abs(got-0.95) > 0.02 {
		t.Errorf("%.4f of %d places lie within their 95 %% ellipse", got, trials)
	}
	if got := float64(width95) / 1000; math.Abs(got-0.95) > 5*math.Sqrt(0.95*0.05/1000) {
		t.Errorf("%.3f of the openings lie within their 95 %% range", got)
	}
	// 31 tapes, each beyond 3 of its own by chance in 0.27 %: 8 % of networks.
	if suspects < 40 || suspects > 130 {
		t.Errorf("%d of 1000 sound networks have a suspect, about 80 expected", suspects)
	}
}

// A tape misread by 100 mm is named, wherever it is.
func TestNetworkNamesTheWrongTape(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	p := practice.DefaultPractice()
	clean := networkSite(r, 1)
	named := 0
	for k := range clean.Network.Tapes {
		s := clean.Clone()
		s.Network.Tapes[k].Length.Size += 100
		made, _ := engine.Design(s, p)
		if made.Network == nil {
			t.Fatal("no network")
		}
		suspects := made.Network.Suspects()
		if len(suspects) == 1 && suspects[0].Index == k {
			named++
			c := networkCheck(&made, "network.suspect")
			if c == nil || c.Severity != plan.Stop || math.Abs(c.Margin+100) > 15 {
				t.Errorf("tape %d: the check says %+v", k, c)
			}
		}
	}
	if named < len(clean.Network.Tapes)-4 {
		t.Errorf("%d of %d misread tapes were named", named, len(clean.Network.Tapes))
	}
}

func TestNetworkSaysWhatIsMissing(t *testing.T) {
	p := practice.DefaultPractice()
	base := enginetest.SquareSite()
	peg := func(name, role string, x, y float64) survey.NetworkPeg {
		return survey.NetworkPeg{Name: name, Role: role, Along: survey.Measured(x, survey.ByEstimate),
			Offset: survey.Measured(y, survey.ByEstimate)}
	}
	taped := func(from, to string, d float64) survey.NetworkTape {
		return survey.NetworkTape{From: from, To: to, Length: survey.Measured(d, survey.ByTape)}
	}
	posts := []survey.NetworkPeg{peg("A", survey.PegLatch, 0, 0), peg("B", survey.PegRunBack, 4000, 0),
		peg("C", survey.PegPlain, 2000, 1500), peg("D", survey.PegPlain, 3000, 1500)}
	for _, c := range []struct {
		name, code string
		pegs       []survey.NetworkPeg
		tapes      []survey.NetworkTape
		want       string
	}{
		{"no posts", "network.problem", posts[2:], []survey.NetworkTape{taped("C", "D", 1000)}, "Name the pegs"},
		{"posts not taped", "network.problem", posts, []survey.NetworkTape{taped("A", "C", 2500)}, "Tape from A to B"},
		{"one tape to a peg", "network.loose", posts[:3], []survey.NetworkTape{taped("A", "B", 4000), taped("A", "C", 2500)},
			"tape from C to B"},
		{"two tapes to a peg", "network.unchecked", posts[:3],
			[]survey.NetworkTape{taped("A", "B", 4000), taped("A", "C", 2500), taped("B", "C", 2500)}, "Nothing checks"},
		{"no triangle", "network.problem", posts[:3],
			[]survey.NetworkTape{taped("A", "B", 4000), taped("A", "C", 500), taped("B", "C", 500)}, "cannot meet at C"},
		{"differs", "network.differs", posts[:3], []survey.NetworkTape{taped("A", "B", 4080)}, "measured 4000 mm"},
	} {
		s := base.Clone()
		s.Network = survey.Network{Pegs: c.pegs, Tapes: c.tapes}
		made, _ := engine.Design(s, p)
		if k := networkCheck(&made, c.code); k == nil || !strings.Contains(k.What.String(), c.want) {
			t.Errorf("%s: want %s with %q, have %v", c.name, c.code, c.want, made.Checks)
		}
	}
}

// A tape that hangs, is warm and climbs: the corrections are those of
// engine/tape, a laser gets only the slope.
func TestNetworkCorrections(t *testing.T) {
	p := practice.DefaultPractice()
	for _, c := range []struct {
		how  survey.Method
		want float64
	}{
		// 10 m, 30 °C against 20: +1.16; hung 10 m of 0.2 N/m at 50 N:
		// −0.2²·10³/(24·50²)·1000 = −0.667; rise 500: −12.5 (computed by hand).
		{survey.ByTape, math.Sqrt(math.Pow(10000+1.16-0.66667, 2) - 500*500)},
		{survey.ByLaser, math.Sqrt(10000*10000 - 500*500)},
	} {
		s := enginetest.SquareSite()
		s.Opening.Width = survey.Value{}
		s.Network.Pegs = []survey.NetworkPeg{{Name: "A", Role: survey.PegLatch}, {Name: "B", Role: survey.PegRunBack}}
		s.Network.Tapes = []survey.NetworkTape{{From: "A", To: "B", Length: survey.Measured(10000, c.how),
			Rise: survey.Measured(500, survey.ByTape), Temperature: survey.Measured(30, survey.ByTape),
			Unsupported: survey.Measured(10000, survey.ByTape)}}
		made, _ := engine.Design(s, p)
		if math.Abs(made.Opening-c.want) > 0.01 {
			t.Errorf("%s: %.3f, want %.3f", c.how, made.Opening, c.want)
		}
	}
}

// Confidence carries the tapes through the adjustment to the results.
func TestNetworkInConfidence(t *testing.T) {
	p := practice.DefaultPractice()
	s := networkSite(rand.New(rand.NewPCG(9, 9)), 1)
	made, _ := engine.Design(s, p)
	report := advice.Confidence(s, p, made)
	frame, ok := report.Result("leaf.frame")
	g, _ := made.Network.Give(survey.OpeningWidth)
	if !ok || math.Abs(frame.Sigma-g.Sigma) > 0.05 {
		t.Errorf("the frame is sure to %.3f, the opening from the network to %.3f", frame.Sigma, g.Sigma)
	}
}

func TestNoNetworkChangesNothing(t *testing.T) {
	p := practice.DefaultPractice()
	s := enginetest.SquareSite()
	plain, _ := engine.Design(s, p)
	s.Network.Pegs = []survey.NetworkPeg{{Name: "A"}}
	with, _ := engine.Design(s, p)
	with.Network, with.Checks, plain.Checks = nil, nil, nil
	if !reflect.DeepEqual(plain, with) {
		t.Error("a network that gives nothing changes the plan")
	}
}

// Whatever stands in a network, a plan comes of it and nothing in it is no
// number.
func FuzzNetwork(f *testing.F) {
	r := rand.New(rand.NewPCG(5, 6))
	for _, s := range []survey.Survey{networkSite(r, 3), networkSite(r, 500), enginetest.SquareSite()} {
		data, err := json.Marshal(s.Network)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(data)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		s := enginetest.SquareSite()
		if json.Unmarshal(data, &s.Network) != nil {
			return
		}
		s.Opening.Width = survey.Value{}
		made, _ := engine.Design(s, practice.DefaultPractice())
		designs.Sound(t, &made)
	})
}

func BenchmarkNetwork(b *testing.B) {
	s, p := networkSite(rand.New(rand.NewPCG(1, 2)), 3), practice.DefaultPractice()
	for b.Loop() {
		_, _ = engine.Design(s, p)
	}
}

// The drawing can always be laid out, with the ellipses enlarged by a round
// factor that it can say.
func TestNetworkScene(t *testing.T) {
	s, p := networkSite(rand.New(rand.NewPCG(8, 8)), 3), practice.DefaultPractice()
	s.Network.Tapes[3].Length.Size += 200
	made, _ := engine.Design(s, p)
	svg, err := draw.Render(drawing.NetworkScene(&s, &made, drawing.NetworkOptions{Tape: 2, Picked: []string{"A", "B"}}),
		draw.Phone(390, 0), draw.Options{Standalone: true})
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{`data-id="ellipse.3"`, `data-id="tape.2"`, `data-id="peg.0"`} {
		if !strings.Contains(string(svg), want) {
			t.Errorf("the drawing has no %s", want)
		}
	}
	if k := drawing.EllipseScale(&made); k < 2 || k > 1000 {
		t.Errorf("ellipses enlarged %v times", k)
	}
	if out := os.Getenv("PEGPOUR_SVG"); out != "" {
		_ = os.WriteFile(out, svg, 0o644)
	}
}
