package engine

import (
	"pegpour/engine/geom"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// layConduits lays what is cast in before the pour.
func layConduits(in *inputs, p *practice.Practice, l *placement) []plan.Conduit {
	if !l.hasMotor {
		return nil
	}
	var conduits []plan.Conduit
	run := func(what text.Name, from geom.Point) {
		// Straight out through the back of the pad, half way down in it: never
		// towards the leaf.
		cover := l.footDepth / 2
		out := geom.Point{X: from.X, Y: l.padOut + p.ConduitBeyond}
		conduits = append(conduits,
			plan.Conduit{For: what, Line: []geom.Point{from, out}, Length: out.Y - from.Y + p.ConduitUpstand + cover})
	}
	middle, aside := l.motor.Middle(), p.ConduitAside*p.MotorLength
	switch {
	case in.motor == survey.MotorWired:
		run("power to the motor", geom.Point{X: middle.X - aside, Y: middle.Y})
	case l.hasOutlet:
		run("power to the outlet post", l.outlet.Middle())
	case in.outlet == survey.OutletGuidePost:
		run("power to the guide post", l.guide.Middle())
	}
	if in.cables {
		run("other cables to the motor", geom.Point{X: middle.X + aside, Y: middle.Y})
	}
	return conduits
}
