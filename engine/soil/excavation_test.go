package soil

import (
	"math"
	"testing"
)

func TestFaceOfClasses(t *testing.T) {
	for key, want := range map[string]Face{"rock": FaceRock, "soft-rock": FaceB, "clay": FaceB, "sand": FaceC,
		"gravel": FaceC, "fill": FaceC, "soft": FaceC} {
		class, _ := ClassOf(key)
		if class.Face(false) != want || class.Face(true) != FaceC {
			t.Errorf("%s: %v, wet %v", key, class.Face(false), class.Face(true))
		}
	}
	for _, v := range []float64{math.NaN(), -1, 7000} {
		if _, err := FaceC.LaidBack(v); err == nil {
			t.Errorf("takes %v", v)
		}
	}
}
