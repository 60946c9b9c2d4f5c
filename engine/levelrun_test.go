package engine

import (
	"math"
	"testing"

	"pegpour/engine/draw"
)

// A page of our own with one change point, reduced by hand: A 100.000 known,
// 1.500 back, so collimation 101.500; points at 1.200 and 1.650, change point
// 0.900 fore and 1.800 back, last 2.400 fore on A again.
func bookedPage() Survey {
	s := squareSite()
	staff := func(v float64) Value { return Measured(v, ByStaff) }
	l := &s.Ground.Levels
	l.Taken, l.Start = LevelsByStaff, Measured(100000, ByEstimate)
	l.Book = []BookRow{
		{Station: "peg", Back: staff(1500)},
		{Intermediate: staff(1200), Along: Measured(0, ByTape)},
		{Intermediate: staff(1650), Along: Measured(4000, ByTape)},
		{Fore: staff(900), Back: staff(1800), Along: Measured(6000, ByTape)},
		{Fore: staff(2400)},
	}
	return s
}

func TestBookLevels(t *testing.T) {
	run := BookLevels(bookedPage(), DefaultPractice())
	if len(run.Rows) != 5 || run.Booking == nil || len(run.Faults) > 0 {
		t.Fatalf("%+v", run)
	}
	want := []float64{100000, 100300, 99850, 100600, 100000}
	collimation := []float64{101500, 0, 0, 102400, 0}
	for i, r := range run.Rows {
		if math.Abs(r.Level-want[i]) > 1e-6 {
			t.Errorf("row %d: level %v, want %v", i+1, r.Level, want[i])
		}
		if math.Abs(r.Height-collimation[i]) > 1e-6 {
			t.Errorf("row %d: collimation %v, want %v", i+1, r.Height, collimation[i])
		}
	}
	if run.SumBack != 3300 || run.SumFore != 3300 || run.SumRise-run.SumFall != 0 || !run.Booking.ArithmeticHolds {
		t.Errorf("the foot of the page: BS %v FS %v rise %v fall %v", run.SumBack, run.SumFore, run.SumRise, run.SumFall)
	}
	if run.Step != RunDone {
		t.Errorf("the next step is %s", run.Step)
	}
	if scene, k := ProfileScene(&run, SceneOptions{}); scene == nil || k < 1 {
		t.Error("no profile")
	} else if _, err := draw.Render(scene, draw.Phone(360, 0), draw.Options{}); err != nil {
		t.Error(err)
	}
}

// The steps follow the book, row by row.
func TestBookLevelsGuides(t *testing.T) {
	whole := bookedPage().Ground.Levels.Book
	half := whole[3]
	half.Fore = Value{}
	for _, c := range []struct {
		name string
		book []BookRow
		want RunStep
	}{
		{"empty", nil, RunBackFirst},
		{"row without backsight", []BookRow{{}}, RunBackFirst},
		{"first backsight", whole[:1], RunOpen},
		{"a point", whole[:2], RunOpen},
		{"turned", whole[:4], RunOpen},
		{"moved before the foresight", append(append([]BookRow(nil), whole[:3]...), half), RunTurnFore},
		{"closed", whole, RunDone},
	} {
		s := bookedPage()
		s.Ground.Levels.Book = c.book
		if got := BookLevels(s, DefaultPractice()).Step; got != c.want {
			t.Errorf("%s: %s, want %s", c.name, got, c.want)
		}
	}
}
