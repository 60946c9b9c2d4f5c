package drawing

import (
	"math"
	"strconv"

	"pegpour/engine/draw"
	"pegpour/engine/geom"
	"pegpour/engine/plan"
	"pegpour/engine/text"
)

// longSection is a cut along the track line: chainage to the right, level up,
// heights drawn larger by a whole number.
type longSection struct {
	p        *plan.Plan
	o        *SceneOptions
	s        *draw.Scene
	base     float64 // level drawn at 0
	times    float64
	from, to float64 // chainages
	ground   []draw.Point
	guess    []draw.Point // where nothing was read
}

// SectionScene draws the long section along the track line: the ground as it
// is, the track's grade carried on, strip and pad, what is cut away, the wall,
// and levels by chainage. It is nil on level ground, and where no level is known.
func SectionScene(p *plan.Plan, o SceneOptions) *draw.Scene {
	g := p.Ground
	if !g.Known() || g.Model == nil {
		return nil
	}
	l := &longSection{p: p, o: &o, s: &draw.Scene{}}
	l.measure()
	title := text.Say("Section along the track, heights {0} times", text.Number(l.times))
	if l.times == 1 {
		title = text.Say("Section along the track")
	}
	if p.HangsFree() {
		title = text.Say("Section along the leaf, heights {0} times", text.Number(l.times))
	}
	l.s.Title = o.label(title)
	l.s.Desc = l.description()
	l.drawGround()
	l.drawConcrete()
	l.drawWall()
	if h := p.Leaf.Hanging; h != nil {
		l.hangingLine(h)
		l.drawReadings()
	} else {
		l.drawGrade()
		l.drawLevels()
		l.drawReadings()
	}
	l.s.Add(draw.ScaleBar{Tag: draw.Tag{ID: "scale", Role: draw.RoleNote}, Feet: o.Feet})
	return l.s
}

// at puts a chainage and a level on the drawing.
func (l *longSection) at(x, level float64) draw.Point {
	return draw.Pt(x, (level-l.base)*l.times)
}

// measure finds how far the section goes and how much heights are stretched.
func (l *longSection) measure() {
	g := l.p.Ground
	low, high := boundsOfParts(l.p)
	l.from, l.to = min(-300, low.X-300), high.X+300
	if r := g.Rising; r != nil {
		l.to = max(l.to, r.End+r.Thickness+600)
	}
	least, most := math.Inf(1), math.Inf(-1)
	include := func(z float64) { least, most = min(least, z), max(most, z) }
	y := g.Track.Offset
	line := g.Model.Along(l.from, y, l.to, y)
	for _, c := range line {
		include(c.Level + g.Model.Trend.At(l.from+c.Distance, y))
	}
	include(g.TrackLevel(l.from) - 200)
	include(g.TrackLevel(l.to) - 200)
	if h := l.p.Leaf.Hanging; h != nil {
		include(h.Level)
		for o := range l.p.Parts(plan.PartPad) {
			include(h.BlockTop - o.Deep())
		}
	}
	l.base, l.times = least, 10
	for _, times := range [...]float64{10, 5, 4, 3, 2, 1} {
		l.times = times
		if !l.o.TrueSize && (most-least)*times <= (l.to-l.from)*0.3 {
			break
		}
	}
	// Straight between breaks; from where nothing was read on it is a guess.
	for i, c := range line {
		x := l.from + c.Distance
		z, beyond := g.GroundLevel(x, y)
		q := l.at(x, z)
		if beyond && x > l.p.Opening {
			if len(l.guess) == 0 && i > 0 {
				l.guess = append(l.guess, l.ground[len(l.ground)-1])
			}
			l.guess = append(l.guess, q)
			continue
		}
		l.ground = append(l.ground, q)
	}
}

func (l *longSection) drawGround() {
	ground := draw.Tag{ID: "ground", Layer: LayerGround, Role: draw.RoleExisting}
	if len(l.ground) > 1 {
		l.s.Add(draw.Polyline{Tag: ground, Points: l.ground})
	}
	if len(l.guess) > 1 {
		ground.ID, ground.Voice = "ground.guess", draw.VoiceAssumed
		l.s.Add(draw.Polyline{Tag: ground, Points: l.guess})
	}
	g := l.p.Ground
	if r := g.Rising; r != nil && r.Highest >= 1 {
		y := g.Track.Offset
		start, end := edgeOnTrack(l.p), r.End
		ring := draw.Ring{}
		for _, c := range g.Model.Along(start, y, end, y) {
			z := c.Level + g.Model.Trend.At(start+c.Distance, y)
			ring = append(ring, l.at(start+c.Distance, max(z, g.TrackLevel(start+c.Distance))))
		}
		ring = append(ring, l.at(end, g.TrackLevel(end)), l.at(start, g.TrackLevel(start)))
		l.s.Add(draw.Region{Tag: draw.Tag{ID: "cut", Layer: LayerGround, Role: draw.RoleHidden}, Outer: ring,
			Hatch: draw.HatchEarth})
		l.s.Add(draw.Dimension{Tag: draw.Tag{ID: "dim.wall.held", Layer: LayerSizes, Role: draw.RoleNote,
			Voice: draw.VoiceWorkedOut}, Direction: draw.Vertical, Side: draw.Right,
			From: l.at(r.End+r.Thickness, g.TrackLevel(r.End)), To: l.at(r.End+r.Thickness, g.TrackLevel(r.End)+endHeld(r)),
			Text: l.o.figure(text.MM(endHeld(r)))})
	}
}

// edgeOnTrack is the chainage of the drive's edge on the track line.
func edgeOnTrack(p *plan.Plan) float64 {
	x, _ := edgeAlong(p.Site.RunBackEdge, p.Ground.Track.Offset)
	return x
}

// edgeAlong finds where a line of points meets an offset.
func edgeAlong(line []geom.Point, y float64) (float64, bool) {
	for i := 1; i < len(line); i++ {
		a, b := line[i-1], line[i]
		if a.Y <= y && y <= b.Y && b.Y > a.Y {
			return a.X + (y-a.Y)*(b.X-a.X)/(b.Y-a.Y), true
		}
	}
	if len(line) > 0 {
		return line[0].X, false
	}
	return 0, false
}

// endHeld is what the end wall holds back on the track line.
func endHeld(r *plan.Rising) float64 {
	if len(r.EndWall) == 0 {
		return 0
	}
	return r.EndWall[0].Held
}

func (l *longSection) drawConcrete() {
	g := l.p.Ground
	for i := range l.p.Outlines {
		u := &l.p.Outlines[i]
		low, high := u.Ring.Bounds()
		t := draw.Tag{ID: u.ID, Layer: LayerConcrete, Role: draw.RoleCut}
		switch u.Kind {
		case plan.PartRunBackStrip, plan.PartDriveStrip, plan.PartLatchStrip:
			top, bottom := max(0, u.Top), u.Depth
			l.s.Add(draw.Region{Tag: t, Outer: draw.Ring{
				l.at(low.X, g.TrackLevel(low.X)-bottom), l.at(high.X, g.TrackLevel(high.X)-bottom),
				l.at(high.X, g.TrackLevel(high.X)-top), l.at(low.X, g.TrackLevel(low.X)-top)}, Hatch: draw.HatchConcrete})
		case plan.PartPad:
			if g.Pad == nil || !g.Pad.HasLevel {
				continue
			}
			t.Role = draw.RoleHidden // it lies behind the strip
			if l.p.HangsFree() {
				t.Role = draw.RoleCut
				l.s.Add(draw.Region{Tag: t, Outer: draw.Ring{l.at(low.X, g.Pad.Level-u.Deep()), l.at(high.X, g.Pad.Level-u.Deep()),
					l.at(high.X, g.Pad.Level), l.at(low.X, g.Pad.Level)}, Hatch: draw.HatchConcrete})
				continue
			}
			l.s.Add(draw.Region{Tag: t, Outer: draw.Ring{
				l.at(low.X, g.TrackLevel(low.X)-u.Depth), l.at(high.X, g.TrackLevel(high.X)-u.Depth),
				l.at(high.X, g.Pad.Level), l.at(low.X, g.Pad.Level)}, Hatch: draw.HatchNone})
		}
	}
}

// drawGrade draws the grade, from the latch post to the end of the strip, and what is
// packed under it.
func (l *longSection) drawGrade() {
	g := l.p.Ground
	end := figureValue(l.p, plan.FigureStripEnd)
	l.s.Add(draw.Line{Tag: draw.Tag{ID: "track.grade", Layer: LayerGate, Role: draw.RoleCentre},
		From: l.at(0, g.TrackLevel(0)), To: l.at(end, g.TrackLevel(end))})
	near := l.p.Opening / 5 // off the middle, where the opening's figure stands
	l.s.Add(draw.Leader{Tag: draw.Tag{ID: "track.grade.text", Layer: LayerSizes, Role: draw.RoleNote},
		At: l.at(near, g.TrackLevel(near)), Side: draw.Below, Text: l.o.figure(text.Percent(g.Track.Grade))})
	low := (g.TrackLevel(l.p.Opening) - 250 - l.base) * l.times
	size := func(id string, from, to float64) {
		l.s.Add(draw.Dimension{Tag: draw.Tag{ID: id, Layer: LayerSizes, Role: draw.RoleNote, Voice: draw.VoiceWorkedOut},
			Direction: draw.Horizontal, Side: draw.Below,
			From: draw.Pt(from, low), To: draw.Pt(to, low), Text: l.o.figure(text.MM(to - from))})
	}
	size("dim.opening", 0, l.p.Opening)
	size("dim.strip.length", l.p.Opening, end)
	for i := range g.Packing {
		k := &g.Packing[i]
		if k.Treatment == "within tolerance" {
			continue
		}
		word := text.Say("pack {0}", text.MM(k.Height))
		if k.Height < 0 {
			word = text.Say("grind {0}", text.MM(-k.Height))
		}
		l.s.Add(draw.Leader{Tag: draw.Tag{ID: "packing." + strconv.Itoa(i), Layer: LayerSizes, Role: draw.RoleNote},
			At: l.at(k.Chainage, g.TrackLevel(k.Chainage)), Side: draw.Above, Text: l.o.label(word)})
	}
}

// drawWall draws the top of the side wall beyond the track, and the end wall cut.
func (l *longSection) drawWall() {
	r := l.p.Ground.Rising
	if r == nil || r.Highest < 1 {
		return
	}
	var top []draw.Point
	for i := range r.Wall {
		top = append(top, l.at(r.Wall[i].Chainage, r.Wall[i].Top))
	}
	t := draw.Tag{ID: "wall", Layer: LayerGround, Role: draw.RoleOutline}
	if len(top) > 1 {
		l.s.Add(draw.Polyline{Tag: t, Points: top})
	}
	if len(r.EndWall) == 0 {
		return
	}
	e := &r.EndWall[0]
	foot := e.Strip - 200
	t.Role = draw.RoleCut
	l.s.Add(draw.Region{Tag: t,
		Outer: draw.Ring{l.at(r.End, foot), l.at(r.End+r.Thickness, foot), l.at(r.End+r.Thickness, e.Top),
			l.at(r.End, e.Top)}, Hatch: draw.HatchConcrete})
}

// drawLevels marks the level of the strip at its ends and at the posts, and the
// level of the pad.
func (l *longSection) drawLevels() {
	g := l.p.Ground
	mark := func(id string, x, level float64, v draw.Voice) {
		l.s.Add(draw.LevelMark{Tag: draw.Tag{ID: "level." + id, Layer: LayerSizes, Role: draw.RoleNote, Voice: v},
			At: l.at(x, level), Text: l.o.figure(text.MM(level))})
	}
	mark("latch", 0, g.TrackLevel(0), draw.VoiceWorkedOut)
	mark("runBack", l.p.Opening, g.TrackLevel(l.p.Opening), draw.VoiceWorkedOut)
	end := figureValue(l.p, plan.FigureStripEnd)
	mark("end", end, g.TrackLevel(end), draw.VoiceWorkedOut)
	if g.Pad != nil && g.Pad.HasLevel {
		for o := range l.p.Parts(plan.PartPad) {
			_, high := o.Ring.Bounds()
			mark("pad", high.X, g.Pad.Level, draw.VoiceWorkedOut)
		}
	}
}

// drawReadings marks the levels that were read beside the drive on the track line.
func (l *longSection) drawReadings() {
	g := l.p.Ground
	mark := func(id string, x, level float64, v draw.Voice) {
		l.s.Add(draw.LevelMark{Tag: draw.Tag{ID: "level." + id, Layer: LayerSizes, Role: draw.RoleNote, Voice: v},
			At: l.at(x, level), Text: l.o.figure(text.MM(level))})
	}
	for i := range g.Readings {
		q := &g.Readings[i]
		if q.OnDrive || q.OnSlab || math.Abs(q.Offset-g.Track.Offset) > plan.HoldReach/2 {
			continue
		}
		mark("reading."+strconv.Itoa(i), q.Chainage, q.Level, draw.VoiceMeasured)
	}
}

// description is the section for those who cannot see it.
func (l *longSection) description() string {
	g := l.p.Ground
	end := figureValue(l.p, plan.FigureStripEnd)
	if h := l.p.Leaf.Hanging; h != nil {
		return l.o.sentences([]text.Text{text.Say("The leaf's underside lies level at {0}, the block under its carriages at {1}. Under the shut leaf the gap is up to {2}, at chainage {3}.",
			text.MM(h.Level), text.MM(h.BlockTop), text.MM(h.Widest.Gap), text.MM(h.Widest.Chainage))})
	}
	all := []text.Text{text.Say("The strip runs from {0} at the latch post to {1} at its end, one straight grade of {2}.",
		text.MM(g.TrackLevel(0)), text.MM(g.TrackLevel(end)), text.Percent(g.Track.Grade))}
	if r := g.Rising; r != nil && r.Highest >= 1 {
		all = append(all, text.Say("The ground stands up to {0} above it and is cut away.", text.MM(r.Highest)))
	}
	return l.o.sentences(all)
}
