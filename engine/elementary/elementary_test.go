package elementary

import (
	"io/fs"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// M. Abramowitz and I. A. Stegun, Handbook of Mathematical Functions, tables 4.2
// and 4.4 (memory), to the digits given.
func TestAbramowitzStegun(t *testing.T) {
	assert.InDelta(t, 2.718281828459045235, Exp(1), 1e-15)
	assert.InDelta(t, 0.367879441171442322, Exp(-1), 1e-16)
	assert.InDelta(t, 22026.46579480671652, Exp(10), 1e-11)
	assert.InDelta(t, 0.693147180559945309, Log(2), 1e-16)
	assert.InDelta(t, 2.302585092994045684, Log(10), 1e-15)
	assert.InDelta(t, 1.414213562373095049, Pow(2, 0.5), 1e-15)
}

func TestAgreesWithTheStandardLibrary(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 200_000 {
		x := 80 * (r.Float64() - 0.5)
		assert.InEpsilon(t, math.Exp(x), Exp(x), 1e-15)
		y := math.Exp(x)
		assert.InDelta(t, math.Log(y), Log(y), 4e-16*math.Max(1, math.Abs(x)))
		p := 4 * (r.Float64() - 0.5)
		assert.InEpsilon(t, math.Pow(y, p), Pow(y, p), 1e-15*(2+math.Abs(x*p)))
	}
}

func TestEnds(t *testing.T) {
	inf := math.Inf(1)
	assert.Equal(t, 1.0, Exp(0))
	assert.Equal(t, 0.0, Exp(-inf))
	assert.Equal(t, inf, Exp(inf))
	assert.Equal(t, inf, Exp(1000))
	assert.Equal(t, 0.0, Exp(-1000))
	assert.True(t, math.IsNaN(Exp(math.NaN())))
	assert.Equal(t, 0.0, Log(1))
	assert.Equal(t, -inf, Log(0))
	assert.Equal(t, inf, Log(inf))
	assert.True(t, math.IsNaN(Log(-1)))
	assert.True(t, math.IsNaN(Log(math.NaN())))
	assert.InDelta(t, -744.44007192138126, Log(math.SmallestNonzeroFloat64), 1e-12)
	assert.Equal(t, 1.0, Pow(5, 0))
}

// The same on every machine: the sum of the bits of a thousand results, as it
// is on amd64 and, by node, in WebAssembly.
func TestBits(t *testing.T) {
	var sum uint64
	for i := 1; i <= 1000; i++ {
		x := float64(i) / 37
		for _, v := range []float64{Exp(x), Exp(-x), Log(x), Pow(x, 0.3), Pow(0.658, x)} {
			sum = sum*31 + math.Float64bits(v)
		}
	}
	assert.Equal(t, uint64(0x40f98b14696546fe), sum)
}

// The engine takes these functions from here.
func TestTheEngineTakesThemFromHere(t *testing.T) {
	files := 0
	err := filepath.WalkDir("..", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		files++
		text, err := os.ReadFile(path)
		for _, function := range []string{"math.Exp(", "math.Log(", "math.Log2("} {
			assert.NotContains(t, string(text), function, path)
		}
		return err
	})
	assert.NoError(t, err)
	assert.Greater(t, files, 100)
}
