package engine

// driveTreatment says how the strip that vehicles cross is made.
type driveTreatment struct {
	strip       bool
	depth, top  float64
	crown       float64
	mesh, tint  bool
	sawCut      bool
	liftsPavers bool
	how         Text
}

// chooseDriveTreatment says how the drive comes to carry the track.
func chooseDriveTreatment(in *inputs, p *Practice, l *placement) driveTreatment {
	if l.carries {
		if in.surface == SurfacePavers {
			return driveTreatment{how: say("The pavers are glued to concrete: the track is fixed straight to them.")}
		}
		return driveTreatment{how: say("The sound concrete carries the track: nothing is poured in the drive.")}
	}
	t := driveTreatment{strip: true, depth: p.DriveStripDepth, mesh: true}
	switch in.surface {
	case SurfaceConcrete:
		t.sawCut = true
		t.how = say("The concrete is not sound: cut a strip {0} wide out and pour it {1} deep with trench mesh.", mm(l.driveWidth), mm(t.depth))
	case SurfacePavers:
		t.liftsPavers = true
		if in.paverMethod == PaverOver {
			t.top = in.paverThickness + p.PaverBedding
			t.how = say("Lift a strip of pavers {0} wide, pour {1} of concrete with trench mesh with its top {2} down, and glue the pavers back on top.", mm(l.driveWidth), mm(t.depth), mm(t.top))
		} else {
			t.tint = true
			t.how = say("Lift a strip of pavers {0} wide and pour {1} of concrete with trench mesh, tinted to match.", mm(l.driveWidth), mm(t.depth))
		}
	case SurfaceBitumen:
		t.sawCut, t.tint = true, true
		t.how = say("Cut a strip of bitumen {0} wide out and pour {1} of concrete with trench mesh, tinted to match.", mm(l.driveWidth), mm(t.depth))
	case SurfaceGravel:
		t.crown = p.CrownRise
		t.how = say("Pour a strip {0} wide and {1} deep with trench mesh, crowned {2} in the middle so that stones stay off the track.", mm(l.driveWidth), mm(t.depth), mm(t.crown))
	default:
		t.how = say("Pour a strip {0} wide and {1} deep with trench mesh.", mm(l.driveWidth), mm(t.depth))
	}
	return t
}
