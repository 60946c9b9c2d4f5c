package survey

import (
	"math"
	"strconv"
	"strings"

	"pegpour/engine/text"
)

// Place reads a place on the map out of what was typed: latitude and longitude in decimal
// degrees of WGS 84, in that order as maps write them, apart by a comma, a semicolon or a
// space, with "geo:" before it (RFC 5870) or without. ok is false where it is none.
func Place(words string) (latitude, longitude float64, ok bool) {
	words = strings.TrimPrefix(strings.TrimSpace(words), "geo:")
	var parts []string
	switch {
	case strings.Contains(words, ";"):
		parts = strings.Split(strings.ReplaceAll(words, ",", "."), ";")
	case strings.Count(words, ",") == 1 && !strings.Contains(strings.TrimSpace(strings.SplitN(words, ",", 2)[0]), " "):
		parts = strings.Split(words, ",")
	default:
		parts = strings.Fields(strings.ReplaceAll(words, ",", "."))
	}
	if len(parts) != 2 {
		return 0, 0, false
	}
	latitude, north := degrees(parts[0], 90)
	longitude, east := degrees(parts[1], 180)
	return latitude, longitude, north && east
}

func degrees(words string, most float64) (float64, bool) {
	words = strings.TrimSuffix(strings.TrimSpace(words), "°")
	if strings.ContainsAny(words, "xXpPeE_iInN") { // neither hexadecimal nor an exponent
		return 0, false
	}
	v, err := strconv.ParseFloat(words, 64)
	return v, err == nil && math.Abs(v) <= most
}

func placeSaid(words string) (why text.Text, ok bool) {
	if _, _, ok := Place(words); ok {
		return text.Text{}, true
	}
	return text.Say("latitude and longitude in degrees, such as 51.50000, -0.12000; latitude -90 to 90, longitude -180 to 180"), false
}
