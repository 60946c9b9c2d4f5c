package ground_test

import (
	"math"
	"testing"

	"pegpour/engine/draw"
	"pegpour/engine/drawing"
	"pegpour/engine/enginetest"
	"pegpour/engine/ground"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
)

// A page of our own with one change point, reduced by hand: A 100.000 known,
// 1.500 back, so collimation 101.500; points at 1.200 and 1.650, change point
// 0.900 fore and 1.800 back, last 2.400 fore on A again.
func bookedPage() survey.Survey {
	s := enginetest.SquareSite()
	staff := func(v float64) survey.Value { return survey.Measured(v, survey.ByStaff) }
	l := &s.Ground.Levels
	l.Taken, l.Start = survey.LevelsByStaff, survey.Measured(100000, survey.ByEstimate)
	l.Book = []survey.BookRow{
		{Station: "peg", Back: staff(1500)},
		{Intermediate: staff(1200), Along: survey.Measured(0, survey.ByTape)},
		{Intermediate: staff(1650), Along: survey.Measured(4000, survey.ByTape)},
		{Fore: staff(900), Back: staff(1800), Along: survey.Measured(6000, survey.ByTape)},
		{Fore: staff(2400)},
	}
	return s
}

func TestBookLevels(t *testing.T) {
	run := ground.BookLevels(bookedPage(), practice.DefaultPractice())
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
	if run.Step != ground.RunDone {
		t.Errorf("the next step is %s", run.Step)
	}
	if scene, k := drawing.ProfileScene(&run, drawing.SceneOptions{}); scene == nil || k < 1 {
		t.Error("no profile")
	} else if _, err := draw.Render(scene, draw.Phone(360, 0), draw.Options{}); err != nil {
		t.Error(err)
	}
}

// The steps follow the book, row by row.
func TestBookLevelsGuides(t *testing.T) {
	whole := bookedPage().Ground.Levels.Book
	half := whole[3]
	half.Fore = survey.Value{}
	for _, c := range []struct {
		name string
		book []survey.BookRow
		want ground.RunStep
	}{
		{"empty", nil, ground.RunBackFirst},
		{"row without backsight", []survey.BookRow{{}}, ground.RunBackFirst},
		{"first backsight", whole[:1], ground.RunOpen},
		{"a point", whole[:2], ground.RunOpen},
		{"turned", whole[:4], ground.RunOpen},
		{"moved before the foresight", append(append([]survey.BookRow(nil), whole[:3]...), half), ground.RunTurnFore},
		{"closed", whole, ground.RunDone},
	} {
		s := bookedPage()
		s.Ground.Levels.Book = c.book
		if got := ground.BookLevels(s, practice.DefaultPractice()).Step; got != c.want {
			t.Errorf("%s: %s, want %s", c.name, got, c.want)
		}
	}
}
