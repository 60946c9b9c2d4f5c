package soil

import (
	"math"
	"testing"
)

func TestFaceOfClasses(t *testing.T) {
	for key, want := range map[string]DigSide{"rock": DigRock, "soft-rock": DigB, "clay": DigB, "sand": DigC,
		"gravel": DigC, "fill": DigC, "soft": DigC} {
		class, _ := ClassOf(key)
		if class.DigSide(false) != want || class.DigSide(true) != DigC {
			t.Errorf("%s: %v, wet %v", key, class.DigSide(false), class.DigSide(true))
		}
	}
	for _, v := range []float64{math.NaN(), -1, 7000} {
		if _, err := DigC.LaidBack(v); err == nil {
			t.Errorf("takes %v", v)
		}
	}
}
