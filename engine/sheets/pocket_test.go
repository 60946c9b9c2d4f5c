package sheets

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/draw"
	"pegpour/engine/draw/compose"
	"pegpour/engine/enginetest"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
	"pegpour/storage/demo"
)

// inset is from the edge of the paper to where boxes stand.
const inset = 8.0

// composed makes the sheet of an issue, and holds it against what it promises: four sides at
// most, no side less full than two thirds, nothing cut, nothing over another, lettering of
// 2.5 mm, drawings at scales of ISO 5455.
func composed(t *testing.T, name string, i Issue) (file []byte, p *pocket, l compose.Layout) {
	t.Helper()
	i.Plain = true
	var drawn []draw.Box
	i.composed = func(made *pocket, layout compose.Layout, boxes []draw.Box) { p, l, drawn = made, layout, boxes }
	i.laid = func(all []*draw.Sheet) {
		for _, sheet := range all {
			assert.Contains(t, []float64{10, 20, 50, 100, 200, 500}, math.Round(1/sheet.Scale), "%s: %s", name, sheet.Title)
			assert.Empty(t, draw.Overlaps(sheet), "%s: %s", name, sheet.Title)
		}
	}
	file, err := For(ForLabourer, i)
	require.NoError(t, err, name)
	assert.LessOrEqual(t, l.Pages, 4, name)
	for n, full := range l.Full {
		assert.GreaterOrEqual(t, full, 2.0/3, "%s: side %d", name, n+1)
	}
	topics := make([]uint, l.Pages)
	for _, q := range l.Pieces {
		topics[q.Page] |= p.boxes[q.Box].Topics
	}
	places := make([]draw.Box, len(l.Pieces))
	rows := map[int]int{}
	for k, q := range l.Pieces {
		left := p.page.Left(q.Column) + inset
		places[k] = draw.Box{Min: draw.Pt(left, q.Y+inset),
			Max: draw.Pt(left+p.page.Across(q.Shape.Columns), q.Y+inset+q.Shape.Height)}
		room := draw.Box{Min: draw.Pt(inset, inset), Max: draw.Pt(210-inset, inset+p.page.Height(topics[q.Page]))}
		room = room.Inset(-0.01)
		assert.True(t, room.Holds(places[k].Min) && room.Holds(places[k].Max), "%s: %s is cut", name, p.names[q.Box])
		around := places[k].Inset(-0.01)
		assert.True(t, around.Holds(drawn[k].Min) && around.Holds(drawn[k].Max),
			"%s: %s is beyond its place", name, p.names[q.Box])
		for n, other := range l.Pieces[:k] {
			if other.Page == q.Page {
				assert.False(t, places[n].Meets(places[k]), "%s: %s over %s", name, p.names[q.Box], p.names[other.Box])
			}
		}
		if p.boxes[q.Box].Table != nil {
			assert.Equal(t, rows[q.Box], q.From, "%s: %s goes on where it was broken", name, p.names[q.Box])
			rows[q.Box] = q.Until
		}
	}
	for b := range p.boxes {
		out := slices.Contains(l.Out, b)
		if table := p.boxes[b].Table; table != nil && !out {
			assert.Len(t, table.Rows[0], rows[b], "%s: rows of %s", name, p.names[b])
		}
		// Of two leaves some of the rest may be told to stand in the large drawings.
		needed := p.boxes[b].Need == compose.Keep || p.boxes[b].Need == compose.Must && i.Plan.Pair == nil
		assert.False(t, out && needed, "%s: %s has no room", name, p.names[b])
		if out && p.names[b] != "" {
			assert.Contains(t, p.out, p.names[b], "%s: what is left out is told", name)
		}
	}
	pages := letteringOf(t, file)
	require.Len(t, pages, l.Pages, name)
	frame := draw.Box{Min: draw.Pt(6.5, 6.5), Max: draw.Pt(210-6.5, 297-6.5)}
	// Below the frame stands only what a box for a letter stands for.
	foot := draw.Box{Min: draw.Pt(14.9, 297-6.1), Max: draw.Pt(202.1, 297-2)}
	for n, texts := range pages {
		boxed := slices.ContainsFunc(texts, func(l lettered) bool { return strings.Contains(l.text, "□") })
		for a := range texts {
			x := &texts[a]
			room := frame
			if boxed && x.corners[3].Y > 297-6.2 {
				room = foot
			}
			if x.size*capital < 2.5 {
				t.Errorf("%s: %q is %.2f mm high", name, x.text, x.size*capital)
			}
			if slices.ContainsFunc(x.corners[:], func(c draw.Point) bool { return !room.Holds(c) }) {
				t.Errorf("%s, side %d: %q is cut", name, n+1, x.text)
			}
			for b := range texts[:a] {
				if over(x, &texts[b]) {
					t.Errorf("%s, side %d: %q over %q", name, n+1, x.text, texts[b].text)
				}
			}
		}
	}
	return file, p, l
}

// The sheets of all demo sites hold; a simple site's is one sheet of paper.
func TestPocketOfTheDemoSites(t *testing.T) {
	for n, s := range demo.Sites() {
		file, p, l := composed(t, s.Survey.Site.Name, issueOf(t, s.Survey))
		var out []string
		for _, b := range l.Out {
			out = append(out, p.names[b])
		}
		t.Logf("%2d %s: %d sides, full %.2f, without %q", n+1, s.Survey.Site.Name, l.Pages, l.Full, out)
		if n == 0 {
			assert.Equal(t, 2, l.Pages, "the simple site")
		}
		if *keep != "" {
			require.NoError(t, os.WriteFile(filepath.Join(*keep, fmt.Sprint("pocket", n+1, ".pdf")), file, 0o644))
		}
	}
}

// So do those of drawn sites, every kind of them, and of pairs; a thousand in the soak.
func TestPocketOfDrawnSites(t *testing.T) {
	rules := practice.DefaultPractice()
	sites := enginetest.RandomSites(soaked(40))
	const shares = 2
	for share := range shares {
		t.Run(strconv.Itoa(share), func(t *testing.T) {
			t.Parallel()
			sides := map[int]int{}
			for n := share; n < len(sites) && !t.Failed(); n += shares {
				s := sites[n]
				if n%10 == 9 {
					s = enginetest.Paired(s)
				}
				made, _ := engine.Design(s, rules)
				i := issueOf(t, enginetest.SquareSite())
				i.Plan, i.Survey = &made, &s
				_, _, l := composed(t, "site "+strconv.Itoa(n), i)
				sides[l.Pages]++
			}
			t.Log("how many have so many sides:", sides)
		})
	}
}

// Two leaves on any ground are more than four sides hold at times: then plan, pegs, what says
// stop, and what is only in the large drawings stand there all the same.
func TestPocketOfPairs(t *testing.T) {
	rules := practice.DefaultPractice()
	for n := range uint64(soaked(40) / 10) {
		s := enginetest.RandomPair(rand.New(rand.NewPCG(n+10, 9)))
		made, _ := engine.Design(s, rules)
		i := issueOf(t, enginetest.SquareSite())
		i.Plan, i.Survey = &made, &s
		_, p, l := composed(t, "pair "+strconv.FormatUint(n, 10), i)
		for b, name := range p.names {
			if name == i.say("Stop") || name == i.say("Pegs, in the order one walks") || name == i.say("Set-out plan") {
				assert.NotContains(t, l.Out, b, "%d: %s", n, name)
			}
		}
	}
}

// In a shop that works in feet every scale bar is in feet, on all sheets.
func TestScaleBarsAreInTheShopsUnits(t *testing.T) {
	i := issueOf(t, demo.Sites()[5].Survey)
	bar := regexp.MustCompile(`(?m)^[\d.]+ (m|mm|ft)$`)
	for units, wrong := range map[string]string{"mm": "ft", unitFeet: "m"} {
		i.Units = units
		i.Figure, i.Write = func(a text.Arg) string { return "x" }, func(a text.Arg) string { return "x" }
		for _, r := range []Reader{ForLabourer, ForLarge, ForSteel} {
			bars := 0
			for _, m := range bar.FindAllStringSubmatch(words(t, i, r), -1) {
				bars++
				assert.NotContains(t, m[1], wrong, "%s, %s", r, units)
			}
			assert.Positive(t, bars, "%s, %s", r, units)
		}
	}
}

// Whatever is typed as a name, and with nothing measured at all, there are sheets that hold,
// and what was typed is kept.
func TestPocketOfWhatIsHardToSet(t *testing.T) {
	rules := practice.DefaultPractice()
	for what, name := range map[string]string{
		"nothing":         "",
		"200 characters":  strings.Repeat("Gateway ", 25),
		"one word of 200": strings.Repeat("Wickelfalz", 20),
		"wide letters":    strings.Repeat("ЩЖЮ Ѡ Σταθμός ", 15),
		"emoji":           strings.Repeat("🚪🔧", 20),
		"right to left":   strings.Repeat("שער הזזה מחסום ", 12),
		"joined letters":  strings.Repeat("بوابة منزلقة ضيقة ", 12),
		"one joined word": strings.Repeat("سلمشصض", 33),
		"accents apart":   strings.Repeat("e\u0301a\u0308\u0323 ", 25),
	} {
		for _, s := range []survey.Survey{{}, site()} {
			s.Site.Name, s.Site.Client, s.Site.MeasuredBy = name, name, name
			for k := range s.RunBack.Obstructions {
				s.RunBack.Obstructions[k].Name = name
			}
			made, _ := engine.Design(s, rules)
			i := issueOf(t, enginetest.SquareSite())
			i.Plan, i.Survey, i.Firm = &made, &s, name
			file, _, _ := composed(t, what, i)
			assert.Equal(t, name, s.Site.Name)
			if what == "200 characters" {
				has(t, wordsOf(t, file), "Set-out and pour: Gateway Gateway", what)
			}
		}
	}
}
