package drawing

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"

	"pegpour/engine/geom"
	"pegpour/engine/photo"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/text"
)

// PhotoPlace is a place on the ground that can be seen in a picture.
type PhotoPlace struct {
	ID   string
	Name text.Name
	At   geom.Point // mm
}

// PhotoSpot is a place with its spot in a picture, pixels, V down.
type PhotoSpot struct {
	Name   text.Name
	At     geom.Point
	Height float64 // above the ground there, mm; 0 on it
	U, V   float64
}

// PhotoFrame is what is known of a picture: its size in pixels, and the focal
// length that its file tells, as on 35 mm film, mm; 0 if it does not.
type PhotoFrame struct{ Wide, High, Focal float64 }

// PhotoShape is one outline of the plan in the picture.
type PhotoShape struct {
	ID     string
	Kind   plan.PartKind // empty for the track
	Name   text.Name
	Closed bool
	Lines  [][]photo.Pixel // one for a closed outline; the stretches of a line
}

// PhotoOverlay is the plan laid over a picture of the ground.
type PhotoOverlay struct {
	Shapes []PhotoShape
	// Misses is by how much each spot misses its place, mm on the ground; the
	// order is that of the spots.
	Misses []float64
	// Miss is the root of the mean square of them.
	Miss float64
	// NoCheck is set with four spots, which always fit. Suspects are the indices of spots that do
	// not fit; SwappedSides says that left and right were taken the wrong way
	// round.
	NoCheck      bool
	Suspects     []int
	SwappedSides bool
	// Space has places above the ground too, where Stands is set: the camera is known then.
	Space  photo.Space
	Stands bool
	// Uncertainty is how well the middle of the pad, or of the strip, is placed on
	// the ground by the pointing alone, mm; 0 where it cannot be said.
	Uncertainty float64
}

// PhotoPlaces lists the places of a site that one can point at in a picture:
// the posts' corners at the ground, the guide post's too, the pegs of the set-out, those of the tape
// network, the taped points of the edges.
func PhotoPlaces(p *plan.Plan) []PhotoPlace {
	var out []PhotoPlace
	add := func(id string, name text.Name, x, y float64) {
		for i := range out {
			if math.Hypot(out[i].At.X-x, out[i].At.Y-y) < 1 {
				return
			}
		}
		out = append(out, PhotoPlace{ID: id, Name: name, At: geom.Point{X: x, Y: y}})
	}
	latch, latchHigh := p.Site.PostLatch.Bounds()
	run, runHigh := p.Site.PostRunBack.Bounds()
	add("post.latch.in", "Latch post, inner corner at the back", latchHigh.X, latchHigh.Y)
	add("post.latch.front", "Latch post, inner corner at the street", latchHigh.X, latch.Y)
	add("post.latch.far", "Latch post, far corner at the back", latch.X, latchHigh.Y)
	add("post.runBack.in", "Run-back post, inner corner at the back", run.X, runHigh.Y)
	add("post.runBack.front", "Run-back post, inner corner at the street", run.X, run.Y)
	add("post.runBack.far", "Run-back post, far corner at the back", runHigh.X, runHigh.Y)
	if guide, ok := p.Part(plan.PartGuidePost, 1); ok {
		low, high := guide.Ring.Bounds()
		add("post.guide.in", "Guide post, corner at the back towards the latch", low.X, high.Y)
		add("post.guide.front", "Guide post, corner at the street towards the latch", low.X, low.Y)
	}
	if p.Network != nil {
		for _, q := range p.Network.Pegs {
			add("network."+q.Name, text.Named("Peg {0} of the network", text.TypedName(q.Name)), q.Chainage, q.Offset)
		}
	}
	for _, g := range p.Pegs {
		add("peg."+strconv.Itoa(g.Number), text.Numbered("Peg {0} of the set-out", g.Number), g.Chainage, g.Offset)
	}
	for i := range p.Dimensions {
		// A taped point of an edge is dimensioned from the fence: it stands at
		// the far end of that line.
		d := &p.Dimensions[i]
		path, offset := strings.CutSuffix(d.Path, ".offset")
		if edge, ok := strings.CutPrefix(path, "drive."); ok && offset && d.Across {
			add("taped."+edge, "Taped point of the driveway edge", d.From.X, d.Value)
		}
	}
	for i := range p.Site.Obstructions {
		o := &p.Site.Obstructions[i]
		for k, c := range o.Box {
			name := text.TypedName(cmp.Or(o.Name, o.Kind))
			add("thing."+strconv.Itoa(i)+"."+strconv.Itoa(k), text.Named("{0}, corner {1}", name, text.Name(strconv.Itoa(k+1))), c.X, c.Y)
		}
	}
	return out
}

// PhotoTops lists the places that stand above the ground, such as the top of a
// post, by the place on the ground below: corners of posts and of things.
func PhotoTops(p *plan.Plan) []PhotoPlace {
	var out []PhotoPlace
	for _, q := range PhotoPlaces(p) {
		if strings.HasPrefix(q.ID, "post.") || strings.HasPrefix(q.ID, "thing.") {
			q.ID, q.Name = "top."+q.ID, text.Named("{0}: top", q.Name)
			out = append(out, q)
		}
	}
	return out
}

// Overlay fits a picture to the ground by spots of known places, four or more,
// and lays footing, pad, track and the open leaf's footprint over it. The rules
// give how well a spot is pointed at. What stands above the ground is [NewPhotoModel]'s.
//
// Where a spot stands above the ground, the camera is found: the marks then have
// the levels of the ground as far as it was measured, and the plan lies in the
// plane of the track. Without one a picture says nothing of heights, and the
// ground counts as flat.
//
// Errors: those of photo.Homography and photo.Camera.
func Overlay(p *plan.Plan, spots []PhotoSpot, frame PhotoFrame, rules practice.Practice) (PhotoOverlay, error) {
	fit, err := overlayFit(p, spots, frame, rules)
	if err != nil {
		return PhotoOverlay{}, err
	}
	out := overlaid(p, fit)
	if out.Space, out.Stands = fit.Space(); !out.Stands {
		// The ground alone: a camera that sees it so says which way is up.
		if camera, err := overlayCamera(p, spots, frame, rules); err == nil {
			fit.Stand(camera, photo.Ground{X: p.Opening / 2})
			out.Space, out.Stands = fit.Space()
		}
	}
	return out, nil
}

func overlayFit(p *plan.Plan, spots []PhotoSpot, frame PhotoFrame, rules practice.Practice) (*photo.Fit, error) {
	if slices.ContainsFunc(spots, func(s PhotoSpot) bool { return s.Height != 0 }) {
		return overlayCamera(p, spots, frame, rules)
	}
	return photo.Homography(pairsOf(spots), rules.PhotoPointing)
}

func pairsOf(spots []PhotoSpot) []photo.Pair {
	pairs := make([]photo.Pair, len(spots))
	for i, s := range spots {
		pairs[i] = photo.Pair{Name: s.Name.String(), X: s.At.X, Y: s.At.Y, U: s.U, V: s.V}
	}
	return pairs
}

// overlayCamera finds the camera by the spots, with the levels of the ground.
func overlayCamera(p *plan.Plan, spots []PhotoSpot, frame PhotoFrame, rules practice.Practice) (*photo.Fit, error) {
	pairs := pairsOf(spots)
	known := photo.Frame{Wide: frame.Wide, High: frame.High, Focal: frame.Focal, Spread: rules.PhotoFocalRead,
		LeftHanded: p.Mirrored()}
	if frame.Focal == 0 {
		known.Focal, known.Spread = rules.PhotoFocal, rules.PhotoFocalSpread
	}
	if p.Ground != nil {
		known.Level, known.AlongX, known.AlongY = p.Ground.SurfaceLevel(0, 0), p.Ground.Track.Grade, p.Ground.Track.CrossFall
	}
	marks := make([]photo.Mark, len(spots))
	for i, s := range spots {
		z, _ := p.Ground.GroundLevel(s.At.X, s.At.Y)
		marks[i] = photo.Mark{Pair: pairs[i], Z: z + s.Height, Raised: s.Height != 0}
	}
	return photo.Camera(marks, known, rules.PhotoPointing)
}

// overlaid is the plan in the picture of a fit.
func overlaid(p *plan.Plan, fit *photo.Fit) PhotoOverlay {
	out := PhotoOverlay{NoCheck: fit.NoCheck, Suspects: fit.Suspects, SwappedSides: fit.Mirrored != p.Mirrored()}
	var sum float64
	for _, r := range fit.Residuals {
		out.Misses = append(out.Misses, r.Ground)
		sum += r.Ground * r.Ground
	}
	out.Miss = math.Sqrt(sum / float64(len(fit.Residuals)))
	for i := range p.Outlines {
		o := &p.Outlines[i]
		if !o.Concrete && o.Kind != plan.PartLeafOpen && o.Kind != plan.PartMotor && o.Kind != plan.PartGuidePost {
			continue
		}
		if ring := fit.Area(groundOf(o.Ring)); len(ring) >= 3 {
			out.Shapes = append(out.Shapes,
				PhotoShape{ID: o.ID, Kind: o.Kind, Name: o.Name, Closed: true, Lines: [][]photo.Pixel{ring}})
		}
	}
	for i, t := range p.Track.Lines {
		if lines := fit.Line([]photo.Ground{{X: t.Start, Y: t.Offset}, {X: t.End, Y: t.Offset}}); len(lines) > 0 {
			out.Shapes = append(out.Shapes, PhotoShape{ID: "track." + strconv.Itoa(i+1), Name: "Track", Lines: lines})
		}
	}
	for _, kind := range [...]plan.PartKind{plan.PartPad, plan.PartRunBackStrip, plan.PartDriveStrip} {
		for o := range p.Parts(kind) {
			if out.Uncertainty > 0 {
				break
			}
			c := o.Ring.Centroid()
			if _, ground, err := fit.Uncertainty(photo.Ground{X: c.X, Y: c.Y}); err == nil {
				out.Uncertainty = ground
			}
		}
	}
	return out
}

func groundOf(ring geom.Polygon) []photo.Ground {
	out := make([]photo.Ground, len(ring))
	for i, c := range ring {
		out[i] = photo.Ground{X: c.X, Y: c.Y}
	}
	return out
}
