package tape

import (
	"math"
	"testing"
)

func FuzzCorrect(f *testing.F) {
	f.Add(30000.0, 30000.0, 30005.0, 20.0, 1.16e-5, 50.0, 2.0, 2e5, 1e-4, 35.0, 60.0, 30000.0, 700.0)
	f.Add(math.NaN(), math.Inf(1), 0.0, -1.0, 1.0, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0, 1.0, 1e9)
	f.Fuzz(func(t *testing.T, reading, nominal, standardized, t0, k, p0, area, modulus, weight, t1, p1, span,
		height float64) {
		c, err := Tape{nominal, standardized, t0, k, p0, area, modulus, weight}.Correct(reading,
			Conditions{t1, p1, []float64{span}, height})
		if err != nil {
			_ = err.Error()
			return
		}
		for _, v := range []float64{c.Standardization, c.Temperature, c.Pull, c.Sag, c.Slope, c.Length} {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				t.Fatalf("%+v", c)
			}
		}
		if c.Sag > 0 || c.Slope > 1e-9*c.Length || c.Length < 0 {
			t.Fatalf("%+v", c)
		}
	})
}
