package ground

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"pegpour/engine/practice"
)

const degree = math.Pi / 180

func sensor(r *rand.Rand, n int, angle, noise float64) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = angle + noise*r.NormFloat64()
	}
	return out
}

func TestAverageTiltRefuses(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 1))
	p := practice.DefaultPractice()
	drift := sensor(r, 60, 0, 0.01*degree)
	for i := range drift {
		drift[i] += float64(i) * 0.01 * degree
	}
	broken := sensor(r, 40, 0, 0.01*degree)
	broken[3] = math.NaN()
	for _, c := range []struct {
		name   string
		values []float64
		want   TiltFault
	}{
		{"at rest", sensor(r, 60, 2*degree, 0.05*degree), ""},
		{"too few", sensor(r, TiltLeast-1, 0, 0), TiltTooFew},
		{"in the hand", sensor(r, 60, 2*degree, 0.8*degree), TiltShakes},
		{"coming to rest", drift, TiltDrifts},
		{"standing up", sensor(r, 60, 88*degree, 0.05*degree), TiltSteep},
		{"no number", broken, TiltNoNumber},
		{"none", nil, TiltTooFew},
	} {
		_, err := AverageTilt(c.values, p)
		var refused *TiltError
		switch {
		case c.want == "" && err != nil:
			t.Errorf("%s: refused: %v", c.name, err)
		case c.want != "" && (!errors.As(err, &refused) || refused.Fault != c.want):
			t.Errorf("%s: %v, want %q", c.name, err, c.want)
		}
	}
}

// A knock on the phone moves the mean of the middle half hardly at all.
func TestAverageTiltForgivesAKnock(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 2))
	p := practice.DefaultPractice()
	values := sensor(r, 80, 1.5*degree, 0.03*degree)
	values[10] += 0.8 * degree
	got, err := AverageTilt(values, p)
	if err != nil || math.Abs(got.Angle-1.5*degree) > 0.015*degree {
		t.Errorf("%.4f°, %v", got.Angle/degree, err)
	}
}

// Ten thousand slopes read with phones whose zero is off by up to 2 degrees and
// whose own error is 0.3 degrees a placing: turned end for end, the zero is
// gone, and the slope lies within 1.96 of its standard uncertainty 95 times in
// a hundred.
func TestReversalHoldsItsProbability(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 12))
	p := practice.DefaultPractice()
	within, trials := 0, 10000
	for range trials {
		slope, zero := (r.Float64()*20-10)*degree, (r.Float64()*4-2)*degree
		place := func(sign float64) Tilt {
			v, err := AverageTilt(sensor(r, 40, sign*slope+zero+p.SigmaPhoneAngle*r.NormFloat64(), 0.05*degree), p)
			if err != nil {
				t.Fatal(err)
			}
			return v
		}
		first, second := place(1), place(-1)
		got, err := SlopeOf(first, &second, p)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(got.Grade-math.Tan(slope)) < 1.96*got.Sigma {
			within++
		}
	}
	share := float64(within) / float64(trials)
	if math.Abs(share-0.95) > 5*math.Sqrt(0.95*0.05/float64(trials)) {
		t.Errorf("%.4f lie within, want 0.95", share)
	}
}

func TestSlopeOf(t *testing.T) {
	p := practice.DefaultPractice()
	up, down := Tilt{Angle: 3 * degree, Count: 50}, Tilt{Angle: -1 * degree, Count: 50}
	got, err := SlopeOf(up, &down, p)
	if err != nil || math.Abs(got.Angle-2*degree) > 1e-12 || math.Abs(got.Bias-1*degree) > 1e-12 || !got.Turned {
		t.Errorf("%+v, %v", got, err)
	}
	if math.Abs(got.Sigma-0.3*degree/math.Sqrt2*(1+got.Grade*got.Grade)) > 1e-6 {
		t.Errorf("sigma %.4f", got.Sigma)
	}
	one, err := SlopeOf(up, nil, p)
	if err != nil || one.Turned || math.Abs(one.Sigma-0.3*degree*(1+one.Grade*one.Grade)) > 1e-6 {
		t.Errorf("%+v, %v", one, err)
	}
	// Not turned at all: both say 12 degrees.
	same := Tilt{Angle: 12 * degree, Count: 50}
	if _, err := SlopeOf(same, &same, p); err == nil {
		t.Error("two readings the same way round were taken for a reversal")
	}
}
