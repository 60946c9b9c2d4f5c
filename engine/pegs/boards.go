package pegs

import (
	"math"

	"pegpour/engine/geom"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/text"
)

// Boards is the set-out that survives the dig: strings over the edges of the concrete,
// each between two ends that stand clear of it, and where they cross over the corners.
type Boards struct {
	Strings []String
	Corners []Corner
	// Level is that of every string, above the survey's datum; without one, above the
	// finished surface at the track. mm.
	Level float64
	// Posts is set where corners are middles of posts of a steel footing, too.
	Posts bool
	// Datum is set where Level and the levels of the corners count from the survey's own.
	Datum bool
	// Free is set where the leaf hangs free, so that no track lies there.
	Free bool
}

// Words say how the strings hang and what is done with them.
func (b *Boards) Words() text.Text {
	hang := text.Say("All strings hang level, {0} above the finished surface at the track.", text.MM(b.Level))
	if b.Free {
		hang = text.Say("All strings hang level, {0} above the drive's surface under the leaf.", text.MM(b.Level))
	}
	if b.Datum {
		hang = text.Say("All strings hang level at {0}.", text.MM(b.Level))
	}
	if b.Posts {
		return text.Say("{0} A plumb bob where two cross stands over the corner; the middles of posts are measured along their string, from its end nearer to the latch post. Take the strings off while you dig, and put them back on their nails.",
			text.List(hang))
	}
	return text.Say("{0} A plumb bob where two cross stands over the corner. Take the strings off while you dig, and put them back on their nails.",
		text.List(hang))
}

// String is a string over one edge of the concrete, or over several that lie in line.
type String struct {
	Name string // a letter
	// First and Last are the ends of the concrete under it.
	First, Last geom.Point
	Ends        [2]End // before First, behind Last
}

// EndKind is what holds an end of a string.
type EndKind string

// What holds an end of a string.
const (
	// OnBoard: a profile board across the string, on two pegs.
	OnBoard EndKind = "board"
	// OnFence: a nail in the fence or the post, where no board can stand.
	OnFence EndKind = "fence"
	// OnDrive: a masonry nail or a chalk cross on the drive; the string is pulled only
	// while nobody drives.
	OnDrive EndKind = "drive"
	// Nowhere: nothing can hold it; the corner is measured from the other strings.
	Nowhere EndKind = "nowhere"
)

// End is one end of a string.
type End struct {
	Kind EndKind
	// At is where the string is tied; meaningless where Kind is Nowhere.
	At geom.Point
	// Away is how far it is from the end of the concrete, mm.
	Away float64
	// Why no board stands there as far away as the rule has it; empty where one does.
	Why text.Text
}

// Corner is a corner of the concrete, or the middle of a post of the footing, under the
// crossing of two strings.
type Corner struct {
	Key  string // its mark
	Name string // on the peg
	Of   text.Name
	// Strings are the two that cross over it; of a post the one it is measured along, and "".
	Strings [2]string
	At      geom.Point // where the strings cross; of a post its middle
	// Level of the top of the concrete, and Down from the string to it; Bottom from the
	// string to the bottom of the dig. mm.
	Level, Down, Bottom float64
}

// LayBoards lays strings over the edges of strips and pad, and over the middles of the
// posts of a steel footing. The string of an edge is as
// long as all edges in its line; where a board finds no room at the distance of the rule
// it goes farther out or nearer, and then onto what stands there. All strings hang level
// at one height above the highest corner.
func LayBoards(p *plan.Plan, rules *practice.Practice) *Boards {
	l := layer{plan: p, rules: rules, boards: &Boards{Datum: true, Free: p.HangsFree()}}
	for i := range p.Outlines {
		if o := &p.Outlines[i]; roped(o) {
			l.addEdges(o)
		}
	}
	for i := range p.Pegs {
		if hole, ok := holeOf(p, &p.Pegs[i]); ok {
			l.addMiddle(&p.Pegs[i], &hole)
		}
	}
	l.corners()
	for i := range l.boards.Strings {
		l.hold(&l.boards.Strings[i])
	}
	return l.boards
}

// roped reports whether strings are pulled over the edges of an outline.
func roped(o *plan.Outline) bool {
	switch o.Kind {
	case plan.PartDriveStrip, plan.PartLatchStrip, plan.PartRunBackStrip, plan.PartPad:
		return o.Concrete
	}
	return false
}

type layer struct {
	plan   *plan.Plan
	rules  *practice.Practice
	boards *Boards
}

// sameLine is how far an edge may lie from a string and still be under it, mm; sameTurn
// the sine of the angle between them. A tape tells neither.
const (
	sameLine = 0.01
	sameTurn = 1e-6
	// shortEdge is under how much an edge has no string, mm: the drive's edge ends there
	// beside a corner.
	shortEdge = 1
)

// addEdges puts a string over each edge of an outline, or makes one longer.
func (l *layer) addEdges(o *plan.Outline) {
	for k := range o.Ring {
		a, b := o.Ring[k], o.Ring[(k+1)%len(o.Ring)]
		if math.Hypot(b.X-a.X, b.Y-a.Y) >= shortEdge {
			l.add(a, b)
		}
	}
}

// add puts a string over a line, or makes the one in whose line it lies longer.
func (l *layer) add(a, b geom.Point) {
	if i := l.over(a, b); i >= 0 {
		l.boards.Strings[i].reach(a)
		l.boards.Strings[i].reach(b)
		return
	}
	if b.X < a.X || b.X == a.X && b.Y < a.Y {
		a, b = b, a
	}
	l.boards.Strings = append(l.boards.Strings, String{Name: letter(len(l.boards.Strings)), First: a, Last: b})
}

// holeOf is the hole of the footing post that a peg marks the middle of.
func holeOf(p *plan.Plan, g *plan.Peg) (plan.Outline, bool) {
	post, ok := p.Outline(g.Of)
	if !ok || post.Kind != plan.PartFootingPost {
		return plan.Outline{}, false
	}
	for o := range p.Parts(plan.PartFootingHole) {
		if o.Number == post.Number && o.Latch == post.Latch {
			return *o, true
		}
	}
	return plan.Outline{}, false
}

// addMiddle puts a string over the middle of a hole, along the fence: posts in a row share
// it, and each is measured along it. One across for each would leave no room to dig.
func (l *layer) addMiddle(g *plan.Peg, hole *plan.Outline) {
	low, high := hole.Ring.Bounds()
	l.add(geom.Point{X: low.X, Y: g.Offset}, geom.Point{X: high.X, Y: g.Offset})
}

// letter is the name of string i: A to Z, then AA and so on.
func letter(i int) string {
	if i < 26 {
		return string(rune('A' + i))
	}
	return letter(i/26-1) + letter(i%26)
}

// over is the string in whose line an edge lies; −1 for none.
func (l *layer) over(a, b geom.Point) int {
	for i := range l.boards.Strings {
		s := &l.boards.Strings[i]
		ux, uy := s.Way()
		long := math.Hypot(b.X-a.X, b.Y-a.Y)
		if math.Abs(ux*(b.Y-a.Y)-uy*(b.X-a.X)) <= sameTurn*long && s.aside(a) <= sameLine && s.aside(b) <= sameLine {
			return i
		}
	}
	return -1
}

// Way is the direction of a string, of length 1.
func (s *String) Way() (ux, uy float64) {
	d := math.Hypot(s.Last.X-s.First.X, s.Last.Y-s.First.Y)
	return (s.Last.X - s.First.X) / d, (s.Last.Y - s.First.Y) / d
}

// aside is how far a place lies beside a string, mm.
func (s *String) aside(q geom.Point) float64 {
	ux, uy := s.Way()
	return math.Abs(ux*(q.Y-s.First.Y) - uy*(q.X-s.First.X))
}

// reach makes a string as long as to be over a place in its line.
func (s *String) reach(q geom.Point) {
	ux, uy := s.Way()
	long := math.Hypot(s.Last.X-s.First.X, s.Last.Y-s.First.Y)
	switch d := ux*(q.X-s.First.X) + uy*(q.Y-s.First.Y); {
	case d < 0:
		s.First = q
	case d > long:
		s.Last = q
	}
}

// corners finds the two strings that cross over each peg, and how far down from them it
// is. A peg in the line of an edge that goes on straight is under that string alone.
func (l *layer) corners() {
	b := l.boards
	highest := math.Inf(-1)
	marks := Marks(l.plan, l.rules)
	for i := range l.plan.Pegs {
		g := &l.plan.Pegs[i]
		o, drawn := l.plan.Outline(g.Of)
		at := geom.Point{X: g.Chainage, Y: g.Offset}
		var one, two int
		if hole, ok := holeOf(l.plan, g); ok {
			o = hole
			one, two = l.over(at, geom.Point{X: at.X + 1, Y: at.Y}), -1
		} else if !drawn || !roped(&o) {
			continue
		} else if one, two = l.crossing(&o, at); two < 0 {
			continue
		}
		c := Corner{Key: marks[i].Key, Name: marks[i].Name, Of: g.Name, Level: -o.Top, Bottom: o.Deep(), At: at}
		c.Strings[0] = b.Strings[one].Name
		if o.Kind == plan.PartFootingHole { // a post is levelled by the foot of the track on it
			b.Posts = true
			c.Level, c.Bottom = 0, max(0, o.Top)+o.Deep()
		}
		if two >= 0 {
			c.Strings[1] = b.Strings[two].Name
			if at, ok := Cross(&b.Strings[one], &b.Strings[two]); ok {
				c.At = at
			}
		}
		if g.Levelled {
			c.Level = g.Level
		} else {
			b.Datum = false
		}
		highest = max(highest, c.Level)
		b.Corners = append(b.Corners, c)
	}
	if len(b.Corners) == 0 {
		return
	}
	b.Level = math.Ceil((highest+l.rules.BoardsUp)/10) * 10
	for i := range b.Corners {
		c := &b.Corners[i]
		c.Down = b.Level - c.Level
		c.Bottom += c.Down
	}
}

// crossing are the strings over the two edges of an outline that meet at a corner; two
// is −1 where they do not.
func (l *layer) crossing(o *plan.Outline, at geom.Point) (one, two int) {
	one, two = -1, -1
	for k := range o.Ring {
		a, b := o.Ring[k], o.Ring[(k+1)%len(o.Ring)]
		if math.Hypot(b.X-a.X, b.Y-a.Y) < shortEdge ||
			math.Hypot(a.X-at.X, a.Y-at.Y) > plan.Tolerance && math.Hypot(b.X-at.X, b.Y-at.Y) > plan.Tolerance {
			continue
		}
		switch i := l.over(a, b); {
		case i < 0 || i == one:
		case one < 0:
			one = i
		case two < 0:
			two = i
		}
	}
	return one, two
}

// Cross is where two strings cross, made longer as need be.
//
//	P = A + u·((B − A) × v)/(u × v)
//
// False where they run the same way. A and B are their first ends as they are tied or,
// where nothing holds them, as the concrete has them; u and v their directions.
//
// Source: the intersection of two lines by cross products, any book on plane geometry.
// Checked: against the corners of the concrete at a thousand random sites.
func Cross(s, t *String) (geom.Point, bool) {
	a, b := s.line()
	c, d := t.line()
	ux, uy, vx, vy := b.X-a.X, b.Y-a.Y, d.X-c.X, d.Y-c.Y
	turn := ux*vy - uy*vx
	if math.Abs(turn) < 1e-9*math.Hypot(ux, uy)*math.Hypot(vx, vy) {
		return geom.Point{}, false
	}
	k := ((c.X-a.X)*vy - (c.Y-a.Y)*vx) / turn
	return geom.Point{X: a.X + k*ux, Y: a.Y + k*uy}, true
}

// line is two places that a string goes through: where it is tied, if it is.
func (s *String) line() (a, b geom.Point) {
	a, b = s.First, s.Last
	if e := &s.Ends[0]; e.Kind != "" && e.Kind != Nowhere {
		a = e.At
	}
	if e := &s.Ends[1]; e.Kind != "" && e.Kind != Nowhere {
		b = e.At
	}
	return a, b
}

// hold finds what holds the two ends of a string.
func (l *layer) hold(s *String) {
	ux, uy := s.Way()
	s.Ends = [2]End{l.end(s.First, -ux, -uy), l.end(s.Last, ux, uy)}
}

// farther are the distances tried for a board, as shares of the rule's. Common practice,
// no published source.
var farther = [...]float64{1, 1.25, 1.5, 2, 0.75, 0.5}

// end is what holds a string beyond a place, in a direction.
func (l *layer) end(from geom.Point, ux, uy float64) End {
	var first End
	for i, share := range farther {
		away := share * l.rules.BoardsAway
		at := geom.Point{X: from.X + away*ux, Y: from.Y + away*uy}
		kind, why := l.stands(from, at, ux, uy)
		if kind == OnBoard {
			if i == 0 {
				return End{Kind: OnBoard, At: at, Away: away}
			}
			return End{Kind: OnBoard, At: at, Away: away, Why: first.Why}
		}
		if i == 0 {
			first = End{Kind: kind, At: at, Away: away, Why: why}
		}
	}
	if first.Kind == OnFence { // at the fence itself, where the string meets it
		if at, ok := l.atFence(from, ux, uy); ok {
			first.At, first.Away = at, math.Hypot(at.X-from.X, at.Y-from.Y)
		}
	}
	return first
}

// atFence is where a string that runs into the fence meets its back.
func (l *layer) atFence(from geom.Point, ux, uy float64) (geom.Point, bool) {
	if uy >= 0 || from.Y < 0 {
		return geom.Point{}, false
	}
	d := -from.Y / uy
	return geom.Point{X: from.X + d*ux, Y: 0}, true
}

// stands reports what can hold a string at a place: a board where its whole length has
// room; else what is in its way.
func (l *layer) stands(from, at geom.Point, ux, uy float64) (EndKind, text.Text) {
	p, clear, half := l.plan, l.rules.BoardsClear, l.rules.BoardsLong/2
	board := geom.Polygon{{X: at.X - half*uy - 25*ux, Y: at.Y + half*ux - 25*uy}, {X: at.X - half*uy + 25*ux, Y: at.Y + half*ux + 25*uy},
		{X: at.X + half*uy + 25*ux, Y: at.Y - half*ux + 25*uy}, {X: at.X + half*uy - 25*ux, Y: at.Y - half*ux - 25*uy}}
	for i := range p.Site.Obstructions {
		o := &p.Site.Obstructions[i]
		if crosses(o.Box, from, at) {
			return Nowhere, text.Say("In the way of the string: {0}.", text.Word(plan.NameOfObstruction(o)))
		}
		if geom.Distance(board, o.Box) < clear {
			return Nowhere, text.Say("No room for a board: {0}.", text.Word(plan.NameOfObstruction(o)))
		}
	}
	low, high := board.Bounds()
	switch {
	case p.Site.RoomKnown && high.X > p.Site.Room-clear:
		return OnFence, text.Say("No room for a board: the run-back ends there. Tie it to what stands there.")
	case p.Site.DepthKnown && high.Y > p.Site.Depth-clear:
		return OnFence, text.Say("No room for a board: the free ground ends there. Tie it to what stands there.")
	case geom.Distance(board, p.Site.PostLatch) < clear || geom.Distance(board, p.Site.PostRunBack) < clear ||
		low.Y < clear && (high.X < 0 || low.X > p.Opening):
		return OnFence, text.Say("No room for a board: the fence. A nail in it or in the post holds the string.")
	case geom.Distance(board, p.Site.Drive) < clear || low.X > 0 && high.X < p.Opening && low.Y < clear:
		return OnDrive, text.Say("No board on the drive: a nail or a chalk cross holds the string while nobody drives.")
	}
	for i := range p.Outlines {
		if o := &p.Outlines[i]; o.Concrete && geom.Distance(board, o.Ring) < clear {
			return Nowhere, text.Say("No room for a board: {0} is dug there.", text.Word(o.Name))
		}
	}
	if level, extrapolated := p.Ground.GroundLevel(at.X, at.Y); l.boards.Datum && p.Ground.Known() && !extrapolated && level > l.boards.Level-50 {
		return Nowhere, text.Say("The ground there is higher than the string.")
	}
	return OnBoard, text.Text{}
}

// Over says what is over a corner: the two strings, or how far along the one from the end
// of it that is nearer to the latch post.
func (b *Boards) Over(c *Corner) text.Text {
	if c.Strings[1] != "" {
		return text.Say("{0} × {1}", text.Word(text.TypedName(c.Strings[0])), text.Word(text.TypedName(c.Strings[1])))
	}
	from, _ := b.StringNamed(c.Strings[0]).line()
	return text.Say("{0}, {1} along it", text.Word(text.TypedName(c.Strings[0])), text.MM(math.Hypot(c.At.X-from.X, c.At.Y-from.Y)))
}

// StringNamed is the string of a name; nil for none.
func (b *Boards) StringNamed(name string) *String {
	for i := range b.Strings {
		if b.Strings[i].Name == name {
			return &b.Strings[i]
		}
	}
	return nil
}

// Words is what holds an end, in a word or two.
func (k EndKind) Words() text.Name {
	switch k {
	case OnBoard:
		return "profile board"
	case OnFence:
		return "nail in the fence"
	case OnDrive:
		return "mark on the drive"
	}
	return "nothing"
}
