package casting

import (
	"math"

	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// readSides reads what was poured of two leaves that meet, each side as one leaf in its
// own frame, and puts what stands there into the survey of both.
func (b *Poured) readSides(r *survey.Reader, made *plan.Plan, p *practice.Practice) {
	s, at := r.Survey(), made.Pair.Meeting.At
	opening, meets := made.Opening, at
	width, _, opened := r.Reading(survey.PouredOpening)
	if opened {
		opening = width.Size
	}
	stop, _, stands := r.Reading(survey.PouredMeets)
	if stands {
		meets = stop.Size
	}
	whole := &b.Survey
	if opened {
		whole.Opening.Width = width
	}
	if !stands && !whole.Pair.Meets.Known() { // the stop is cast: it does not move with the posts
		stop.How = survey.ByEstimate
	}
	if stop.Size = meets; stands || !whole.Pair.Meets.Known() {
		whole.Pair.Meets = stop
	}
	parted := survey.SidesOf(s, p)
	all := survey.Stands{}
	for i, side := range made.Sides() {
		own := [2]*survey.Survey{&parted.RunBack, &parted.Latch}[i]
		own.Build.Poured = ofSide(&s.Build.Poured, &side, opening)
		if up := &own.Build.Poured.SetUp; up.Open.Known() && !up.Level.Known() { // the fixed point may lie on the other side
			up.Level = survey.Measured(b.Sight.Plane-up.Open.Size, survey.ByStaff)
		}
		if opened || stands {
			own.Build.Poured.Opening = survey.Measured([2]float64{opening - meets, meets}[i], survey.ByTape)
		}
		b.Sides = append(b.Sides, ReadPoured(*own, side.Plan, *p))
		moved := meets - at // of the frame's beginning, along the side's own chainage
		if side.Latch {
			moved = -moved
		}
		all.Sides[i] = movedStands(b.Sides[i].Survey.Stands, moved)
	}
	if v, _, taken := r.Reading(survey.PouredRoom); taken {
		whole.RunBack.Room = v
	}
	if v, _, taken := r.Reading(survey.PouredOtherRoom); taken {
		other := survey.OtherSide{}
		if whole.Pair.Other != nil {
			other = *whole.Pair.Other
		}
		other.RunBack.Room = v
		whole.Pair.Other = &other
	}
	b.onSlope(made, &all)
	whole.Stands = &all
	if one, two := b.Sides[0].Line, b.Sides[1].Line; one != nil && two != nil {
		step := math.Abs(one.At(0) - two.At(0))
		b.Joint = text.Say("Where the leaves meet the two tracks lie level with each other.")
		if step > p.LevelTolerance {
			b.Joint = text.Say("Where the leaves meet the two tracks differ by {0}: the catch of one leaf takes the other by so much higher or lower.",
				text.MM(step))
		}
	}
}

// ofSide is what was poured in the frame of a side. A level of the other side stands
// blank in its place.
func ofSide(all *survey.Poured, side *plan.Side, opening float64) survey.Poured {
	own := *all
	own.Meets, own.Other = survey.Value{}, survey.PouredOther{}
	from := func(v survey.Value, to func(float64) float64) survey.Value {
		if v.Known() {
			v.Size, v.Text = to(v.Size), ""
		}
		return v
	}
	if side.Latch {
		o := all.Other
		// It is counted from the run-back post.
		back := func(d float64) float64 { return side.From(opening - d) }
		own.GuideAlong, own.GuideOut, own.PadDown, own.Room = from(o.GuideAlong, back), o.GuideOut, o.PadDown, o.Room
		own.MotorAlong = from(o.MotorAlong, back)
	} else {
		own.GuideAlong, own.MotorAlong = from(all.GuideAlong, side.From), from(all.MotorAlong, side.From)
	}
	own.SetUp.Along = from(all.SetUp.Along, side.From)
	own.Levels = make([]survey.PouredLevel, len(all.Levels))
	for i, l := range all.Levels {
		l.Along = from(l.Along, side.From)
		if !l.Along.Known() || l.Along.Size >= -plan.Tolerance {
			own.Levels[i] = l
		}
	}
	return own
}

// movedStands is what stands on a side, told in a frame that begins farther along it.
func movedStands(s *survey.Stands, by float64) *survey.Stands {
	own := *s
	for _, v := range [...]*survey.Value{&own.GuideAlong, &own.Pinion} {
		if v.Known() {
			v.Size -= by
		}
	}
	if s.Track != nil {
		track := *s.Track
		track.Z0 += track.Grade * by
		own.Track = &track
	}
	return &own
}

// onSlope has level ground slope where a track lies on a slope now: then the other side's
// track lies where its own readings put it too.
func (b *Poured) onSlope(made *plan.Plan, all *survey.Stands) {
	if made.Pair.RunBack.Ground != nil || all.Sides[0].Track == nil && all.Sides[1].Track == nil {
		return
	}
	for i := range b.Sides {
		if line := b.Sides[i].Line; line != nil && all.Sides[i].Track == nil {
			all.Sides[i].Track = &survey.TrackLaid{Z0: line.Z0 + survey.AssumedDatum, Grade: float64(line.Grade), Read: 2}
		}
	}
	b.Survey.Ground.Shape = survey.GroundSlopes
	b.Survey.Ground.Levels = survey.Levels{Taken: survey.LevelsBySlopes, Along: survey.Measured(0, survey.ByStaff),
		Out: survey.Measured(0, survey.ByStaff)}
}

// Unlaid says why no track is laid where its levels were read: of two leaves on the first
// side of which that is so.
func (b *Poured) Unlaid(made *plan.Plan) text.Text {
	for i, side := range made.Sides() {
		if i < len(b.Sides) {
			if why := b.Sides[i].NoLine; !why.Empty() {
				return side.Said(why)
			}
		}
	}
	return b.NoLine
}

// Spot is what an entry of the levels says: of two leaves on the side where it lies.
func (b *Poured) Spot(i int) *Spot {
	of := b
	for k := range b.Sides {
		of = &b.Sides[k]
		if levels := of.Survey.Build.Poured.Levels; i < len(levels) && levels[i] != (survey.PouredLevel{}) {
			break // not blank
		}
	}
	if i >= len(of.Levels) {
		return nil
	}
	return &of.Levels[i]
}

// Leaves are what was poured leaf by leaf, with the side's name where there are two.
func (b *Poured) Leaves(made *plan.Plan) (each []*Poured, names []text.Name) {
	for i, side := range made.Sides() {
		of := b
		if i < len(b.Sides) {
			of = &b.Sides[i]
		}
		each, names = append(each, of), append(names, side.Name)
	}
	return each, names
}
