package storage

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/survey"
)

// What was signed is bound to every figure, and to nothing that comes after it.
func TestHandOverState(t *testing.T) {
	d := NewDocument("site")
	d.Survey.Opening.Width = survey.Measured(4000, survey.ByTape)
	d.Survey.Build.HandOver.Forces = []survey.EdgeForce{{Peak: survey.Measured(300, survey.ByTape)}}
	name := func(change func(*Document)) Revision {
		next := *d
		next.Survey = d.Survey.Clone()
		change(&next)
		state, err := HandOverState(&next)
		require.NoError(t, err)
		return state
	}
	was := name(func(*Document) {})
	for what, change := range map[string]func(*Document){
		"signed":    func(d *Document) { d.Survey.Build.HandOver.Owner, d.Survey.Build.HandOver.OwnerSign = "A", "1,1" },
		"a service": func(d *Document) { d.Survey.Build.HandOver.Services = []survey.Service{{On: "2027-01-01"}} },
		"what it used": func(d *Document) {
			h := &d.Survey.Build.HandOver
			for _, v := range []*survey.Value{&h.Hours, &h.Loads, &h.Spoil, &h.HoursDig, &h.HoursForm, &h.HoursPour, &h.HoursHang,
				&h.HoursWire, &d.Survey.Build.Casting.Pour.Delivered} {
				*v = survey.Measured(2, survey.ByEstimate)
			}
		},
		"a price": func(d *Document) { d.Survey.Quote.Agreed = []survey.Agreement{{Total: "1.00"}} },
		"a tick":  func(d *Document) { d.Ticks = map[string]bool{"peg.1": true} },
		"a note":  func(d *Document) { d.Notes = []Note{{ID: "1"}} },
		"a time":  func(d *Document) { d.Changed = "2026-01-01T00:00:00Z" },
	} {
		assert.Equal(t, was, name(change), what)
	}
	for what, change := range map[string]func(*Document){
		"the opening": func(d *Document) { d.Survey.Opening.Width.Size = 4001 },
		"a force":     func(d *Document) { d.Survey.Build.HandOver.Forces[0].Peak.Size = 299 },
		"a rule":      func(d *Document) { d.Practice = map[string]float64{"strip.width": 250} },
	} {
		assert.NotEqual(t, was, name(change), what)
	}
}
