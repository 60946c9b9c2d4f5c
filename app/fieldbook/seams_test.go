package fieldbook

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/app/ui"
	"pegpour/engine/survey"
	"pegpour/storage"
)

// A photo lands at the site at which it was chosen, also when another one is in
// hand by the time it is made smaller, or none.
func TestAPhotoLandsWhereItWasChosen(t *testing.T) {
	for name, leave := range map[string]func(*bench, string){
		"still there":  func(*bench, string) {},
		"none in hand": func(b *bench, _ string) { b.Doc = nil },
		"another site": func(b *bench, other string) {
			b.GoTo("/site/" + other + "/photos")
			b.Follow(b.Stage, nil)
			b.Until("the other is open", func() bool { return b.Doc != nil && b.Doc.ID == other })
		},
	} {
		t.Run(name, func(t *testing.T) {
			b := openBench(t, survey.Survey{})
			first := b.Doc.ID
			d := storage.NewDocument("2026-01-01T00:00:00Z")
			_, err := b.Store.Create(t.Context(), d)
			require.NoError(t, err)
			leave(b, d.ID)
			ui.KeepPhoto(b.Site, first, storage.Photo{Name: "gate.jpg", Tick: "pour.mesh"}, []byte("a picture"),
				func(storage.Photo) {})
			b.Rest()
			b.Until("all is stored", func() bool { return b.Waiting() == 0 })
			l, err := b.Store.Load(t.Context(), first)
			require.NoError(t, err)
			require.Len(t, l.Document.Photos, 1)
			assert.Equal(t, "gate.jpg", l.Document.Photos[0].Name)
			assert.Equal(t, map[string]bool{"pour.mesh": true}, ui.Pictured(l.Document))
			l, err = b.Store.Load(t.Context(), d.ID)
			require.NoError(t, err)
			assert.Empty(t, l.Document.Photos)
			assert.Empty(t, b.Unsaved)
		})
	}
}
