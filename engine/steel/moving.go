package steel

import (
	"math"

	"pegpour/engine/refusal"
)

// MaxWheels is the most loads that can stand on a bar at once.
const MaxWheels = 12

// Wheel is one wheel of a train that runs over a bar with its distances kept.
type Wheel struct {
	Behind float64 // mm behind the first wheel, 0 to 50 000
	Load   float64 // N, 0 to 1e7
}

// MovingResult is the worst that a train of wheels does to a bar wherever it
// stands. Train places are the chainage of the wheel with Behind 0.
type MovingResult struct {
	Sagging, SaggingAt, SaggingTrain          float64   // N·mm, mm, mm
	Hogging, HoggingAt, HoggingTrain          float64   // N·mm as a positive size, mm, mm
	Deflection, DeflectionAt, DeflectionTrain float64   // mm downwards, mm, mm
	Reactions                                 []float64 // N, greatest upwards at each support
	Uplift                                    float64   // N, greatest downward pull on any support, ≥ 0
	UpliftSupport                             int       // which support, from 0
}

// Moment returns the greater of the sagging and the hogging moment, N·mm.
func (m MovingResult) Moment() float64 { return max(m.Sagging, m.Hogging) }

// Moving returns the worst moments, deflection and reactions while the wheels
// run over the bar from before its first to beyond its last support. A wheel
// beyond the ends stands on other ground and loads the bar no more.
//
// The train is stepped along in a fixed number of places to a span, with every
// wheel also put at every support and mid-span and at the exact places of the
// simple-span theorem, and the worst place is refined: within 0.01 % of the
// closed forms.
//
// Source: AISC Manual, beam diagrams for moving concentrated loads, for the
// simple span (memory). Checked: testdata/references/steel.json, moving-*.
func (b Bar) Moving(wheels []Wheel) (MovingResult, error) {
	if err := b.check(); err != nil {
		return MovingResult{}, err
	}
	if err := refusal.First(refusal.Allow("number of wheels", float64(len(wheels)), 1, MaxWheels, "")); err != nil {
		return MovingResult{}, err
	}
	for _, w := range wheels {
		if err := refusal.First(
			refusal.Allow("wheel distance", w.Behind, 0, 50000, "mm"),
			refusal.Allow("wheel load", w.Load, 0, 1e7, "N"),
		); err != nil {
			return MovingResult{}, err
		}
	}
	run := trainRun{line: newLine(b), wheels: wheels, loads: make([]PointLoad, len(wheels)),
		forces: make([]float64, len(b.Spans)+1)}
	return run.worst(), nil
}

type trainRun struct {
	line   *line
	wheels []Wheel
	loads  []PointLoad
	forces []float64 // at the supports
}

func (t *trainRun) stand(at float64) {
	for i, w := range t.wheels {
		t.loads[i] = PointLoad{At: at - w.Behind, Force: w.Load}
	}
	t.line.place(t.loads)
}

// stepsPerSpan is how many places of the train are tried to each span.
const stepsPerSpan = 24

func (t *trainRun) worst() MovingResult {
	l := t.line
	places := t.places()
	out := MovingResult{Reactions: make([]float64, len(l.starts))}
	step := l.bar.Spans[0]
	for _, s := range l.bar.Spans {
		step = min(step, s)
	}
	step /= stepsPerSpan
	for _, at := range places {
		t.keepWorst(&out, at)
	}
	t.sharpen(&out, step)
	return out
}

// places are the train places to try first.
func (t *trainRun) places() []float64 {
	l := t.line
	w := len(t.wheels)
	places := make([]float64, 0, len(l.bar.Spans)*((stepsPerSpan+1)*w+w*(w+1)*(w+2)/6))
	for i, span := range l.bar.Spans {
		for k := 0; k <= stepsPerSpan; k++ {
			x := l.starts[i] + span*float64(k)/stepsPerSpan
			for _, w := range t.wheels {
				places = append(places, x+w.Behind)
			}
		}
		// The theorem of the simple span: the moment under a wheel is greatest
		// when mid-span halves the distance from it to the resultant of the
		// wheels on the span. Every run of neighbouring wheels is tried.
		middle := l.starts[i] + span/2
		for from := range t.wheels {
			force, moment := 0.0, 0.0
			for to := from; to < len(t.wheels); to++ {
				force += t.wheels[to].Load
				moment += t.wheels[to].Load * t.wheels[to].Behind
				if force <= 0 {
					continue
				}
				for k := from; k <= to; k++ {
					places = append(places, middle+(t.wheels[k].Behind+moment/force)/2)
				}
			}
		}
	}
	return places
}

func (t *trainRun) keepWorst(out *MovingResult, at float64) {
	t.stand(at)
	l := t.line
	sag, sagAt, hog, hogAt := l.extremes()
	if sag > out.Sagging {
		out.Sagging, out.SaggingAt, out.SaggingTrain = sag, sagAt, at
	}
	if hog > out.Hogging {
		out.Hogging, out.HoggingAt, out.HoggingTrain = hog, hogAt, at
	}
	if y, x := l.stationPeak(out.Deflection); y > out.Deflection {
		out.Deflection, out.DeflectionAt, out.DeflectionTrain = y, x, at
	}
	for i, r := range l.reactions(t.forces) {
		out.Reactions[i] = max(out.Reactions[i], r)
		if -r > out.Uplift {
			out.Uplift, out.UpliftSupport = -r, i
		}
	}
}

// stationPeak is deflectionPeak with a parabola through the highest station and
// its neighbours instead of the refinement. Spans that cannot sag by more than
// least are passed by.
func (l *line) stationPeak(least float64) (peak, at float64) {
	for i, span := range l.bar.Spans {
		if len(l.inSpan[i]) == 0 && l.unloadedSag(i) < least {
			continue
		}
		part := span / sagStations
		before, here := 0.0, l.sag(i, part)
		for k := 1; k < sagStations; k++ {
			after := 0.0
			if k+1 < sagStations {
				after = l.sag(i, part*float64(k+1))
			}
			if bend := 2*here - before - after; here >= before && here >= after && bend > 0 {
				shift := (after - before) / (2 * bend)
				if y := here + shift*(after-before)/4; y > peak {
					peak, at = y, l.starts[i]+part*(float64(k)+shift)
				}
			}
			before, here = here, after
		}
	}
	return peak, at
}

// unloadedSag is no less than what span i without point loads sags anywhere:
// each sagging end moment by its own greatest, hogging ones by nothing, and a
// twentieth for the parabola of stationPeak.
//
//	(5wL⁴/384 + (M₁ + M₂)L²/(9√3))/EI
//
// Source: standard deflection formulas of the simple span (memory). Checked:
// property test against sag.
func (l *line) unloadedSag(i int) float64 {
	span := l.bar.Spans[i]
	ends := max(0, l.moment[i]) + max(0, l.moment[i+1])
	return 1.05 * span * span * (5*l.bar.Uniform*span*span/384 +
		ends/(9*math.Sqrt(3))) / (l.bar.Elasticity * l.bar.Inertia)
}

// sharpen refines each worst place between its neighbours.
func (t *trainRun) sharpen(out *MovingResult, step float64) {
	around := func(at float64, value func() float64) float64 {
		x, _ := greatest(func(x float64) float64 { t.stand(x); return value() }, at-step, at+step)
		return x
	}
	l := t.line
	if out.Sagging > 0 {
		t.keepWorst(out, around(out.SaggingTrain, func() float64 { m, _, _, _ := l.extremes(); return m }))
	}
	if out.Hogging > 0 {
		t.keepWorst(out, around(out.HoggingTrain, func() float64 { _, _, m, _ := l.extremes(); return m }))
	}
	if out.Deflection > 0 {
		at := around(out.DeflectionTrain, func() float64 { y, _ := l.stationPeak(0); return y })
		first := out.DeflectionTrain
		out.Deflection = 0 // the parabola may have overshot
		for _, place := range []float64{first, at} {
			t.stand(place)
			if y, x := l.deflectionPeak(); y > out.Deflection {
				out.Deflection, out.DeflectionAt, out.DeflectionTrain = y, x, place
			}
		}
	}
}
