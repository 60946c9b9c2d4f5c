package tape

import "math"

// Ellipse is how well a place is known: standard semi-axes, mm, and the
// direction of the longer one from the X axis towards Y, rad, −π/2 to π/2.
type Ellipse struct{ Major, Minor, Direction float64 }

// At95 is the ellipse that holds the place with a probability of 95 %.
func (e Ellipse) At95() Ellipse { return Ellipse{e.Major * Scale95, e.Minor * Scale95, e.Direction} }

// Position is where a peg stands.
type Position struct {
	Name       string
	X, Y       float64       // mm
	Covariance [2][2]float64 // of X and Y, mm²; all 0 for what holds the frame
	Ellipse    Ellipse
}

// Reading is how one tape sits in the network.
type Reading struct {
	Residual     float64 // adjusted − taped, mm
	Standardized float64 // Residual/(σ√Redundancy); 0 where nothing checks it
	Redundancy   float64 // share of an error in this tape that shows in its residual, 0 to 1
	Checked      bool    // Redundancy ≥ CheckedFrom: some other tape checks this one
	// SmallestFound is the smallest error in this tape that would be noticed,
	// mm; +Inf where nothing checks it.
	SmallestFound float64
}

// Result is an adjusted network.
type Result struct {
	Pegs             []Position // in the order given
	Tapes            []Reading  // in the order given
	DegreesOfFreedom int
	// UnitDeviation is √(Σ(v/σ)²/degrees of freedom): 1 when the tapes are as
	// good as their uncertainties say. 0 without degrees of freedom.
	UnitDeviation float64
	// Suspects are the tapes whose standardised residual is greatest and beyond
	// StandardizedLimit. More than one: the tapes cannot tell which is wrong.
	Suspects   []int
	Iterations int
	net        *net
	column     [][2]int // of each peg's X and Y in cov, -1 when held
	cov        [][]float64
}

// Covariance between the coordinates of two pegs: rows X, Y of a, columns X, Y
// of b, mm². PegError for a name that is not in the network.
func (r *Result) Covariance(a, b string) ([2][2]float64, error) {
	i, j, err := r.pair(a, b)
	if err != nil {
		return [2][2]float64{}, err
	}
	return r.covarianceOf(i, j), nil
}

// Between is the adjusted distance between two pegs, taped or not, and its
// standard uncertainty, mm.
func (r *Result) Between(a, b string) (length, sigma float64, err error) {
	i, j, err := r.pair(a, b)
	if err != nil {
		return 0, 0, err
	}
	at := make([][2]float64, len(r.Pegs))
	for k, p := range r.Pegs {
		at[k] = [2]float64{p.X, p.Y}
	}
	cols, d, length := r.row(link{a: i, b: j}, at)
	return length, math.Sqrt(max(0, r.quadratic(cols, d))), nil
}

func (r *Result) pair(a, b string) (int, int, error) {
	i, ok := r.net.byName[a]
	if !ok {
		return 0, 0, &PegError{a, -1, NoSuchPeg}
	}
	j, ok := r.net.byName[b]
	if !ok {
		return 0, 0, &PegError{b, -1, NoSuchPeg}
	}
	return i, j, nil
}

// Peg is the position of a peg by name.
func (r *Result) Peg(name string) (Position, bool) {
	i, ok := r.net.byName[name]
	if !ok {
		return Position{}, false
	}
	return r.Pegs[i], true
}
