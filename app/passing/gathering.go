package passing

import (
	"errors"
	"slices"
	"time"

	"pegpour/storage/row"
)

// seeing is what the camera sees just now.
type seeing int

const (
	seesNothing seeing = iota
	seesOthers         // codes, but none of a row
	seesNewer          // a row of a newer version
	seesDamaged        // codes of a row that are damaged
	seesOld            // a row, and nothing new in it for a while
	seesNew            // what is new comes
)

// What counts as just now, and how long nothing new may come.
const (
	justNow  = 1500 * time.Millisecond
	waitsFor = 3 * time.Second
)

// mostRows is how many rows are gathered side by side: who shows another one for a moment
// takes nothing away from the first.
const mostRows = 4

// gathering is what came of rows so far.
type gathering struct {
	current *row.Gathering // the one seen last; nil: none yet
	begun   time.Time      // when its first picture came
	rows    []*row.Gathering
	starts  map[*row.Gathering]time.Time

	saw   seeing    // of codes that brought nothing
	sawAt time.Time // when a code was seen last
	newAt time.Time // when something new came last
}

// see takes the codes in one picture of the camera, and reports whether a row is whole now.
func (g *gathering) see(codes [][]byte, now time.Time) bool {
	for _, b := range codes {
		g.sawAt = now
		p, err := row.Read(b)
		switch {
		case err == nil:
			if g.saw = seesOld; g.of(p.Content, now).Add(p) {
				g.newAt = now
			}
			if g.current.Done() {
				return true
			}
		case errors.Is(err, row.ErrNewer):
			g.saw = seesNewer
		case errors.Is(err, row.ErrDamaged):
			g.saw = seesDamaged
		default:
			g.saw = seesOthers
		}
	}
	return false
}

// of is the gathering of a content, which becomes the current one.
func (g *gathering) of(c row.Content, now time.Time) *row.Gathering {
	if g.current != nil && g.current.Content == c {
		return g.current
	}
	at := slices.IndexFunc(g.rows, func(r *row.Gathering) bool { return r.Content == c })
	if at >= 0 {
		g.current = g.rows[at]
		g.rows = append(slices.Delete(g.rows, at, at+1), g.current)
	} else {
		g.current = row.NewGathering(c)
		if g.rows = append(g.rows, g.current); g.starts == nil {
			g.starts = map[*row.Gathering]time.Time{}
		}
		g.starts[g.current] = now
	}
	for len(g.rows) > mostRows { // the one not seen for longest
		delete(g.starts, g.rows[0])
		g.rows = slices.Delete(g.rows, 0, 1)
	}
	g.begun = g.starts[g.current]
	return g.current
}

// now is what is seen.
func (g *gathering) now(at time.Time) seeing {
	switch {
	case at.Sub(g.sawAt) > justNow:
		return seesNothing
	case g.saw == seesOld && at.Sub(g.newAt) < waitsFor:
		return seesNew
	}
	return g.saw
}
