package storage

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/survey"
)

// Pegs as set belong to the side on which they stand: made to run the other way they
// are laid aside, and going back brings them again.
func TestSetPegsBelongToTheirSide(t *testing.T) {
	d := NewDocument("2026-01-01T00:00:00Z")
	turn := func(hand string) {
		t.Helper()
		e, err := SetWords(d, survey.OpeningHand, hand)
		require.NoError(t, err)
		d, err = Apply(d, e)
		require.NoError(t, err)
	}
	turn(survey.HandRight)
	for _, entry := range []struct {
		list string
		of   any
	}{
		{survey.SetPegList, survey.SetPeg{Mark: "pad#2", Name: "6", Along: survey.Measured(4400, survey.ByEstimate)}},
		{survey.SetTapeList, survey.SetTape{From: "pad#2", To: survey.SetLatch, Length: survey.Measured(4420, survey.ByTape)}},
	} {
		e, err := AddEntry(d, "Tape between pegs", entry.list, entry.of)
		require.NoError(t, err)
		d, err = Apply(d, e)
		require.NoError(t, err)
	}
	set := d.Survey.Build.Pegs
	require.Len(t, set.Tapes, 1)
	turn(survey.HandLeft)
	assert.Empty(t, d.Survey.Build.Pegs.Tapes)
	assert.Empty(t, d.Survey.Build.Pegs.Pegs)
	turn(survey.HandRight)
	assert.Equal(t, set, d.Survey.Build.Pegs)
}
