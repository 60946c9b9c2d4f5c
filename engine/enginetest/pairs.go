package enginetest

import (
	"math"
	"math/rand/v2"

	"pegpour/engine/survey"
)

// Paired makes a site one of two leaves that meet, the side of the latch post as the
// other one mirrored. Angles are rounded so that mirroring one twice gives its own bits.
func Paired(s survey.Survey) survey.Survey {
	s = s.Clone()
	s.Gate.Leaves, s.Pair.First = survey.LeavesPair, survey.FirstRunBack
	if a := &s.Drive.RunBackEdge.Angle; a.Known() {
		a.Size = exactAngle(a.Size)
	}
	s.Drive.LatchEdge = MirroredEdge(s.Drive.RunBackEdge)
	s.Opening.PostLatch = s.Opening.PostRunBack
	s.RunBack.Obstructions = nil
	s.Pair.Other = &survey.OtherSide{RunBack: s.RunBack, Ground: s.Ground, Gate: s.Gate}
	return s
}

// MirroredPair is a pair with its sides exchanged, as it looks from the other end of the fence.
func MirroredPair(s survey.Survey) survey.Survey {
	m := s.Clone()
	m.Opening.PostLatch, m.Opening.PostRunBack = s.Opening.PostRunBack, s.Opening.PostLatch
	m.Drive.LatchEdge, m.Drive.RunBackEdge = MirroredEdge(s.Drive.RunBackEdge), MirroredEdge(s.Drive.LatchEdge)
	m.Opening.Hand = map[string]string{survey.HandLeft: survey.HandRight}[s.Opening.Hand]
	if m.Opening.Hand == "" {
		m.Opening.Hand = survey.HandLeft
	}
	if at := &m.Pair.Meets; at.Known() {
		at.Size = s.Opening.Width.Size - at.Size
	}
	m.Pair.First = map[string]string{survey.FirstRunBack: survey.FirstLatch,
		survey.FirstLatch: survey.FirstRunBack}[s.Pair.First]
	read := &m.Ground.Levels
	for i := range read.Drops {
		if v := &read.Drops[i].Along; v.Known() {
			v.Size = s.Opening.Width.Size - v.Size
		}
	}
	for i := range read.Book {
		if v := &read.Book[i].Along; v.Known() {
			v.Size = s.Opening.Width.Size - v.Size
		}
	}
	if read.Along.Known() {
		read.Along.Size = -read.Along.Size
	}
	for i := range m.RunBack.Obstructions {
		side := &m.RunBack.Obstructions[i].Side
		if *side == survey.OnLatchSide {
			*side = survey.OnRunBackSide
		} else {
			*side = survey.OnLatchSide
		}
	}
	other := m.Pair.Other
	things := m.RunBack.Obstructions
	m.RunBack, other.RunBack = other.RunBack, m.RunBack
	m.RunBack.Obstructions, other.RunBack.Obstructions = things, nil
	// What both sides share stays where it stands.
	mine, theirs := m.Ground, other.Ground
	m.Ground, other.Ground = theirs, mine
	m.Ground.Frost, m.Ground.Levels = mine.Frost, mine.Levels
	for _, v := range [...][2]*survey.Value{
		{&m.Ground.Levels.BankStep, &theirs.Levels.BankStep}, {&m.Ground.Levels.BankAlong, &theirs.Levels.BankAlong},
		{&m.Ground.Levels.FallStep, &theirs.Levels.FallStep}, {&m.Ground.Levels.FallAlong, &theirs.Levels.FallAlong},
		{&m.Ground.Levels.SlabStep, &theirs.Levels.SlabStep}, {&m.Ground.Levels.SlabAlong, &theirs.Levels.SlabAlong}} {
		*v[0] = *v[1]
	}
	a, b := &m.Gate, &other.Gate
	for _, v := range [...][2]*string{{&a.Motor, &b.Motor}, {&a.Cables, &b.Cables}, {&a.Outlet, &b.Outlet},
		{&a.Guide, &b.Guide},
		{&a.HardStop, &b.HardStop}, {&a.OpenCatch, &b.OpenCatch}, {&a.FootingBar, &b.FootingBar}, {&a.PadOn, &b.PadOn}} {
		*v[0], *v[1] = *v[1], *v[0]
	}
	return m
}

// RandomPair is a random pair whose sides differ.
func RandomPair(r *rand.Rand) survey.Survey {
	s, other := RandomGroundSite(r), RandomLeafSite(r)
	s.Opening.Width.Size = math.Round(4000 + 8000*r.Float64())
	s.Gate.Leaves, s.Pair.First = survey.LeavesPair, []string{survey.FirstRunBack, survey.FirstLatch}[r.IntN(2)]
	if r.IntN(2) == 0 {
		s.Pair.Meets = survey.Measured(math.Round(s.Opening.Width.Size*(0.3+0.4*r.Float64())), survey.ByTape)
	} else {
		s.Opening.Width.Size = 2 * math.Round(s.Opening.Width.Size/2)
	}
	for _, e := range [...]*survey.Edge{&s.Drive.RunBackEdge, &s.Drive.LatchEdge} {
		e.Angle.Size = exactAngle(e.Angle.Size)
	}
	s.Pair.Other = &survey.OtherSide{RunBack: other.RunBack, Ground: other.Ground, Gate: other.Gate}
	if r.IntN(2) == 0 {
		s.Ground.Levels.Taken = survey.LevelsBySlopes
		s.Ground.Levels.Along = survey.Measured(-0.05+0.1*r.Float64(), survey.ByStaff)
		s.Ground.Levels.BankStep = survey.Measured(100, survey.ByTape)
		s.Ground.Levels.BankAlong = survey.Measured(0.05, survey.ByStaff)
	}
	return s
}

// MirroredEdge is an edge of the drive as it looks from the other side.
func MirroredEdge(e survey.Edge) survey.Edge {
	flip := func(v survey.Value) survey.Value {
		if v.Known() {
			v.Size = 0 - v.Size
		}
		return v
	}
	e.Along = flip(e.Along)
	if e.Angle.Known() {
		e.Angle.Size = math.Pi - e.Angle.Size
	}
	points := e.Points
	e.Points = nil
	for _, p := range points {
		e.Points = append(e.Points, survey.EdgePoint{Along: flip(p.Along), Offset: p.Offset})
	}
	return e
}

// exactAngle is an angle of which π less it has no bit that is lost.
func exactAngle(a float64) float64 { return math.Round(a*(1<<40)) / (1 << 40) }
