package e2e

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
	"pegpour/storage/demo"
)

// tapsCounted counts taps and keystrokes.
const tapsCounted = `
	window.taps = 0;
	window.strokes = 0;
	addEventListener("click", (e) => e.isTrusted && taps++, true);
	addEventListener("keydown", () => strokes++, true);
`

// The taps and keystrokes of a whole simple site, from the list of sites on: the first one
// of a phone, and the next, which is built as the one before.
func TestTapsOfASimpleSite(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	b := LaunchBrowser(t)
	p := b.NewPage(t)
	size(p, smallWidth, smallHeight)
	p.BeforeScripts(tapsCounted)
	p.Go(s.URL + "/")
	p.WaitRunning()
	for _, most := range []int{30, 28} {
		p.Eval(`window.taps = window.strokes = 0`)
		walkSquareSite(p, "Lane 12")
		taps, strokes := p.Eval("taps"), p.Eval("strokes")
		t.Logf("a whole simple site: %s taps and %s keystrokes", taps, strokes)
		n, err := strconv.Atoi(taps)
		require.NoError(t, err)
		k, err := strconv.Atoi(strokes)
		require.NoError(t, err)
		require.LessOrEqual(t, n, most, "taps of a simple site")
		require.Less(t, k, 20, "keystrokes of a simple site, its name")
		settled(p)
		saved := p.Text(".title")
		require.Equal(t, "Lane 12", saved)
		p.Tap(`.top a[href="/"]`)
		p.Wait(`document.querySelector(".sites")`)
	}
	require.Empty(t, p.Faults())
}

// The taps and keystrokes of the whole demo site on rising ground, answered
// question by question as a crew would: twelve places under a string line, an
// edge at an angle, a cavity with its wall. Each number is typed on the keypad
// to its last digit, so most of the bound is digits; at the end the app has
// found the very figures of the demo.
func TestTapsOfTheRisingSite(t *testing.T) {
	t.Parallel()
	rising := demo.Sites()[5].Survey
	s := StartServer(t, requireServer(t), realBundle)
	b := LaunchBrowser(t)
	p := b.NewPage(t)
	p.BeforeScripts(tapsCounted)
	p.Go(s.URL + "/")
	p.WaitRunning()
	digits := walkSite(p, &rising)
	taps, strokes := p.Eval("taps"), p.Eval("strokes")
	t.Logf("the whole rising site: %s taps, %d of them digits, and %s keystrokes", taps, digits, strokes)
	n, err := strconv.Atoi(taps)
	require.NoError(t, err)
	require.Less(t, n-digits, 110,
		"taps that are no digits: one to go on from each of some seventy answers, one for each place")
	require.Less(t, n, 260, "all taps of the rising site")
	settled(p)
	p.Tap(`a.tab[href$="/pour"]`)
	plan, err := engine.Design(rising, practice.DefaultPractice())
	require.NoError(t, err)
	order, ok := plan.Figure("concrete.order")
	require.True(t, ok)
	bank, ok := plan.Figure("dig.bank")
	require.True(t, ok)
	cubic := func(v float64) string {
		return strings.TrimRight(strings.TrimRight(strconv.FormatFloat(v/1e9, 'f', 3, 64), "0"), ".") + " m³"
	}
	require.Equal(t, cubic(order.Value), strings.TrimPrefix(figure(p, "concrete.order"), "~"))
	require.Contains(t, p.Text("main"), cubic(bank.Value))
	require.Empty(t, p.Faults())
}

// walkSite answers each question that the walk asks with what a survey holds,
// and returns how many digits it typed.
func walkSite(p *Page, measured *survey.Survey) (digits int) {
	p.t.Helper()
	p.Tap(`[data-do="new-site"]`)
	return walkTo(p, measured, "")
}

// nothingLeft reports whether a survey holds nothing of a field and of those that come
// after it in its part of the site.
func nothingLeft(measured *survey.Survey, field string) bool {
	after, part := false, ""
	for _, f := range survey.Fields(measured) {
		if f.Path == field {
			after, part = true, f.Group
		}
		if after && f.Group == part && f.Answered(measured) {
			return false
		}
	}
	return true
}

// walkTo walks on to the field named, types what the survey holds of it and stays there.
func walkTo(p *Page, measured *survey.Survey, last string) (digits int) {
	p.t.Helper()
	places, points := 3, 2 // as many as there are at first
	for range 300 {
		p.Wait(`document.querySelector("#asked")`)
		const what = `(document.querySelector(".question")?.dataset.asked || document.querySelector("#asked")?.innerText)`
		asked := p.Eval(what)
		switch {
		case strings.Contains(asked, "That is the walk"):
			return digits
		case strings.Contains(asked, "Another place"):
			if places == len(measured.Ground.Levels.Drops) {
				p.Tap(`[data-key="on"]`)
			} else {
				places++
				p.Tap(`[data-do="add-drop"]`)
			}
		case strings.Contains(asked, "Another point"):
			if points == len(measured.Drive.RunBackEdge.Points) {
				p.Tap(`[data-key="on"]`)
			} else {
				points++
				p.Tap(`[data-do="add-point"]`)
			}
		case strings.Contains(asked, "Anything in the way"):
			p.Tap(`[data-choice="nothing"]`)
		default:
			f, ok := survey.FieldAt(asked)
			require.True(p.t, ok, asked)
			v := f.Value(measured)
			if p.Eval(`document.querySelector('[data-do="rest"]') !== null`) == "true" && nothingLeft(measured, asked) {
				p.Tap(`[data-do="rest"]`)
				break
			}
			if place, ok := strings.CutSuffix(asked, ".down"); ok {
				if other := elsewhere(p, measured, place); other != "" {
					p.Tap(`[data-reading="` + other + `"]`)
					break
				}
			}
			switch {
			case f.Numeric() && v.Known():
				if drop := strings.HasPrefix(asked, "ground.levels.drops."); drop &&
					strings.TrimPrefix(p.Eval(`document.querySelector("#entry").placeholder`), "~ ") == strconv.FormatFloat(v.Size, 'f', -1, 64) {
					p.Tap(`[data-key="next"]`) // guessed, or carried over from the place before
					break
				}
				size := v.Size
				switch f.Dimension {
				case text.AngleOf:
					size = math.Round(size*180/math.Pi*1e6) / 1e6
				case text.Grade:
					size = math.Round(size*1e8) / 1e6
				}
				digits += keyIn(p, strconv.FormatFloat(size, 'f', -1, 64))
				if asked == last {
					return digits
				}
				p.Tap(`[data-key="next"]`)
			case f.Numeric():
				p.Tap(`[data-key="next"]`)
			case f.Dimension == text.Choice && f.Words(measured) != "":
				p.Tap(`[data-choice="` + pickOf(f, measured) + `"]`)
			case f.Path == "site.name":
				p.Type("#entry", "Hill 6")
				p.Tap(`[data-key="on"]`)
			default:
				p.Tap(`[data-key="on"]`)
			}
		}
		p.Wait(what + ` !== ` + quote(asked))
	}
	p.t.Fatal("the walk does not end")
	return 0
}

// pickOf is the button that answers a choice, with what is answered by the same tap.
func pickOf(f survey.Field, measured *survey.Survey) string {
	words := f.Words(measured)
	square := func(e *survey.Edge) bool { return e.Given == survey.EdgeSquare && e.Along.Known() && e.Along.Size == 0 }
	drive := &measured.Drive
	switch {
	case f.Path == survey.OpeningHand && measured.Opening.SeenFrom == survey.SeenFromInside:
		return words + "-inside"
	case f.Path == survey.DriveRunBackEdgeGiven && square(&drive.RunBackEdge) && square(&drive.LatchEdge):
		return "both-flush"
	case f.Path == survey.DriveRunBackEdgeGiven && square(&drive.RunBackEdge),
		f.Path == survey.DriveLatchEdgeGiven && square(&drive.LatchEdge):
		return "flush"
	}
	return words
}

// elsewhere is the reading of a place under the string that is shown otherwise than it
// was taped; "" where both are as they should be.
func elsewhere(p *Page, measured *survey.Survey, place string) string {
	for _, column := range []string{".along", ".offset"} {
		f, _ := survey.FieldAt(place + column)
		shown := p.Eval(`document.querySelector('[data-reading="` + place + column + `"] span').innerText`)
		if strings.TrimLeft(shown, "~ ") != strconv.FormatFloat(f.Value(measured).Size, 'f', -1, 64) {
			return place + column
		}
	}
	return ""
}
