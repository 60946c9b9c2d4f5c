package steel

import (
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"testing"
)

// leastStock is the exact optimum by dynamic programming over subsets, which
// shares nothing with the search it checks.
func leastStock(lengths, stock []float64, kerf float64) float64 {
	n := len(lengths)
	cost := make([]float64, 1<<n)
	best := make([]float64, 1<<n)
	for set := 1; set < 1<<n; set++ {
		total, count := 0.0, 0.0
		for i, l := range lengths {
			if set>>i&1 == 1 {
				total, count = total+l, count+1
			}
		}
		cost[set], best[set] = math.Inf(1), math.Inf(1)
		for _, s := range stock {
			if total+(count-1)*kerf <= s {
				cost[set] = math.Min(cost[set], s)
			}
		}
		for part := set; part > 0; part = (part - 1) & set {
			best[set] = math.Min(best[set], cost[part]+best[set^part])
		}
	}
	return best[1<<n-1]
}

func checkNest(t *testing.T, pieces []Piece, kerf float64, n Nest) {
	t.Helper()
	want, got := map[Cut]int{}, map[Cut]int{}
	for _, p := range pieces {
		want[Cut{p.Mark, p.Length}] += p.Count
	}
	bought, saw, offcut, used := 0.0, 0.0, 0.0, 0.0
	for _, b := range n.Bars {
		sum := 0.0
		for _, c := range b.Cuts {
			got[c]++
			sum += c.Length
		}
		if need := sum + float64(len(b.Cuts)-1)*kerf; need > b.Stock+1e-9 {
			t.Fatalf("%v mm cut from a bar of %v", need, b.Stock)
		}
		if b.Offcut < 0 || b.Saw < -1e-9 || math.Abs(sum+b.Saw+b.Offcut-b.Stock) > 1e-6 {
			t.Fatalf("bar does not add up: %+v", b)
		}
		bought, saw, offcut, used = bought+b.Stock, saw+b.Saw, offcut+b.Offcut, used+sum
	}
	if !reflect.DeepEqual(want, got) {
		t.Fatalf("wanted %v, cut %v", want, got)
	}
	for _, v := range [][2]float64{{bought, n.Bought}, {saw, n.Saw}, {offcut, n.Offcut}, {used, n.Used}} {
		if math.Abs(v[0]-v[1]) > 1e-6 {
			t.Fatalf("sums differ: %v %v", v[0], v[1])
		}
	}
}

func TestNestingAgainstExactOptimum(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 12))
	for round := range 250 {
		stock := []float64{6000}
		if round%3 == 1 {
			stock = []float64{6500, 4000}
		} else if round%3 == 2 {
			stock = []float64{3000, 6000, 7500}
		}
		kerf := float64(r.IntN(3)) * 1.5
		var pieces []Piece
		var lengths []float64
		for i := range 1 + r.IntN(9) {
			l := float64(200 + r.IntN(3800))
			if i > 0 && r.IntN(3) == 0 {
				l = lengths[0]
			}
			pieces = append(pieces, Piece{fmt.Sprint("p", i), l, 1})
			lengths = append(lengths, l)
		}
		n, err := NestStock(pieces, stock, kerf)
		if err != nil {
			t.Fatal(err)
		}
		checkNest(t, pieces, kerf, n)
		if want := leastStock(lengths, stock, kerf); !n.Proven || n.Bought != want {
			t.Fatalf("%v from %v, kerf %v: bought %v (proven %v), least %v", lengths, stock, kerf, n.Bought,
				n.Proven, want)
		}
	}
}

// First-fit decreasing needs three bars here; two do.
func TestNestingBeatsFirstFit(t *testing.T) {
	pieces := []Piece{{"a", 3000, 1}, {"b", 2000, 3}, {"c", 1500, 2}}
	n, err := NestStock(pieces, []float64{6000}, 0)
	if err != nil || n.Bought != 12000 || !n.Proven || n.Offcut != 0 {
		t.Fatalf("%+v %v", n, err)
	}
}

func TestNestingFillsABarExactly(t *testing.T) {
	n, err := NestStock([]Piece{{"rail", 1998, 3}}, []float64{6000}, 3)
	if err != nil || len(n.Bars) != 1 || n.Saw != 6 || n.Offcut != 0 {
		t.Fatalf("three pieces and two saw cuts make one bar: %+v %v", n, err)
	}
	n, err = NestStock([]Piece{{"rail", 1998.01, 3}}, []float64{6000}, 3)
	if err != nil || len(n.Bars) != 2 {
		t.Fatalf("a hair too long takes two bars: %+v %v", n, err)
	}
}

func TestNestingLongLists(t *testing.T) {
	r := rand.New(rand.NewPCG(13, 14))
	for range 20 {
		var pieces []Piece
		for i := range 5 + r.IntN(30) {
			pieces = append(pieces, Piece{fmt.Sprint("m", i), 100 + r.Float64()*5900, 1 + r.IntN(8)})
		}
		a, err := NestStock(pieces, []float64{6000, 12000, 6500}, 2.5)
		if err != nil {
			t.Fatal(err)
		}
		checkNest(t, pieces, 2.5, a)
		r.Shuffle(len(pieces), func(i, k int) { pieces[i], pieces[k] = pieces[k], pieces[i] })
		b, err := NestStock(pieces, []float64{12000, 6500, 6000, 6000}, 2.5)
		if err != nil || !reflect.DeepEqual(a, b) {
			t.Fatalf("the order of the list changes the plan (%v)", err)
		}
	}
}

func FuzzNesting(f *testing.F) {
	f.Add(1000.0, 2500.0, 700.0, 3, 6000.0, 2.5)
	f.Fuzz(func(t *testing.T, a, b, c float64, count int, stock, kerf float64) {
		pieces := []Piece{{"a", a, count}, {"b", b, 1}, {"c", c, 2}}
		n, err := NestStock(pieces, []float64{stock}, kerf)
		if err == nil {
			checkNest(t, pieces, kerf, n)
		}
	})
}

func BenchmarkNesting(b *testing.B) {
	pieces := []Piece{{"stile", 1800, 4}, {"rail", 4120, 2}, {"batten", 1655, 38}, {"tail", 1230, 1}}
	for b.Loop() {
		if _, err := NestStock(pieces, []float64{6500}, 2.5); err != nil {
			b.Fatal(err)
		}
	}
}
