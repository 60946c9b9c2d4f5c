package stages

import (
	"pegpour/engine/geom"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// LayConduits lays what is cast in before the pour.
func LayConduits(in *Inputs, p *practice.Practice, l *Placement) []plan.Conduit {
	if !l.HasMotor {
		return nil
	}
	var conduits []plan.Conduit
	run := func(what text.Name, from geom.Point) {
		// Straight out through the back of the pad, half way down in it: never
		// towards the leaf.
		cover := l.FootDepth / 2
		out := geom.Point{X: from.X, Y: l.PadOut + p.ConduitBeyond}
		conduits = append(conduits,
			plan.Conduit{For: what, Line: []geom.Point{from, out}, Length: out.Y - from.Y + p.ConduitUpstand + cover})
	}
	middle, aside := l.Motor.Middle(), p.ConduitAside*p.MotorLength
	switch {
	case in.Motor == survey.MotorWired:
		run("power to the motor", geom.Point{X: middle.X - aside, Y: middle.Y})
	case l.hasOutlet:
		run("power to the outlet post", l.Outlet.Middle())
	case in.Outlet == survey.OutletGuidePost:
		run("power to the guide post", l.Guide.Middle())
	}
	if in.cables {
		run("other cables to the motor", geom.Point{X: middle.X + aside, Y: middle.Y})
	}
	return conduits
}
