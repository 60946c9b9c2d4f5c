package ground

import (
	"math"

	"pegpour/engine/levels"
	"pegpour/engine/plan"
	"pegpour/engine/survey"
)

// page is a level book as read: its rows with a reading, what Reduce makes of
// them, and where each stands in the book.
type page struct {
	rows    []levels.Row
	reduced *levels.Reduction
	index   []int
	sights  []levels.SightSigma
	book    []survey.BookRow
	start   float64
}

const (
	// onePoint is how far apart two places of one name may be and be one point, mm.
	onePoint = 20
	// doubtful is how many standard uncertainties two readings of one point may be
	// apart: 997 in 1,000 pairs are nearer (normal distribution).
	doubtful = 3
	// surest is the least standard uncertainty of a staff reading, mm: the network
	// weighs readings by it, and a rule may set it to zero.
	surest = 0.05
)

// adjustPage puts a page whose readings check one another (points read twice, a
// known closing level) through the network of heights, writes the adjusted levels
// into the booking, and returns the standard uncertainty of each row's level, mm.
// A page that checks nothing has the levels of its reduction. A closing level is
// held, and one that says how sure it is may be moved.
func adjustPage(p *page, closing *levels.KnownHeight, b *plan.Booking) []float64 {
	sigmas := p.carried()
	names := make([]string, len(p.rows))
	for i := range names {
		names[i] = levels.RowStation(i)
	}
	known := []levels.KnownHeight{{Name: names[0], Level: p.start}}
	var compared bool
	b.Twice, compared = p.twice(known, names)
	b.NotCompared = !compared
	left := b.Closed && !b.Within // it must be levelled again, and stays as it was read
	tied := false
	for k := range b.Twice {
		t := &b.Twice[k]
		if !t.Doubtful && !left {
			names[t.Rows[1]], tied = names[t.Rows[0]], true
		}
		t.Rows[0], t.Rows[1] = p.index[t.Rows[0]], p.index[t.Rows[1]]
	}
	if closing != nil {
		last := &names[len(names)-1]
		if closing.Level == p.start {
			*last = names[0] // the same mark
		} else {
			*last = levels.RowStation(len(names) - 1) // known to lie elsewhere, whatever it is called
			known = append(known, levels.KnownHeight{Name: *last, Level: closing.Level, Sigma: closing.Sigma})
		}
		tied = true
	}
	if !tied {
		return sigmas
	}
	network, err := levels.AdjustHeights(known, levels.Sights(p.rows, names, p.sigma))
	if err != nil {
		b.Unshared = closing != nil
		return sigmas
	}
	for i := range p.rows {
		h, ok := network.Height(names[i])
		if !ok || !p.reduced.Rows[i].Known {
			continue
		}
		b.Rows[i].Adjusted = h.Level
		b.Rows[i].Correction = h.Level - b.Rows[i].Level
		if h.Sigma > 0 { // a held mark keeps that of the staff on it
			sigmas[i] = h.Sigma * max(1, network.UnitDeviation)
		}
	}
	return sigmas
}

func (p *page) sigma(i int) levels.SightSigma {
	return levels.SightSigma{Back: max(p.sights[i].Back, surest), Forward: max(p.sights[i].Forward, surest)}
}

// twice finds the points that were read more than once: rows of one typed name
// at one place. Rows without a place are one point where one of them is a mark
// (the start, the end, a change point): two points in between may share a name.
// compared is false where there are such points and they could not be compared.
func (p *page) twice(known []levels.KnownHeight, names []string) (out []plan.ReadTwice, compared bool) {
	var network *levels.HeightNetwork
	for i := 1; i < len(p.rows); i++ {
		for j := range i {
			if !p.onePoint(j, i) {
				continue
			}
			if network == nil {
				n, err := levels.AdjustHeights(known, levels.Sights(p.rows, names, p.sigma))
				if err != nil {
					return nil, false
				}
				network = &n
			}
			if apart, sigma, ok := network.Difference(names[j], names[i]); ok {
				out = append(out, plan.ReadTwice{Station: p.rows[i].Station, Rows: [2]int{j, i}, Apart: apart, Sigma: sigma,
					Doubtful: math.Abs(apart) > doubtful*sigma})
			}
			break
		}
	}
	return out, true
}

func (p *page) onePoint(j, i int) bool {
	a, b := &p.rows[j], &p.rows[i]
	if name := p.book[p.index[i]].Station; name == "" || name != p.book[p.index[j]].Station ||
		!p.reduced.Rows[i].Known || !p.reduced.Rows[j].Known {
		return false
	}
	if a.Located && b.Located {
		return math.Hypot(a.Chainage-b.Chainage, a.Offset-b.Offset) <= onePoint
	}
	mark := func(r *levels.Row) bool { return r.Back.Taken || r.Fore.Taken }
	return a.Located == b.Located && (mark(a) || mark(b)) || a.Located != b.Located && mark(a) && mark(b)
}

// carried are the standard uncertainties of the levels as the page carries them,
// mm:
//
//	u²(level) = u²(line of sight) + u²(sight),  u²(next line) = u²(level) + u²(backsight)
//
// With all sights alike that is σ√(2·set-up). The known point that the page starts
// on counts as a level read back from it.
func (p *page) carried() []float64 {
	out := make([]float64, len(p.rows))
	var instrument float64 // variance of the line of sight's level
	for i := range p.rows {
		row, s := &p.rows[i], &p.sights[i]
		if !row.Intermediate.Taken && !row.Fore.Taken {
			instrument = s.Back * s.Back
			out[i] = s.Back * math.Sqrt2
			continue
		}
		variance := instrument + s.Forward*s.Forward
		if row.Back.Taken {
			instrument = variance + s.Back*s.Back
		}
		out[i] = math.Sqrt(variance)
	}
	return out
}
