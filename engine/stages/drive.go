package stages

import (
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// DriveTreatment says how the strip that vehicles cross is made.
type DriveTreatment struct {
	Strip       bool
	Depth, top  float64
	crown       float64
	mesh, tint  bool
	SawCut      bool
	liftsPavers bool
	How         text.Text
}

// ChooseDriveTreatment says how the drive comes to carry the track.
func ChooseDriveTreatment(in *Inputs, p *practice.Practice, l *Placement) DriveTreatment {
	if in.Hangs {
		return DriveTreatment{How: text.Say("The drive stays as it is: the leaf hangs free over it, and nothing is poured or fixed there.")}
	}
	if l.Carries {
		if in.Surface == survey.SurfacePavers {
			return DriveTreatment{How: text.Say("The pavers are glued to concrete: the track is fixed straight to them.")}
		}
		return DriveTreatment{How: text.Say("The sound concrete carries the track: nothing is poured in the drive.")}
	}
	t := DriveTreatment{Strip: true, Depth: p.DriveStripDepth, mesh: true}
	switch in.Surface {
	case survey.SurfaceConcrete:
		t.SawCut = true
		t.How = text.Say("The concrete is not sound: cut a strip {0} wide out and pour it {1} deep with trench mesh.",
			text.MM(l.DriveWidth), text.MM(t.Depth))
	case survey.SurfacePavers:
		t.liftsPavers = true
		if in.paverMethod == survey.PaverOver {
			t.top = in.paverThickness + p.PaverBedding
			t.How = text.Say("Lift a strip of pavers {0} wide, pour {1} of concrete with trench mesh with its top {2} down, and glue the pavers back on top.", text.MM(l.DriveWidth), text.MM(t.Depth), text.MM(t.top))
		} else {
			t.tint = true
			t.How = text.Say("Lift a strip of pavers {0} wide and pour {1} of concrete with trench mesh, tinted to match.",
				text.MM(l.DriveWidth), text.MM(t.Depth))
		}
	case survey.SurfaceBitumen:
		t.SawCut, t.tint = true, true
		t.How = text.Say("Cut a strip of bitumen {0} wide out and pour {1} of concrete with trench mesh, tinted to match.",
			text.MM(l.DriveWidth), text.MM(t.Depth))
	case survey.SurfaceGravel:
		t.crown = p.CrownRise
		t.How = text.Say("Pour a strip {0} wide and {1} deep with trench mesh, crowned {2} in the middle so that stones stay off the track.", text.MM(l.DriveWidth), text.MM(t.Depth), text.MM(t.crown))
	default:
		t.How = text.Say("Pour a strip {0} wide and {1} deep with trench mesh.", text.MM(l.DriveWidth), text.MM(t.Depth))
	}
	return t
}
