package drawing

import (
	"strings"

	"pegpour/engine/photo"
	"pegpour/engine/plan"
)

// preferStanding is how many times as unsure, by photo.InformationGain, a place that has
// to be pegged first must be before it is asked for: twice the standard
// uncertainty both ways. Common practice, no published source.
const preferStanding = 16

// NextPhotoPlace names the known place to point at next. While the spots do not
// fix the picture, by being too few or nearly in line, it is one of the fewest
// with which they will; after that, and among those, it is the place of which
// they say least. What stands there anyway, a post, a thing, the driveway's edge,
// comes before a peg, and the posts' far corners, hidden in most pictures, come
// last. passed holds the identities of places pointed at already and of those
// that the picture does not show.
//
// False when no place is left, or when there are photo.MaxPairs spots.
func NextPhotoPlace(p *plan.Plan, spots []PhotoSpot, passed map[string]bool) (PhotoPlace, bool) {
	if len(spots) >= photo.MaxPairs {
		return PhotoPlace{}, false
	}
	known := make([]photo.Ground, len(spots))
	for i, s := range spots {
		known[i] = photo.Ground{X: s.At.X, Y: s.At.Y}
	}
	var standing, left, far []PhotoPlace
	for _, q := range PhotoPlaces(p) {
		switch {
		case passed[q.ID]:
			continue
		case strings.HasSuffix(q.ID, ".far"):
			far = append(far, q)
			continue
		case !pegged(&q):
			standing = append(standing, q)
		}
		left = append(left, q)
	}
	if photo.Spread(known) < photo.SpreadEnough {
		var best []PhotoPlace
		var most float64
		for _, places := range [][]PhotoPlace{standing, left, append(left[:len(left):len(left)], far...)} {
			add, share := photo.Complete(known, groundAt(places))
			if share > most {
				best, most = nil, share
				for _, i := range add {
					best = append(best, places[i])
				}
			}
			if most >= photo.SpreadEnough {
				break
			}
		}
		if len(best) > 0 {
			left = best
		}
	}
	if len(left) == 0 {
		left = far
	}
	best, most := PhotoPlace{}, 0.0
	for i, unsure := range photo.InformationGain(known, groundAt(left)) {
		if !pegged(&left[i]) {
			unsure *= preferStanding
		}
		if i == 0 || unsure > most {
			best, most = left[i], unsure
		}
	}
	return best, len(left) > 0
}

// pegged reports whether a place shows only once its peg is driven.
func pegged(q *PhotoPlace) bool {
	return strings.HasPrefix(q.ID, "peg.") || strings.HasPrefix(q.ID, "network.")
}

func groundAt(places []PhotoPlace) []photo.Ground {
	out := make([]photo.Ground, len(places))
	for i, q := range places {
		out[i] = photo.Ground{X: q.At.X, Y: q.At.Y}
	}
	return out
}
