package engine

import (
	"math"

	"pegpour/engine/geom"
	"pegpour/engine/levels"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// checkLevels looks at the readings, the track's grade and what follows from
// ground that is not level.
func (d *designed) checkLevels(found *findings) {
	in, l, made := d.Inputs, d.Layout, d.Plan
	g := made.Ground
	if g == nil {
		return
	}
	if g.Taken == survey.LevelsByStaff {
		d.checkBook(found)
	}
	if in.Hangs {
		d.checkDriveLevels(found)
		return
	}
	if !g.Known() {
		found.add(plan.Check{Question: plan.QuestionLevelsNone, Severity: plan.Stop, Field: survey.GroundLevelsTaken,
			Where: plan.PartIDs(plan.PartRunBackStrip), At: geom.Point{X: in.Width, Y: l.TrackOffset},
			What:        text.Say("There is no level on the drive: the grade of the track is not known, and the plan is drawn level."),
			Consequence: text.Say("A track that does not follow the drive climbs a step at its edge, and the leaf runs off it.")})
		return
	}
	found.quiet(plan.QuestionLevelsNone, survey.GroundLevelsTaken)
	d.checkReadings(found)
	d.checkGrade(found)
	d.checkSlab(found)
	if g.Pad != nil {
		d.checkPadLevel(found)
	}
	d.checkShape(found)
	d.checkBank(found)
}

// checkBook says whether the level book proves itself.
func (d *designed) checkBook(found *findings) {
	made := d.Plan
	b := made.Ground.Booking
	if b == nil {
		return
	}
	if b.StoppedAt <= 0 {
		found.quiet(plan.QuestionLevelsBroken, "")
	} else {
		found.add(plan.Check{Question: plan.QuestionLevelsBroken, Severity: plan.Stop,
			Field:       string(survey.BookFore.At(b.StoppedAt - 1)),
			What:        text.Say("No level is carried past row {0} of the book: the level was moved there and the readings on either side do not join.", text.Number(float64(b.StoppedAt))),
			Consequence: text.Say("The rows after it are left out. Read the staff on the change point from both places of the level.")})
	}
	if b.ArithmeticHolds {
		found.quiet(plan.QuestionLevelsArithmetic, survey.GroundLevelsTaken)
	} else {
		found.add(plan.Check{Question: plan.QuestionLevelsArithmetic, Severity: plan.Stop, Field: survey.GroundLevelsTaken,
			What: text.Say("The sums of the level book do not agree: backsights less foresights {0}, last level less first {1}.", text.MM(b.BackLessFore), text.MM(b.LastLessFirst))})
	}
	quiet := true
	for _, t := range b.Twice {
		if !t.Doubtful {
			continue
		}
		quiet = false
		found.add(plan.Check{Question: plan.QuestionLevelsTwice, Severity: plan.Warning,
			Field: string(survey.BookStation.At(t.Rows[1])),
			What: text.Say("{0} was read twice, in rows {1} and {2} of the book, and the levels are {3} apart: more than staff readings differ.",
				text.Word(text.TypedName(t.Station)), text.Number(float64(t.Rows[0]+1)), text.Number(float64(t.Rows[1]+1)), text.MM(math.Abs(t.Apart))),
			Consequence: text.Say("Both stand as they were read. Read it again, or give another point another name.")})
	}
	if b.NotCompared {
		quiet = false
		found.add(plan.Check{Question: plan.QuestionLevelsTwice, Severity: plan.Warning, Field: survey.GroundLevelsTaken,
			What: text.Say("Points of the level book were read twice, and whether the readings agree cannot be judged.")})
	}
	if quiet {
		found.quiet(plan.QuestionLevelsTwice, survey.GroundLevelsTaken)
	}
	if b.Closed {
		found.quiet(plan.QuestionLevelsOpen, survey.GroundLevelsClose)
	}
	switch {
	case !b.Closed:
		found.add(plan.Check{Question: plan.QuestionLevelsOpen, Severity: plan.Warning, Field: survey.GroundLevelsClose,
			What:        text.Say("The level book is not closed: its arithmetic holds, and nothing proves the readings."),
			Consequence: text.Say("Go back to where you began, or end on a point of known level.")})
	case !b.Within:
		found.add(plan.Check{Question: plan.QuestionLevelsClosure, Severity: plan.Stop, Field: survey.GroundLevelsClose,
			HasMargin: true, Margin: b.Allowance - math.Abs(b.Misclosure), MarginOf: text.Length,
			What: text.Counted(b.Setups, "The level book closes {1} off; {2} are allowed for one set-up. Nothing was shared out: level it again.",
				"The level book closes {1} off; {2} are allowed for {0} set-ups. Nothing was shared out: level it again.",
				text.MM(b.Misclosure), text.MM(b.Allowance)),
			Consequence: text.Say("One of the readings is wrong, and every level after it with it.")})
	case b.Unshared:
		found.add(plan.Check{Question: plan.QuestionLevelsClosure, Severity: plan.Warning, Field: survey.GroundLevelsClose,
			HasMargin: true, Margin: b.Allowance - math.Abs(b.Misclosure), MarginOf: text.Length,
			What: text.Say("The level book closes {0} off, {1} are allowed; it could not be shared out, and the levels stand as they were read.",
				text.MM(b.Misclosure), text.MM(b.Allowance))})
	default:
		found.add(plan.Check{Question: plan.QuestionLevelsClosure, Severity: plan.Sound, Field: survey.GroundLevelsClose,
			HasMargin: true, Margin: b.Allowance - math.Abs(b.Misclosure), MarginOf: text.Length,
			What: text.Counted(b.Setups, "The level book closes {1} off, {2} are allowed; it was shared out over one set-up.",
				"The level book closes {1} off, {2} are allowed; it was shared out over {0} set-ups.",
				text.MM(b.Misclosure), text.MM(b.Allowance))})
	}
}

// checkReadings says what the readings cannot give, and which of them to doubt.
func (d *designed) checkReadings(found *findings) {
	in, made := d.Inputs, d.Plan
	g := made.Ground
	t := &g.Track
	at := geom.Point{X: in.Width / 2, Y: t.Offset}
	if t.GradeKnown {
		found.quiet(plan.QuestionLevelsGrade, survey.GroundLevelsTaken)
	} else {
		what := text.Say("The fall of the drive along the track is not known: two levels on the track line, well apart, give it. Level is assumed.")
		if g.Untold.Grade > 0 {
			what = text.Say("The fall of the drive along the track cannot be told from these levels: it would be out by {0}. Level is assumed; take two levels on the track line at least {1} apart.", text.Percent(g.Untold.Grade), text.MM(g.Untold.Farther))
		}
		found.add(plan.Check{Question: plan.QuestionLevelsGrade, Severity: plan.Stop, Field: survey.GroundLevelsTaken,
			Where: plan.PartIDs(plan.PartRunBackStrip), At: at, What: what,
			Consequence: text.Say("The strip must have the same fall as the drive.")})
	}
	if t.CrossFallKnown {
		found.quiet(plan.QuestionLevelsCrossFall, survey.GroundLevelsTaken)
	} else {
		what := text.Say("The fall of the drive from the fence inwards is not known: a level further in gives it. None is assumed.")
		switch farther := text.MM(g.Untold.Farther); {
		case g.InLine >= 3:
			what = text.Say("All {0} levels on the drive lie in one line: they cannot say how it falls square to that line. None is assumed; one more level at least {1} from the line gives it.", text.Number(float64(g.InLine)), farther)
		case g.Untold.CrossFall > 0:
			what = text.Say("The levels on the drive lie too nearly in one line: the fall from the fence inwards cannot be told from them: it would be out by {0}. None is assumed; take one more level at least {1} from the line.", text.Percent(g.Untold.CrossFall), farther)
		}
		found.add(plan.Check{Question: plan.QuestionLevelsCrossFall, Severity: plan.Warning, Field: survey.GroundLevelsTaken,
			Where: plan.PartIDs(plan.PartRunBackStrip, plan.PartPad), At: at, What: what,
			Consequence: text.Say("The strip follows the drive both ways, and the level of the pad hangs on it: a drive that falls {0} stands {1} off at the back of the pad.",
				text.Percent(t.SigmaCrossFall), text.MM(t.SigmaCrossFall*max(0, d.Layout.PadOut-t.Offset)))})
	}
	if !t.OffLine {
		found.quiet(plan.QuestionLevelsOffLine, survey.GroundLevelsTaken)
	} else {
		found.add(plan.Check{Question: plan.QuestionLevelsOffLine, Severity: plan.Warning, Field: survey.GroundLevelsTaken,
			Where: plan.PartIDs(plan.PartRunBackStrip), At: at,
			What:        text.Say("There are fewer than two levels on the track line itself: the grade is that of the whole drive."),
			Consequence: text.Say("A drive that is dished or crowned along the fence gives the track another grade.")})
	}
	switch {
	case !t.GradeKnown || t.OffLine:
	case t.Fitted != 2:
		found.quiet(plan.QuestionLevelsUnchecked, survey.GroundLevelsTaken)
	default:
		found.add(plan.Check{Question: plan.QuestionLevelsUnchecked, Severity: plan.Warning, Field: survey.GroundLevelsTaken,
			Where: plan.PartIDs(plan.PartRunBackStrip), At: at,
			What:        text.Say("The grade of the track hangs on two levels and nothing checks them: take a third between."),
			Consequence: text.Say("A misread staff would show nowhere.")})
	}
	d.checkDoubtful(found, at, text.Say("One wrong level turns the grade of the whole track."))
}

// checkDoubtful names the readings that do not fit the others, and steps between
// them; then is what comes of a wrong one.
func (d *designed) checkDoubtful(found *findings, at geom.Point, then text.Text) {
	p, g := d.Practice, d.Plan.Ground
	var doubtful []text.Name
	field, where := "", at
	for i := range g.Readings {
		if q := &g.Readings[i]; q.Suspect {
			doubtful = append(doubtful, q.Name)
			field, where = q.Path, geom.Point{X: q.Chainage, Y: q.Offset}
		}
	}
	if len(doubtful) == 0 {
		found.quiet(plan.QuestionLevelsSuspect, "")
	} else {
		c := plan.Check{Question: plan.QuestionLevelsSuspect, Severity: plan.Warning, Field: field, At: where,
			What:        text.Say("The level at {0} does not fit the others: read it again.", text.Word(doubtful[0])),
			Consequence: then}
		if len(doubtful) > 1 {
			c.What = text.Say("One of the levels at {0} does not fit the others, and they cannot say which: read them again.",
				text.WordList(doubtful))
		}
		found.add(c)
	}
	cliffs := cliffs(g, p)
	if len(cliffs) == 0 {
		found.quiet(plan.QuestionLevelsCliff, "")
	}
	for _, c := range cliffs {
		a, b := &g.Readings[c[0]], &g.Readings[c[1]]
		found.add(plan.Check{Question: plan.QuestionLevelsCliff, Severity: plan.Warning, Field: b.Path,
			At: geom.Point{X: (a.Chainage + b.Chainage) / 2, Y: (a.Offset + b.Offset) / 2},
			What: text.Say("From {0} to {1} the ground steps by {2} over {3}: a wall or a kerb, or a misread level.",
				text.Word(a.Name), text.Word(b.Name), text.MM(math.Abs(b.Level-a.Level)),
				text.MM(math.Hypot(b.Chainage-a.Chainage, b.Offset-a.Offset))),
			Consequence: text.Say("The ground is taken to be straight from the one to the other. Take a level at the top and one at the foot of a step.")})
	}
}

// cliffs are the steps between neighbouring readings that are steeper than
// practice's limit, steepest first, at most three.
func cliffs(g *plan.Ground, p *practice.Practice) [][2]int {
	if g.Taken == survey.LevelsBySlopes {
		return nil
	}
	points, from := make([]levels.Point, 0, len(g.Readings)), make([]int, 0, len(g.Readings))
	for i := range g.Readings {
		if q := &g.Readings[i]; !q.OnSlab {
			points, from = append(points, levels.Point{Chainage: q.Chainage, Offset: q.Offset, Level: q.Level, Sigma: q.Sigma}),
				append(from, i)
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

// checkGrade says the track's grade, holds it against the steepest that the shop
// builds, and lists the packing. Whether the leaf runs away on it is for
// checkRunaway to say.
func (d *designed) checkGrade(found *findings) {
	in, p, l, made := d.Inputs, d.Practice, d.Layout, d.Plan
	g := made.Ground
	t := &g.Track
	at := geom.Point{X: in.Width + (l.StripEnd-in.Width)/2, Y: t.Offset}
	steep := math.Abs(t.Grade)
	c := plan.Check{Question: plan.QuestionGradeWatch, Field: survey.GroundLevelsTaken, Severity: plan.Sound,
		Where: plan.PartIDs(plan.PartRunBackStrip), At: at,
		What: text.Say("The track has one straight grade of {0}, the drive's own, carried on unchanged into the run-back with the drive's cross-fall of {1}.", text.Percent(t.Grade), text.Percent(t.CrossFall))}
	if !t.CrossFallKnown {
		c.What = text.Say("The track has one straight grade of {0}, the drive's own, carried on unchanged into the run-back. Its cross-fall is not known.", text.Percent(t.Grade))
	}
	if steep > p.GradeLimit {
		c.Question, c.Severity = plan.QuestionGradeLimit, plan.Stop
		c.HasMargin, c.Margin, c.MarginOf = true, p.GradeLimit-steep, text.Grade
		c.What = text.Say("The drive slopes {0} along the fence; a track steeper than {1} is not built.",
			text.Percent(steep), text.Percent(p.GradeLimit))
		c.Consequence = text.Say(
			"A leaf on such a track cannot be held by hand. Another kind of gate suits this drive; what is drawn here only shows how the ground lies.")
	} else {
		found.quietly(plan.QuestionGradeLimit, c.Field, p.GradeLimit-steep, text.Grade)
	}
	found.add(c)
	switch across := math.Abs(t.CrossFall); {
	case !t.CrossFallKnown:
	case across <= p.CrossFallSaid:
		found.quiet(plan.QuestionGradeCrossFall, survey.GroundLevelsTaken)
	default:
		found.add(plan.Check{Question: plan.QuestionGradeCrossFall, Severity: plan.Sound, Field: survey.GroundLevelsTaken,
			Where: plan.PartIDs(plan.PartRunBackStrip, plan.PartPad), At: at,
			What: text.Say("The drive slopes {0} between the road and the house. That alone changes little, as long as strip and pad's underside follow it; the pad's top stays level.", text.Percent(across))})
	}
	worst := plan.Packing{}
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
		found.add(plan.Check{Question: plan.QuestionGradeEven, Severity: plan.Sound, At: at,
			Where: plan.PartIDs(plan.PartRunBackStrip), HasMargin: true, Margin: p.LevelTolerance, MarginOf: text.Length,
			What: text.Say("The drive lies within {0} of the track's grade at every level taken.", text.MM(p.LevelTolerance))})
	case !l.Carries:
		found.add(plan.Check{Question: plan.QuestionGradeUneven, Severity: plan.Warning, At: place,
			Where: plan.PartIDs(plan.PartDriveStrip), HasMargin: true, Margin: p.LevelTolerance - math.Abs(worst.Height),
			MarginOf: text.Length,
			What: text.Say("The new strip stands up to {0} off the drive as it is, most at chainage {1}.",
				text.MM(math.Abs(worst.Height)), text.MM(worst.Chainage)),
			Consequence: text.Say("Work the surface beside the strip up or down to meet it.")})
	case worst.Height > 0:
		found.add(plan.Check{Question: plan.QuestionGradeUneven, Severity: plan.Warning, At: place, HasMargin: true,
			Margin: p.LevelTolerance - worst.Height, MarginOf: text.Length,
			What: text.Counted(n, "The drive is uneven under the track at one place, a hollow at chainage {1}: pack {2}.",
				"The drive is uneven under the track at {0} places; the worst is a hollow at chainage {1}: pack {2}.",
				text.MM(worst.Chainage), text.MM(worst.Height)),
			Consequence: text.Say("An unpacked track bends under every wheel until its fixings work loose.")})
	default:
		found.add(plan.Check{Question: plan.QuestionGradeUneven, Severity: plan.Warning, At: place, HasMargin: true,
			Margin: p.LevelTolerance + worst.Height, MarginOf: text.Length,
			What: text.Counted(n, "The drive is uneven under the track at one place, a hump at chainage {1}: grind {2} off.",
				"The drive is uneven under the track at {0} places; the worst is a hump at chainage {1}: grind {2} off.",
				text.MM(worst.Chainage), text.MM(-worst.Height)),
			Consequence: text.Say("Over a hump the leaf rocks on its wheels and the guide rail lifts out of its rollers.")})
	}
}

// checkSlab says what a slab that is there already does to the track. The
// second half has the drive's own grade or it is not built: levelling it so
// that the track climbs a step at the edge does not work, and is never proposed.
func (d *designed) checkSlab(found *findings) {
	p, made := d.Practice, d.Plan
	g := made.Ground
	if !g.Choices.Slab {
		return
	}
	s := g.Slab
	if s == nil {
		found.add(plan.Check{Question: plan.QuestionGradeSlab, Severity: plan.Warning, Field: survey.GroundSlab,
			Where: plan.PartIDs(plan.PartRunBackStrip),
			What:  text.Say("The slab in the run-back was not levelled: take one level at its near end and one at its far end.")})
		return
	}
	c := plan.Check{Question: plan.QuestionGradeSlab, Severity: plan.Sound, Field: survey.GroundSlab,
		Where: plan.PartIDs(plan.PartRunBackStrip), At: geom.Point{X: s.At, Y: g.Track.Offset}, HasMargin: true,
		Margin: p.LevelTolerance - math.Abs(s.Greatest), MarginOf: text.Length,
		What: text.Say("The slab in the run-back lies within {0} of the track's grade.", text.MM(p.LevelTolerance))}
	if !s.Fits {
		c.Severity = plan.Stop
		if s.Greatest > 0 {
			c.What = text.Say("The slab in the run-back does not carry the drive's grade on: it stands up to {0} above it, most at chainage {1}; at its near end {2}.", text.MM(s.Greatest), text.MM(s.At), text.MM(s.AtEdge))
		} else {
			c.What = text.Say("The slab in the run-back does not carry the drive's grade on: it lies up to {0} below it, most at chainage {1}; at its near end {2}.", text.MM(-s.Greatest), text.MM(s.At), text.MM(-s.AtEdge))
		}
		c.Consequence = text.Say(
			"The track would climb a step or bend at the edge of the drive, and that does not work: the second half must have the same slope as the drive in both directions. Take the slab out, or pack and grind it to the grade.")
	}
	found.add(c)
}
