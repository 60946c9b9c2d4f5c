package steel

import (
	"pegpour/engine/refusal"
)

// Bar is a straight bar over two or more supports in a line, such as a flat
// bar that carries a track over posts. Chainages on it run from its first
// support.
type Bar struct {
	Spans      []float64 // mm between supports, 1 to MaxSpans of 10 mm to 50 m
	Elasticity float64   // MPa, 1000 to 1e6
	Inertia    float64   // mm⁴ for a vertical load, 1 to 1e12
	Uniform    float64   // N/mm downwards over the whole bar, 0 to 1000; its own weight
	// Continuous says that the bar runs unbroken over its supports. False takes
	// each span as simply supported, which is the safe side for sagging.
	Continuous bool
}

// MaxSpans is the most spans a Bar can have.
const MaxSpans = 60

// PointLoad is a force acting downwards (N) at a chainage (mm).
type PointLoad struct{ At, Force float64 }

// BarResult is what a bar does under one arrangement of loads.
type BarResult struct {
	Reactions      []float64 // N at each support, upwards; negative is uplift
	SupportMoments []float64 // N·mm at each support, sagging positive
	Sagging        float64   // N·mm, greatest sagging moment, ≥ 0
	SaggingAt      float64   // mm
	Hogging        float64   // N·mm, greatest hogging moment as a positive size
	HoggingAt      float64   // mm
	Deflection     float64   // mm, greatest downward deflection, ≥ 0
	DeflectionAt   float64   // mm
}

// Length returns the length between the first and the last support, mm.
func (b Bar) Length() float64 {
	total := 0.0
	for _, s := range b.Spans {
		total += s
	}
	return total
}

func (b Bar) check() error {
	if err := refusal.First(
		refusal.Allow("number of spans", float64(len(b.Spans)), 1, MaxSpans, ""),
		refusal.Allow("modulus of elasticity", b.Elasticity, 1000, 1e6, "MPa"),
		refusal.Allow("second moment of area", b.Inertia, 1, 1e12, "mm⁴"),
		refusal.Allow("uniform load", b.Uniform, 0, 1000, "N/mm"),
	); err != nil {
		return err
	}
	for _, s := range b.Spans {
		if err := refusal.First(refusal.Allow("span", s, 10, 50000, "mm")); err != nil {
			return err
		}
	}
	return nil
}

// Under returns what the bar does under standing loads. Loads beyond the ends
// are refused; see Moving for wheels that run off it.
//
// Support moments come from the theorem of three moments, the rest from
// statics, deflections from the simple-span curves superposed:
//
//	M_{i−1}L_i + 2M_i(L_i+L_{i+1}) + M_{i+1}L_{i+1} = −Σ P·a(L²−a²)/L − Σ P·b(L²−b²)/L − w(L_i³+L_{i+1}³)/4
//
// Source: S. Timoshenko, Strength of Materials, part I, theorem of three
// moments (memory). Checked: testdata/references/steel.json, beam-*.
func (b Bar) Under(loads []PointLoad) (BarResult, error) {
	if err := b.check(); err != nil {
		return BarResult{}, err
	}
	total := b.Length()
	if err := refusal.First(refusal.Allow("number of loads", float64(len(loads)), 0, MaxWheels, "")); err != nil {
		return BarResult{}, err
	}
	for _, p := range loads {
		if err := refusal.First(
			refusal.Allow("place of a load", p.At, 0, total, "mm"),
			refusal.Allow("load", p.Force, 0, 1e7, "N"),
		); err != nil {
			return BarResult{}, err
		}
	}
	l := newLine(b)
	l.place(loads)
	r := BarResult{SupportMoments: append([]float64(nil), l.moment...),
		Reactions: l.reactions(make([]float64, len(l.starts)))}
	r.Sagging, r.SaggingAt, r.Hogging, r.HoggingAt = l.extremes()
	r.Deflection, r.DeflectionAt = l.deflectionPeak()
	return r, nil
}

// line is a bar ready to be loaded again and again without new memory.
type line struct {
	bar    Bar
	starts []float64     // chainage of each support
	moment []float64     // support moments
	upper  []float64     // factors of the three-moment elimination
	pivot  []float64     //
	rhs    []float64     //
	inSpan [][]PointLoad // by span, At from the span's left end, in order
}

func newLine(b Bar) *line {
	n := len(b.Spans)
	l := &line{bar: b, starts: make([]float64, n+1), moment: make([]float64, n+1),
		upper: make([]float64, n+1), pivot: make([]float64, n+1), rhs: make([]float64, n+1),
		inSpan: make([][]PointLoad, n)}
	for i, s := range b.Spans {
		l.starts[i+1] = l.starts[i] + s
	}
	for i := 1; i < n; i++ {
		l.pivot[i] = 2 * (b.Spans[i-1] + b.Spans[i])
		if i > 1 {
			l.pivot[i] -= b.Spans[i-1] * l.upper[i-1]
		}
		l.upper[i] = b.Spans[i] / l.pivot[i]
	}
	return l
}

// place sets the loads and solves the support moments. Loads beyond the ends
// are left out.
func (l *line) place(loads []PointLoad) {
	n := len(l.bar.Spans)
	for i := range l.inSpan {
		l.inSpan[i] = l.inSpan[i][:0]
	}
	for _, p := range loads {
		if p.At < 0 || p.At > l.starts[n] || p.Force == 0 {
			continue
		}
		i := 0
		for i < n-1 && p.At > l.starts[i+1] {
			i++
		}
		own := PointLoad{At: min(p.At-l.starts[i], l.bar.Spans[i]), Force: p.Force}
		row := append(l.inSpan[i], own)
		for k := len(row) - 1; k > 0 && row[k-1].At > own.At; k-- {
			row[k], row[k-1] = row[k-1], row[k]
		}
		l.inSpan[i] = row
	}
	for i := range l.moment {
		l.moment[i] = 0
	}
	if !l.bar.Continuous || n < 2 {
		return
	}
	for i := 1; i < n; i++ {
		left, right := l.bar.Spans[i-1], l.bar.Spans[i]
		r := -l.bar.Uniform * (left*left*left + right*right*right) / 4
		for _, p := range l.inSpan[i-1] {
			r -= p.Force * p.At * (left*left - p.At*p.At) / left
		}
		for _, p := range l.inSpan[i] {
			far := right - p.At
			r -= p.Force * far * (right*right - far*far) / right
		}
		if i > 1 {
			r -= left * l.rhs[i-1]
		}
		l.rhs[i] = r / l.pivot[i]
	}
	for i := n - 1; i >= 1; i-- {
		l.moment[i] = l.rhs[i]
		if i < n-1 {
			l.moment[i] -= l.upper[i] * l.moment[i+1]
		}
	}
}

// bending returns the moment at x from the left end of span i.
func (l *line) bending(i int, x float64) float64 {
	span, w := l.bar.Spans[i], l.bar.Uniform
	m := l.moment[i] + (l.moment[i+1]-l.moment[i])*x/span + w*x*(span-x)/2
	for _, p := range l.inSpan[i] {
		if x <= p.At {
			m += p.Force * (span - p.At) * x / span
		} else {
			m += p.Force * p.At * (span - x) / span
		}
	}
	return m
}

// sag returns the downward deflection at x from the left end of span i, mm.
func (l *line) sag(i int, x float64) float64 {
	span, w := l.bar.Spans[i], l.bar.Uniform
	y := w * x * (span*span*span - 2*span*x*x + x*x*x) / 24
	y += l.moment[i] * x * (span - x) * (2*span - x) / (6 * span)
	y += l.moment[i+1] * x * (span - x) * (span + x) / (6 * span)
	for _, p := range l.inSpan[i] {
		a, at := p.At, x
		if at > a { // seen from the other end
			a, at = span-a, span-at
		}
		b := span - a
		y += p.Force * b * at * (span*span - b*b - at*at) / (6 * span)
	}
	return y / (l.bar.Elasticity * l.bar.Inertia)
}

// extremes returns the greatest sagging and hogging moments (both ≥ 0) and
// where they are. Between loads the moment is a parabola, so it is exact.
func (l *line) extremes() (sagging, saggingAt, hogging, hoggingAt float64) {
	keep := func(m, at float64) {
		if m > sagging {
			sagging, saggingAt = m, at
		}
		if -m > hogging {
			hogging, hoggingAt = -m, at
		}
	}
	w := l.bar.Uniform
	for i, span := range l.bar.Spans {
		from, atFrom := 0.0, l.moment[i]
		keep(atFrom, l.starts[i])
		for k := 0; k <= len(l.inSpan[i]); k++ {
			to := span
			if k < len(l.inSpan[i]) {
				to = l.inSpan[i][k].At
			}
			atTo := l.bending(i, to)
			keep(atTo, l.starts[i]+to)
			if piece := to - from; w > 0 && piece > 0 {
				if x := piece/2 + (atTo-atFrom)/(w*piece); x > 0 && x < piece {
					keep(l.bending(i, from+x), l.starts[i]+from+x)
				}
			}
			from, atFrom = to, atTo
		}
	}
	return sagging, saggingAt, hogging, hoggingAt
}

// deflectionPeak returns the greatest downward deflection and where it is.
func (l *line) deflectionPeak() (peak, at float64) {
	best, bestX := -1, 0.0
	for i, span := range l.bar.Spans {
		for k := 1; k < sagStations; k++ {
			x := span * float64(k) / sagStations
			if y := l.sag(i, x); y > peak {
				peak, best, bestX = y, i, x
			}
		}
	}
	if best < 0 {
		return 0, 0
	}
	span := l.bar.Spans[best]
	x, y := greatest(func(x float64) float64 { return l.sag(best, x) },
		max(0, bestX-span/sagStations), min(span, bestX+span/sagStations))
	if y > peak {
		peak, bestX = y, x
	}
	return peak, l.starts[best] + bestX
}

// sagStations is how many parts a span is searched in before refining.
const sagStations = 12

// greatest finds the greatest value of a function with one peak between low
// and high by golden section.
func greatest(f func(float64) float64, low, high float64) (x, y float64) {
	const ratio = 0.6180339887498949
	a, b := high-ratio*(high-low), low+ratio*(high-low)
	fa, fb := f(a), f(b)
	for range 40 {
		if fa > fb {
			high, b, fb = b, a, fa
			a = high - ratio*(high-low)
			fa = f(a)
		} else {
			low, a, fa = a, b, fb
			b = low + ratio*(high-low)
			fb = f(b)
		}
	}
	if fa > fb {
		return a, fa
	}
	return b, fb
}

// reactions returns the upward support forces in r, which has room for them.
func (l *line) reactions(r []float64) []float64 {
	clear(r)
	for i, span := range l.bar.Spans {
		carry := (l.moment[i+1] - l.moment[i]) / span
		r[i] += l.bar.Uniform*span/2 + carry
		r[i+1] += l.bar.Uniform*span/2 - carry
		for _, p := range l.inSpan[i] {
			r[i] += p.Force * (span - p.At) / span
			r[i+1] += p.Force * p.At / span
		}
	}
	return r
}
