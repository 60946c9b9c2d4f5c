package draw

import "strings"

var roleNames = [roleCount]string{
	RoleOutline: "outline", RoleCut: "cut", RoleThin: "thin", RoleHidden: "hidden", RoleCentre: "centre",
	RoleExisting: "existing", RoleBoundary: "boundary", RoleGround: "ground", RoleObstruction: "obstruction",
	RoleGate: "gate", RoleMotion: "motion", RoleSteel: "steel", RoleWater: "water", RoleNote: "note",
	RoleGrid: "grid", RoleTape: "tape",
}

var voiceNames = [voiceCount]string{
	VoicePlain: "plain", VoiceMeasured: "measured", VoiceAssumed: "assumed", VoiceWorkedOut: "worked",
}

var hatchNames = [hatchCount]string{
	HatchNone: "none", HatchPaper: "paper", HatchConcrete: "concrete", HatchEarth: "earth", HatchGravel: "gravel",
	HatchSteel: "steel", HatchWater: "water", HatchPavers: "pavers", HatchBitumen: "bitumen", HatchTint: "tint",
}

var partClasses = [partCount]string{
	PartEdge: "d-e", PartFill: "d-f", PartDimension: "d-d", PartExtension: "d-x", PartTerminator: "d-t",
	PartLeader: "d-l", PartTape: "d-p", PartSymbol: "d-s", PartText: "d-w",
}

// String is the plain word used in class names.
func (r Role) String() string {
	if r < roleCount {
		return roleNames[r]
	}
	return "unknown"
}

// String is the plain word used in class names.
func (v Voice) String() string {
	if v < voiceCount {
		return voiceNames[v]
	}
	return "unknown"
}

// Weight is the line weight of the role on paper in mm, of the ISO 128 series
// 0.25, 0.5, 0.7 (memory); on screen it is 1, 1.8 or 2.6 px.
func (r Role) Weight() float64 {
	switch r {
	case RoleCut, RoleGate:
		return 0.7
	case RoleOutline, RoleExisting, RoleGround, RoleObstruction, RoleSteel, RoleTape:
		return 0.5
	}
	return 0.25
}

// Dash is the dash pattern of the role in multiples of the line weight, dash
// and gap in turn; nil for a solid line.
func (r Role) Dash() []float64 {
	switch r {
	case RoleHidden:
		return hiddenDash[:]
	case RoleObstruction:
		return obstructionDash[:]
	case RoleCentre:
		return centreDash[:]
	case RoleBoundary, RoleMotion:
		return boundaryDash[:]
	}
	return nil
}

// DashAssumed is the dash pattern of an assumed figure's lines, in multiples
// of the line weight.
func DashAssumed() []float64 { return assumedDash[:] }

var (
	hiddenDash      = [...]float64{8, 4}
	obstructionDash = [...]float64{6, 3}
	centreDash      = [...]float64{20, 4, 1, 4}
	boundaryDash    = [...]float64{20, 4, 1, 4, 1, 4}
	assumedDash     = [...]float64{6, 4}
)

// Colours of a theme, as CSS colours.
type Colours struct {
	Paper, Ink, Measured, Assumed, WorkedOut string
	Existing                                 string // what stands there already
	Hatch, Ground                            string // strokes and ground of hatches
	Grid, Halo                               string
	Stop, Water                              string
	// Lights are the shares of a material's colour in this theme.
	Lights lights
}

// Day, Night and Sun are the themes; Sun is Day for a screen in full sun, black
// on white, and nothing in it is paler than the glare lets be seen. Their contrast is
// tested.
var (
	Day = Colours{Paper: "#FFFDF6", Ink: "#14211F", Measured: "#8A0F4B", Assumed: "#4A4F4E", WorkedOut: "#14211F",
		Existing: "#4A4F4E", Hatch: "#8A857A", Ground: "#F1EBDD", Grid: "#E4DDCB", Halo: "#FFD84D", Stop: "#8C1D04",
		Water: "#114B6B", Lights: lights{0.56, 0.72, 0.87, 1, 0.42}}
	Night = Colours{Paper: "#101816", Ink: "#F4F1E6", Measured: "#FF9CCB", Assumed: "#C4C9C7", WorkedOut: "#F4F1E6",
		Existing: "#C4C9C7", Hatch: "#6E7A76", Ground: "#1E2926", Grid: "#26322F", Halo: "#5A4A00", Stop: "#FFB09B",
		Water: "#8FC7EA", Lights: lights{0.28, 0.38, 0.48, 0.58, 1.2}}
	Sun = Colours{Paper: "#FFFFFF", Ink: "#000000", Measured: "#6E0038", Assumed: "#262B2A", WorkedOut: "#000000",
		Existing: "#262B2A", Hatch: "#3F3D37", Ground: "#F2F0E8", Grid: "#3F3D37", Halo: "#FFEFA3", Stop: "#701300",
		Water: "#06344F", Lights: lights{0.48, 0.75, 0.95, 1.15, 0.22}}
)

// SunWeight is how many times heavier than in the other themes lines are drawn
// in the theme for full sun, where thin ones are lost in the glare.
const SunWeight = 1.45

// sheetRules writes the rules of a style sheet.
type sheetRules struct {
	strings.Builder
	scope string
}

func (r *sheetRules) rule(selectors, body string) {
	for i, s := range strings.Split(selectors, ",") {
		if i > 0 {
			r.WriteByte(',')
		}
		r.WriteString(r.scope + s)
	}
	r.WriteString("{" + body + "}\n")
}

// Style returns the style sheet for drawings in the colours given. scope is
// put before each selector: "" for all drawings, ".night " for those in an
// element of class night.
func Style(c Colours, scope string) string {
	r := &sheetRules{scope: scope}
	r.Grow(4096)
	r.theme(c, "font-family:Helvetica,Arial,\"Liberation Sans\",system-ui,sans-serif;font-variant-numeric:tabular-nums;",
		func() {
			screenWeights(r.rule, 1)
			weights(r.rule, ".d-paper", 0.25, 0.5, 0.7, "")
		})
	return r.String()
}

// Recolour returns what has to follow [Style] where a theme takes its place:
// other colours, and the lines of screens so many times as heavy.
func Recolour(c Colours, scope string, weight float64) string {
	r := &sheetRules{scope: scope}
	r.theme(c, "", func() {
		if weight != 1 {
			screenWeights(r.rule, weight)
		}
	})
	if weight != 1 {
		r.rule(".d .d-h", "stroke-width:"+string(appendCoordinate(nil, weight)))
		r.rule(".d .d-x", "opacity:1")
	}
	return r.String()
}

func (r *sheetRules) theme(c Colours, lettering string, lineWeights func()) {
	rule := r.rule
	rule(".d", lettering+"background:"+c.Paper)
	// A hatch names its pattern in a fill attribute, which any rule would beat.
	rule(".d path:not(.d-f),.d circle", "fill:none")
	rule(".d path,.d circle", "stroke:"+c.Ink+";stroke-linejoin:round")
	lineWeights()
	rule(".d .d-f", "stroke:none")
	rule(".d .d-f-paper", "fill:"+c.Paper)
	rule(".d .d-f-tint,.d .d-g", "fill:"+c.Ground)
	// A thin edge of its own colour closes the hairline between two areas that
	// share a side.
	rule(".d .d-f-tint", "stroke:"+c.Ground+";stroke-width:.6")
	rule(".d .d-f-paper", "stroke:"+c.Paper+";stroke-width:.6")
	rule(".d .d-h", "stroke:"+c.Hatch+";stroke-width:1;stroke-linecap:round;vector-effect:none")
	rule(".d .d-r-existing path", "stroke:"+c.Existing)
	rule(".d .d-r-obstruction path,.d .d-r-obstruction circle", "stroke:"+c.Stop)
	rule(".d .d-r-water path", "stroke:"+c.Water)
	rule(".d .d-r-grid path", "stroke:"+c.Grid)
	rule(".d .d-r-tape path", "stroke:"+c.Measured)
	rule(".d .d-w", "fill:"+c.Ink+";stroke:"+c.Paper+";stroke-width:.22em;stroke-linejoin:round;paint-order:stroke")
	rule(".d .d-x", "opacity:.75")
	for _, v := range [...]struct{ name, colour string }{{"measured", c.Measured}, {"assumed", c.Assumed},
		{"worked", c.WorkedOut}} {
		g := ".d .d-v-" + v.name
		rule(g+" path,"+g+" circle", "stroke:"+v.colour)
		rule(g+" .d-w", "fill:"+v.colour)
	}
	rule(".d .d-v-assumed .d-w", "font-style:italic")
	rule(".d path.d-b,.d circle.d-b", "fill:"+c.Ink)
	rule(".d circle.d-o", "fill:"+c.Paper)
	rule(".d .d-v-measured path.d-b", "fill:"+c.Measured)
	rule(".d .d-v-assumed path.d-b", "fill:"+c.Assumed)
	rule(".d .d-hi .d-w", "font-weight:700;stroke:none")
	rule(".d .d-hi .d-halo", "stroke:"+c.Halo+";stroke-width:9px;stroke-dasharray:none;stroke-linecap:round")
	rule(".d .d-halo-text", "fill:"+c.Halo)
	rule(".d .d-hit", "fill:transparent;stroke:none;pointer-events:all;cursor:pointer")
}

func screenWeights(rule func(string, string), times float64) {
	// The widest are wide enough for any light: wider still, the two edges of a narrow
	// strip would run together.
	weights(rule, ".d-screen", 1*times, 1.8*times, 2.6, "px;vector-effect:non-scaling-stroke")
}

// weights writes the line weights and dashes for one kind of sheet.
func weights(rule func(string, string), sheet string, narrow, medium, wide float64, unit string) {
	num := func(v float64) string { return string(appendCoordinate(nil, v)) }
	dash := func(pattern []float64, weight float64) string {
		s := ";stroke-dasharray:"
		for i, d := range pattern {
			if i > 0 {
				s += " "
			}
			s += num(d * weight)
		}
		return s
	}
	rule(sheet+" path,"+sheet+" circle", "stroke-width:"+num(narrow)+unit)
	for r := range roleCount {
		weight := narrow
		switch r.Weight() {
		case 0.5:
			weight = medium
		case 0.7:
			weight = wide
		}
		pattern := r.Dash()
		if weight == narrow && pattern == nil {
			continue
		}
		body := "stroke-width:" + num(weight) + unit
		if pattern != nil {
			body += dash(pattern, weight)
		}
		rule(sheet+" .d-r-"+roleNames[r]+" .d-e", body)
	}
	rule(sheet+" .d-v-measured .d-d,"+sheet+" .d-v-measured .d-p", "stroke-width:"+num((narrow+medium)/2)+unit)
	rule(sheet+" .d-t", "stroke-width:"+num(medium)+unit)
	for _, part := range [...]string{"d-d", "d-p", "d-l", "d-e"} {
		rule(sheet+" .d-v-assumed ."+part,
			"stroke-dasharray:"+num(assumedDash[0]*narrow)+" "+num(assumedDash[1]*narrow))
	}
	rule(sheet+" .d-hi .d-d,"+sheet+" .d-hi .d-p,"+sheet+" .d-hi .d-e,"+sheet+" .d-hi .d-t",
		"stroke-width:"+num(wide)+unit)
}
