package levels

import (
	"math"
	"testing"
)

func FuzzSlope(f *testing.F) {
	f.Add(12.0, 8.3, 4.7, 1000.0, 20.0)
	f.Add(0.0, math.NaN(), 90.0, -1.0, math.Inf(1))
	f.Fuzz(func(t *testing.T, n, percent, degrees, length, drop float64) {
		for _, read := range []func() (Grade, error){
			func() (Grade, error) { return OneIn(n) },
			func() (Grade, error) { return Percent(percent) },
			func() (Grade, error) { return Degrees(degrees) },
		} {
			g, err := read()
			if err != nil {
				_ = err.Error()
				continue
			}
			if !finite(float64(g)) || math.Abs(float64(g)) > MaxGrade+1e-9 {
				t.Fatal(g)
			}
			points, err := FromSlopes(0, 0, []Leg{{Length: length, Slope: g, AlongGround: true}}, 0.01)
			if err == nil && (!finite(points[1].Level) ||
				math.Abs(math.Hypot(points[1].Chainage, points[1].Level)-length) > 1e-9*(1+length)) {
				t.Fatal(points, length)
			}
		}
		points, err := LevelString(0).Levels([]Drop{{Chainage: length, Down: drop}})
		if err == nil && points[0].Level != -drop {
			t.Fatal(points)
		}
	})
}
