package progress

import (
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/handover"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/tables"
)

// A job goes through its steps, and each thing recorded brings it to its own.
func TestStepsOfAJob(t *testing.T) {
	var s survey.Survey
	ticks := map[string]bool{}
	mm := func(v float64) survey.Value { return survey.Measured(v, survey.ByTape) }
	sign := handover.WriteStrokes([][]handover.Point{{{X: 10, Y: 10}, {X: 250, Y: 80}}})
	for want, record := range []func(){
		func() {},
		func() { s.Opening.Width, s.RunBack.Room = mm(4000), mm(5000) },
		func() { ticks["peg.3"] = true },
		func() { ticks["pour.services"] = true },
		func() { ticks["pour.rodded"] = true },
		func() { s.Build.Poured.Opening = mm(4003) },
		func() { s.Build.HandOver.StopShut = survey.Holds },
		func() {
			h := &s.Build.HandOver
			h.Fitter, h.FitterSign, h.Owner, h.OwnerSign = "A", sign, "B", sign
		},
	} {
		record()
		assert.Equal(t, Step(want), Of(&s, ticks), "%d: %s", want, Step(want).Words())
		assert.True(t, All(&s, ticks)[want])
		assert.NotEmpty(t, Step(want).Words())
	}
	ticks["peg.3"] = false
	assert.False(t, All(&s, ticks)[Pegged], "a tick taken back")
	assert.Empty(t, Step(-1).Words())
	assert.Empty(t, Steps.Words())
}

// The lines of the pour list that say that concrete has come are lines of it.
func TestConcreteInIsOfThePourList(t *testing.T) {
	known := map[string]bool{}
	p := practice.DefaultPractice()
	for _, surface := range []string{survey.SurfaceConcrete, survey.SurfaceGravel, survey.SurfacePavers} {
		s := survey.Survey{}
		s.Drive.Surface = surface
		made, err := engine.Design(s, p)
		require.NoError(t, err)
		for _, stage := range tables.PourChecklist(&made, &p) {
			for _, item := range stage.Items {
				known[item.ID] = stage.ID != "before"
			}
		}
	}
	for _, id := range concreteIn {
		if later, ok := known[id]; ok {
			assert.True(t, later, id)
		}
	}
	assert.True(t, known["rodded"] && known["track"] && known["clean"], strconv.Itoa(len(known)))
}

// What a step is called between programs tells it from every other.
func TestEachStepHasANameOfItsOwn(t *testing.T) {
	names := Names()
	require.Len(t, names, int(Steps))
	seen := map[string]bool{}
	for step := range Steps {
		assert.Equal(t, names[step], step.Name())
		assert.NotEmpty(t, step.Name())
		assert.False(t, seen[step.Name()])
		seen[step.Name()] = true
	}
	assert.Empty(t, Step(-1).Name())
	assert.Empty(t, Steps.Name())
}
