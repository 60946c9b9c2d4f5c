package storage

import (
	"reflect"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/input"
	"pegpour/engine/survey"
)

// A photo's origin is kept, changed by another phone as one piece, and gone
// without a trace in the document when it is removed.
func TestPhotoOrigin(t *testing.T) {
	p := Photo{ID: PhotoID([]byte("picture")),
		Origin: &Origin{Position: &Position{51.5074, -0.1278}, Clock: "2026-05-01T10:20:30+01:00"}}
	plain := NewDocument("2026-05-01T00:00:00Z")
	d := made(t, plain)(PutPhoto(plain, p))
	text := encode(t, d)
	require.NoError(t, validate(t, compiledSchema(t), text))
	back, err := Decode(text)
	require.NoError(t, err)
	assert.Equal(t, p.Origin, back.Photos[0].Origin)

	// Two phones correct it in different ways: never the latitude of one with the
	// longitude of the other.
	at := func(latitude, longitude float64) *Document {
		q := p
		q.Origin = &Origin{Position: &Position{latitude, longitude}, Clock: p.Origin.Clock}
		return made(t, d)(PutPhoto(d, q))
	}
	merged, conflicts, err := Merge(d, at(51, p.Origin.Position.Longitude), at(p.Origin.Position.Latitude, -1))
	require.NoError(t, err)
	require.Len(t, conflicts, 1)
	assert.Contains(t, [][2]float64{{51, -0.1278}, {51.5074, -1}},
		[2]float64{merged.Photos[0].Origin.Position.Latitude, merged.Photos[0].Origin.Position.Longitude})

	q := p
	q.Origin = nil
	gone := made(t, d)(PutPhoto(d, q))
	assert.NotContains(t, string(encode(t, gone)), "origin")
	assert.NotContains(t, string(encode(t, gone)), "51.5")
}

// A top's height and the lens stay with the photo, and take no room where there is
// none.
func TestPhotoHeightsAndLens(t *testing.T) {
	p := Photo{ID: PhotoID([]byte("picture")), Focal: 26, Spots: map[string]Spot{
		"top.post.latch.in": {U: 10, V: 20, Height: 1800}, "post.latch.in": {U: 10, V: 90}}}
	plain := NewDocument("2026-05-01T00:00:00Z")
	text := encode(t, made(t, plain)(PutPhoto(plain, p)))
	require.NoError(t, validate(t, compiledSchema(t), text))
	back, err := Decode(text)
	require.NoError(t, err)
	assert.Equal(t, p, back.Photos[0])
	assert.Equal(t, 1, strings.Count(string(text), `"height"`))
}

// What a design is made from holds no photo, so no drawing and no page can.
func TestSurveyHoldsNoOrigin(t *testing.T) {
	assert.NotContains(t, namesIn(shapeOf(reflect.TypeFor[survey.Survey]())), "latitude")
	assert.Contains(t, namesIn(documentShape), "latitude", "the search finds it where it is")
}

func namesIn(s *shape) (names []string) {
	if s.entry != nil {
		return namesIn(s.entry)
	}
	for name, inner := range s.fields {
		names = append(append(names, name), namesIn(inner)...)
	}
	return names
}

func TestOriginSetting(t *testing.T) {
	s := NewShop()
	assert.Empty(t, s.Settings.Origin, "off unless asked for")
	_, err := SetSetting(s, SettingOrigin, "perhaps")
	var refused *input.FieldError
	require.ErrorAs(t, err, &refused)
	assert.Equal(t, []string{OriginDropped, OriginKept}, refused.Allowed)
	_, err = SetSetting(s, SettingOrigin, OriginKept)
	assert.NoError(t, err)
}
