package ui

import (
	"testing"

	"github.com/maxence-charriere/go-app/v9/pkg/app"
	"github.com/stretchr/testify/require"

	"pegpour/app/editing"
	"pegpour/app/language"
	"pegpour/app/turns"
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
