package engine

import (
	"pegpour/engine/geom"
	"pegpour/engine/plan"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// checkGatePosts says whether the gate posts take what the leaf asks of them in
// the wind. What could not be judged stands among what strength refused.
func (d *designed) checkGatePosts(found *findings, engineer text.Text) {
	s, in := d.Plan.Strength, d.Inputs
	look := func(post *plan.GatePost, q plan.Question, at geom.Point, sound, over string) {
		if post == nil || post.Use == 0 {
			return
		}
		c := plan.Check{Question: q, Severity: plan.Sound, Field: survey.OpeningPostMade, Where: []string{}, At: at,
			HasMargin: true, Margin: 1 - post.Use, MarginOf: text.Use, Consequence: engineer,
			What: text.Say(sound, text.Used(post.Use), text.Newtons(post.Force), text.Pascals(s.Guide.Pressure))}
		if post.Use > 1 {
			c.Severity = plan.Warning
			c.What = text.Say(over, text.Used(post.Use), text.Newtons(post.Force), text.Pascals(s.Guide.Pressure))
			if post.Use > d.Practice.SteelSafety {
				c.Severity = plan.Stop
				c.Consequence = text.Say("It breaks or bends over in such a wind, and the leaf falls.")
			}
		}
		found.add(c)
	}
	look(s.RunBackPost, plan.QuestionStrengthRunBackPost, geom.Point{X: in.Width + in.PostRunBack/2, Y: -in.PostDepth / 2},
		"The section of the run-back post takes {0} of what it may under the rollers' {1} in wind of {2}. Its footing cannot be seen: shake it.",
		"The run-back post is asked for {0} of what its section may take under the rollers' {1} in wind of {2}: set a guide post.")
	look(s.LatchPost, plan.QuestionStrengthLatchPost, geom.Point{X: -in.PostLatch / 2, Y: -in.PostDepth / 2},
		"The section of the latch post takes {0} of what it may under the catch's {1} in wind of {2}. Its footing cannot be seen: shake it.",
		"The latch post is asked for {0} of what its section may take under the catch's {1} in wind of {2}: a post of its own carries the catch.")
}
