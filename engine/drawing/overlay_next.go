package drawing

import (
	"math"
	"slices"
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
		case !q.Pegged():
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
		if !left[i].Pegged() {
			unsure *= preferStanding
		}
		if i == 0 || unsure > most {
			best, most = left[i], unsure
		}
	}
	return best, len(left) > 0
}

// NextPhotoTop names the post's top to point at next where no place on the ground is
// left that stands there anyway: that of a post whose foot was pointed at, one of each
// post, as two posts with their tops and one place beside their line fix a picture.
// false when there is none, or the picture shows one of each.
func NextPhotoTop(p *plan.Plan, spots []PhotoSpot, passed map[string]bool) (PhotoPlace, bool) {
	if len(spots) >= photo.MaxPairs {
		return PhotoPlace{}, false
	}
	done := map[string]bool{}
	tops := PhotoTops(p)
	for _, q := range tops {
		done[postOf(q.ID)] = done[postOf(q.ID)] || passed[q.ID]
	}
	for _, q := range tops {
		if post := postOf(q.ID); strings.HasPrefix(post, "post.") && !done[post] && passed[strings.TrimPrefix(q.ID, "top.")] &&
			slices.ContainsFunc(spots, func(s PhotoSpot) bool { return s.Height == 0 && math.Hypot(s.At.X-q.At.X, s.At.Y-q.At.Y) < 1 }) {
			return q, true
		}
	}
	return PhotoPlace{}, false
}

// postOf is the post of a top, as in post.latch.
func postOf(top string) string {
	post := strings.TrimPrefix(top, "top.")
	return post[:strings.LastIndexByte(post, '.')]
}

// Pegged reports whether a place shows only once its peg is driven, or what is designed
// is built.
func (q PhotoPlace) Pegged() bool {
	return strings.HasPrefix(q.ID, "peg.") || strings.HasPrefix(q.ID, "network.") || strings.HasPrefix(q.ID, "post.guide.")
}

func groundAt(places []PhotoPlace) []photo.Ground {
	out := make([]photo.Ground, len(places))
	for i, q := range places {
		out[i] = photo.Ground{X: q.At.X, Y: q.At.Y}
	}
	return out
}
