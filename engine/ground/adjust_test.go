package ground_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/ground"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
)

func staffRow(station string, along float64, back, between, fore float64) survey.BookRow {
	sight := func(v float64) survey.Value {
		if v == 0 {
			return survey.Value{}
		}
		return survey.Measured(v, survey.ByStaff)
	}
	row := survey.BookRow{Station: station, Back: sight(back), Intermediate: sight(between), Fore: sight(fore)}
	if along >= 0 {
		row.Along = survey.Measured(along, survey.ByTape)
	}
	return row
}

func pageOf(start, closing float64, rows ...survey.BookRow) survey.Survey {
	var s survey.Survey
	s.Ground.Levels.Taken = survey.LevelsByStaff
	s.Ground.Levels.Start = survey.Measured(start, survey.ByStaff)
	if closing > 0 {
		s.Ground.Levels.Close = survey.Measured(closing, survey.ByStaff)
	}
	s.Ground.Levels.Book = rows
	return s
}

// A page that closes on its own start, with a peg read from both set-ups. The
// expected levels solve the normal equations by hand: by symmetry, each point is
// the mean of its two ways round (levels 290 and 278, 600 and 592).
func TestPageOfTwoSetups_by_hand(t *testing.T) {
	s := pageOf(10000, 10000, staffRow("nail", -1, 1500, 0, 0), staffRow("peg", 2000, 0, 1210, 0),
		staffRow("step", -1, 1750, 0, 900), staffRow("peg", 2000, 0, 2064, 0), staffRow("nail", -1, 0, 0, 2342))
	p := practice.DefaultPractice()
	p.LevelAllowance = 10
	run := ground.BookLevels(s, p)
	require.NotNil(t, run.Booking)
	require.Len(t, run.Booking.Twice, 2, "the peg and the nail")
	b := run.Booking.Rows
	assert.InDelta(t, 10284, b[1].Adjusted, 1e-6)
	assert.InDelta(t, 10284, b[3].Adjusted, 1e-6)
	assert.InDelta(t, 10596, b[2].Adjusted, 1e-6)
	assert.InDelta(t, 10000, b[4].Adjusted, 1e-6)
}

// Readings of one point beyond what staff readings differ by are left as they are.
func TestPointReadTwice(t *testing.T) {
	page := func(second float64) survey.Survey {
		return pageOf(10000, 0, staffRow("nail", -1, 1500, 0, 0), staffRow("peg", 2000, 0, 1210, 0),
			staffRow("step", -1, 1750, 0, 900), staffRow("peg", 2000, 0, second, 0), staffRow("", 5000, 0, 0, 2000))
	}
	near := ground.BookLevels(page(2062), practice.DefaultPractice()).Booking
	require.Len(t, near.Twice, 1)
	assert.False(t, near.Twice[0].Doubtful)
	assert.InDelta(t, -2, near.Twice[0].Apart, 1e-9)
	assert.Equal(t, near.Rows[1].Adjusted, near.Rows[3].Adjusted)
	assert.InDelta(t, 10289, near.Rows[1].Adjusted, 1, "between 10290 and 10288")

	far := ground.BookLevels(page(2164), practice.DefaultPractice()).Booking
	require.Len(t, far.Twice, 1)
	assert.True(t, far.Twice[0].Doubtful)
	for _, row := range far.Rows {
		assert.Equal(t, row.Level, row.Adjusted)
	}
	// Two points in between may share a name: each is its own.
	plain := ground.BookLevels(pageOf(10000, 0, staffRow("nail", -1, 1500, 0, 0), staffRow("edge", -1, 0, 1210, 0),
		staffRow("edge", -1, 0, 1300, 0)), practice.DefaultPractice()).Booking
	assert.Empty(t, plain.Twice)
	assert.False(t, math.IsNaN(plain.Rows[2].Adjusted))
}

// A page beyond its allowance stays as it was read, also where its points read twice
// are nearer than readings differ; a closing level holds whatever its mark is called.
func TestPageThatIsNotSharedOut(t *testing.T) {
	p := practice.DefaultPractice()
	beyond := ground.BookLevels(pageOf(10000, 10000, staffRow("nail", -1, 1500, 0, 0), staffRow("peg", 2000, 0, 1200, 0),
		staffRow("nail", -1, 0, 0, 1507)), p).Booking
	require.True(t, beyond.Closed && !beyond.Within)
	require.Len(t, beyond.Twice, 1)
	assert.False(t, beyond.Twice[0].Doubtful)
	for _, row := range beyond.Rows {
		assert.Equal(t, row.Level, row.Adjusted)
	}
	other := ground.BookLevels(pageOf(10000, 10003, staffRow("nail", -1, 1500, 0, 0), staffRow("peg", 2000, 0, 1200, 0),
		staffRow("nail", -1, 0, 0, 1497)), p).Booking
	require.True(t, other.Closed && other.Within)
	assert.Zero(t, other.Misclosure)
	assert.InDelta(t, 10003, other.Rows[2].Adjusted, 1e-9)
	assert.InDelta(t, 0, other.Rows[1].Correction, 1e-9)
	// Where levels do not join further on, points read twice before are compared.
	broken := ground.BookLevels(pageOf(10000, 0, staffRow("nail", -1, 1500, 0, 0), staffRow("nail", -1, 0, 1600, 0),
		staffRow("", 2000, 0, 0, 1200), staffRow("", 3000, 0, 1100, 0)), p).Booking
	require.Len(t, broken.Twice, 1)
	assert.True(t, broken.Twice[0].Doubtful)
}
