package levels

import (
	"math"

	"pegpour/engine/refusal"
)

// MaxStations is the most stations of a network of heights.
const MaxStations = 300

// HeightDifference is one measured difference of height between two stations:
// a line of levels, or one set-up's share of it.
type HeightDifference struct {
	From, To   string  // names of the stations, not empty, not the same
	Difference float64 // To above From, mm, within ±MaxLevel
	Sigma      float64 // standard uncertainty, mm, over 0
}

// KnownHeight is a station whose height was known before.
type KnownHeight struct {
	Name  string
	Level float64 // mm, within ±MaxLevel
	// Sigma is the standard uncertainty of Level, mm. 0 is exact: the station is
	// held. Otherwise the height is one more reading, which the network may move.
	Sigma float64
}

// AdjustedHeight is a station's height as all readings together give it.
type AdjustedHeight struct {
	Name  string
	Level float64 // mm
	// Sigma is its standard uncertainty from the uncertainties given, mm; 0 where
	// the station is held. Where the readings scatter more than they say, Sigma ×
	// UnitDeviation is the honest one.
	Sigma float64
}

// HeightNetwork is a network of heights adjusted by least squares. The residuals
// are those of the differences, in their order, then those of the known heights
// that are not exact.
type HeightNetwork struct {
	Fit
	Heights []AdjustedHeight // known stations first, then as the differences name them
	// ChiSquare is Σ(v/σ)² over the degrees of freedom: near 1 when the readings
	// are as good as their uncertainties say. 0 without degrees of freedom.
	ChiSquare float64
	// Worst is the reading with the greatest standardised residual, as an index of
	// Residuals; -1 where nothing checks any.
	Worst   int
	index   map[string]int
	unknown []int // by station, -1 where it is held
	q       [][]float64
}

// UntiedError names stations that no readings tie to a known height.
type UntiedError struct{ Stations []string }

// Error is the refusal in one sentence.
func (e *UntiedError) Error() string { return e.Refusal().String() }

// Refusal is the sentence with its values.
func (e *UntiedError) Refusal() refusal.Message {
	return refusal.Say("no readings tie these stations to a known height: {0}", refusal.Each(e.Stations...))
}

// StationError refuses a difference that does not lead from one named station
// to another.
type StationError struct {
	Index    int // of the difference, from 0
	From, To string
}

// Error is the refusal in one sentence.
func (e *StationError) Error() string { return e.Refusal().String() }

// Refusal is the sentence with its values.
func (e *StationError) Refusal() refusal.Message {
	return refusal.Say("difference of height {0} leads from {1} to {2}, not from one station to another",
		refusal.Count(e.Index+1), refusal.Typed(e.From), refusal.Typed(e.To))
}

// AdjustHeights finds the heights that meet all differences and known heights
// best.
//
//	x̂ = (AᵀPA)⁻¹AᵀPl,  P = 1/σ²,  Qx = (AᵀPA)⁻¹,  rᵢ = 1 − aᵢQxaᵢᵀ/σᵢ²,  wᵢ = vᵢ/(σᵢ√rᵢ)
//
// Needs at least one known height, and readings that tie every station to one:
// *UntiedError names those that are not.
//
// Source: Ghilani and Wolf, Adjustment Computations, chapter 12, and control by
// pseudo-observations (memory). Checked: testdata/references/levels.json,
// levelling network.
func AdjustHeights(known []KnownHeight, differences []HeightDifference) (HeightNetwork, error) {
	n := HeightNetwork{Worst: -1, index: map[string]int{}}
	if err := n.gather(known, differences); err != nil {
		return HeightNetwork{}, err
	}
	readings := n.readings(known, differences)
	size := 0
	for i := range n.unknown {
		if n.unknown[i] == 0 {
			n.unknown[i] = size
			size++
		}
	}
	normal, right := make([][]float64, size), make([]float64, size)
	for i := range normal {
		normal[i] = make([]float64, size)
	}
	start := known[0].Level // so that heights above the sea keep their digits
	for _, r := range readings {
		weight := 1 / (r.sigma * r.sigma)
		rest := r.value
		for _, e := range r.ends {
			if at := n.unknown[e.station]; at < 0 {
				rest -= e.sign * (n.Heights[e.station].Level - start)
			}
		}
		if len(r.ends) == 1 {
			rest -= start
		}
		for _, e := range r.ends {
			i := n.unknown[e.station]
			if i < 0 {
				continue
			}
			right[i] += weight * e.sign * rest
			for _, f := range r.ends {
				if j := n.unknown[f.station]; j >= 0 {
					normal[i][j] += weight * e.sign * f.sign
				}
			}
		}
	}
	var ok bool
	if n.q, ok = inverse(normal); !ok {
		return HeightNetwork{}, errSingular
	}
	for s, i := range n.unknown {
		if i < 0 {
			continue
		}
		sum := 0.0
		for j, v := range right {
			sum += n.q[i][j] * v
		}
		n.Heights[s].Level = start + sum
		n.Heights[s].Sigma = math.Sqrt(max(0, n.q[i][i]))
	}
	n.judge(readings, size)
	return n, nil
}

// Height returns the height of a station; false where the network has none of
// that name.
func (n *HeightNetwork) Height(name string) (AdjustedHeight, bool) {
	i, ok := n.index[name]
	if !ok {
		return AdjustedHeight{}, false
	}
	return n.Heights[i], true
}

// Difference returns how far to lies above from, with its standard uncertainty,
// mm, which is less than that of two heights for themselves; false where the
// network lacks one of them.
func (n *HeightNetwork) Difference(from, to string) (difference, sigma float64, ok bool) {
	i, first := n.index[from]
	j, second := n.index[to]
	if !first || !second {
		return 0, 0, false
	}
	r := heightReading{ends: []readingEnd{{i, -1}, {j, 1}}}
	return n.Heights[j].Level - n.Heights[i].Level, math.Sqrt(max(0, n.variance(&r))), true
}

// heightReading is a difference, or a known height that is not exact.
type heightReading struct {
	ends         []readingEnd
	value, sigma float64
}

type readingEnd struct {
	station int
	sign    float64
}

func (n *HeightNetwork) station(name string) int {
	i, ok := n.index[name]
	if !ok {
		i = len(n.Heights)
		n.index[name] = i
		n.Heights = append(n.Heights, AdjustedHeight{Name: name})
		n.unknown = append(n.unknown, 0)
	}
	return i
}

// gather checks the readings and lists the stations, those that are held as −1.
func (n *HeightNetwork) gather(known []KnownHeight, differences []HeightDifference) error {
	if err := within("number of known heights", -1, float64(len(known)), 1, MaxStations); err != nil {
		return err
	}
	if err := within("number of differences of height", -1, float64(len(differences)), 0, MaxPoints); err != nil {
		return err
	}
	for i, k := range known {
		if err := within("known height", i, k.Level, -MaxLevel, MaxLevel); err != nil {
			return err
		}
		least := minSigma
		if k.Sigma == 0 {
			least = 0
		}
		if err := within("standard uncertainty of known height", i, k.Sigma, least, maxSigma); err != nil {
			return err
		}
		before := len(n.Heights)
		s := n.station(k.Name)
		if held := n.unknown[s] < 0; s < before && (held || k.Sigma == 0) {
			return within("number of exact heights of one station, known height", i, 2, 0, 1)
		}
		if k.Sigma == 0 {
			n.unknown[s], n.Heights[s].Level = -1, k.Level
		}
	}
	tie := make([]int, 0, 2*len(differences)) // stations in pairs
	for i, d := range differences {
		if d.From == "" || d.To == "" || d.From == d.To {
			return &StationError{i, d.From, d.To}
		}
		if err := within("difference of height", i, d.Difference, -MaxLevel, MaxLevel); err != nil {
			return err
		}
		if err := within("standard uncertainty of difference", i, d.Sigma, minSigma, maxSigma); err != nil {
			return err
		}
		tie = append(tie, n.station(d.From), n.station(d.To))
	}
	if err := within("number of stations", -1, float64(len(n.Heights)), 1, MaxStations); err != nil {
		return err
	}
	tied := make([]bool, len(n.Heights))
	for _, k := range known {
		tied[n.index[k.Name]] = true
	}
	for again := true; again; {
		again = false
		for i := 0; i < len(tie); i += 2 {
			if tied[tie[i]] != tied[tie[i+1]] {
				tied[tie[i]], tied[tie[i+1]], again = true, true, true
			}
		}
	}
	var untied []string
	for i, ok := range tied {
		if !ok {
			untied = append(untied, n.Heights[i].Name)
		}
	}
	if len(untied) > 0 {
		return &UntiedError{untied}
	}
	return nil
}

func (n *HeightNetwork) readings(known []KnownHeight, differences []HeightDifference) []heightReading {
	var out []heightReading
	for _, d := range differences {
		out = append(out, heightReading{[]readingEnd{{n.index[d.From], -1}, {n.index[d.To], 1}}, d.Difference, d.Sigma})
	}
	for _, k := range known {
		if k.Sigma > 0 {
			out = append(out, heightReading{[]readingEnd{{n.index[k.Name], 1}}, k.Level, k.Sigma})
		}
	}
	return out
}

// variance is that of a reading's adjusted value, mm².
func (n *HeightNetwork) variance(r *heightReading) float64 {
	sum := 0.0
	for _, e := range r.ends {
		for _, f := range r.ends {
			if i, j := n.unknown[e.station], n.unknown[f.station]; i >= 0 && j >= 0 {
				sum += e.sign * f.sign * n.q[i][j]
			}
		}
	}
	return sum
}

func (n *HeightNetwork) judge(readings []heightReading, unknowns int) {
	n.DegreesOfFreedom = len(readings) - unknowns
	sum, worst := 0.0, 0.0
	for i := range readings {
		r := &readings[i]
		res := Residual{Value: -r.value}
		for _, e := range r.ends {
			res.Value += e.sign * n.Heights[e.station].Level
		}
		res.Redundancy = min(1, max(0, 1-n.variance(r)/(r.sigma*r.sigma)))
		if res.Checked = res.Redundancy >= CheckedFrom; res.Checked {
			res.Standardized = res.Value / (r.sigma * math.Sqrt(res.Redundancy))
			if n.Worst < 0 || math.Abs(res.Standardized) > worst {
				n.Worst, worst = i, math.Abs(res.Standardized)
			}
		}
		sum += res.Value / r.sigma * res.Value / r.sigma
		n.Residuals = append(n.Residuals, res)
	}
	if n.DegreesOfFreedom > 0 {
		n.ChiSquare = sum / float64(n.DegreesOfFreedom)
		n.UnitDeviation = math.Sqrt(n.ChiSquare)
	}
	n.suspect(worst)
}

// inverse inverts a symmetric positive definite matrix by Cholesky; false where
// it is none.
func inverse(a [][]float64) ([][]float64, bool) {
	n := len(a)
	out := make([][]float64, n)
	for i := range out { // the lower factor, then its inverse
		out[i] = make([]float64, n)
		for j := 0; j <= i; j++ {
			s := a[i][j]
			for k := range j {
				s -= out[i][k] * out[j][k]
			}
			if i == j {
				if !(s > 1e-13*a[i][i]) {
					return nil, false
				}
				out[i][i] = math.Sqrt(s)
			} else {
				out[i][j] = s / out[j][j]
			}
		}
	}
	for i := range n {
		for j := range i {
			s := 0.0
			for k := j; k < i; k++ {
				s -= out[i][k] * out[k][j]
			}
			out[i][j] = s / out[i][i]
		}
		out[i][i] = 1 / out[i][i]
	}
	for i := range n {
		for j := i; j < n; j++ {
			s := 0.0
			for k := j; k < n; k++ {
				s += out[k][i] * out[k][j]
			}
			out[i][j] = s
		}
	}
	for i := range n {
		for j := range i {
			out[i][j] = out[j][i]
		}
	}
	return out, true
}
