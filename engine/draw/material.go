package draw

import (
	"slices"
	"strconv"
)

// Material is what a body of a picture is made of. With the light that falls on it, it
// decides the colour of an area and of its edges in place of the role.
type Material uint8

// The materials.
const (
	MaterialNone Material = iota // lines and hatches, as on a technical drawing
	MaterialConcrete
	MaterialGravel
	MaterialPavers
	MaterialBitumen
	MaterialGrass
	MaterialEarth
	MaterialTimber
	MaterialWeathered // timber that has stood outside for years
	MaterialSteel     // coated dark
	MaterialZinc      // steel as it comes from the zinc bath
	MaterialPaint
	MaterialGlass
	MaterialRubber
	MaterialCloth
	MaterialLeaves
	MaterialBlack // from here on coats of the colour that was chosen
	MaterialDarkGrey
	MaterialLightGrey
	MaterialWhite
	MaterialGreen
	MaterialBrown
	materialCount
)

// materials are their names in class names and their colours in full light by day.
var materials = [materialCount]struct {
	name   string
	colour uint32
}{
	{"none", 0}, {"concrete", 0xd3d0c7}, {"gravel", 0xd6c7a9}, {"pavers", 0xcf9f83}, {"bitumen", 0x85878a},
	{"grass", 0xa9c27c}, {"earth", 0xa98a66}, {"timber", 0xdca86e}, {"weathered", 0xbcae98}, {"steel", 0x616e77},
	{"zinc", 0x9da6ab}, {"paint", 0x9db4c8}, {"glass", 0x4d6474}, {"rubber", 0x45484c}, {"cloth", 0x6b7596},
	{"leaves", 0x86ad5e}, {"black", 0x36383a}, {"darkgrey", 0x53585c}, {"lightgrey", 0xb4b8bb}, {"white", 0xf1f1ec},
	{"green", 0x3f6b4a}, {"brown", 0x70503a},
}

// Light says how much light an area gets.
type Light uint8

// The lights. A plain area has none.
const (
	LightNone   Light = iota // not a picture: filled with its hatch alone
	LightShade               // turned away from the sun
	LightLow                 // the sun grazes it
	LightHalf                // the sun falls on it aslant
	LightFull                // the sun falls on it
	LightShadow              // a shadow that darkens what it lies on; its rings turn one way
	lightCount
)

// edgeWeight of the edges of a picture on a screen, px: the areas carry it.
const edgeWeight = 0.7

// ShadowDark is how much of the light a shadow takes.
const ShadowDark = 0.3

// lights are the shares of its colour that a material has in a theme: in shade, low, half
// and full light, and along its edges.
type lights [5]float64

// DayColour is the colour of a material in the theme Day, red, green and blue from 0 to 1:
// of an area in a light, or of the edges with LightNone.
func (m Material) DayColour(l Light) (rgb [3]float64) {
	return Day.Lights.on(m, l)
}

// MoonColour is the same by the light of a moon alone: little light, and no warm colour in
// it. The shares are common practice, no published source.
func (m Material) MoonColour(l Light) (rgb [3]float64) {
	rgb = moon.on(m, l)
	for i, share := range [...]float64{0.78, 0.92, 1.28} {
		rgb[i] *= share
	}
	return rgb
}

var moon = lights{0.15, 0.23, 0.33, 0.45, 0.08}

func (s *lights) on(m Material, l Light) (rgb [3]float64) {
	if m >= materialCount || l >= LightShadow {
		return rgb
	}
	share := s[len(s)-1]
	switch {
	case l > LightNone:
		share = s[l-1]
	case m == MaterialTimber: // battens lie close: darker edges would run together
		share = s[0]
	case m >= MaterialBlack && share > 1: // on dark paper the edges of a dark coat must be light
		m = MaterialSteel
	}
	for i := range rgb {
		rgb[i] = min(1, share*float64(materials[m].colour>>(16-8*i)&0xff)/255)
	}
	return rgb
}

// hex is the same as a colour of a style sheet.
func (s *lights) hex(m Material, l Light) string {
	n := uint64(1)
	for _, v := range s.on(m, l) {
		n = n<<8 + uint64(v*255+0.5)
	}
	return "#" + strconv.FormatUint(n, 16)[1:]
}

// lit reports whether a sheet is a picture of materials in light.
func (s *Sheet) lit() bool {
	for i := range s.Groups {
		if s.Groups[i].Material != MaterialNone {
			return true
		}
	}
	return false
}

// materialRules returns the style sheet that a picture of materials needs besides [Style] in a
// file of its own, which many programs show. Coats are in it where the picture has them.
func (s *Sheet) materialRules(c Colours) string {
	r := &sheetRules{}
	r.picture(c, 1)
	for m := MaterialNone + 1; m < materialCount; m++ {
		if m >= MaterialBlack && !slices.ContainsFunc(s.Groups, func(g Group) bool { return g.Material == m }) {
			continue
		}
		for l := range LightShadow {
			colour := c.Lights.hex(m, l)
			r.rule(".d-m-"+materials[m].name+" "+l.class(), l.body(colour))
		}
	}
	return r.String()
}

// MaterialTheme returns the same for a page with themes, where a material need only name its
// colours; scope and weight as for [Recolour].
func MaterialTheme(c Colours, scope string, weight float64) string {
	r := &sheetRules{scope: scope}
	r.picture(c, weight)
	for l := range LightShadow {
		r.rule(".d-lit "+l.class(), l.body("var(--"+l.class()[1:]+")"))
	}
	for m := MaterialNone + 1; m < materialCount; m++ {
		body := ""
		for l := range LightShadow {
			body += "--" + l.class()[1:] + ":" + c.Lights.hex(m, l) + ";"
		}
		r.rule("."+m.Class(), body[:len(body)-1])
	}
	return r.String()
}

// Class is the class of what is made of the material.
func (m Material) Class() string { return "d-m-" + materials[m].name }

// class is the class of an area in a light, of an edge without.
func (l Light) class() string {
	if l == LightNone {
		return ".d-e"
	}
	return ".d-" + strconv.Itoa(int(l))
}

func (l Light) body(colour string) string {
	if l == LightNone {
		return "stroke:" + colour
	}
	return "fill:" + colour + ";stroke:" + colour
}

// picture writes the rules that do not depend on the material.
func (r *sheetRules) picture(c Colours, weight float64) {
	r.rule(".d-screen.d-lit .d-e", "stroke-width:"+string(appendCoordinate(nil, edgeWeight*weight))+"px")
	r.rule(".d-lit .d-f", "stroke-width:.6")
	// The ground of a hatch is the material.
	r.rule(".d-lit .d-g", "fill:none")
	r.rule(".d-lit .d-h", "stroke:"+c.Ink+";opacity:.25")
	r.rule(".d-lit "+LightShadow.class(), "fill:#000;opacity:"+strconv.FormatFloat(ShadowDark, 'g', -1, 64))
}
