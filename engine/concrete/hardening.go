package concrete

import (
	"math"

	"pegpour/engine/elementary"
	"pegpour/engine/refusal"
)

// The temperatures for which the age of concrete is adjusted, °C: outside them
// nothing is said.
const (
	ColdestCure = 0
	HottestCure = 80
)

// mostAge is the greatest age that is asked of, days: a hundred years.
const mostAge = 36525

// ageOfStrength is the age at which a mix has the strength that it is sold by, days.
const ageOfStrength = 28

func cementCoefficient(s float64) refusal.Allowed {
	return refusal.Allow("coefficient of the cement", s, 0.05, 1, "")
}

// StrengthShare is the mean strength of concrete at an age of t days at 20 °C, over
// its mean strength at 28 days.
//
//	β = exp{s[1 − √(28/t)]}
//
// s is the cement's coefficient (0.05 to 1): 0.20 for class R, 0.25 for class N,
// 0.38 for class S. At no age it is 0.
//
// Source: EN 1992-1-1, 3.1.2(6), expressions 3.1 and 3.2 (read). Checked:
// testdata/references, strength by age.
func StrengthShare(s, t float64) (float64, error) {
	if err := refusal.First(cementCoefficient(s), refusal.Allow("age", t, 0, mostAge, "d")); err != nil {
		return 0, err
	}
	if t == 0 {
		return 0, nil
	}
	return elementary.Exp(s * (1 - math.Sqrt(ageOfStrength/t))), nil
}

// AgeOfShare is the age at 20 °C, days, at which concrete has a share of its mean
// strength at 28 days: [StrengthShare] turned round.
//
//	t = 28/(1 − ln β/s)²
//
// share is more than 0 and at most 1: by what it gains later nothing is built.
//
// Source: EN 1992-1-1, 3.1.2(6), expression 3.2 (read). Checked: the tests put it
// back into StrengthShare.
func AgeOfShare(s, share float64) (float64, error) {
	if err := refusal.First(cementCoefficient(s), refusal.Allow("share of the strength", share, 0.01, 1, "")); err != nil {
		return 0, err
	}
	root := 1 - elementary.Log(share)/s
	return ageOfStrength / (root * root), nil
}

// AgeRate is by how much concrete grows older in the time in which concrete at 20 °C
// grows older by one.
//
//	exp(13.65 − 4000/(273 + T))
//
// temperature T is 0 to 80 °C. The age of a pour is the sum over its hours of the
// time times this.
//
// Source: EN 1992-1-1, B.10; the same as ENV 1992-1-1, A1.10, for 0 to 80 °C (read).
// Checked: testdata/references, age by temperature.
func AgeRate(temperature float64) (float64, error) {
	if err := refusal.First(refusal.Allow("temperature", temperature, ColdestCure, HottestCure, "°C")); err != nil {
		return 0, err
	}
	return elementary.Exp(13.65 - 4000/(273+temperature)), nil
}
