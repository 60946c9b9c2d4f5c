// Package sheets makes the documents that a site is built from: A4 sheets for
// whoever digs, bends steel, delivers, or owns the place. It only arranges what
// the plan says; drawings come from the room drawing, paper from draw/pdf.
//
// Equal issues give equal bytes, on a phone, on a desk and on a server: date
// and revision are given, never read from a clock.
package sheets

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"pegpour/engine/casting"
	"pegpour/engine/draw"
	"pegpour/engine/draw/compose"
	"pegpour/engine/draw/pdf"
	"pegpour/engine/drawing"
	"pegpour/engine/input"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/refusal"
	"pegpour/engine/survey"
	"pegpour/engine/text"
	tongue "pegpour/engine/words"
)

// Reader is whom a document is for.
type Reader string

// The readers.
const (
	ForOwner Reader = "owner"
	// ForLabourer is the sheet that is carried in a pocket, ForLarge the same with each
	// drawing on a page of its own and every figure.
	ForLabourer Reader = "labourer"
	ForLarge    Reader = "large"
	ForSteel    Reader = "steel"
	ForSupplier Reader = "supplier"
	ForEngineer Reader = "engineer"
	// ForHandOver is the shop's record of a hand-over, ForKeeper the owner's page of it.
	ForHandOver Reader = "hand-over"
	ForKeeper   Reader = "keeper"
	// ForQuote is the quote that the owner signs, ForCosting the shop's page of it.
	ForQuote   Reader = "quote"
	ForCosting Reader = "costing"
)

// Readers lists them in the order in which they are offered.
func Readers() []Reader {
	return []Reader{ForOwner, ForLabourer, ForLarge, ForSteel, ForSupplier, ForEngineer, ForHandOver, ForKeeper, ForQuote, ForCosting}
}

// ErrReader is returned for a reader that is not one of Readers.
var ErrReader = error(refusal.Error("the reader must be owner, labourer, large, steel, supplier, engineer, hand-over, keeper, quote or costing"))

// ErrIssue is returned for an issue without plan, survey or date.
var ErrIssue = error(refusal.Error("plan, survey and date must be given"))

// Issue is what all sheets of one issue have in common.
type Issue struct {
	Plan     *plan.Plan
	Survey   *survey.Survey
	Practice *practice.Practice
	// Refused are rules of the shop or the site that cannot be used: Practice is without
	// them.
	Refused input.Refusals
	// Date of the issue: in the title block by its day, in the file in full.
	Date time.Time
	// Revision names the state of the survey and rules that was drawn.
	Revision string
	// State names the site as a signature of the hand-over would be bound to it.
	State string
	// QuoteState names the site with what an agreement says, as that was bound to it
	// when it was signed; nil where it is not asked whether something changed since.
	QuoteState func(*survey.Agreement) string
	// Firm is who issues the sheets; may be empty.
	Firm string
	// Terms are what the firm says under a quote, line by line; may be empty.
	Terms string
	// Units as the title block names them, such as "mm".
	Units string
	// Figure writes an argument as a drawing does, Write with its unit; nil
	// writes metric.
	Figure, Write func(text.Arg) string
	// Language of words, numbers and dates; nil is English.
	Language *tongue.Language
	// Done are the numbers of the pegs that stand, Ticks the ticks of the
	// checklist by name.
	Done  map[int]bool
	Ticks map[string]bool
	// Poured is set where Plan was made of what was poured: the sheet of the steel shop
	// says so, and what changed since the plan.
	Poured *Poured
	// Prices shows what the shop's rates make of it, where a document has room
	// for it; Currency stands before the sum.
	Prices   bool
	Currency string
	// Colour prints measured figures in plum.
	Colour bool
	// Plain leaves the pages uncompressed, for tests.
	Plain bool

	laid     func([]*draw.Sheet)                       // for tests: the drawings as they were laid out
	composed func(*pocket, compose.Layout, []draw.Box) // for tests: where all stands on composed pages
}

// Poured is what was measured after the pour, beside the plan before.
type Poured struct {
	// Changes are the sizes that differ, Problem why the track does not lie yet; both
	// may be empty.
	Changes []casting.Change
	Problem text.Text
}

// For makes the document for a reader. Errors: ErrReader, ErrIssue, or one of
// draw/pdf.
func For(r Reader, i Issue) ([]byte, error) {
	switch r {
	case ForOwner:
		return Owner(i)
	case ForLabourer:
		return Pocket(i)
	case ForLarge:
		return Large(i)
	case ForSteel:
		return SteelShop(i)
	case ForSupplier:
		return Supplier(i)
	case ForEngineer:
		return Engineer(i)
	case ForHandOver:
		return HandOver(i)
	case ForKeeper:
		return GateBook(i)
	case ForQuote:
		return Offer(i)
	case ForCosting:
		return Costing(i)
	}
	return nil, fmt.Errorf("%w, not %q", ErrReader, r)
}

// paper is a document in the making.
type paper struct {
	*pdf.Document
	i   *Issue
	all []error
}

func begin(i *Issue, title string) (*paper, error) {
	if i.Plan == nil || i.Survey == nil || i.Practice == nil || i.Date.IsZero() {
		return nil, ErrIssue
	}
	name := i.Survey.Site.Name
	d, err := pdf.New(pdf.Options{Title: strings.TrimSpace(i.say(title) + " " + name),
		Subject: drawing.Spoken(i.Plan, i.scene()), Creator: "Pegpour", Created: i.Date,
		Language: i.code(), FromRight: i.Language != nil && i.Language.RightToLeft, Say: i.say, Colour: i.Colour,
		Plain: i.Plain, Feet: i.Units == unitFeet})
	if err != nil {
		return nil, err
	}
	return &paper{Document: d, i: i}, nil
}

// keep notes an error; the first is returned by end.
func (p *paper) keep(err error) {
	if err != nil {
		p.all = append(p.all, err)
	}
}

func (p *paper) end() ([]byte, error) {
	if len(p.all) > 0 {
		return nil, p.all[0]
	}
	if p.i.laid != nil {
		p.i.laid(p.Laid())
	}
	return p.Bytes()
}

func (i *Issue) say(s string) string {
	return i.Language.Say(s)
}

// name says what a thing is called.
func (i *Issue) name(n text.Name) string { return n.In(i.say) }

// fill says a text and puts parts, which were said before, into its holes.
func (i *Issue) fill(s string, parts ...string) string {
	return tongue.Fill(i.say(s), parts...)
}

func (i *Issue) code() string {
	if i.Language == nil {
		return "en"
	}
	return i.Language.Code
}

// form is a text in the language, its holes still open.
func (i *Issue) form(t text.Text) string {
	return i.Language.Count(t.Format, func(k int) float64 {
		if k < len(t.Args) {
			return t.Args[k].Value
		}
		return 0
	})
}

func (i *Issue) write(a text.Arg) string {
	switch {
	case a.Dimension == text.Words, a.Dimension == text.Choice, a.Dimension == text.AsTyped:
		return i.name(a.Words)
	case i.Write != nil:
		return i.Language.Number(i.Write(a))
	}
	return i.Language.Number(text.PlainArg(a))
}

func (i *Issue) figure(a text.Arg) string {
	switch {
	case a.Dimension == text.Words, a.Dimension == text.Choice, a.Dimension == text.AsTyped:
		return i.name(a.Words)
	case i.Figure != nil:
		return i.Language.Number(i.Figure(a))
	}
	return i.Language.Number(drawing.PlainFigure(a))
}

func (i *Issue) length(v float64) string {
	return i.figure(text.Arg{Value: v, Dimension: text.Length})
}

func (i *Issue) sentence(t text.Text) string {
	return t.In(i.form, i.write)
}

func (i *Issue) scene() drawing.SceneOptions {
	return drawing.SceneOptions{Write: i.figure, Say: i.say, Done: i.Done, Feet: i.Units == unitFeet}
}

// topic is what a sheet is about; it decides which cautions stand on it.
type topic string

const (
	aboutPlan    topic = "plan"
	aboutDig     topic = "dig"
	aboutPour    topic = "pour"
	aboutLeaf    topic = "leaf"
	aboutOwner   topic = "owner"
	aboutFigures topic = "figures"
)

// cautionTopics says on which sheets a caution stands. One that is not listed
// stands on every sheet of the site itself.
var cautionTopics = map[string][]topic{
	"services":    {aboutPlan, aboutDig},
	"excavation":  {aboutPlan, aboutDig, aboutPour},
	"concrete":    {aboutPour},
	"silica":      {aboutPour, aboutLeaf},
	"falling":     {aboutLeaf, aboutOwner},
	"crush":       {aboutLeaf, aboutOwner},
	"electricity": {aboutPour, aboutOwner},
	"codes":       {aboutPlan, aboutDig, aboutPour, aboutLeaf, aboutFigures},
}

// block is the title block of a sheet about something.
func (i *Issue) block(title string, about topic) pdf.TitleBlock {
	s := i.Survey.Site
	site := pdf.Apart(s.Name)
	if s.Address != "" && s.Address != s.Name {
		site = strings.TrimPrefix(site+", "+s.Address, ", ")
	}
	by := pdf.Apart(s.MeasuredBy)
	if s.MeasuredOn != "" {
		by = strings.TrimSpace(by + " " + i.Language.Date(s.MeasuredOn))
	}
	b := pdf.TitleBlock{Site: site, Client: s.Client, Title: i.say(title),
		Date: i.Language.Date(i.Date.UTC().Format(time.DateOnly)), Revision: short(i.Revision),
		MeasuredBy: by, Firm: i.Firm, Units: i.say(i.Units)}
	for k := range i.Plan.Cautions {
		c := &i.Plan.Cautions[k]
		topics, listed := cautionTopics[c.Code]
		if !listed && about != aboutOwner && about != aboutFigures || slices.Contains(topics, about) {
			b.Cautions = append(b.Cautions, i.sentence(c.Words))
		}
	}
	b.Assumed = i.assumedLine(4)
	return b
}

// sideBlock is the title block of a sheet about one side of two leaves that meet; that of
// [Issue.block] where one leaf shuts the opening.
func (i *Issue) sideBlock(title string, about topic, side *plan.Side) pdf.TitleBlock {
	b := i.block(title, about)
	if side.Name != "" {
		b.Title = i.name(side.Name)
		if title != "" {
			b.Title = i.name(side.Named(text.Name(title)))
		}
	}
	return b
}

// short is as much of a revision's name as a title block has room for.
func short(revision string) string {
	const letters = 10
	if len(revision) > letters {
		return revision[:letters]
	}
	return revision
}

// assumedLine says what was assumed, the first few by name.
func (i *Issue) assumedLine(most int) string {
	if len(i.Plan.Assumed) == 0 {
		return ""
	}
	var names []string
	for k := range i.Plan.Assumed {
		if k == most {
			rest := text.Text{Format: "and {0} more",
				Args: []text.Arg{{Value: float64(len(i.Plan.Assumed) - most), Dimension: text.Count}}}
			names = append(names, i.sentence(rest))
			break
		}
		names = append(names, i.name(i.Plan.Assumed[k].Name)+" "+i.assumedValue(&i.Plan.Assumed[k]))
	}
	return i.fill("Assumed, not measured: {0}.", strings.Join(names, "; "))
}

func (i *Issue) assumedValue(a *survey.Assumption) string {
	switch {
	case a.Unknown:
		return i.say("not known")
	case a.Words != "":
		return "~" + i.say(a.Words)
	}
	return "~" + i.write(text.Arg{Value: a.Value, Dimension: a.Dimension})
}

// plan adds a page of its own for a plan, which may be turned on it.
func (p *paper) plan(s *draw.Scene, block pdf.TitleBlock, window draw.Box) {
	p.keep(p.Drawing(s, pdf.DrawingPage{Block: block, Mirror: p.i.Plan.Mirrored(), Window: window, MayTurn: true}))
}

// elevation adds a page of its own for what is seen from the side: up stays up.
func (p *paper) elevation(s *draw.Scene, block pdf.TitleBlock, side *plan.Side) {
	p.keep(p.Drawing(s, pdf.DrawingPage{Block: block, Mirror: side.Mirrored()}))
}

// table adds a table unless it has no rows.
func (p *paper) table(heading string, columns []pdf.Column, rows [][]string) {
	if len(rows) == 0 {
		return
	}
	for k := range columns {
		columns[k].Title = p.i.say(columns[k].Title)
	}
	p.keep(p.Table(pdf.Table{Heading: p.i.say(heading), Columns: columns, Rows: rows}))
}
