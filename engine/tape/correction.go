package tape

import "math"

// Tape is a steel tape as its certificate describes it. A field left 0 leaves
// out the correction that needs it.
type Tape struct {
	Nominal, Standardized float64 // marked length, and true length at the standard pull and temperature, mm
	StandardTemperature   float64 // °C
	Expansion             float64 // per °C; 1.16e-5 for steel
	StandardPull          float64 // N
	Area                  float64 // of the cross-section, mm²
	Modulus               float64 // MPa; about 200 000 for steel
	Weight                float64 // per length, N/mm
}

// Conditions are how one distance was taped.
type Conditions struct {
	Temperature float64 // of the tape, °C
	Pull        float64 // N
	// Spans are the lengths that hung free between supports, mm; none when the
	// tape lay on the ground.
	Spans []float64
	// HeightDifference between the ends, mm.
	HeightDifference float64
}

// Corrections are what was added to a reading, each signed, mm.
type Corrections struct {
	Standardization, Temperature, Pull, Sag, Slope float64
	Length                                         float64 // level distance, mm
}

// Correct turns a taped reading (mm, 1 to MaxLength) into a level distance.
//
//	C_l = (l − l′)/l′ · L          l true, l′ marked length
//	C_t = k(T₁ − T)L
//	C_p = (P₁ − P)L/(AE)
//	C_s = −Σ w²Lₛ³/(24P₁²)
//	H   = √(L′² − d²)              L′ with the others added
//
// Refuses what cannot be: hanging spans longer than the reading, no pull on a
// hanging tape, ends further apart in height than the tape is long.
//
// Source: Ghilani and Wolf, Elementary Surveying, chapter on distance by
// taping (memory); J. Mahun, open-access surveying, Distances ch. E. Checked:
// testdata/references/tape.json, tape corrections.
func (t Tape) Correct(reading float64, c Conditions) (Corrections, error) {
	if err := t.check(reading, c); err != nil {
		return Corrections{}, err
	}
	var out Corrections
	if t.Nominal > 0 && t.Standardized > 0 {
		out.Standardization = (t.Standardized - t.Nominal) / t.Nominal * reading
	}
	out.Temperature = t.Expansion * (c.Temperature - t.StandardTemperature) * reading
	if t.Area > 0 && t.Modulus > 0 && c.Pull > 0 {
		out.Pull = (c.Pull - t.StandardPull) * reading / (t.Area * t.Modulus)
	}
	var hung float64
	for i, s := range c.Spans {
		hung += s
		if err := within("hanging span", i, s, 0, reading); err != nil {
			return Corrections{}, err
		}
		if t.Weight > 0 {
			out.Sag -= t.Weight * t.Weight * s * s * s / (24 * c.Pull * c.Pull)
		}
	}
	if err := within("hanging spans together", -1, hung, 0, reading*(1+1e-9)); err != nil {
		return Corrections{}, err
	}
	along := reading + out.Standardization + out.Temperature + out.Pull + out.Sag
	d := math.Abs(c.HeightDifference)
	if err := within("height difference", -1, d, 0, along*0.999); err != nil {
		return Corrections{}, err
	}
	out.Length = math.Sqrt((along - d) * (along + d))
	out.Slope = out.Length - along
	return out, nil
}

func (t Tape) check(reading float64, c Conditions) error {
	lowPull := 0.0
	if len(c.Spans) > 0 && t.Weight > 0 {
		lowPull = 1
	}
	for _, v := range []struct {
		name            string
		v, low, high    float64
		zeroLeavesItOut bool
	}{
		{"tape reading", reading, 1, MaxLength, false},
		{"marked length of the tape", t.Nominal, 100, MaxLength, true},
		{"true length of the tape", t.Standardized, t.Nominal * 0.9, t.Nominal * 1.1, true},
		{"standard temperature", t.StandardTemperature, -60, 80, true},
		{"expansion", t.Expansion, 0, 1e-3, true},
		{"standard pull", t.StandardPull, 0, 1000, true},
		{"area of the tape", t.Area, 0.01, 1000, true},
		{"modulus of the tape", t.Modulus, 100, 1e6, true},
		{"weight of the tape", t.Weight, 0, 0.1, true},
		{"temperature", c.Temperature, -60, 80, true},
		{"pull", c.Pull, lowPull, 1000, false},
		{"height difference", c.HeightDifference, -MaxLength, MaxLength, true},
	} {
		if v.zeroLeavesItOut && v.v == 0 {
			continue
		}
		if err := within(v.name, -1, v.v, v.low, v.high); err != nil {
			return err
		}
	}
	return nil
}
