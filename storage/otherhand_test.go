package storage

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/enginetest"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
)

func siteToTurn(s survey.Survey) *Document {
	d := NewDocument("2026-05-01T00:00:00Z")
	d.Survey = s
	d.Survey.Opening.Hand, d.Survey.Opening.SeenFrom = survey.HandRight, survey.SeenFromStreet
	d.Drafts = map[string]string{"runBack.depth": "2m?", "opening.width": "x"}
	d.Ticks = map[string]bool{"peg.1": true}
	return d
}

func answered(t *testing.T, d *Document, path, words string) (*Document, Edit) {
	t.Helper()
	e, err := SetWords(d, path, words)
	require.NoError(t, err)
	next, err := Apply(d, e)
	require.NoError(t, err)
	return next, e
}

func encoded(t *testing.T, d *Document) string {
	t.Helper()
	text, err := Encode(d)
	require.NoError(t, err)
	return string(text)
}

// Nobody measured the side to which the gate is made to run: room, edges and ground
// there are not measured, and come back to the last byte when it runs back.
func TestOtherHandIsNotMeasured(t *testing.T) {
	random := enginetest.RandomSites(60)
	for i, s := range append(random, enginetest.SquareSite(), enginetest.AngledSite(), enginetest.SlopingSite(0.02, 0.03)) {
		d := siteToTurn(s)
		before := encoded(t, d)
		turned, e := answered(t, d, survey.OpeningHand, survey.HandLeft)
		got := &turned.Survey
		assert.Equal(t, survey.RunBack{}, got.RunBack, "%d", i)
		assert.Equal(t, survey.Drive{}.RunBackEdge, got.Drive.RunBackEdge, "%d", i)
		assert.Equal(t, survey.Drive{}.LatchEdge, got.Drive.LatchEdge, "%d", i)
		assert.Equal(t, survey.Levels{}, got.Ground.Levels, "%d", i)
		assert.Empty(t, got.Ground.Shape+got.Ground.Soil+got.Ground.Class+got.Ground.Slab, "%d", i)
		assert.False(t, got.Ground.DepthToFirm.Known())
		assert.Empty(t, turned.Ticks)
		assert.Equal(t, map[string]string{"opening.width": "x"}, turned.Drafts)
		assert.Equal(t, d.Survey.Opening.Width, got.Opening.Width)
		assert.Equal(t, d.Survey.Gate, got.Gate)
		assert.Equal(t, d.Survey.Opening.PostLatch, got.Opening.PostRunBack, "the posts stay where they are")
		assert.Equal(t, d.Survey.Opening.PostRunBack, got.Opening.PostLatch)
		assert.Equal(t, len(d.Survey.Network.Pegs), len(got.Network.Pegs))
		if turned.KeepsOtherSide() {
			undone, err := Revert(turned, e)
			require.NoError(t, err)
			assert.Equal(t, before, encoded(t, undone), "%d: one undo", i)
		}
		again, _ := answered(t, turned, survey.OpeningHand, survey.HandRight)
		assert.False(t, len(again.OtherHand[survey.HandRight]) > 0)
		again.OtherHand = nil // what was known of the other side: posts and pegs
		assert.Equal(t, before, encoded(t, again), "%d: the other answer", i)
	}
}

// What is measured on each side stays with it, however often the answer changes.
func TestEachHandKeepsItsReadings(t *testing.T) {
	d := siteToTurn(enginetest.AngledSite())
	here := encoded(t, d)
	there, _ := answered(t, d, survey.OpeningHand, survey.HandLeft)
	e, err := SetValue(there, survey.RunBackRoom, survey.Measured(7777, survey.ByTape))
	require.NoError(t, err)
	there, err = Apply(there, e)
	require.NoError(t, err)
	back, _ := answered(t, there, survey.OpeningHand, survey.HandRight)
	assert.Equal(t, 6000.0, back.Survey.RunBack.Room.Size)
	again, _ := answered(t, back, survey.OpeningHand, survey.HandLeft)
	assert.Equal(t, encoded(t, there), encoded(t, again))
	stored, err := Decode([]byte(encoded(t, back)))
	require.NoError(t, err)
	again, _ = answered(t, stored, survey.OpeningHand, survey.HandLeft)
	assert.Equal(t, encoded(t, there), encoded(t, again), "also from the disk")
	// Left seen from inside is right seen from the street.
	inside, _ := answered(t, d, survey.OpeningHand, survey.HandLeft)
	inside, _ = answered(t, inside, survey.OpeningSeenFrom, survey.SeenFromInside)
	assert.Equal(t, d.Survey.RunBack, inside.Survey.RunBack)
	// A first answer says where was measured, and moves nothing.
	fresh := siteToTurn(enginetest.SquareSite())
	fresh.Survey.Opening.Hand = ""
	first, _ := answered(t, fresh, survey.OpeningHand, survey.HandLeft)
	assert.Equal(t, fresh.Survey.RunBack, first.Survey.RunBack)
	assert.False(t, first.KeepsOtherSide())
	// The answer was wrong and the readings right: they are taken over, in one edit.
	wrong, _ := answered(t, d, survey.OpeningHand, survey.HandLeft)
	e, err = UseOtherSide(wrong)
	require.NoError(t, err)
	right, err := Apply(wrong, e)
	require.NoError(t, err)
	assert.False(t, right.KeepsOtherSide())
	right.Survey.Opening.Hand = survey.HandRight
	assert.Equal(t, here, encoded(t, right))
}

// Pegs that were taped stay where they are; what they mark changes, and the ends of
// the room on the side that was measured mark nothing any more.
func TestTapedPegsMarkTheOtherSide(t *testing.T) {
	s := enginetest.SquareSite()
	for i, role := range []string{survey.PegLatch, survey.PegRunBack, survey.PegLatchEdge, survey.PegRunBackEdge,
		survey.PegRoomEnd, survey.PegDepthEnd, survey.PegCorner} {
		s.Network.Pegs = append(s.Network.Pegs, survey.NetworkPeg{Name: string(rune('A' + i)), Role: role,
			Along: survey.Measured(1000*float64(i), survey.ByEstimate), Offset: survey.Measured(300, survey.ByEstimate)})
	}
	s.Network.Tapes = []survey.NetworkTape{{From: "A", To: "B", Length: survey.Measured(4000, survey.ByTape)}}
	d := siteToTurn(s)
	turned, _ := answered(t, d, survey.OpeningHand, survey.HandLeft)
	assert.Equal(t, s.Network.Tapes, turned.Survey.Network.Tapes)
	require.Len(t, turned.Survey.Network.Pegs, 7)
	for i, want := range []string{survey.PegRunBack, survey.PegLatch, survey.PegRunBackEdge, survey.PegLatchEdge,
		survey.PegPlain, survey.PegPlain, survey.PegCorner} {
		peg := turned.Survey.Network.Pegs[i]
		assert.Equal(t, want, peg.Role, peg.Name)
		assert.InDelta(t, 4000-1000*float64(i), peg.Along.Size, 1e-9)
		assert.Equal(t, 300.0, peg.Offset.Size)
	}
	back, _ := answered(t, turned, survey.OpeningHand, survey.HandRight)
	assert.Equal(t, d.Survey.Network, back.Survey.Network)
}

// What was photographed and noted at a place stays there when the gate is made to run the
// other way: seen from the other post it is on the other side of the drawing.
func TestPinsStayAtTheirPlaces(t *testing.T) {
	for _, measured := range []bool{true, false} {
		s, width := enginetest.SquareSite(), 4000.0
		if !measured {
			s.Opening.Width = survey.Value{}
			rules := practice.DefaultPractice()
			width, _ = survey.FieldOf(survey.OpeningWidth).Assumed(&survey.Survey{}, &rules)
			require.Positive(t, width)
		} else {
			require.Equal(t, width, s.Opening.Width.Size)
		}
		d := siteToTurn(s)
		d.Photos = []Photo{{ID: "a", Pin: &Pin{Chainage: -300, Offset: 1200}}, {ID: "b"}}
		d.Notes = []Note{{ID: "n", Text: "root", Pin: &Pin{Chainage: 6500, Offset: 40}}, {ID: "m", Pin: &Pin{}}}
		before := encoded(t, d)
		turned, e := answered(t, d, survey.OpeningHand, survey.HandLeft)
		assert.Equal(t, &Pin{Chainage: width + 300, Offset: 1200}, turned.Photos[0].Pin)
		assert.Nil(t, turned.Photos[1].Pin)
		assert.Equal(t, &Pin{Chainage: width - 6500, Offset: 40}, turned.Notes[0].Pin)
		assert.Equal(t, &Pin{Chainage: width}, turned.Notes[1].Pin)
		undone, err := Revert(turned, e)
		require.NoError(t, err)
		assert.Equal(t, before, encoded(t, undone))
		back, _ := answered(t, turned, survey.OpeningHand, survey.HandRight)
		back.OtherHand = nil
		assert.Equal(t, before, encoded(t, back))
		inside, _ := answered(t, turned, survey.OpeningSeenFrom, survey.SeenFromInside)
		assert.Equal(t, d.Photos, inside.Photos, "left from inside is right from the street")
		use, err := UseOtherSide(turned)
		require.NoError(t, err)
		right, err := Apply(turned, use)
		require.NoError(t, err)
		assert.Equal(t, d.Photos, right.Photos, "only the answer was wrong")
		assert.Equal(t, d.Notes, right.Notes)
		// One put a pin where the gate ran before; the other's answer takes it along.
		put, err := PutNote(d, Note{ID: "late", Pin: &Pin{Chainage: 1000, Offset: 5}})
		require.NoError(t, err)
		with, err := Apply(d, put)
		require.NoError(t, err)
		for _, sides := range [][2]*Document{{turned, with}, {with, turned}} {
			merged, conflicts, err := Merge(d, sides[0], sides[1])
			require.NoError(t, err)
			assert.Empty(t, conflicts)
			assert.Equal(t, turned.Photos, merged.Photos)
			require.Len(t, merged.Notes, 3)
			assert.Equal(t, &Pin{Chainage: width - 1000, Offset: 5}, merged.Notes[2].Pin)
		}
	}
}

// One has the gate run the other way while another measures where it ran: what was
// measured is laid aside with the rest of that side, whoever is called ours.
func TestMergedReadingsStayOnTheirSide(t *testing.T) {
	s := enginetest.SquareSite()
	s.Opening.Hand, s.RunBack.Room = survey.HandRight, survey.Value{}
	base := siteToTurn(s)
	turn, err := SetWords(base, survey.OpeningHand, survey.HandLeft)
	require.NoError(t, err)
	turned, err := Apply(base, turn)
	require.NoError(t, err)
	room, err := SetValue(base, survey.RunBackRoom, survey.Measured(6000, survey.ByTape))
	require.NoError(t, err)
	measured, err := Apply(base, room)
	require.NoError(t, err)
	for _, sides := range [][2]*Document{{turned, measured}, {measured, turned}} {
		merged, conflicts, err := Merge(base, sides[0], sides[1])
		require.NoError(t, err)
		assert.Empty(t, conflicts)
		assert.Equal(t, survey.HandLeft, merged.Survey.Opening.Hand)
		assert.False(t, merged.Survey.RunBack.Room.Known(), "nobody measured there")
		back, err := SetWords(merged, survey.OpeningHand, survey.HandRight)
		require.NoError(t, err)
		again, err := Apply(merged, back)
		require.NoError(t, err)
		assert.Equal(t, 6000.0, again.Survey.RunBack.Room.Size)
	}
}

// Taking the answer away and giving it again loses nothing.
func TestAnAnswerTakenAwayComesBack(t *testing.T) {
	s := enginetest.SquareSite()
	s.Opening.Hand, s.RunBack.Room = survey.HandLeft, survey.Measured(6000, survey.ByTape)
	d := siteToTurn(s)
	for _, hand := range []string{"", survey.HandLeft} {
		e, err := SetWords(d, survey.OpeningHand, hand)
		require.NoError(t, err)
		d, err = Apply(d, e)
		require.NoError(t, err)
	}
	assert.Equal(t, 6000.0, d.Survey.RunBack.Room.Size)
}
