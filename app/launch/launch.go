// Package launch is what every program of a page begins with: turns, language, the
// device with its store, the link to the yard, the press. Which screens stand on it
// is each program's own: the phone's in package app, the office's in package office.
package launch

import (
	"context"
	"pegpour/app/documents"
	"pegpour/app/editing"
	"pegpour/app/language"
	"pegpour/app/shell"
	"pegpour/app/turns"
	"pegpour/app/yardlink"
	"pegpour/storage"
	"pegpour/storage/replication"
	"time"
)

// Ground is what the screens of a program stand on, made once.
type Ground struct {
	Turns   *turns.Turns
	Speaker *language.Speaker
	Device  *editing.Device
	Link    *yardlink.Link
	Press   *documents.Press
}

// On returns the ground of a program that keeps things in the store of open;
// transport carries requests to the yard.
func On(open editing.Open, transport replication.Transport) *Ground {
	t := &turns.Turns{}
	g := &Ground{Turns: t, Speaker: language.New(shell.Words{Turns: t}), Press: documents.NewPress(t)}
	g.Device = editing.NewDevice(t, g.Speaker, open)
	g.Device.Opened = func() {
		t.Later(g.Link.Start)
		go func() { // what cannot be swept now is swept at the next start
			_, _ = storage.SweepPhotos(context.Background(), g.Device.Store, time.Now())
		}()
	}
	g.Device.Wanted = func() { g.Link.Hurry() }
	g.Link = yardlink.New(g.Device, transport)
	return g
}

// SpeakFirst takes up the language of the first screen. It must not be called on
// the goroutine of the screens.
func (g *Ground) SpeakFirst() { shell.SpeakFirst(g.Speaker) }
