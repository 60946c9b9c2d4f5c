package drawing

import (
	"math"
	"strings"

	"pegpour/engine/draw"
	"pegpour/engine/plan"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// StringScene draws the places under a string line as they are typed: the string from
// post to post, each drop at its place, and the ground from place to place of one
// offset. Drops are drawn larger than lengths along the fence.
func StringScene(p *plan.Plan, drops []survey.StringDrop, o SceneOptions) *draw.Scene {
	s := &draw.Scene{Title: o.words("Places under the string line")}
	left, right, deepest := 0.0, p.Opening, 1.0
	for i := range drops {
		if d := &drops[i]; d.Along.Known() {
			left, right = min(left, d.Along.Size), max(right, d.Along.Size)
			deepest = max(deepest, math.Abs(d.Down.Size))
		}
	}
	times := (right - left) / 4 / deepest
	tag := func(id string, role draw.Role) draw.Tag { return draw.Tag{ID: id, Layer: LayerSizes, Role: role} }
	s.Add(draw.Line{Tag: tag("string", draw.RoleCentre), From: draw.Pt(left-100, 0), To: draw.Pt(right+100, 0)})
	for _, x := range []float64{0, p.Opening} {
		s.Add(draw.Line{Tag: tag("post", draw.RoleOutline), From: draw.Pt(x, (right-left)/12), To: draw.Pt(x, (left-right)/4)})
	}
	for i := range drops {
		d := &drops[i]
		if !d.Along.Known() {
			continue
		}
		from, path := draw.Pt(d.Along.Size, 0), string(survey.DropDown.At(i))
		to := draw.Pt(from.X, -d.Down.Size*times)
		t := tag("dim."+path, draw.RoleNote)
		t.Field, t.Voice = path, draw.VoiceMeasured
		if !d.Down.Known() {
			t.Voice = draw.VoicePlain
			s.Add(draw.Leader{Tag: t, At: from, Side: draw.Below, Text: "?"})
			continue
		}
		// The ground goes on to the next place of this offset.
		var next *survey.StringDrop
		for j := range drops {
			e := &drops[j]
			if e.Along.Known() && e.Down.Known() && e.Offset.Size == d.Offset.Size && e.Along.Size > d.Along.Size &&
				(next == nil || e.Along.Size < next.Along.Size) {
				next = e
			}
		}
		if next != nil {
			s.Add(draw.Line{Tag: tag("ground", draw.RoleGround), From: to, To: draw.Pt(next.Along.Size, -next.Down.Size*times)})
		}
		asked := strings.HasPrefix(o.Tape, strings.TrimSuffix(path, "down"))
		switch {
		case math.Abs(to.Y) <= 1:
		case asked || !strings.HasPrefix(o.Tape, survey.GroundLevelsDrops+"."):
			s.Add(draw.Dimension{Tag: t, From: from, To: to, Direction: draw.Vertical, Side: draw.Right, Placing: draw.Through,
				Text: o.figure(text.MM(d.Down.Size))})
		default: // the figures of the others would hide the one in question
			s.Add(draw.Line{Tag: t, From: from, To: to})
		}
	}
	return s
}
