package motion

import (
	"fmt"
	"math"
	"testing"

	"pegpour/engine/reference/cases"
)

func yes(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

func TestReferences(t *testing.T) {
	cases.Run(t, "motion.json", cases.Topics{
		"motion": func(c cases.Case) (cases.Values, error) {
			r := Roll{Mass: c.Number("m_kg"), Grade: math.Atan(1 / c.Number("one_in")),
				Resistance: c.Number("crr"), Start: 1}
			p, err := r.Pull()
			if err != nil {
				return nil, err
			}
			v, err := r.RunawaySpeed(c.Number("way_mm"))
			return cases.Values{"F_N": p.Forward, "down_N": p.Backward, "runaway": yes(p.Runaway), "v_mm_s": v}, err
		},
		"wheel": func(c cases.Case) (cases.Values, error) {
			var tread Tread
			var bearing Bearing
			for _, k := range Treads() {
				if k.Key == c.Word("tread") {
					tread = k
				}
			}
			for _, k := range Bearings() {
				if k.Key == c.Word("bearing") {
					bearing = k
				}
			}
			if tread.Key == "" || bearing.Key == "" {
				return nil, fmt.Errorf("no such tread or bearing")
			}
			if c.Holds("no_rim") {
				bearing.Rim = 0
			}
			k, err := WheelResistance(c.Number("D"), c.Number("d"), tread, bearing)
			return cases.Values{"c": k}, err
		},
		"stop": func(c cases.Case) (cases.Values, error) {
			i := Impact{Mass: c.Number("m_kg"), Speed: c.Number("v_mm_s"), Drive: c.Number("drive")}
			var r StopResult
			var err error
			if way := c.Number("buffer"); way > 0 {
				peak, err := i.Buffered(way)
				return cases.Values{"F_N": peak, "taken_J": peak * way / 2 / 1000}, err
			} else if way := c.Number("way"); way > 0 {
				r, err = i.Within(way)
			} else {
				r, err = i.Springy(c.Number("k"))
			}
			return cases.Values{"E_J": r.Energy / 1000, "F_N": r.Peak, "t_s": r.Seconds, "x_mm": r.Distance}, err
		},
		"wheels": func(c cases.Case) (cases.Values, error) {
			var parts []Part
			for _, row := range c.Rows("parts") {
				parts = append(parts, Part{row[0], row[1], row[2]})
			}
			r, err := Wheels(parts, c.Numbers("wheels"), math.Atan(c.Number("grade")), nil)
			out := cases.Values{"lifts": yes(r.Lifts)}
			for i, v := range r.Loads {
				out[fmt.Sprint("R", i)] = v
			}
			return out, err
		},
	})
}
