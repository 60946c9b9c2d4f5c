package engine

import (
	"math"

	"pegpour/engine/geom"
	"pegpour/engine/levels"
)

// checkLevels looks at the readings, the track's grade and what follows from
// ground that is not level.
func (d *designed) checkLevels(found *findings) {
	in, l, plan := d.inputs, d.layout, d.plan
	g := plan.Ground
	if g == nil {
		return
	}
	if g.Taken == LevelsByStaff {
		d.checkBook(found)
	}
	if !g.known() {
		found.add(Check{Question: QuestionLevelsNone, Severity: Stop, Field: GroundLevelsTaken, Where: PartIDs(PartRunBackStrip), At: geom.Point{X: in.width, Y: l.trackOffset},
			What:        say("There is no level on the drive: the grade of the track is not known, and the plan is drawn level."),
			Consequence: say("A track that does not follow the drive climbs a step at its edge, and the leaf runs off it.")})
		return
	}
	found.quiet(QuestionLevelsNone, GroundLevelsTaken)
	d.checkReadings(found)
	d.checkGrade(found)
	d.checkSlab(found)
	if g.Pad != nil {
		d.checkPadLevel(found)
	}
	d.checkBank(found)
}

// checkBook says whether the level book proves itself.
func (d *designed) checkBook(found *findings) {
	plan := d.plan
	b := plan.Ground.Booking
	if b == nil {
		return
	}
	if b.StoppedAt <= 0 {
		found.quiet(QuestionLevelsBroken, "")
	} else {
		found.add(Check{Question: QuestionLevelsBroken, Severity: Stop, Field: string(BookFore.At(b.StoppedAt - 1)),
			What:        say("No level is carried past row {0} of the book: the level was moved there and the readings on either side do not join.", number(float64(b.StoppedAt))),
			Consequence: say("The rows after it are left out. Read the staff on the change point from both places of the level.")})
	}
	if b.ArithmeticHolds {
		found.quiet(QuestionLevelsArithmetic, GroundLevelsTaken)
	} else {
		found.add(Check{Question: QuestionLevelsArithmetic, Severity: Stop, Field: GroundLevelsTaken,
			What: say("The sums of the level book do not agree: backsights less foresights {0}, last level less first {1}.", mm(b.BackLessFore), mm(b.LastLessFirst))})
	}
	if b.Closed {
		found.quiet(QuestionLevelsOpen, GroundLevelsClose)
	}
	switch {
	case !b.Closed:
		found.add(Check{Question: QuestionLevelsOpen, Severity: Warning, Field: GroundLevelsClose,
			What:        say("The level book is not closed: its arithmetic holds, and nothing proves the readings."),
			Consequence: say("Go back to where you began, or end on a point of known level.")})
	case !b.Within:
		found.add(Check{Question: QuestionLevelsClosure, Severity: Stop, Field: GroundLevelsClose, HasMargin: true, Margin: b.Allowance - math.Abs(b.Misclosure), MarginOf: Length,
			What:        say("The level book closes {0} off; {1} are allowed for {2} set-ups. Nothing was shared out: level it again.", mm(b.Misclosure), mm(b.Allowance), number(float64(b.Setups))),
			Consequence: say("One of the readings is wrong, and every level after it with it.")})
	default:
		found.add(Check{Question: QuestionLevelsClosure, Severity: Sound, Field: GroundLevelsClose, HasMargin: true, Margin: b.Allowance - math.Abs(b.Misclosure), MarginOf: Length,
			What: say("The level book closes {0} off, {1} are allowed; it was shared out over {2} set-ups.", mm(b.Misclosure), mm(b.Allowance), number(float64(b.Setups)))})
	}
}

// checkReadings says what the readings cannot give, and which of them to doubt.
func (d *designed) checkReadings(found *findings) {
	in, p, plan := d.inputs, d.practice, d.plan
	g := plan.Ground
	t := &g.Track
	at := geom.Point{X: in.width / 2, Y: t.Offset}
	if t.GradeKnown {
		found.quiet(QuestionLevelsGrade, GroundLevelsTaken)
	} else {
		found.add(Check{Question: QuestionLevelsGrade, Severity: Stop, Field: GroundLevelsTaken, Where: PartIDs(PartRunBackStrip), At: at,
			What:        say("The fall of the drive along the track is not known: two levels on the track line, well apart, give it. Level is assumed."),
			Consequence: say("The strip must have the same fall as the drive.")})
	}
	if t.CrossFallKnown {
		found.quiet(QuestionLevelsCrossFall, GroundLevelsTaken)
	} else {
		what := say("The fall of the drive from the fence inwards is not known: a level further in gives it. None is assumed.")
		if g.InLine >= 3 {
			what = say("All {0} levels on the drive lie in one line: they cannot say how it falls square to that line. None is assumed; one more level further in gives it.", number(float64(g.InLine)))
		}
		found.add(Check{Question: QuestionLevelsCrossFall, Severity: Warning, Field: GroundLevelsTaken, Where: PartIDs(PartRunBackStrip, PartPad), At: at, What: what,
			Consequence: say("The strip follows the drive both ways, and the level of the pad hangs on it.")})
	}
	if !t.OffLine {
		found.quiet(QuestionLevelsOffLine, GroundLevelsTaken)
	} else {
		found.add(Check{Question: QuestionLevelsOffLine, Severity: Warning, Field: GroundLevelsTaken, Where: PartIDs(PartRunBackStrip), At: at,
			What:        say("There are fewer than two levels on the track line itself: the grade is that of the whole drive."),
			Consequence: say("A drive that is dished or crowned along the fence gives the track another grade.")})
	}
	switch {
	case !t.GradeKnown || t.OffLine:
	case t.Fitted != 2:
		found.quiet(QuestionLevelsUnchecked, GroundLevelsTaken)
	default:
		found.add(Check{Question: QuestionLevelsUnchecked, Severity: Warning, Field: GroundLevelsTaken, Where: PartIDs(PartRunBackStrip), At: at,
			What:        say("The grade of the track hangs on two levels and nothing checks them: take a third between."),
			Consequence: say("A misread staff would show nowhere.")})
	}
	var doubtful []string
	field, where := "", at
	for i := range g.Readings {
		if q := &g.Readings[i]; q.Suspect {
			doubtful = append(doubtful, q.Name)
			field, where = q.Path, geom.Point{X: q.Chainage, Y: q.Offset}
		}
	}
	if len(doubtful) == 0 {
		found.quiet(QuestionLevelsSuspect, "")
	} else {
		c := Check{Question: QuestionLevelsSuspect, Severity: Warning, Field: field, At: where,
			What:        say("The level at {0} does not fit the others: read it again.", wordArg(doubtful[0])),
			Consequence: say("One wrong level turns the grade of the whole track.")}
		if len(doubtful) > 1 {
			c.What = say("One of the levels at {0} does not fit the others, and they cannot say which: read them again.", wordList(doubtful))
		}
		found.add(c)
	}
	cliffs := g.cliffs(p)
	if len(cliffs) == 0 {
		found.quiet(QuestionLevelsCliff, "")
	}
	for _, c := range cliffs {
		a, b := &g.Readings[c[0]], &g.Readings[c[1]]
		found.add(Check{Question: QuestionLevelsCliff, Severity: Warning, Field: b.Path, At: geom.Point{X: (a.Chainage + b.Chainage) / 2, Y: (a.Offset + b.Offset) / 2},
			What:        say("From {0} to {1} the ground steps by {2} over {3}: a wall or a kerb, or a misread level.", wordArg(a.Name), wordArg(b.Name), mm(math.Abs(b.Level-a.Level)), mm(math.Hypot(b.Chainage-a.Chainage, b.Offset-a.Offset))),
			Consequence: say("The ground is taken to be straight from the one to the other. Take a level at the top and one at the foot of a step.")})
	}
}

// cliffs are the steps between neighbouring readings that are steeper than
// practice's limit, steepest first, at most three.
func (g *GroundPlan) cliffs(p *Practice) [][2]int {
	if g.Taken == LevelsBySlopes {
		return nil
	}
	points, from := make([]levels.Point, 0, len(g.Readings)), make([]int, 0, len(g.Readings))
	for i := range g.Readings {
		if q := &g.Readings[i]; !q.OnSlab {
			points, from = append(points, levels.Point{Chainage: q.Chainage, Offset: q.Offset, Level: q.Level, Sigma: q.Sigma}), append(from, i)
		}
	}
	var found []levels.Cliff
	if s, err := levels.NewSurface(points); err == nil {
		found = s.Cliffs(levels.Grade(p.CliffGrade))
	} else if line, err := levels.NewGroundLine(points); err == nil {
		found = line.Cliffs(levels.Grade(p.CliffGrade))
	}
	out := make([][2]int, 0, 3)
	for _, c := range found {
		if len(out) < 3 {
			out = append(out, [2]int{from[c.From], from[c.To]})
		}
	}
	return out
}

// checkGrade holds the grade against the shop's limits, and lists the packing.
func (d *designed) checkGrade(found *findings) {
	in, p, l, plan := d.inputs, d.practice, d.layout, d.plan
	g := plan.Ground
	t := &g.Track
	at := geom.Point{X: in.width + (l.stripEnd-in.width)/2, Y: t.Offset}
	steep := math.Abs(t.Grade)
	c := Check{Question: QuestionGradeWatch, Field: GroundLevelsTaken, Where: PartIDs(PartRunBackStrip), At: at, HasMargin: true, MarginOf: Grade}
	switch {
	case steep > p.GradeLimit:
		c.Question, c.Severity, c.Margin = QuestionGradeLimit, Stop, p.GradeLimit-steep
		c.What = say("The drive slopes {0} along the fence; a track steeper than {1} is not built.", percent(steep), percent(p.GradeLimit))
		c.Consequence = say("The leaf runs away by itself and cannot be held by hand. Another kind of gate suits this drive; what is drawn here only shows how the ground lies.")
	case steep > p.GradeWatch:
		c.Severity, c.Margin = Warning, p.GradeWatch-steep
		c.What = say("The track slopes {0} along the fence, all the way from the latch post to the end of the run-back.", percent(steep))
		c.Consequence = say("A leaf on a slope rolls by itself when the motor is released.")
	default:
		c.Severity, c.Margin = Sound, p.GradeWatch-steep
		c.What = say("The track has one straight grade of {0}, the drive's own, carried on unchanged into the run-back with the drive's cross-fall of {1}.", percent(t.Grade), percent(t.CrossFall))
	}
	if steep <= p.GradeLimit {
		found.quietly(QuestionGradeLimit, c.Field, p.GradeLimit-steep, Grade)
	}
	found.add(c)
	switch across := math.Abs(t.CrossFall); {
	case !t.CrossFallKnown:
	case across <= p.CrossFallSaid:
		found.quiet(QuestionGradeCrossFall, GroundLevelsTaken)
	default:
		found.add(Check{Question: QuestionGradeCrossFall, Severity: Sound, Field: GroundLevelsTaken, Where: PartIDs(PartRunBackStrip, PartPad), At: at,
			What: say("The drive slopes {0} between the road and the house. That alone changes little, as long as strip and pad's underside follow it; the pad's top stays level.", percent(across))})
	}
	worst := Packing{}
	n := 0
	for _, k := range g.Packing {
		if k.Treatment != string(levels.WithinTolerance) {
			n++
			if math.Abs(k.Height) > math.Abs(worst.Height) {
				worst = k
			}
		}
	}
	if len(g.Packing) == 0 {
		return
	}
	place := geom.Point{X: worst.Chainage, Y: t.Offset}
	switch {
	case n == 0:
		found.add(Check{Question: QuestionGradeEven, Severity: Sound, At: at, Where: PartIDs(PartRunBackStrip), HasMargin: true, Margin: p.LevelTolerance, MarginOf: Length,
			What: say("The drive lies within {0} of the track's grade at every level taken.", mm(p.LevelTolerance))})
	case !l.carries:
		found.add(Check{Question: QuestionGradeUneven, Severity: Warning, At: place, Where: PartIDs(PartDriveStrip), HasMargin: true, Margin: p.LevelTolerance - math.Abs(worst.Height), MarginOf: Length,
			What:        say("The new strip stands up to {0} off the drive as it is, most at chainage {1}.", mm(math.Abs(worst.Height)), mm(worst.Chainage)),
			Consequence: say("Work the surface beside the strip up or down to meet it.")})
	case worst.Height > 0:
		found.add(Check{Question: QuestionGradeUneven, Severity: Warning, At: place, HasMargin: true, Margin: p.LevelTolerance - worst.Height, MarginOf: Length,
			What:        say("The drive is uneven under the track at {0} places; the worst is a hollow at chainage {1}: pack {2}.", number(float64(n)), mm(worst.Chainage), mm(worst.Height)),
			Consequence: say("An unpacked track bends under every wheel until its fixings work loose.")})
	default:
		found.add(Check{Question: QuestionGradeUneven, Severity: Warning, At: place, HasMargin: true, Margin: p.LevelTolerance + worst.Height, MarginOf: Length,
			What:        say("The drive is uneven under the track at {0} places; the worst is a hump at chainage {1}: grind {2} off.", number(float64(n)), mm(worst.Chainage), mm(-worst.Height)),
			Consequence: say("Over a hump the leaf rocks on its wheels and the guide rail lifts out of its rollers.")})
	}
}

// checkSlab says what a slab that is there already does to the track. The
// second half has the drive's own grade or it is not built: levelling it so
// that the track climbs a step at the edge does not work, and is never proposed.
func (d *designed) checkSlab(found *findings) {
	p, plan := d.practice, d.plan
	g := plan.Ground
	if !g.Choices.Slab {
		return
	}
	s := g.Slab
	if s == nil {
		found.add(Check{Question: QuestionGradeSlab, Severity: Warning, Field: GroundSlab, Where: PartIDs(PartRunBackStrip),
			What: say("The slab in the run-back was not levelled: take one level at its near end and one at its far end.")})
		return
	}
	c := Check{Question: QuestionGradeSlab, Severity: Sound, Field: GroundSlab, Where: PartIDs(PartRunBackStrip), At: geom.Point{X: s.At, Y: g.Track.Offset}, HasMargin: true, Margin: p.LevelTolerance - math.Abs(s.Greatest), MarginOf: Length,
		What: say("The slab in the run-back lies within {0} of the track's grade.", mm(p.LevelTolerance))}
	if !s.Fits {
		c.Severity = Stop
		if s.Greatest > 0 {
			c.What = say("The slab in the run-back does not carry the drive's grade on: it stands up to {0} above it, most at chainage {1}; at its near end {2}.", mm(s.Greatest), mm(s.At), mm(s.AtEdge))
		} else {
			c.What = say("The slab in the run-back does not carry the drive's grade on: it lies up to {0} below it, most at chainage {1}; at its near end {2}.", mm(-s.Greatest), mm(s.At), mm(-s.AtEdge))
		}
		c.Consequence = say("The track would climb a step or bend at the edge of the drive, and that does not work: the second half must have the same slope as the drive in both directions. Take the slab out, or pack and grind it to the grade.")
	}
	found.add(c)
}
