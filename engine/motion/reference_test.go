package motion

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"testing"

	"pegpour/engine/reference/record"
)

type referenceCase struct {
	ID        string             `json:"id"`
	Topic     string             `json:"topic"`
	Inputs    map[string]any     `json:"inputs"`
	Expected  map[string]float64 `json:"expected"`
	Tolerance map[string]float64 `json:"rel_tolerance"`
}

func (c referenceCase) in(name string) float64 {
	v, _ := c.Inputs[name].(float64)
	return v
}

func (c referenceCase) list(name string) (out []float64) {
	rows, _ := c.Inputs[name].([]any)
	for _, v := range rows {
		out = append(out, v.(float64))
	}
	return out
}

// checkReferences runs every case of a file through the function of its topic.
// A case without a function, or an expected value that none gives, fails.
func checkReferences(t *testing.T, file string, topics map[string]func(referenceCase) (map[string]float64, error)) {
	t.Helper()
	raw, err := os.ReadFile("../../testdata/references/" + file)
	if err != nil {
		t.Fatal(err)
	}
	var cases []referenceCase
	if err := json.Unmarshal(raw, &cases); err != nil {
		t.Fatal(err)
	}
	for _, c := range cases {
		t.Run(c.ID, func(t *testing.T) {
			find := topics[c.Topic]
			if find == nil {
				t.Fatalf("no test for topic %q", c.Topic)
			}
			got, err := find(c)
			if err != nil {
				t.Fatal(err)
			}
			for name, want := range c.Expected {
				tolerance, ok := c.Tolerance[name]
				if !ok {
					tolerance = c.Tolerance["*"]
				}
				record.Got(c.ID, name, got[name])
				if have, ok := got[name]; !ok || !(math.Abs(have-want) <= tolerance*math.Abs(want)) {
					t.Errorf("%s: %v (found %v), want %v within %v", name, have, ok, want, tolerance)
				}
			}
		})
	}
}

func (c referenceCase) word(name string) string {
	s, _ := c.Inputs[name].(string)
	return s
}

func yes(b bool) float64 {
	if b {
		return 1
	}
	return 0
}

func TestReferences(t *testing.T) {
	type values = map[string]float64
	checkReferences(t, "motion.json", map[string]func(referenceCase) (map[string]float64, error){
		"motion": func(c referenceCase) (values, error) {
			r := Roll{Mass: c.in("m_kg"), Grade: math.Atan(1 / c.in("one_in")), Resistance: c.in("crr"), Start: 1}
			p, err := r.Pull()
			if err != nil {
				return nil, err
			}
			v, err := r.RunawaySpeed(c.in("way_mm"))
			return values{"F_N": p.Forward, "down_N": p.Backward, "runaway": yes(p.Runaway), "v_mm_s": v}, err
		},
		"wheel": func(c referenceCase) (values, error) {
			var tread Tread
			var bearing Bearing
			for _, k := range Treads() {
				if k.Key == c.word("tread") {
					tread = k
				}
			}
			for _, k := range Bearings() {
				if k.Key == c.word("bearing") {
					bearing = k
				}
			}
			if tread.Key == "" || bearing.Key == "" {
				return nil, fmt.Errorf("no such tread or bearing")
			}
			if none, _ := c.Inputs["no_rim"].(bool); none {
				bearing.Rim = 0
			}
			k, err := WheelResistance(c.in("D"), c.in("d"), tread, bearing)
			return values{"c": k}, err
		},
		"stop": func(c referenceCase) (values, error) {
			i := Impact{Mass: c.in("m_kg"), Speed: c.in("v_mm_s"), Drive: c.in("drive")}
			var r StopResult
			var err error
			if way := c.in("way"); way > 0 {
				r, err = i.Within(way)
			} else {
				r, err = i.Springy(c.in("k"))
			}
			return values{"E_J": r.Energy / 1000, "F_N": r.Peak, "t_s": r.Seconds}, err
		},
		"wheels": func(c referenceCase) (values, error) {
			var parts []Part
			rows, _ := c.Inputs["parts"].([]any)
			for _, row := range rows {
				v := row.([]any)
				parts = append(parts, Part{v[0].(float64), v[1].(float64), v[2].(float64)})
			}
			r, err := Wheels(parts, c.list("wheels"), math.Atan(c.in("grade")), nil)
			out := values{"lifts": yes(r.Lifts)}
			for i, v := range r.Loads {
				out[fmt.Sprint("R", i)] = v
			}
			return out, err
		},
	})
}
