package survey

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What is answered of the other side is answered there alone: not on the run-back side, and
// not in a copy of the survey; taken back, it leaves no trace in a document.
func TestFieldsOfTheOtherSide(t *testing.T) {
	for _, path := range asksOtherSide {
		like, ok := FieldAt(path)
		require.True(t, ok, path)
		f, ok := FieldAt(otherSide + path)
		require.True(t, ok, path)
		assert.Equal(t, otherSide+path, OnSide(path, true))
		back, ok := OfLatchSide(f.Path)
		assert.True(t, ok)
		assert.Equal(t, path, back)
		var s Survey
		before := s
		if f.Numeric() {
			require.NoError(t, f.SetValue(&s, Measured(like.High, ByTape)))
			assert.Equal(t, like.High, f.Value(&s).Size)
			assert.Error(t, f.SetValue(&s, Measured(like.High+1, ByTape)), path)
		} else {
			last := like.Options[len(like.Options)-1].Value
			require.NoError(t, f.SetWords(&s, last))
			assert.Equal(t, last, f.Words(&s))
			assert.Error(t, f.SetWords(&s, "no such choice"), path)
		}
		assert.True(t, f.Answered(&s), path)
		assert.False(t, like.Answered(&s), path)
		assert.False(t, f.Answered(&before), path)
		written, err := json.Marshal(s)
		require.NoError(t, err)
		var read Survey
		require.NoError(t, json.Unmarshal(written, &read))
		assert.Equal(t, f.Value(&s), f.Value(&read))
		assert.Equal(t, f.Words(&s), f.Words(&read))
		copied := s
		if f.Numeric() {
			require.NoError(t, f.SetValue(&copied, Value{}))
		} else {
			require.NoError(t, f.SetWords(&copied, ""))
		}
		assert.True(t, f.Answered(&s), "a copy is a survey of its own")
		written, err = json.Marshal(copied)
		require.NoError(t, err)
		assert.JSONEq(t, `{}`, string(written), path)
	}
}

// Where nobody thinks of two leaves nothing of the other side is asked, and where there are
// two what is asked of it follows its own answers.
func TestOtherSideIsAskedByItsOwnAnswers(t *testing.T) {
	var s Survey
	asked := func(path string) bool {
		f, ok := FieldAt(path)
		require.True(t, ok, path)
		return f.Needed(&s)
	}
	for _, path := range asksOtherSide {
		assert.False(t, asked(otherSide+path), path)
	}
	assert.False(t, asked(GateLeaves))
	s.Opening.Width, s.RunBack.Room = Measured(7000, ByTape), Measured(4000, ByTape)
	assert.True(t, asked(GateLeaves))
	s.Gate.Leaves = LeavesPair
	assert.True(t, asked(otherSide+RunBackRoom))
	assert.True(t, asked(PairMeets))
	assert.False(t, asked(GateLatchStop))
	assert.False(t, asked(otherSide+GroundDepthToFirm))
	s.Pair.Other = &OtherSide{Ground: Ground{Soil: SoilSoft}}
	assert.True(t, asked(otherSide+GroundDepthToFirm))
	assert.False(t, asked(GroundDepthToFirm))
	assert.False(t, asked(GroundLevelsTaken))
	s.Pair.Other = &OtherSide{Ground: Ground{Shape: GroundFalls}}
	assert.True(t, asked(GroundLevelsTaken), "the drive is levelled for either side")
	assert.True(t, asked(otherSide+GateFootingBar))
	assert.False(t, asked(GateFootingBar))
}
