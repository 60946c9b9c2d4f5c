package drawing

import (
	"cmp"
	"math"

	"pegpour/engine/draw"
	"pegpour/engine/plan"
	"pegpour/engine/sorting"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// StringScene draws the places under a string line as they are typed: the string from
// post to post, each drop at its place, and the ground from place to place of one
// offset. Drops are drawn larger than lengths along the fence.
func StringScene(p *plan.Plan, drops []survey.StringDrop, o SceneOptions) *draw.Scene {
	s := &draw.Scene{Title: o.words("Places under the string line")}
	type place struct {
		at  draw.Point
		out float64
	}
	var ground []place
	left, right, deepest := 0.0, p.Opening, 1.0
	for i := range drops {
		if d := &drops[i]; d.Along.Known() {
			left, right = math.Min(left, d.Along.Size), math.Max(right, d.Along.Size)
			deepest = math.Max(deepest, math.Abs(d.Down.Size))
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
		ground = append(ground, place{to, d.Offset.Size})
		if math.Abs(to.Y) > 1 {
			s.Add(draw.Dimension{Tag: t, From: from, To: to, Direction: draw.Vertical, Side: draw.Right,
				Text: o.figure(text.MM(d.Down.Size))})
		}
	}
	sorting.Stable(ground, func(a, b place) int { return cmp.Or(cmp.Compare(a.out, b.out), cmp.Compare(a.at.X, b.at.X)) })
	for i := 1; i < len(ground); i++ {
		if a, b := ground[i-1], ground[i]; a.out == b.out {
			s.Add(draw.Line{Tag: tag("ground", draw.RoleGround), From: a.at, To: b.at})
		}
	}
	return s
}
