package yardlink

import (
	"context"
	"encoding/json"
	"errors"
	"testing"

	"github.com/maxence-charriere/go-app/v9/pkg/app"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/app/editing"
	"pegpour/app/language"
	"pegpour/app/turns/turnstest"
	"pegpour/engine/refusal"
	"pegpour/storage"
	"pegpour/storage/replication"
)

// answers is a yard that answers as it is told.
type answers func(replication.Request) (replication.Response, error)

func (a answers) Send(_ context.Context, r replication.Request) (replication.Response, error) {
	return a(r)
}

var errNoSignal = errors.New("no signal")

// bench is the link of a device with a store in memory.
type bench struct {
	*turnstest.Stage
	*Link
	t *testing.T
}

func openBench(t *testing.T, yard answers) *bench {
	t.Helper()
	store := storage.NewMemory()
	stage := turnstest.New(t)
	device := editing.NewDevice(stage.Turns, &language.Speaker{},
		func(context.Context) (storage.Store, error) { return store, nil })
	b := &bench{Stage: stage, Link: New(device, yard), t: t}
	open := false
	device.WithStore(func(app.Context) { open = true })
	b.Until("the store is open", func() bool { return open && b.Waiting() == 0 })
	return b
}

func (b *bench) pair(role string) {
	b.t.Helper()
	key, err := json.Marshal(
		map[string]any{"token": "secret", "device": map[string]string{"id": "d1", "name": "Phone", "role": role}})
	require.NoError(b.t, err)
	require.NoError(b.t, b.Store.KeepExchanged(b.t.Context(), nil, []storage.Record{{Key: "pairing", Value: key}}))
}

func (b *bench) addSite(name string) string {
	b.t.Helper()
	d := storage.NewDocument("2026-01-01T00:00:00Z")
	d.Survey.Site.Name = name
	_, err := b.Store.Create(b.t.Context(), d)
	require.NoError(b.t, err)
	return d.ID
}

// look reads anew how things stand.
func (b *bench) look() {
	b.t.Helper()
	counted := 0
	b.Counted = func() { counted++ }
	b.Watch()
	b.Until("the status is read", func() bool { return counted > 0 && !b.counting && !b.stale })
}

func TestWithoutAYardSitesStayHere(t *testing.T) {
	b := openBench(t, func(replication.Request) (replication.Response, error) {
		return replication.Response{},
			errNoSignal
	})
	id := b.addSite("One")
	assert.Empty(t, b.TallyWords())
	b.look()
	assert.True(t, b.Known)
	assert.Contains(t, b.TallyWords(), "No yard")
	assert.Empty(t, b.SiteTally(id))
	assert.Contains(t, b.SiteWords(id), "no yard")
	assert.Empty(t, b.SiteWords("another"))
}

func TestSitesThatWaitAreCounted(t *testing.T) {
	b := openBench(t, func(replication.Request) (replication.Response, error) {
		return replication.Response{},
			errNoSignal
	})
	b.pair("crew")
	second, first := b.addSite("Second"), b.addSite("First")
	b.look()
	assert.Equal(t, 2, b.NotInYard())
	assert.Equal(t, "2 sites are not yet in the yard", b.TallyWords())
	assert.Equal(t, "Not yet in the yard", b.SiteTally(first))
	assert.Contains(t, b.SiteWords(second), "when there is signal")
	waiting := b.SitesIn(func(s replication.SiteStatus) bool { return s.State == replication.Waiting })
	assert.Equal(t, []string{first, second}, waiting, "by name")
}

// While no screen shows how things stand, nothing is read: typing is left alone.
func TestNothingIsReadForNobody(t *testing.T) {
	b := openBench(t, func(replication.Request) (replication.Response, error) {
		return replication.Response{},
			errNoSignal
	})
	b.pair("crew")
	b.addSite("One")
	b.readStatus()
	b.Rest()
	assert.False(t, b.Known)
	b.look()
	assert.True(t, b.Known)
	b.Unwatch()
	b.addSite("Two")
	b.readStatus()
	b.Rest()
	assert.Equal(t, 1, b.Status.Waiting, "as it stood when somebody looked")
}

// Of the pages that are open, one speaks to the yard and tells the others.
func TestAnotherPageTellsHowTheLineIs(t *testing.T) {
	b := openBench(t, func(replication.Request) (replication.Response, error) {
		return replication.Response{},
			errNoSignal
	})
	b.look()
	line, err := json.Marshal(Line{Words: "no signal", Next: "2026-01-01T00:00:00Z"})
	require.NoError(t, err)
	b.receive(string(line))
	b.Until("the line is known", func() bool { return b.Line.Words != "" })
	assert.Equal(t, "no signal", b.Line.Words)
	b.receive("{")
	b.Rest()
	assert.Equal(t, "no signal", b.Line.Words, "what cannot be read changes nothing")

	b.runs = true
	b.receive(`{"Words":"of another"}`)
	b.Rest()
	assert.Equal(t, "no signal", b.Line.Words, "the page that speaks knows better")
}

func TestThePageThatSpeaksSaysWhatWentWrong(t *testing.T) {
	refused := replication.Response{Status: 401, Body: []byte(`{"type":"/api/v1/problems/unpaired"}`)}
	b := openBench(t, func(replication.Request) (replication.Response, error) { return refused, nil })
	b.pair("crew")
	b.addSite("One")
	b.runs = true
	_, err := b.Client().Step(t.Context())
	require.Error(t, err)
	b.look()
	assert.True(t, b.Line.Shut)
	assert.Contains(t, b.Line.Words, "does not let this device in")
	assert.Contains(t, b.TallyWords(), "does not let this device in")
}

func TestStepsAreToldNowAndThen(t *testing.T) {
	b := openBench(t, func(replication.Request) (replication.Response, error) {
		return replication.Response{},
			errNoSignal
	})
	b.pair("crew")
	b.addSite("One")
	b.look()
	_, _ = b.Client().Step(t.Context())
	for range 5 {
		b.noteStep()
	}
	b.Until("the line is taken over", func() bool { return b.Line.Words != "" })
	assert.Contains(t, b.Line.Words, "not reachable")
}

func TestWhatTheYardAnswersIsSaidPlainly(t *testing.T) {
	l := &language.Speaker{}
	for want, err := range map[string]error{
		"its key was withdrawn":    replication.ErrUnpaired,
		"does not have this":       replication.ErrNotInYard,
		"did not come from a yard": replication.ErrGarbled,
		"the office has to":        &replication.AnswerError{Status: 403},
		"changed this meanwhile":   &replication.AnswerError{Status: 412},
		"wait a little":            &replication.AnswerError{Status: 429},
		"The yard says: the yard takes no more than 10 sites": &replication.AnswerError{Status: 507, Kind: "quota-full",
			Said: refusal.Say("the yard takes no more than {0} sites: the office can allow more, or delete some", refusal.Count(10))},
		"The yard has no room":      &replication.AnswerError{Status: 507},
		"The yard failed":           &replication.AnswerError{Status: 500},
		"The yard says: too heavy":  &replication.AnswerError{Status: 422, Said: refusal.Say("too heavy")},
		"did not answer in time":    context.DeadlineExceeded,
		"The yard is not reachable": errNoSignal,
	} {
		assert.Contains(t, ErrorWords(l, err), want)
		assert.Contains(t, ErrorWords(l, errors.Join(errors.New("while asking"), err)), want)
	}
}

func TestACodeIsTakenFromThePicturesAddress(t *testing.T) {
	assert.Equal(t, "ABCDE-FGHJK", CodeInAddress("pair=ABCDE-FGHJK"))
	for _, other := range []string{"", "top", "pair", "pair="} {
		assert.Empty(t, CodeInAddress(other))
	}
	l := &language.Speaker{}
	assert.Contains(t, MissingToPair(l, "", "Phone", "no name"), "code is missing")
	assert.Equal(t, "no name", MissingToPair(l, "ABCDE-FGHJK", "", "no name"))
	assert.Empty(t, MissingToPair(l, "ABCDE-FGHJK", "Phone", "no name"))
}
