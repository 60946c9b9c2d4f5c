package app

import (
	"context"
	"io"
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/engine/refusal"
	"pegpour/storage"
)

// restoring is a back-up file being looked at, or restored.
type restoring struct {
	chosen   app.Value // the File
	fileName string
	checking bool // it is being read
	done     bool // it was restored: report says what was done
	report   *storage.RestoreReport
	fault    string // the file's
}

// restoreOutcomes are the outcomes in the order in which they are listed, each
// with what restoring does.
var restoreOutcomes = []struct {
	outcome   storage.RestoreOutcome
	one, many string
	does      string
}{
	{storage.RestoreNew, "One is not here", "{0} are not here", "It is added."},
	{storage.RestoreNewer, "One is newer than here", "{0} are newer than here", "It takes the place of the older state here."},
	{storage.RestoreConflict, "One went on in another way here", "{0} went on in another way here", "It is added beside, as a copy; the one here stays."},
	{storage.RestoreOlder, "One is older than here", "{0} are older than here", "The newer state here stays."},
	{storage.RestoreSame, "One is the same as here", "{0} are the same as here", "Nothing is done."},
	{storage.RestoreDamaged, "One cannot be read", "{0} cannot be read", "It is kept aside, to be saved as it is."},
}

// restore looks at a back-up file first and then, asked again, restores it.
func (s *safeScreen) restore() app.UI {
	return app.Section().Class("safe").Aria("label", say("Restore")).Body(
		app.H2().Text(say("Restore")),
		app.P().Text(say("Choose a back-up file: first it is only looked at, and you see what it holds against what is here.")),
		app.Label().Class("wide open-file").Body(
			app.Span().Text(say("Look into a back-up file")),
			app.Input().Type("file").Class("unseen").ID("restore-file").DataSet("do", "restore-file").OnChange(func(_ app.Context, e app.Event) {
				files := e.Get("target").Get("files")
				if files.Length() == 0 {
					return
				}
				s.chosen = files.Index(0)
				s.fileName = s.chosen.Get("name").String()
				s.read(true)
			})),
		app.If(s.checking, app.P().Class("quiet").Role("status").Text(say("Reading the file…"))),
		app.If(s.fault != "", app.P().Class("error").Role("alert").Text(holes(say("{0}: {1}"), s.fileName, s.fault))),
		s.listed(),
	)
}

// read reads the chosen file; dry, nothing is written.
func (s *safeScreen) read(dry bool) {
	w := s.w
	file := s.chosen
	s.checking, s.done, s.fault, s.report = true, false, "", nil
	w.background(func(context.Context) error {
		go func() {
			report, err := w.store.RestoreBackUp(context.Background(), &blobReader{blob: file}, dry)
			shop, shopErr := w.store.Shop(context.Background())
			w.dispatch(func(app.Context) {
				s.checking, s.done = false, !dry
				if err != nil {
					s.fault = readingWords(err)
				}
				if err == nil || len(report.Items) > 0 {
					s.report = &report
				}
				if !dry {
					if shopErr == nil {
						w.shop, w.shopRevision = shop.Shop, shop.Revision
						w.dress()
					}
					w.list()
					w.lookAtYard()
					w.lookAtRoom()
				}
			})
		}()
		return nil
	})
}

// changes counts what restoring would write.
func (r *restoring) changes() int {
	n := r.report.NewPhotos
	for _, item := range r.report.Items {
		switch item.Outcome {
		case storage.RestoreNew, storage.RestoreNewer, storage.RestoreConflict, storage.RestoreDamaged:
			n++
		}
	}
	return n
}

// listed says what the file holds against what is here, or what was done.
func (s *safeScreen) listed() app.UI {
	if s.report == nil {
		return app.Text("")
	}
	r := s.report
	heading := say("Nothing is written yet. This is what the file holds:")
	if s.done {
		heading = say("Restored. This is what the file held:")
	}
	made := ""
	if r.Made != "" {
		made = holes(say("{0}, made at {1}."), s.fileName, localTime(r.Made))
	}
	nothing := !s.done && s.changes() == 0
	return app.Div().Class("restores").ID("restore-report").DataSet("done", s.done).Body(
		app.P().Role("status").Text(heading),
		app.P().Class("quiet").Text(made),
		app.Ul().Body(app.Range(restoreOutcomes).Slice(func(i int) app.UI {
			o := restoreOutcomes[i]
			names := s.namesOf(o.outcome)
			if len(names) == 0 {
				return app.Text("")
			}
			return app.Li().DataSet("outcome", string(o.outcome)).DataSet("count", len(names)).Body(
				app.Strong().Text(sayCount(len(names), o.one, o.many)+"."),
				app.Text(" "+say(o.does)),
				app.P().Class("quiet").Text(strings.Join(names[:min(len(names), listStep)], ", ")+moreNames(len(names)-listStep)))
		})),
		app.P().Text(photoCount(r)),
		app.If(nothing && s.fault == "", app.P().ID("nothing-new").Role("status").Text(say("All of it is here already: there is nothing to restore."))),
		app.If(!s.done && !nothing, app.Button().Type("button").Class("primary").DataSet("do", "restore").Disabled(s.checking).Text(s.restoreWords()).
			OnClick(func(app.Context, app.Event) { s.read(false) })),
		app.If(s.done, app.A().Class("wide").Href("/").Text(say("To the sites"))),
	)
}

func (s *safeScreen) restoreWords() string {
	if s.fault != "" {
		return say("Restore what can be read")
	}
	return say("Restore")
}

func moreNames(n int) string {
	if n <= 0 {
		return ""
	}
	return ", " + sayCount(n, "and one more", "and {0} more")
}

func photoCount(r *storage.RestoreReport) string {
	if r.Photos == 0 {
		return say("The file holds no photos.")
	}
	return holes(sayCount(r.Photos, "The file holds one photo; not here: {1}.", "The file holds {0} photos; not here: {1}."), strconv.Itoa(r.Photos), strconv.Itoa(r.NewPhotos))
}

// namesOf names what has an outcome.
func (r *restoring) namesOf(outcome storage.RestoreOutcome) []string {
	var names []string
	for _, item := range r.report.Items {
		if item.Outcome != outcome {
			continue
		}
		name := item.Name
		switch {
		case item.ID == storage.ShopID:
			name = say("Shop rules")
		case name == "" && outcome == storage.RestoreDamaged:
			name = item.ID
		case name == "":
			name = say("New site")
		}
		names = append(names, name)
	}
	return names
}

// blobPiece is how much of a file is read or written at a time, in bytes.
const blobPiece = 1 << 20

// blobWriter gathers what is written in the browser, which may put it on disk,
// and not in the program's memory.
type blobWriter struct {
	parts   app.Value // an Array of Blobs
	rest    []byte
	written int64
	grown   func(int64) // hears of the length now and then; may be nil
}

// Write implements io.Writer.
func (b *blobWriter) Write(data []byte) (int, error) {
	b.rest = append(b.rest, data...)
	b.written += int64(len(data))
	if len(b.rest) >= blobPiece {
		b.flush()
		if b.grown != nil {
			b.grown(b.written)
		}
	}
	return len(data), nil
}

func (b *blobWriter) flush() {
	if b.parts == nil {
		b.parts = app.Window().Get("Array").New()
	}
	bytes := app.Window().Get("Uint8Array").New(len(b.rest))
	app.CopyBytesToJS(bytes, b.rest)
	b.parts.Call("push", app.Window().Get("Blob").New(arrayOf(bytes)))
	b.rest = b.rest[:0]
}

// blob returns what was written.
func (b *blobWriter) blob() app.Value {
	b.flush()
	return app.Window().Get("Blob").New(b.parts, map[string]any{"type": "application/octet-stream"})
}

var errUnreadFile = error(refusal.Error("the file cannot be read any more: choose it again"))

// blobReader reads a file of the browser piece by piece. It must not be used
// inside a handler, which would wait for itself.
type blobReader struct {
	blob app.Value
	at   int
	rest []byte
}

// Read implements io.Reader.
func (b *blobReader) Read(to []byte) (int, error) {
	if len(b.rest) == 0 {
		size := b.blob.Get("size").Int()
		if b.at >= size {
			return 0, io.EOF
		}
		end := min(b.at+blobPiece, size)
		got := make(chan []byte, 1)
		await(b.blob.Call("slice", b.at, end).Call("arrayBuffer"), func(buffer app.Value) {
			bytes := app.Window().Get("Uint8Array").New(buffer)
			data := make([]byte, bytes.Get("length").Int())
			app.CopyBytesToGo(data, bytes)
			got <- data
		}, func() { got <- nil })
		if b.rest = <-got; b.rest == nil {
			return 0, errUnreadFile
		}
		b.at = end
	}
	n := copy(to, b.rest)
	b.rest = b.rest[n:]
	return n, nil
}
