package ground

import (
	"math"
	"slices"

	"pegpour/engine/practice"
)

// Tilt is one reading of a slope with the phone laid down: the mean of what its
// sensor said, with the scatter.
type Tilt struct {
	Angle  float64 // elevation of the phone's long axis, top end up, rad
	Spread float64 // standard deviation of the sensor's values, rad
	Count  int
}

// TiltFault is why a reading with the phone was refused.
type TiltFault string

// Faults of a reading.
const (
	TiltTooFew   TiltFault = "too few values from the sensor: leave the phone a little longer"
	TiltShakes   TiltFault = "the phone shakes: lay it down and take the hand off"
	TiltDrifts   TiltFault = "the phone is still moving: let it come to rest"
	TiltSteep    TiltFault = "the phone stands up: lay it on its back"
	TiltNoNumber TiltFault = "the sensor gave no number"
	TiltOtherWay TiltFault = "the two readings do not belong together: turn the phone end for end on the same spot"
)

// TiltError refuses a reading with the phone.
type TiltError struct {
	Fault  TiltFault
	Spread float64 // rad, where it shakes or drifts
}

// Error is the refusal in one sentence.
func (e *TiltError) Error() string { return string(e.Fault) }

// Limits of a reading. Common practice, no published source.
const (
	// TiltLeast is the least number of sensor values in a reading.
	TiltLeast = 20
	// tiltSteepest is beyond what any drive has, rad (40 degrees).
	tiltSteepest = 40 * math.Pi / 180
	// tiltBias is the greatest error of a phone's zero that is believed, rad
	// (5 degrees); beyond it the phone was not turned end for end.
	tiltBias = 5 * math.Pi / 180
)

// AverageTilt makes one reading of the sensor's values, rad. The middle half of
// them decides, so that a knock does no harm. Refused with a TiltError: too few
// values, a spread beyond practice's limit, a mean that moves from the first
// half to the second by more than that limit, a phone that stands up.
func AverageTilt(values []float64, p practice.Practice) (Tilt, error) {
	if len(values) < TiltLeast {
		return Tilt{}, &TiltError{Fault: TiltTooFew}
	}
	for _, v := range values {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return Tilt{}, &TiltError{Fault: TiltNoNumber}
		}
	}
	mean, spread := meanAndSpread(values)
	t := Tilt{Angle: middleMean(values), Spread: spread, Count: len(values)}
	half := len(values) / 2
	first, _ := meanAndSpread(values[:half])
	second, _ := meanAndSpread(values[half:])
	switch {
	case math.Abs(mean) > tiltSteepest:
		return Tilt{}, &TiltError{Fault: TiltSteep}
	case math.Abs(second-first) > p.PhoneShake:
		return t, &TiltError{Fault: TiltDrifts, Spread: math.Abs(second - first)}
	case spread > p.PhoneShake:
		return t, &TiltError{Fault: TiltShakes, Spread: spread}
	}
	return t, nil
}

func meanAndSpread(values []float64) (mean, spread float64) {
	for _, v := range values {
		mean += v
	}
	mean /= float64(len(values))
	for _, v := range values {
		spread += (v - mean) * (v - mean)
	}
	if len(values) > 1 {
		spread = math.Sqrt(spread / float64(len(values)-1))
	}
	return mean, spread
}

// middleMean is the mean of the middle half of the values.
func middleMean(values []float64) float64 {
	sorted := slices.Sorted(slices.Values(values))
	cut := len(sorted) / 4
	mean, _ := meanAndSpread(sorted[cut : len(sorted)-cut])
	return mean
}

// PhoneSlope is a slope read with the phone.
type PhoneSlope struct {
	Grade float64 // rise over run, positive where it climbs the way the top end pointed first
	Angle float64 // rad
	Sigma float64 // standard uncertainty of Grade
	// Bias is the error of the phone's own zero, rad; known only from two readings.
	Bias    float64
	Turned  bool
	Readers int
}

// SlopeOf makes a slope of one reading, or of two with the phone turned end
// for end in between, which cancels the error of its zero:
//
//	slope = (first − second)/2,   bias = (first + second)/2
//
// Its standard uncertainty is practice's for an angle read with the phone and
// the scatter of each reading; two placings count as two independent ones, so
// that the former falls by √2. TiltError when the two cannot be the same spot
// both ways.
//
// Source of the phone's uncertainty: the rule sure.phoneAngle. Reversal: as
// with a spirit level or a theodolite; common practice.
func SlopeOf(first Tilt, second *Tilt, p practice.Practice) (PhoneSlope, error) {
	out := PhoneSlope{Angle: first.Angle, Readers: 1}
	variance := p.SigmaPhoneAngle*p.SigmaPhoneAngle + first.Spread*first.Spread/max(1, float64(first.Count))
	if second != nil {
		out.Turned, out.Readers = true, 2
		out.Angle, out.Bias = (first.Angle-second.Angle)/2, (first.Angle+second.Angle)/2
		if math.Abs(out.Bias) > tiltBias {
			return PhoneSlope{}, &TiltError{Fault: TiltOtherWay, Spread: math.Abs(out.Bias)}
		}
		variance = (variance + p.SigmaPhoneAngle*p.SigmaPhoneAngle +
			second.Spread*second.Spread/max(1, float64(second.Count))) / 4
	}
	if math.IsNaN(out.Angle) || math.Abs(out.Angle) > tiltSteepest {
		return PhoneSlope{}, &TiltError{Fault: TiltSteep}
	}
	out.Grade = math.Tan(out.Angle)
	out.Sigma = math.Sqrt(variance) * (1 + out.Grade*out.Grade)
	return out, nil
}
