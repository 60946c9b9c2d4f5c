package levels

import "strconv"

// RowStation is the name that Sights gives the place of a row, from 0, that has
// no name of its own.
func RowStation(row int) string { return "#" + strconv.Itoa(row+1) }

// SightSigma is the standard uncertainty of a row's readings, mm, over 0.
type SightSigma struct{ Back, Forward float64 }

// Sights are the readings of a page as differences of height, for AdjustHeights:
// a page whose set-ups read some stations more than once, or that begins and
// ends on known heights, is a network.
//
// Each set-up is a station of its own that lies at its line of sight, so that a
// reading is the difference from the staff's foot up to it. names are the
// stations' names by row; rows of one name are one station, "" is a place of its
// own (RowStation). Readings that Reduce refuses, and those before any
// backsight, are left out.
func Sights(rows []Row, names []string, sigma func(row int) SightSigma) []HeightDifference {
	var out []HeightDifference
	setups, standing := 0, ""
	for i := range rows {
		r := &rows[i]
		name := RowStation(i)
		if i < len(names) && names[i] != "" {
			name = names[i]
		}
		u := sigma(i)
		read := func(c Column, s Sight, u float64) {
			if s.Taken && standing != "" && checkSight(i, r.Station, c, s) == nil {
				out = append(out, HeightDifference{From: name, To: standing, Difference: s.Reading, Sigma: u})
			}
		}
		read(IntermediateColumn, r.Intermediate, u.Forward)
		read(ForesightColumn, r.Fore, u.Forward)
		if r.Fore.Taken {
			standing = ""
		}
		if r.Back.Taken {
			setups++
			standing = "@" + strconv.Itoa(setups)
			read(BacksightColumn, r.Back, u.Back)
		}
	}
	return out
}
