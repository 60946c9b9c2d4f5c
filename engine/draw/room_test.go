package draw

import (
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"
)

// A Room gives what laying out and writing anew gives, whatever it held before.
func TestRoomChangesNothing(t *testing.T) {
	hidden := Phone(390, 203)
	hidden.Hidden = []string{"steel"}
	part := Phone(390, 300)
	part.Window = Box{Max: Pt(3000, 1500)}
	turned := Phone(300, 0)
	turned.Turn, turned.Mirror = true, true
	scenes := []*Scene{footing(), crowded(), typicalPlan(), {Title: "nothing"}}
	views := []View{Phone(390, 203), Phone(390, 420), Phone(200, 90), hidden, part, turned, PaperAt(180, 250, 50)}
	options := []Options{{Screen: true, Prefix: "a"}, {Screen: true, OnlyFields: true, Highlight: "opening"}, {}}
	random := rand.New(rand.NewPCG(7, 1))
	var room Room
	for i := range 100 {
		s, v, o := scenes[random.IntN(len(scenes))], views[random.IntN(len(views))], options[random.IntN(len(options))]
		sheet, err := Layout(s, v)
		if err != nil {
			t.Fatal(err)
		}
		head, body := Parts(sheet, o)
		again, err := room.Layout(s, v)
		if err != nil {
			t.Fatal(err)
		}
		if h, b := room.Parts(again, o); h != head || b != body {
			t.Fatalf("drawing %d differs in a room that was used before:\n%s\n%s", i, body, b)
		}
	}
}

// Coordinates read as the standard library writes them with two decimals, without
// zeros at the end.
func TestCoordinates(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 2))
	values := []float64{0, 0.004, 0.005, -0.005, 0.995, 9.994, 9.995, 99.995, 100, 999.994, 999.995, 1000, 1e7, -1e7, 0.49999999999999994 / 100}
	for range 20000 {
		values = append(values, random.NormFloat64()*math.Pow(10, 7*random.Float64()-2))
	}
	for _, v := range values {
		want := strconv.FormatFloat(math.Round(v*100)/100, 'f', 2, 64)
		want = strings.TrimSuffix(strings.TrimRight(want, "0"), ".")
		if want == "-0" {
			want = "0"
		}
		if got := string(appendCoordinate(nil, v)); got != want {
			t.Fatalf("%v is written %s, want %s", v, got, want)
		}
	}
}
