package wind

import (
	"fmt"
	"testing"

	"pegpour/engine/reference/cases"
)

func TestReferences(t *testing.T) {
	cases.Run(t, "wind.json", cases.Topics{
		"wind": func(c cases.Case) (cases.Values, error) {
			q, err := BasicPressure(c.Number("v_m_s"))
			return cases.Values{"q_Pa": q}, err
		},
		"gust": func(c cases.Case) (cases.Values, error) {
			q, err := GustPressure(c.Number("V_m_s"), c.Number("factor"))
			return cases.Values{"q_Pa": q}, err
		},
		"terrain": func(c cases.Case) (cases.Values, error) {
			terrain, ok := TerrainOf(c.Word("terrain"))
			if !ok {
				return nil, fmt.Errorf("no terrain")
			}
			return cases.Values{"z0_m": terrain.Roughness / 1000, "zmin_m": terrain.Least / 1000}, nil
		},
		"exposure": func(c cases.Case) (cases.Values, error) {
			terrain, ok := TerrainOf(c.Word("terrain"))
			if !ok {
				return nil, fmt.Errorf("no terrain")
			}
			e, err := terrain.Exposure(c.Number("z_m") * 1000)
			return cases.Values{"ce": e}, err
		},
		"zones": func(c cases.Case) (cases.Values, error) {
			zones, err := Zones(c.Number("length_m")*1000, c.Number("height_m")*1000, c.Number("corner_m")*1000,
				c.Number("solidity"))
			if err != nil {
				return nil, err
			}
			out := cases.Values{}
			terrain, _ := TerrainOf(c.Word("terrain"))
			q, _ := terrain.PeakPressure(c.Number("v_m_s"), c.Number("z_m")*1000)
			for _, z := range zones {
				out[z.Name] = z.Coefficient
				out["p"+z.Name] = z.Coefficient * q
			}
			return out, nil
		},
		"lattice": func(c cases.Case) (cases.Values, error) {
			k, err := LatticeCoefficient(c.Number("solidity"))
			return cases.Values{"Cf": k / c.Number("solidity")}, err
		},
		"leaf": func(c cases.Case) (cases.Values, error) {
			l := Leaf{Length: c.Number("length"), Top: c.Number("top"), Solidity: 1, Pressure: c.Number("q"),
				Coefficient: c.Number("c")}
			var upper []Support
			for _, p := range c.Rows("upper") {
				upper = append(upper, Support{p[0], p[1]})
			}
			load, err := l.Load()
			if err != nil {
				return nil, err
			}
			wheels := c.Numbers("wheels")
			h, err := l.Hold(upper, [2]float64{wheels[0], wheels[1]})
			out := cases.Values{"F": load.Force, "B0": h.Bottom[0], "B1": h.Bottom[1]}
			for i, v := range h.Upper {
				out[fmt.Sprint("U", i)] = v
			}
			return out, err
		},
	})
}
