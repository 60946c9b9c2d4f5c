package concrete

import (
	"fmt"
	"math"
	"testing"

	"pegpour/engine/geom"
	"pegpour/engine/reference/cases"
)

const (
	cubicMetre = 1e9
	cubicFoot  = 304.8 * 304.8 * 304.8
	cubicYard  = 27 * cubicFoot
	pound      = 0.45359237
)

func TestReferences(t *testing.T) {
	if n := len(cases.Read(t, "concrete.json")); n < 35 {
		t.Error("only", n)
	}
	cases.Run(t, "concrete.json", cases.Topics{
		"reinforcement": func(c cases.Case) (cases.Values, error) {
			mass, err := BarMass(c.Number("d_mm"))
			return cases.Values{"kg_per_m": mass, "A_cm2": mass / 0.785}, err
		},
		"reinforcement rule": func(c cases.Case) (cases.Values, error) {
			mass, err := BarMassByRule(c.Number("d_mm"))
			return cases.Values{"kg_per_m": mass}, err
		},
		"bag yield": func(c cases.Case) (cases.Values, error) {
			yield, err := BagYield(c.Number("mass_lb")*pound, ImperialBagDensity)
			return cases.Values{"yield_ft3": yield / cubicFoot}, err
		},
		"bag count imperial": func(c cases.Case) (cases.Values, error) {
			yield, err := BagYield(c.Number("mass_lb")*pound, ImperialBagDensity)
			if err != nil {
				return nil, err
			}
			bags, err := Bags(c.Number("volume_yd3")*cubicYard, yield)
			return cases.Values{"bags": float64(bags)}, err
		},
		"bag count": func(c cases.Case) (cases.Values, error) {
			yield, err := BagYield(c.Number("mass_kg"), MetricBagDensity)
			if err != nil {
				return nil, err
			}
			bags, err := Bags(c.Number("volume_m3")*cubicMetre, yield)
			return cases.Values{"bags": float64(bags)}, err
		},
		"concrete mix": func(c cases.Case) (cases.Values, error) {
			ratio := c.Numbers("ratio")
			m, err := MixByVolume(c.Number("wet_m3")*cubicMetre, Proportions{ratio[0], ratio[1], ratio[2]},
				c.Number("dry"), CementBulk)
			if err != nil {
				return nil, err
			}
			bags, err := CementBags(m.Cement, 50)
			if exact := m.Cement / 50; err == nil && bags != int(math.Ceil(exact)) {
				err = fmt.Errorf("%d bags, exactly %v", bags, exact)
			}
			return cases.Values{"cement_kg": m.Cement, "sand_m3": m.Sand / cubicMetre,
				"aggregate_m3": m.Stone / cubicMetre, "bags_50kg_exact": m.Cement / 50}, err
		},
		"circular segment": func(c cases.Case) (cases.Values, error) {
			height := c.Number("height")
			width := 2 * math.Sqrt(height*(c.Number("diameter")-height))
			// In mm of a circle of 1000, so that the ranges hold.
			crown, err := CircularCrown(1000*width, 1000*height)
			return cases.Values{"area": crown / 1e6}, err
		},
		"spoil": func(c cases.Case) (cases.Values, error) {
			loose, err := Loose(c.Number("bank_m3")*cubicMetre, c.Number("swell"))
			found := cases.Values{"loose_m3": loose / cubicMetre}
			if tray := c.Number("tray_m3"); err == nil && tray > 0 {
				var loads int
				loads, err = Loads(loose, tray*cubicMetre, 0, 0)
				found["loads"] = float64(loads)
			}
			return found, err
		},
		"strength by age": func(c cases.Case) (cases.Values, error) {
			share, err := StrengthShare(c.Number("s"), c.Number("days"))
			found := cases.Values{"share": share, "inverse": 1 / share}
			if c.Number("f_cm_MPa") > 0 {
				found["f_ck_MPa"] = share*c.Number("f_cm_MPa") - 8 // EN 1992-1-1, 3.1.2(5)
			}
			if other := c.Number("s_other"); other > 0 && err == nil {
				var beside float64
				beside, err = StrengthShare(other, c.Number("days"))
				found["over_other"] = share / beside
			}
			return found, err
		},
		"age by temperature": func(c cases.Case) (cases.Values, error) {
			rate, err := AgeRate(c.Number("T_C"))
			return cases.Values{"rate": rate}, err
		},
		"laps": func(cases.Case) (cases.Values, error) {
			return cases.Values{"trench_mm": TrenchMeshLap, "bar_mm": TrenchMeshLap, "square_mm": SquareMeshLap}, nil
		},
		"pour": func(c cases.Case) (cases.Values, error) {
			if c.Number("a_mm") > 0 {
				hole, err := SquareHole(c.Number("a_mm"), c.Number("b_mm"))
				if err != nil {
					return nil, err
				}
				volume, err := PostHole(hole, c.Number("underside_mm"), c.Number("bottom_mm"))
				return cases.Values{"volume_m3": volume / cubicMetre}, err
			}
			var parts []geom.Deep
			var polygons []geom.Polygon
			for _, r := range c.Rows("rects") {
				p := geom.BoxOf(geom.Point{X: r[0], Y: r[1]}, geom.Point{X: r[2], Y: r[3]}).Polygon()
				parts = append(parts, geom.Deep{Polygon: p, Depth: c.Number("depth_mm")})
				polygons = append(polygons, p)
			}
			area := geom.UnionArea(polygons...)
			volume, err := Prism(area, c.Number("depth_mm"))
			if err != nil {
				return nil, err
			}
			zones, err := geom.Zones(parts)
			if v := geom.Volume(zones); err == nil && v != volume {
				err = fmt.Errorf("by zones %v, as a prism %v", v, volume)
			}
			return cases.Values{"area_m2": area / 1e6, "volume_m3": volume / cubicMetre}, err
		},
	})
}
