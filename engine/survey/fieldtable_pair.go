package survey

import (
	"slices"
	"strings"

	"pegpour/engine/practice"
	"pegpour/engine/text"
)

// What two leaves need that one does not.
const (
	GateLeaves = "gate.leaves"
	PairMeets  = "pair.meets"
	PairFirst  = "pair.first"

	ObstructionSide ListPath = RunBackObstructions + ".*.side"

	// otherSide stands before the path of a field of the side of the latch post.
	otherSide = "pair.other."
)

// pairFields are asked where two leaves shut the opening.
var pairFields = []Field{
	{Path: GateLeaves, Group: GroupGate, Name: "Leaves that shut the opening", Dimension: text.Choice,
		Help:    "Two that meet in the drive need half the room on either side.",
		Options: []Option{{LeavesOne, "One"}, {LeavesPair, "Two that meet in the drive"}},
		askedIf: mayPair,
		text:    func(s *Survey) *string { return &s.Gate.Leaves }},
	{Path: PairMeets, Group: GroupGate, Name: "Where the leaves meet, from the latch post", Dimension: text.Length,
		Low: 0, High: 12000,
		Help:    "Along the fence from the inner face of the latch post: half the opening where both sides have the room.",
		standIn: halfOpening, askedIf: Paired, number: func(s *Survey) *Value { return &s.Pair.Meets }},
	{Path: PairFirst, Group: GroupGate, Name: "Which leaf shuts first", Dimension: text.Choice,
		Help:    "It rests against the stop in the drive, and its catch takes the edge of the other.",
		Options: []Option{{FirstRunBack, "The one from the run-back post"}, {FirstLatch, "The one from the latch post"}},
		askedIf: Paired, text: func(s *Survey) *string { return &s.Pair.First }},
}

// mayPair: two leaves were thought of, or one as wide as the opening has no room.
func mayPair(s *Survey) bool {
	width, room := s.Opening.Width, s.RunBack.Room
	return s.Gate.Leaves != "" || width.Known() && room.Known() && room.Size < width.Size
}

func halfOpening(s *Survey, p *practice.Practice) (float64, bool) {
	if s.Opening.Width.Known() {
		return s.Opening.Width.Size / 2, true
	}
	w, ok := openingGuess(s, p)
	return w / 2, ok
}

// asksOtherSide are the fields of the run-back side that the side of the latch post has
// as well. What it does not have it shares.
var asksOtherSide = []string{RunBackRoom, RunBackDepth,
	GroundSoil, GroundDepthToFirm, GroundClass, GroundExpansive, GroundShape, GroundLevelsBankStep, GroundLevelsBankAlong,
	GroundLevelsFallStep, GroundLevelsFallAlong, GroundSlab, GroundLevelsSlabStep, GroundLevelsSlabAlong, GroundChannel,
	GroundCavityWall, GroundCavityDrain, GroundCavityLoad,
	GateGuide, GateHardStop, GateMotor, GateOutlet, GateCables, GateOpenCatch, GateFootingBar, GatePadOn}

// otherFields are those fields of the side of the latch post: the same rows, read from
// and written to its own answers.
func otherFields(tables ...[]Field) []Field {
	var all []Field
	for _, f := range slices.Concat(tables...) {
		if !slices.Contains(asksOtherSide, f.Path) {
			continue
		}
		base := f
		f.Path, f.Name = otherSide+base.Path, text.Named("{0}, latch side", base.Name)
		if base.Path == RunBackRoom {
			f.Name = "Room along the fence behind the latch post"
			f.Help = "From the inner face of the latch post to the first thing that would stop the other leaf: wall, corner, tree."
		}
		f.askedIf = func(s *Survey) bool { return Paired(s) && (base.askedIf == nil || base.askedIf(atLatch(s))) }
		if base.standIn != nil {
			f.standIn = func(s *Survey, p *practice.Practice) (float64, bool) { return base.standIn(atLatch(s), p) }
		}
		if base.number != nil {
			f.number = func(s *Survey) *Value { return base.number(s.Pair.Other.own()) }
			f.put = func(s *Survey, v Value) {
				own := s.Pair.Other.own()
				*base.number(own) = v
				s.Pair.Other = &OtherSide{own.RunBack, own.Ground, own.Gate}
			}
		} else {
			f.text = func(s *Survey) *string { return base.text(s.Pair.Other.own()) }
			f.putWords = func(s *Survey, w string) {
				own := s.Pair.Other.own()
				*base.text(own) = w
				s.Pair.Other = &OtherSide{own.RunBack, own.Ground, own.Gate}
			}
		}
		all = append(all, f)
	}
	return all
}

// OfLatchSide is the field of the run-back side that a field of the other side is like;
// false for any other field.
func OfLatchSide(path string) (like string, ok bool) { return strings.CutPrefix(path, otherSide) }

// OnSide is the path, in the survey of a pair, of a field that a side's own survey has:
// latch is the side of the latch post. Rules and fields that both sides share stay.
func OnSide(path string, latch bool) string {
	if !latch {
		return path
	}
	swapped := [...][2]string{{DriveRunBackEdge, DriveLatchEdge}, {DriveLatchEdge, DriveRunBackEdge},
		{OpeningPostRunBack, OpeningPostLatch}}
	for _, s := range swapped {
		if rest, ok := strings.CutPrefix(path, s[0]); ok && (rest == "" || rest[0] == '.') {
			return s[1] + rest
		}
	}
	if slices.Contains(asksOtherSide, path) {
		return otherSide + path
	}
	return path
}
