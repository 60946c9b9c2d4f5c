package ui

import (
	"strings"
	"testing"

	"github.com/maxence-charriere/go-app/v9/pkg/app"
	"github.com/stretchr/testify/require"

	"pegpour/app/editing"
	"pegpour/app/language"
	"pegpour/app/turns"
	"pegpour/engine/draw"
	"pegpour/engine/survey"
	"pegpour/storage"
	"pegpour/storage/demo"
)

// siteOf has a survey in hand without a browser or a store.
func siteOf(t *testing.T, taken survey.Survey) *editing.Site {
	t.Helper()
	w := editing.NewSite(editing.NewDevice(&turns.Turns{}, &language.Speaker{}, nil))
	w.Shop = storage.NewShop()
	w.Doc = storage.NewDocument(editing.Now())
	w.Doc.Survey = taken
	w.Design()
	return w
}

// The drawing of a key waits for the outlines alone; the first to ask for the
// plan gets it whole.
func TestAKeysDrawingWaitsForNoFigure(t *testing.T) {
	for _, site := range demo.Sites() {
		w := siteOf(t, site.Survey)
		for _, w.Asked = range []string{survey.OpeningWidth, survey.RunBackDepth, survey.GateCladding} {
			live := &Drawing{Live: w, Fill: true}
			live.place, live.room.X, live.room.Y = app.Window(), 390, 210
			w.Live = live
			w.Design()
			sheet, err := live.layout(live.Options, 390, 210)
			require.NoError(t, err)
			require.NotEmpty(t, sheet.Groups)
			require.Empty(t, sheet.Desc, "its words need what it did not wait for")
			require.Empty(t, w.Outlines().Figures)
			require.NotEmpty(t, w.Plan().Figures)
			require.Same(t, w.Outlines(), w.Plan())
		}
	}
}

// A drawing is moved as the screen has left and up, turned and mirrored too; a button
// that would do nothing cannot be pressed; another part is shown whole again.
func TestADrawingMovesAsTheScreenHasIt(t *testing.T) {
	w := siteOf(t, demo.Sites()[0].Survey)
	offered := func(d *Drawing) string {
		words := app.HTMLString(d.Render())
		var names string
		for _, name := range []string{"Smaller", "Move left", "Move up", "Move down", "Move right", "Larger"} {
			before, after, found := strings.Cut(words, `aria-label="`+name+`"`)
			require.True(t, found)
			after, _, _ = strings.Cut(after, ">")
			tag := before[strings.LastIndex(before, "<"):] + after
			if !strings.Contains(tag, "disabled") || strings.Contains(tag, `disabled="false"`) {
				names += name + ", "
			}
		}
		return names
	}
	for _, turn := range []bool{false, true} {
		for _, hand := range []string{survey.HandRight, survey.HandLeft} {
			w.Doc.Survey.Opening.Hand = hand
			w.Design()
			d := &Drawing{Speaker: w.Speaker, Plan: w.Plan(), Tools: true, Turn: turn}
			require.Equal(t, "Larger, ", offered(d), "all of it is in sight")
			d.scaleBy(4)
			require.Equal(t, "Smaller, Move left, Move up, Move down, Move right, Larger, ", offered(d))
			sheet := draw.Sheet{Mirror: d.Plan.Mirrored(), Turn: turn, Scale: 1}
			for _, step := range []draw.Point{{X: -1}, {X: 1}, {Y: -1}, {Y: 1}} {
				from, to := sheet.ToSheet(d.centre), sheet.ToSheet(d.moved(step.X, step.Y))
				require.Positive(t, (to.X-from.X)*step.X+(to.Y-from.Y)*step.Y)
				require.Zero(t, (to.X-from.X)*step.Y+(to.Y-from.Y)*step.X)
			}
			for range 20 {
				d.centre = d.moved(-1, 0)
			}
			require.NotContains(t, offered(d), "Move left", "the end is in sight")
			d.scaleBy(32)
			require.NotContains(t, offered(d), "Larger")
			d.Part = "another"
			require.Equal(t, "Larger, ", offered(d))
		}
	}
}
