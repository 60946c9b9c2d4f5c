package quote

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"pegpour/engine/enginetest"
	"pegpour/engine/handover"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

var signature = handover.WriteStrokes([][]handover.Point{{{X: 10, Y: 10}, {X: 120, Y: 80}, {X: 200, Y: 30}}})

func state(*survey.Agreement) string { return "now" }

func signed(a survey.Agreement, state string) survey.Agreement {
	a.Owner, a.Sign, a.On, a.State = "R. Abel", signature, "2026-11-30T09:00:00Z", state
	return a
}

// What is agreed is read as it was written, and adds up.
func TestAgreedLinesAreKept(t *testing.T) {
	q, _ := quoted(t, enginetest.AngledSite(), rated(t, nil))
	a := q.Agree(text.Name.String)
	items := ReadItems(a.Lines)
	typed := q.Items()
	for i := range typed {
		typed[i].Name = text.TypedName(typed[i].Name.String())
	}
	assert.Equal(t, typed, items)
	german := ReadItems(q.Agree(func(text.Name) string { return "Auf\tDeutsch" }).Lines)
	assert.Equal(t, "Auf Deutsch", german[0].Name.String(), "what was signed stays in the words in which it was signed")
	assert.Equal(t, q.Total, Sum(items))
	assert.Equal(t, ItemTax, items[len(items)-1].Key)
	assert.True(t, Accepted(ptr(signed(a, "x"))))
	for what, spoil := range map[string]func(*survey.Agreement){
		"no name":        func(a *survey.Agreement) { a.Owner = "" },
		"no day":         func(a *survey.Agreement) { a.On = "" },
		"no signature":   func(a *survey.Agreement) { a.Sign = "1,1 2,2" },
		"another total":  func(a *survey.Agreement) { a.Total = "1.00" },
		"no lines":       func(a *survey.Agreement) { a.Lines = "" },
		"one line other": func(a *survey.Agreement) { a.Lines = "motor\tMotor\t1\t\t690.00\n" + a.Lines },
	} {
		b := signed(a, "x")
		spoil(&b)
		assert.False(t, Accepted(&b), what)
	}
}

func ptr[T any](v T) *T { return &v }

// Differences add up to that of the totals, whatever was agreed and is now.
func TestChangesAddUp(t *testing.T) {
	items := rapid.Custom(func(t *rapid.T) []Item {
		keys := rapid.SliceOfDistinct(rapid.SampledFrom([]string{"a", "b", "c", "d", "e", "f"}), func(s string) string { return s }).Draw(t, "keys")
		var all []Item
		for _, key := range keys {
			all = append(all, Item{key, text.TypedName("Name of " + key), Decimal(rapid.Int64Range(0, 9).Draw(t, "amount")) * One, "m",
				Amount(rapid.Int64Range(-500, 5000).Draw(t, "price"))})
		}
		return all
	})
	rapid.Check(t, func(t *rapid.T) {
		was, now := items.Draw(t, "was"), items.Draw(t, "now")
		sum := Amount(0)
		for _, c := range Changes(was, now) {
			assert.NotEqual(t, c.Was, c.Now)
			assert.NotEmpty(t, c.Name())
			sum += c.Difference()
		}
		assert.Equal(t, Sum(now)-Sum(was), sum)
		assert.Empty(t, Changes(now, now))
		assert.Equal(t, len(now) > 0, ReadItems(WriteItems(now, text.Name.String)) != nil)
		if len(now) > 0 {
			assert.Equal(t, now, ReadItems(WriteItems(now, text.Name.String)))
		}
	})
}

func FuzzReadItems(f *testing.F) {
	f.Add("rate.motor\tMotor\t1\t\t690.00")
	f.Add("a\tb\t0.5\tm³\t-3.10\nc\td\t1\t\t0.00")
	f.Add("\t\t\t\t")
	f.Fuzz(func(t *testing.T, written string) {
		if items := ReadItems(written); items != nil {
			assert.Equal(t, items, ReadItems(WriteItems(items, text.Name.String)))
		}
	})
}

// After it was accepted each change stands beside what was agreed, becomes a variation,
// and signed that holds.
func TestVariation(t *testing.T) {
	p := rated(t, nil)
	s := enginetest.SquareSite()
	q, _ := quoted(t, s, p)
	st := Stand(&s, q, state)
	assert.Nil(t, st.Signed)
	assert.False(t, st.Changed)

	s.Quote.Agreed = []survey.Agreement{q.Agree(text.Name.String)}
	s.Quote.Agreed[0].State = "now"
	st = Stand(&s, q, state)
	require.NotNil(t, st.Open)
	assert.False(t, st.Stale)
	assert.True(t, Stand(&s, q, func(*survey.Agreement) string { return "later" }).Stale, "nobody signs what is not so any more")

	s.Quote.Agreed[0] = signed(s.Quote.Agreed[0], "now")
	st = Stand(&s, q, state)
	assert.Equal(t, 1, st.Number)
	assert.False(t, st.Changed)

	s.Gate.Motor = survey.MotorNone
	by, _ := quoted(t, s, p)
	st = Stand(&s, by, func(*survey.Agreement) string { return "later" })
	assert.True(t, st.Changed)
	var gone []string
	for _, c := range st.Changes {
		if c.Now.Key == "" {
			gone = append(gone, c.Name().String())
		}
	}
	assert.Equal(t, []string{"Fitting, wiring and setting the motor", "Motor", "Rack", "Conduit"}, gone)
	assert.Equal(t, by.Total-q.Total, st.Difference())

	s.Quote.Agreed = append(s.Quote.Agreed, by.Agree(text.Name.String))
	s.Quote.Agreed[1].State = "later"
	st = Stand(&s, by, func(*survey.Agreement) string { return "later" })
	assert.Equal(t, 1, st.OpenAt)
	assert.Equal(t, q.Total.String(), st.Signed.Total, "until it is signed the first one holds")
	s.Quote.Agreed[1] = signed(s.Quote.Agreed[1], "later")
	st = Stand(&s, by, func(*survey.Agreement) string { return "later" })
	assert.Equal(t, 2, st.Number)
	assert.False(t, st.Changed)
	assert.Nil(t, st.Open)
	assert.Equal(t, by.Total.String(), st.Signed.Total)
}

// Digging is one line of a variation, whatever the ground turned out to be.
func TestDiggingIsOneLine(t *testing.T) {
	s, p := enginetest.SquareSite(), rated(t, nil)
	was, _ := quoted(t, s, p)
	s.Ground.Soil = survey.SoilRock
	now, _ := quoted(t, s, p)
	changes := Changes(was.Items(), now.Items())
	digging := 0
	for i := range changes {
		if changes[i].Name() == "Digging" {
			digging++
			assert.Positive(t, changes[i].Was.Price)
			assert.Greater(t, changes[i].Now.Price, changes[i].Was.Price)
		}
	}
	assert.Equal(t, 1, digging)
}
