package photo

import "slices"

// What Complete looks for, as Spread measures it. Common practice, no published
// source.
const (
	// SpreadEnough is the share with which it looks no further: a picture
	// foreshortens, so twice what is refused.
	SpreadEnough = 2 * groundSpread
	// spreadWell is the share beyond which the larger four are better than the
	// rounder ones.
	spreadWell = 5 * groundSpread
)

// Complete finds the fewest places, one to three, that make four with known
// ones which spread out both ways, and returns their indices with the spread
// that is then had; the best three if there are none. Between as many it takes
// those that spread best, up to a fair share, and then the larger four.
//
// Nothing is found without a known place, without enough places, and where a
// coordinate is no number.
func Complete(known, places []Ground) (add []int, share float64) {
	have, ok := pointsOf(known)
	more, ok2 := pointsOf(places)
	if !ok || !ok2 {
		return nil, 0
	}
	best := completion{}
	for k := max(1, MinPairs-len(have)); k < MinPairs && k <= len(more); k++ {
		each(len(more), k, func(taken []int) {
			all := have
			for _, i := range taken {
				all = append(all[:len(all):len(all)], more[i])
			}
			size := extent(all)
			each(len(have), MinPairs-k, func(kept []int) {
				quad := [4]int{}
				for i := range k {
					quad[i] = len(have) + i
				}
				copy(quad[k:], kept)
				off, _ := flattest(all, quad)
				if c := (completion{min(off/size, spreadWell), off, taken}); size > 0 && c.better(&best) {
					c.taken = slices.Clone(taken)
					best = c
				}
			})
		})
		if best.share >= SpreadEnough {
			break
		}
	}
	return best.taken, best.share
}

type completion struct {
	share, off float64
	taken      []int
}

func (c *completion) better(than *completion) bool {
	return c.share > than.share || c.share == than.share && c.off > than.off
}

// each calls do with each choice of k out of n, in ascending order. The slice is
// the same each time.
func each(n, k int, do func([]int)) {
	at := make([]int, k)
	for i := range at {
		at[i] = i
	}
	for k <= n {
		do(at)
		i := k - 1
		for i >= 0 && at[i] == n-k+i {
			i--
		}
		if i < 0 {
			return
		}
		at[i]++
		for j := i + 1; j < k; j++ {
			at[j] = at[j-1] + 1
		}
	}
}
