package survey

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Ways in which maps and phones write a place; the order is that of RFC 5870.
func TestPlaceAsItIsTyped(t *testing.T) {
	for words, want := range map[string][2]float64{
		"51.5, -0.12": {51.5, -0.12}, "-33.86880 151.20930": {-33.8688, 151.2093}, "geo:48.2010,16.3695": {48.201, 16.3695},
		"51,5; 13,25": {51.5, 13.25}, "51,5 13,25": {51.5, 13.25}, " 90° , 180° ": {90, 180}, "0,0": {0, 0}, "48 16": {48, 16},
	} {
		latitude, longitude, ok := Place(words)
		assert.True(t, ok, words)
		assert.Equal(t, want, [2]float64{latitude, longitude}, words)
	}
	for _, words := range []string{"", "51.5", "91, 0", "0, 181", "NaN, 0", "0x1p3, 4", "1e1, 2", "Inf 3", "1, 2, 3", "north, east", "geo:", "51.5, ", "1 2 3"} {
		_, _, ok := Place(words)
		assert.False(t, ok, words)
	}
	s := Survey{}
	f := FieldOf(SitePlace)
	assert.NoError(t, f.SetWords(&s, "51.5, -0.12"))
	err := f.SetWords(&s, "by the mill")
	assert.ErrorContains(t, err, "latitude")
	assert.Equal(t, "51.5, -0.12", s.Site.Place)
	assert.NoError(t, f.SetWords(&s, ""))
}

func FuzzPlace(f *testing.F) {
	f.Add("51.5, -0.12")
	f.Fuzz(func(t *testing.T, words string) {
		latitude, longitude, ok := Place(words)
		if ok && !(latitude >= -90 && latitude <= 90 && longitude >= -180 && longitude <= 180) {
			t.Fatal(words, latitude, longitude)
		}
	})
}
