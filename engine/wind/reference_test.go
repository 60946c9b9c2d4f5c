package wind

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

func (c referenceCase) pairs(name string) (out [][2]float64) {
	rows, _ := c.Inputs[name].([]any)
	for _, v := range rows {
		p := v.([]any)
		out = append(out, [2]float64{p[0].(float64), p[1].(float64)})
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

func TestReferences(t *testing.T) {
	type values = map[string]float64
	checkReferences(t, "wind.json", map[string]func(referenceCase) (map[string]float64, error){
		"wind": func(c referenceCase) (values, error) {
			q, err := BasicPressure(c.in("v_m_s"))
			return values{"q_Pa": q}, err
		},
		"gust": func(c referenceCase) (values, error) {
			q, err := GustPressure(c.in("V_m_s"), c.in("factor"))
			return values{"q_Pa": q}, err
		},
		"exposure": func(c referenceCase) (values, error) {
			terrain, ok := TerrainOf(c.word("terrain"))
			if !ok {
				return nil, fmt.Errorf("no terrain")
			}
			e, err := terrain.Exposure(c.in("z_m") * 1000)
			return values{"ce": e}, err
		},
		"zones": func(c referenceCase) (values, error) {
			zones, err := Zones(c.in("length_m")*1000, c.in("height_m")*1000, c.in("corner_m")*1000, c.in("solidity"))
			if err != nil {
				return nil, err
			}
			out := values{}
			terrain, _ := TerrainOf(c.word("terrain"))
			q, _ := terrain.PeakPressure(c.in("v_m_s"), c.in("z_m")*1000)
			for _, z := range zones {
				out[z.Name] = z.Coefficient
				out["p"+z.Name] = z.Coefficient * q
			}
			return out, nil
		},
		"lattice": func(c referenceCase) (values, error) {
			k, err := LatticeCoefficient(c.in("solidity"))
			return values{"Cf": k / c.in("solidity")}, err
		},
		"leaf": func(c referenceCase) (values, error) {
			l := Leaf{Length: c.in("length"), Top: c.in("top"), Solidity: 1, Pressure: c.in("q"), Coefficient: c.in("c")}
			var upper []Support
			for _, p := range c.pairs("upper") {
				upper = append(upper, Support{p[0], p[1]})
			}
			load, err := l.Load()
			if err != nil {
				return nil, err
			}
			wheels := c.list("wheels")
			h, err := l.Hold(upper, [2]float64{wheels[0], wheels[1]})
			out := values{"F": load.Force, "B0": h.Bottom[0], "B1": h.Bottom[1]}
			for i, v := range h.Upper {
				out[fmt.Sprint("U", i)] = v
			}
			return out, err
		},
	})
}
