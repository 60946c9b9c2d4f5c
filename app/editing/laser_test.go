package editing

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"pegpour/app/language"
	"pegpour/engine/survey"
	"pegpour/storage"
)

// What a laser types in one press is split where it holds two lengths, and nowhere else.
func TestTwoNumbersOfALaser(t *testing.T) {
	w := NewSite(NewDevice(nil, &language.Speaker{}, nil))
	f := survey.FieldOf(survey.OpeningWidth)
	w.Asked = f.Path
	for typed, want := range map[string][2]string{
		"3.452;1.234":       {"3.452", "1.234"},
		"3.452 m;1.234 m":   {"3.452 m", "1.234 m"},
		"3.452\t1.234":      {"3.452", "1.234"},
		"3.452 1.234":       {"3.452", "1.234"},
		"3.452 m  1.234 m":  {"3.452 m", "1.234 m"},
		"3452; 1234":        {"3452", "1234"},
		"3,452 m;1,234 m;":  {},
		"3.452":             {},
		"4 000":             {}, // one number
		"3 m 204 mm":        {},
		"3.452;":            {},
		";1.234":            {},
		"3.452;1.234;0.950": {}, // three
		"3.452;nonsense":    {},
		"":                  {},
	} {
		one, other, two := w.TwoNumbers(f, typed)
		assert.Equal(t, want[0] != "", two, typed)
		if two {
			assert.Equal(t, want, [2]string{one, other}, typed)
		}
	}
	w.Asked = survey.RunBackRoom
	_, _, two := w.TwoNumbers(f, "3.452;1.234")
	assert.False(t, two, "at a question that is not asked the next one is not known")
	w.Units = storage.UnitsFeet
	w.Asked = f.Path
	one, other, two := w.TwoNumbers(f, `14' 3 1/2";4' 1/2"`)
	assert.True(t, two)
	assert.Equal(t, []string{`14' 3 1/2"`, `4' 1/2"`}, []string{one, other})
}
