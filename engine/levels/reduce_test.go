package levels

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"
)

func TestReduceFaults(t *testing.T) {
	bs, is, fs := func(v float64) Row { return Row{Back: Read(v)} }, func(v float64) Row {
		return Row{Intermediate: Read(v)}
	}, func(v float64) Row { return Row{Fore: Read(v)} }
	change := func(f, b float64) Row { return Row{Fore: Read(f), Back: Read(b)} }
	for _, c := range []struct {
		name    string
		rows    []Row
		row     int
		column  Column
		fault   BookingFault
		stopped int
		known   []bool
	}{
		{"two backsights", []Row{bs(1500), bs(1400), fs(1000)}, 1, BacksightColumn, TwoBacksights, 1,
			[]bool{true, false, false}},
		{"foresight missing", []Row{bs(1500), is(1400), bs(1300), fs(1000)}, 2, BacksightColumn, ForesightMissing, 2,
			[]bool{true, true, false, false}},
		{"foresight without instrument", []Row{fs(1500), bs(1400)}, 0, ForesightColumn, NoInstrument, 0,
			[]bool{false, false}},
		{"foresight after a foresight", []Row{bs(1500), fs(1400), fs(1300)}, 2, ForesightColumn, NoInstrument, 2,
			[]bool{true, true, false}},
		{"intermediate without instrument", []Row{is(1500)}, 0, IntermediateColumn, NoInstrument, 0, []bool{false}},
		{"two sights in a row", []Row{bs(1500), {Intermediate: Read(1), Fore: Read(2)}}, 1, IntermediateColumn,
			TwoSightsOneRow, 1, []bool{true, false}},
		{"empty row", []Row{bs(1500), {}, fs(1200)}, 1, IntermediateColumn, EmptyRow, -1, []bool{true, false, true}},
		{"negative upright", []Row{bs(1500), is(-1200), fs(1200)}, 1, IntermediateColumn, NegativeUpright, -1,
			[]bool{true, false, true}},
		{"positive inverted", []Row{bs(1500), {Intermediate: ReadInverted(1200)}, fs(1200)}, 1, IntermediateColumn,
			PositiveInverted, -1, []bool{true, false, true}},
		{"too long", []Row{bs(1500), is(MaxStaff + 1), fs(1)}, 1, IntermediateColumn, ReadingOutOfRange, -1,
			[]bool{true, false, true}},
		{"NaN at a change point", []Row{bs(1500), is(1400), change(math.NaN(), 1000), fs(900)}, 2, ForesightColumn,
			ReadingOutOfRange, 2, []bool{true, true, false, false}},
		{"bad backsight keeps its row", []Row{bs(1500), change(1400, 9999), fs(900)}, 1, BacksightColumn,
			ReadingOutOfRange, 1, []bool{true, true, false}},
		{"bad start backsight", []Row{bs(-1), is(900)}, 0, BacksightColumn, NegativeUpright, 0, []bool{true, false}},
	} {
		t.Run(c.name, func(t *testing.T) {
			r, err := Reduce(c.rows, 10000)
			var faults BookingErrors
			if !errors.As(err, &faults) {
				t.Fatal("no faults reported", err)
			}
			f := faults[0]
			if f.Row != c.row || f.Column != c.column || f.Fault != c.fault {
				t.Errorf("got %v", err)
			}
			if r.StoppedAt != c.stopped {
				t.Errorf("stopped at %d, want %d", r.StoppedAt, c.stopped)
			}
			if stop := faults.Stop(); (stop != nil) != (c.stopped >= 0) || stop != nil && stop.Row != c.stopped {
				t.Errorf("stop %v", stop)
			}
			for i, k := range c.known {
				if r.Rows[i].Known != k {
					t.Errorf("row %d known %v", i, r.Rows[i].Known)
				}
			}
			if !r.Check.RiseAndFallHolds || !r.Check.CollimationHolds {
				t.Errorf("the part reduced must still pass its checks: %+v", r.Check)
			}
		})
	}
}

func TestReduceRefusesStart(t *testing.T) {
	for _, v := range []float64{math.NaN(), math.Inf(1), MaxLevel * 1.01} {
		if _, err := Reduce([]Row{{Back: Read(1)}}, v); err == nil {
			t.Errorf("start %v accepted", v)
		}
	}
}

// randomPage makes a sound page and the true level of each row.
func randomPage(r *rand.Rand, start float64) (rows []Row, truth []float64) {
	z := start
	hi := z + 1000 + 1000*r.Float64()
	rows = append(rows, Row{Back: Read(hi - z)})
	truth = append(truth, z)
	for range 2 + r.IntN(20) {
		z = hi - 4000*r.Float64()
		row := Row{}
		switch r.IntN(4) {
		case 0:
			row.Fore = Read(hi - z)
			hi = z + 4000*r.Float64()
			row.Back = Read(hi - z)
			row.Run = 1000 + 50000*r.Float64()
		case 1:
			z = hi + 3000*r.Float64()
			row.Intermediate = ReadInverted(hi - z)
		default:
			row.Intermediate = Read(hi - z)
		}
		rows, truth = append(rows, row), append(truth, z)
	}
	z = hi - 4000*r.Float64()
	return append(rows, Row{Fore: Read(hi - z), Run: 1000 + 50000*r.Float64()}), append(truth, z)
}

func TestReduceProperties(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 500 {
		rows, truth := randomPage(r, 50000)
		a, err := Reduce(rows, 50000)
		if err != nil {
			t.Fatal(err)
		}
		const shift = 12345
		b, err := Reduce(rows, 50000+shift)
		if err != nil {
			t.Fatal(err)
		}
		for i := range rows {
			if math.Abs(a.Rows[i].ByRiseAndFall-truth[i]) > 1e-6 {
				t.Fatalf("row %d: %v, truth %v", i, a.Rows[i].ByRiseAndFall, truth[i])
			}
			if math.Abs(a.Rows[i].ByRiseAndFall-a.Rows[i].ByCollimation) > 1e-6 {
				t.Fatal("the two methods disagree")
			}
			if math.Abs(b.Rows[i].ByCollimation-a.Rows[i].ByCollimation-shift) > 1e-6 {
				t.Fatal("a shift of datum shifts every level")
			}
		}
		if !a.Check.RiseAndFallHolds || !a.Check.CollimationHolds {
			t.Fatalf("%+v", a.Check)
		}
		for _, share := range []Share{EqualSetups, EqualDistance} {
			known := truth[len(truth)-1] + 20*r.Float64() - 10
			c, err := Close(rows, &a, known, 5, share)
			if err != nil {
				t.Fatal(err)
			}
			if last := len(rows) - 1; math.Abs(c.Adjusted[last]-known) > 1e-6 || c.Corrections[0] != 0 {
				t.Fatal("an adjusted page must close")
			}
			for _, v := range c.Corrections {
				if math.Abs(v) > math.Abs(c.Misclosure)+1e-9 {
					t.Fatal("no correction exceeds the misclosure")
				}
			}
		}
	}
}

func TestCloseShares(t *testing.T) {
	rows := []Row{{Back: Read(1000)}, {Fore: Read(1000), Back: Read(1000), Run: 30000}, {Intermediate: Read(900)},
		{Fore: Read(1000), Run: 10000}}
	r, err := Reduce(rows, 0)
	if err != nil {
		t.Fatal(err)
	}
	c, err := Close(rows, &r, -8, 10, EqualSetups)
	if err != nil || c.Misclosure != 8 || c.Corrections[1] != -4 || c.Corrections[2] != -8 || c.Corrections[3] != -8 {
		t.Errorf("by setups: %+v %v", c, err)
	}
	c, err = Close(rows, &r, -8, 7.9, EqualDistance)
	if err != nil || c.Corrections[1] != -6 || c.Within {
		t.Errorf("by distance: %+v %v", c, err)
	}
	rows[1].Run = 0
	if _, err := Close(rows, &r, -8, 10, EqualDistance); !errors.Is(err, ErrNoRun) {
		t.Error("sharing by distance without distances", err)
	}
	open := []Row{{Back: Read(1000)}, {Intermediate: Read(900)}}
	ro, _ := Reduce(open, 0)
	if _, err := Close(open, &ro, 0, 1, EqualSetups); !errors.Is(err, ErrNotClosed) {
		t.Error("an open page was closed", err)
	}
	if v, err := BySetups(3, 4); err != nil || v != 6 {
		t.Errorf("3√4 = %v %v", v, err)
	}
	if _, err := BySetups(3, 0); err == nil {
		t.Error("no setups accepted")
	}
}

func TestReductionLevels(t *testing.T) {
	rows := []Row{{Back: Read(1000)}, {Fore: Read(800), Back: Read(1200), Located: true, Chainage: 10},
		{Intermediate: Read(900), Located: true, Chainage: 20}}
	r, err := Reduce(rows, 0)
	if err != nil {
		t.Fatal(err)
	}
	got := r.Levels(rows, 1)
	if len(got) != 2 || got[0].Level != 200 || got[1].Level != 500 || math.Abs(got[0].Sigma-math.Sqrt2) > 1e-12 ||
		got[1].Sigma != 2 {
		t.Errorf("%+v", got)
	}
}

func TestStringLine(t *testing.T) {
	got, err := LevelString(10000).Levels([]Drop{{Chainage: 0, Down: 300}, {Chainage: 2000, Down: -20}})
	if err != nil || got[0].Level != 9700 || got[1].Level != 10020 {
		t.Errorf("%v %v", got, err)
	}
	got, err = StringLine{0, 10000, 4000, 10100}.Levels([]Drop{{Chainage: 1000, Down: 100}})
	if err != nil || got[0].Level != 9925 {
		t.Errorf("%v %v", got, err)
	}
	for _, s := range []StringLine{{0, 0, 0, 100}, {math.NaN(), 0, 1, 1}} {
		if _, err := s.Levels(nil); err == nil {
			t.Errorf("%+v accepted", s)
		}
	}
	if _, err := LevelString(0).Levels([]Drop{{Down: math.Inf(1)}}); err == nil {
		t.Error("infinite drop accepted")
	}
}

// A level string and a staff give the same levels of the same ground.
func TestStringAndStaffAgree(t *testing.T) {
	ground := []float64{9700, 9650, 9810}
	rows := []Row{{Back: Read(11200 - ground[0])}}
	var drops []Drop
	for i, z := range ground {
		drops = append(drops, Drop{Chainage: float64(i) * 1000, Down: 10000 - z})
		if i > 0 {
			rows = append(rows, Row{Intermediate: Read(11200 - z)})
		}
	}
	r, err := Reduce(rows, ground[0])
	if err != nil {
		t.Fatal(err)
	}
	points, err := LevelString(10000).Levels(drops)
	if err != nil {
		t.Fatal(err)
	}
	for i := range ground {
		if math.Abs(points[i].Level-r.Rows[i].ByCollimation) > 1e-9 {
			t.Errorf("point %d: string %v, staff %v", i, points[i].Level, r.Rows[i].ByCollimation)
		}
	}
}

func TestFromSlopes(t *testing.T) {
	g, err := OneIn(4)
	if err != nil {
		t.Fatal(err)
	}
	// 3-4-5 by 0.75: along the ground 1250 goes 1000 along and 750 up.
	p, err := FromSlopes(500, 100, []Leg{{Length: 1000, Slope: g}, {Length: 1250, Slope: 0.75, AlongGround: true}},
		0.01)
	if err != nil || p[1].Chainage != 1500 || p[1].Level != 350 || math.Abs(p[2].Chainage-2500) > 1e-9 ||
		math.Abs(p[2].Level-1100) > 1e-9 || math.Abs(p[2].Sigma-10*math.Sqrt2) > 1e-9 {
		t.Errorf("%+v %v", p, err)
	}
	for _, bad := range []float64{0, 0.01, math.NaN()} {
		if _, err := OneIn(bad); err == nil {
			t.Errorf("1 in %v accepted", bad)
		}
	}
	if _, err := Degrees(90); err == nil {
		t.Error("90° accepted")
	}
	if _, err := FromSlopes(0, 0, []Leg{{Length: -1}}, 0); err == nil {
		t.Error("negative leg accepted")
	}
}

func FuzzReduce(f *testing.F) {
	f.Add(1000.0, []byte{1, 150, 2, 140, 4, 130, 5, 120, 9, 110, 4, 100})
	f.Add(math.NaN(), []byte{1, 1, 7, 200, 0, 0})
	f.Fuzz(func(t *testing.T, start float64, page []byte) {
		var rows []Row
		for i := 0; i+1 < len(page) && i < 400; i += 2 {
			v := float64(page[i+1])*37 - 500
			if page[i+1] == 255 {
				v = math.NaN()
			}
			s := Sight{Taken: true, Reading: v, Inverted: page[i]&8 != 0}
			var r Row
			if page[i]&1 != 0 {
				r.Back = s
			}
			if page[i]&2 != 0 {
				r.Intermediate = s
			}
			if page[i]&4 != 0 {
				r.Fore = s
			}
			r.Run = v
			rows = append(rows, r)
		}
		r, err := Reduce(rows, start)
		if len(r.Rows) != len(rows) {
			t.Fatal("a row was lost")
		}
		for _, row := range r.Rows {
			if !finite(row.ByCollimation) || !finite(row.ByRiseAndFall) || row.Rise < 0 || row.Fall < 0 {
				t.Fatalf("%+v", row)
			}
			if row.Known && math.Abs(row.ByCollimation-row.ByRiseAndFall) > 1e-5 {
				t.Fatalf("methods disagree: %+v", row)
			}
		}
		if err == nil && (!r.Check.RiseAndFallHolds || !r.Check.CollimationHolds || r.StoppedAt >= 0) {
			t.Fatalf("%+v", r)
		}
		if c, err := Close(rows, &r, 0, 1, EqualDistance); err == nil && !finite(c.Misclosure) {
			t.Fatal("misclosure")
		}
	})
}

// A backsight in a row of its own stands on a point that no foresight was read
// to: its level would be 0, not what the row above found.
func TestBacksightNeedsItsForesightInTheRow(t *testing.T) {
	for name, fore := range map[string]float64{"a row above": 1200, "a row above and refused": -315} {
		t.Run(name, func(t *testing.T) {
			rows := []Row{{Back: Read(1500)}, {Fore: Read(fore)}, {Back: Read(1000)}, {Fore: Read(900)}}
			r, err := Reduce(rows, 10000)
			var faults BookingErrors
			if !errors.As(err, &faults) {
				t.Fatalf("accepted: %+v", r)
			}
			last := faults[len(faults)-1]
			if last.Row != 2 || last.Column != BacksightColumn || last.Fault != ForesightMissing || !last.Stops ||
				r.StoppedAt != 2 || r.Rows[3].Known {
				t.Errorf("%+v %+v", faults, r)
			}
		})
	}
}

func TestOnlyTheFirstFaultStops(t *testing.T) {
	rows := []Row{{Back: Read(1500)}, {Back: Read(1400)}, {Fore: Read(1000)}, {Fore: Read(900)}}
	_, err := Reduce(rows, 0)
	var faults BookingErrors
	if !errors.As(err, &faults) || len(faults) != 2 || !faults[0].Stops || faults[1].Stops ||
		faults[1].Fault != NoInstrument {
		t.Errorf("%+v", faults)
	}
}
