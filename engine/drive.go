package engine

import (
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// driveTreatment says how the strip that vehicles cross is made.
type driveTreatment struct {
	strip       bool
	depth, top  float64
	crown       float64
	mesh, tint  bool
	sawCut      bool
	liftsPavers bool
	how         text.Text
}

// chooseDriveTreatment says how the drive comes to carry the track.
func chooseDriveTreatment(in *inputs, p *practice.Practice, l *placement) driveTreatment {
	if l.carries {
		if in.surface == survey.SurfacePavers {
			return driveTreatment{how: text.Say("The pavers are glued to concrete: the track is fixed straight to them.")}
		}
		return driveTreatment{how: text.Say("The sound concrete carries the track: nothing is poured in the drive.")}
	}
	t := driveTreatment{strip: true, depth: p.DriveStripDepth, mesh: true}
	switch in.surface {
	case survey.SurfaceConcrete:
		t.sawCut = true
		t.how = text.Say("The concrete is not sound: cut a strip {0} wide out and pour it {1} deep with trench mesh.",
			text.MM(l.driveWidth), text.MM(t.depth))
	case survey.SurfacePavers:
		t.liftsPavers = true
		if in.paverMethod == survey.PaverOver {
			t.top = in.paverThickness + p.PaverBedding
			t.how = text.Say("Lift a strip of pavers {0} wide, pour {1} of concrete with trench mesh with its top {2} down, and glue the pavers back on top.", text.MM(l.driveWidth), text.MM(t.depth), text.MM(t.top))
		} else {
			t.tint = true
			t.how = text.Say("Lift a strip of pavers {0} wide and pour {1} of concrete with trench mesh, tinted to match.",
				text.MM(l.driveWidth), text.MM(t.depth))
		}
	case survey.SurfaceBitumen:
		t.sawCut, t.tint = true, true
		t.how = text.Say("Cut a strip of bitumen {0} wide out and pour {1} of concrete with trench mesh, tinted to match.",
			text.MM(l.driveWidth), text.MM(t.depth))
	case survey.SurfaceGravel:
		t.crown = p.CrownRise
		t.how = text.Say("Pour a strip {0} wide and {1} deep with trench mesh, crowned {2} in the middle so that stones stay off the track.", text.MM(l.driveWidth), text.MM(t.depth), text.MM(t.crown))
	default:
		t.how = text.Say("Pour a strip {0} wide and {1} deep with trench mesh.", text.MM(l.driveWidth), text.MM(t.depth))
	}
	return t
}
