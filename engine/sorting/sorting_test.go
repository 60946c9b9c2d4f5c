package sorting

import (
	"cmp"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
)

type pair struct{ key, at int }

// Many lists of every length come out as from the standard library, also where
// elements are equal.
func TestAsTheStandardLibrary(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	byKey := func(a, b pair) int { return cmp.Compare(a.key, b.key) }
	for n := range 300 {
		list := make([]pair, n)
		for i := range list {
			list[i] = pair{random.IntN(1 + n/3), i}
		}
		stable, wantStable := slices.Clone(list), slices.Clone(list)
		Stable(stable, byKey)
		slices.SortStableFunc(wantStable, byKey)
		assert.Equal(t, wantStable, stable)
		sorted, want := slices.Clone(list), slices.Clone(list)
		By(sorted, byKey)
		slices.SortFunc(want, byKey)
		assert.Equal(t, want, sorted)
	}
}
