package steel

import (
	"cmp"
	"math"
	"slices"

	"pegpour/engine/refusal"
	"pegpour/engine/sorting"
)

// Piece is one line of a cut list.
type Piece struct {
	Mark   string  // what the piece is for
	Length float64 // mm, 1 to the longest stock length
	Count  int     // 1 to MaxPieces
}

// Cut is one piece on one bar.
type Cut struct {
	Mark   string
	Length float64 // mm
}

// StockBar is one bar to buy with what is cut from it, longest first.
type StockBar struct {
	Stock  float64 // mm, its length
	Cuts   []Cut
	Saw    float64 // mm lost to the saw
	Offcut float64 // mm left over
}

// Nest is a cutting plan.
type Nest struct {
	Bars   []StockBar
	Bought float64 // mm of stock
	Used   float64 // mm of pieces
	Saw    float64 // mm lost to the saw
	Offcut float64 // mm left over
	// Proven says that no plan buys less length; false means the list was too
	// long to prove it, or the search was cut off.
	Proven bool
}

// Limits of a cut list.
const (
	// MaxPieces is the most pieces in a list.
	MaxPieces = 2000
	// MaxStockLengths is the most stock lengths on offer.
	MaxStockLengths = 12
	// nestingSteps bounds the search for a better plan: it is counted, not
	// timed, so that every device finds the same plan.
	nestingSteps = 60000
	// longestExact is the longest list for which a better plan is searched.
	longestExact = 60
)

// NestStock returns which bars to buy and what to cut from each so that the
// stock bought is as short as can be, then the bars as few.
//
// Pieces are put longest first on the first bar with room (first-fit
// decreasing), with each stock length as the bar to start from, each bar then
// exchanged for the shortest stock that holds it; short lists are improved by
// branch and bound until proven or nestingSteps are used. kerf (mm, 0 to 20) is
// lost between pieces. Pieces and saw cuts never exceed the stock.
//
// Source: first-fit decreasing: D. S. Johnson, Near-optimal bin packing
// algorithms, 1973 (memory).
func NestStock(pieces []Piece, stock []float64, kerf float64) (Nest, error) {
	if err := refusal.First(
		refusal.Allow("number of stock lengths", float64(len(stock)), 1, MaxStockLengths, ""),
		refusal.Allow("saw cut", kerf, 0, 20, "mm"),
	); err != nil {
		return Nest{}, err
	}
	for _, s := range stock {
		if err := refusal.First(refusal.Allow("stock length", s, 100, 30000, "mm")); err != nil {
			return Nest{}, err
		}
	}
	lengths := slices.Clone(stock)
	slices.Sort(lengths)
	lengths = slices.Compact(lengths)
	longest := lengths[len(lengths)-1]
	var cuts []Cut
	for _, p := range pieces {
		if err := refusal.First(
			refusal.Allow("piece length", p.Length, 1, longest, "mm"),
			refusal.Allow("piece count", float64(p.Count), 1, MaxPieces, ""),
			refusal.Allow("number of pieces", float64(len(cuts))+float64(p.Count), 1, MaxPieces, ""),
		); err != nil {
			return Nest{}, err
		}
		for range p.Count {
			cuts = append(cuts, Cut{p.Mark, p.Length})
		}
	}
	if len(cuts) == 0 {
		return Nest{Proven: true}, nil
	}
	sorting.Stable(cuts, func(a, b Cut) int {
		return cmp.Or(cmp.Compare(b.Length, a.Length), cmp.Compare(a.Mark, b.Mark))
	})
	s := nestSearch{cuts: cuts, stock: lengths, kerf: kerf}
	for _, main := range lengths {
		s.keep(s.firstFit(main))
	}
	s.improve()
	return s.plan(), nil
}

// nestSearch looks for the assignment of cuts to bars that buys least.
type nestSearch struct {
	cuts  []Cut // longest first
	stock []float64
	kerf  float64

	best       []int // bar of each cut
	bestBought float64
	bestBars   int
	proven     bool

	// State of the branch and bound.
	bars  []float64 // pieces and saw cuts between them, by bar
	bar   []int
	after []float64 // length of cuts[i:]
	steps int
}

// holder returns the shortest stock that holds a length; 0 when none does.
func (s *nestSearch) holder(filled float64) float64 {
	for _, l := range s.stock {
		if filled <= l {
			return l
		}
	}
	return 0
}

// firstFit puts every cut on the first bar of the main stock with room.
func (s *nestSearch) firstFit(main float64) []int {
	var bars []float64
	out := make([]int, len(s.cuts))
	for i, c := range s.cuts {
		out[i] = -1
		for b, filled := range bars {
			if next := filled + s.kerf + c.Length; next <= max(main, s.holder(filled)) {
				bars[b], out[i] = next, b
				break
			}
		}
		if out[i] < 0 {
			out[i] = len(bars)
			bars = append(bars, c.Length)
		}
	}
	return out
}

// keep takes an assignment when it is better than the best so far.
func (s *nestSearch) keep(bar []int) {
	var filled []float64
	for i, b := range bar {
		if b == len(filled) {
			filled = append(filled, s.cuts[i].Length)
		} else {
			// In the order of every other sum here, so that they agree to the bit.
			filled[b] = filled[b] + s.kerf + s.cuts[i].Length
		}
	}
	bought := 0.0
	for _, f := range filled {
		bought += s.holder(f)
	}
	if s.best == nil || bought < s.bestBought || bought == s.bestBought && len(filled) < s.bestBars {
		s.best, s.bestBought, s.bestBars = slices.Clone(bar), bought, len(filled)
	}
}

// improve searches all assignments, the promising ones first.
func (s *nestSearch) improve() {
	n := len(s.cuts)
	s.after = make([]float64, n+1)
	for i := n - 1; i >= 0; i-- {
		s.after[i] = s.after[i+1] + s.cuts[i].Length
	}
	// Nothing can buy less than the pieces themselves, in whole bars.
	if s.leastBought(s.after[0]) >= s.bestBought {
		s.proven = true
		return
	}
	if n > longestExact {
		return
	}
	s.bar = make([]int, n)
	s.steps = nestingSteps
	s.branch(0, 0)
	s.proven = s.steps > 0
}

// leastBought is a bound: what must be bought for a length in whole bars. With
// one stock length it is rounded up to bars.
func (s *nestSearch) leastBought(length float64) float64 {
	if len(s.stock) == 1 {
		// Each piece takes a saw cut with it, each bar gives one cut free.
		l := s.stock[0]
		bars := math.Ceil((length + float64(len(s.cuts))*s.kerf) / (l + s.kerf) * (1 - 1e-12))
		return bars * l
	}
	return length
}

// branch places cut i; bought is the least that the bars so far cost.
func (s *nestSearch) branch(i int, bought float64) {
	if s.steps <= 0 {
		return
	}
	s.steps--
	if i == len(s.cuts) {
		s.keep(s.bar)
		return
	}
	// Room left on the bars in their present stock may take pieces for nothing
	// more; the rest of the length must be bought.
	room := 0.0
	for _, f := range s.bars {
		room += s.holder(f) - f
	}
	bound := bought + max(0, s.after[i]-room)
	if l := s.stock[0]; len(s.stock) == 1 {
		bound = math.Ceil(bound/l-1e-9) * l
	}
	if bound > s.bestBought || bound == s.bestBought && len(s.bars) >= s.bestBars {
		return
	}
	c := s.cuts[i].Length
	from := 0
	if i > 0 && s.cuts[i-1].Length == c {
		from = s.bar[i-1] // equal pieces in order of their bars
	}
	for b := from; b < len(s.bars); b++ {
		filled := s.bars[b]
		next := filled + s.kerf + c
		holder := s.holder(next)
		if holder == 0 || slices.Contains(s.bars[from:b], filled) {
			continue
		}
		if cost := bought - s.holder(filled) + holder; cost <= s.bestBought {
			s.bars[b], s.bar[i] = next, b
			s.branch(i+1, cost)
			s.bars[b] = filled
		}
	}
	if cost := bought + s.holder(c); cost <= s.bestBought {
		s.bar[i] = len(s.bars)
		s.bars = append(s.bars, c)
		s.branch(i+1, cost)
		s.bars = s.bars[:len(s.bars)-1]
	}
}

// plan writes out the best assignment, fullest bars first.
func (s *nestSearch) plan() Nest {
	bars := make([]StockBar, s.bestBars)
	filled := make([]float64, s.bestBars)
	for i, b := range s.best {
		if len(bars[b].Cuts) > 0 {
			filled[b] += s.kerf
		}
		bars[b].Cuts = append(bars[b].Cuts, s.cuts[i])
		filled[b] += s.cuts[i].Length
	}
	out := Nest{Proven: s.proven, Bought: s.bestBought}
	for b := range bars {
		bar := &bars[b]
		bar.Stock = s.holder(filled[b])
		used := 0.0
		for _, c := range bar.Cuts {
			used += c.Length
		}
		bar.Offcut = max(0, bar.Stock-used-float64(len(bar.Cuts))*s.kerf)
		bar.Saw = bar.Stock - used - bar.Offcut
		out.Used += used
		out.Saw += bar.Saw
		out.Offcut += bar.Offcut
	}
	sorting.Stable(bars, func(a, b StockBar) int {
		return cmp.Or(cmp.Compare(a.Offcut, b.Offcut), cmp.Compare(b.Stock, a.Stock))
	})
	out.Bars = bars
	return out
}
