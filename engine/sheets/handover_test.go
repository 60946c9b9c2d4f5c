package sheets

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"pegpour/engine/enginetest"
	"pegpour/engine/handover"
	"pegpour/engine/survey"
)

// The record says what came of each test and what is missing, and the owner's page
// does not call a gate safe that was not handed over.
func TestHandOverSheets(t *testing.T) {
	s := site()
	h := &s.Build.HandOver
	h.StopShut, h.StopOpen, h.Released = survey.Holds, survey.Fails, survey.Stays
	h.Pull = survey.Measured(120, survey.ByTape)
	h.Forces = []survey.EdgeForce{{Edge: survey.EdgeClosing, Gap: survey.Measured(50, survey.ByTape),
		Peak: survey.Measured(610, survey.ByTape), Rest: survey.Measured(90, survey.ByTape)}}
	h.Parts = []survey.BuiltIn{{What: "Drive", Serial: "A-4711", Setting: "force 3 of 8"}}
	h.Fitter, h.FitterSign = "J. Fitter", handover.WriteStrokes([][]handover.Point{{{X: 10, Y: 10}, {X: 250, Y: 80}}})
	h.Signed, h.SignedFor = "2026-01-31T10:00:00Z", "fedcba9876543210"
	h.Services = []survey.Service{{On: "2026-07-30", What: "Greased, forces measured", By: "J. Fitter"}}
	i := issueOf(t, s)

	record := words(t, i, ForHandOver)
	for _, want := range []string{"Not ready to be handed over", "Hard stop at the open end", "not passed", "610 N", "120 N", "A-4711",
		"force 3 of 8", "The owner signs, with a name.", "2026-07-30", "Next service: 2027-07-30", "fedcba9876", "J. Fitter",
		"225 N at most", "Greased"} {
		has(t, record, want, "record")
	}
	page := words(t, i, ForKeeper)
	has(t, page, "do not use it under power", "page")
	has(t, page, "release", "page")
	has(t, page, "A-4711", "page")
	assert.NotContains(t, page, "force 3 of 8", "settings are the shop's")

	h.SignedFor = ""
	i = issueOf(t, s)
	assert.NotContains(t, words(t, i, ForHandOver), "Something changed since it was signed")
	h.SignedFor, i.State = "fedcba9876543210", "another"
	i.Survey = &s
	has(t, words(t, i, ForHandOver), "Something changed since it was signed", "record")

	without := site()
	without.Gate.Motor = survey.MotorNone
	page = words(t, issueOf(t, without), ForKeeper)
	assert.NotContains(t, page, "Remotes")
}

// The record of two leaves has the tests and the readings of each under its side's name.
func TestHandOverOfAPair(t *testing.T) {
	s := enginetest.Paired(site())
	s.Opening.Width = survey.Measured(8000, survey.ByTape)
	h := &s.Build.HandOver
	h.StopShut, h.Latch.StopShut = survey.Holds, survey.Fails
	h.Pull, h.Latch.Pull = survey.Measured(120, survey.ByTape), survey.Measured(131, survey.ByTape)
	reading := func(edge string, peak float64) survey.EdgeForce {
		return survey.EdgeForce{Edge: edge, Gap: survey.Measured(50, survey.ByTape), Peak: survey.Measured(peak, survey.ByTape)}
	}
	h.Forces = []survey.EdgeForce{reading(survey.EdgeClosing, 301), reading(survey.EdgeClosingLatch, 302)}
	record := words(t, issueOf(t, s), ForHandOver)
	for _, want := range []string{"Stop in the drive, latch side", "not passed", "120 N", "131 N",
		"301 N", "302 N", "The closing edge, latch side", "The leaves meet"} {
		has(t, record, want, "record")
	}
}
