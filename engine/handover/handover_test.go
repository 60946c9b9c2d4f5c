package handover

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

func english(t text.Text) string {
	return t.In(func(t text.Text) string { return t.Format }, text.PlainArg)
}

// driven is a plan with a motor.
func driven() *plan.Plan { return &plan.Plan{Outlines: []plan.Outline{{Kind: plan.PartMotor}}} }

func judged(h survey.HandOver) *Report {
	p := practice.DefaultPractice()
	return Judge(&survey.Survey{Build: survey.Build{HandOver: h}}, &p, driven(), h.SignedFor)
}

func newtons(v float64) survey.Value { return survey.Measured(v, survey.ByTape) }

func reading(gap, peak, long, rest float64) survey.EdgeForce {
	return survey.EdgeForce{Edge: survey.EdgeClosing, Gap: newtons(gap), Peak: newtons(peak), Long: newtons(long),
		Rest: newtons(rest)}
}

// sound is a hand-over of which nothing is missing.
func sound() survey.HandOver {
	sign := WriteStrokes([][]Point{{{10, 10}, {200, 90}}})
	open := reading(300, 200, 0.4, 80)
	open.Edge = survey.EdgeOpening
	return survey.HandOver{StopShut: survey.Holds, StopOpen: survey.Holds, Released: survey.Stays, Pull: newtons(120),
		Forces:   []survey.EdgeForce{reading(50, 300, 0.5, 100), reading(300, 310, 0.5, 100), reading(510, 320, 0.5, 100), open},
		Reverses: survey.Yes, Beams: survey.Yes, Shown: survey.Yes,
		Fitter: "Ana", FitterSign: sign, Owner: "Ben", OwnerSign: sign, Signed: "2026-01-31T10:00:00Z"}
}

func of(t *testing.T, r *Report, id string) Test {
	t.Helper()
	for i := range r.Tests {
		if r.Tests[i].ID == id {
			return r.Tests[i]
		}
	}
	require.Fail(t, "no such test", id)
	return Test{}
}

func TestOrderKeepsPeopleWhole(t *testing.T) {
	r := judged(survey.HandOver{})
	assert.False(t, r.Tests[0].Barred)
	assert.Equal(t, "stopShut", r.Tests[0].ID)
	power := false
	for i := range r.Tests[1:] {
		assert.True(t, r.Tests[i+1].Barred, r.Tests[i+1].ID)
		power = power || r.Tests[i+1].Power
	}
	assert.True(t, power)
	require.Len(t, r.Missing, len(r.Tests)+2)

	h := sound()
	require.True(t, judged(h).Ready(), "%v", judged(h).Missing)
	h.StopOpen = survey.Fails
	r = judged(h)
	assert.False(t, r.Ready())
	assert.Equal(t, Failed, of(t, r, "stopOpen").Result)
	assert.True(t, of(t, r, "force closing").Barred, "no power while a stop does not hold")
	assert.False(t, of(t, r, "stopShut").Barred)
}

// EN 12453 as printed in a trade journal of doors and gates, summer 2016: 400 N, 0.75 s,
// 150 N. The gauge's 5 % are counted against the gate.
func TestForces(t *testing.T) {
	for _, c := range []struct {
		what    string
		reading survey.EdgeForce
		want    Result
		says    string
	}{
		{"well under", reading(50, 300, 0.5, 100), Passed, ""},
		{"just under, with the gauge's uncertainty", reading(50, 380, 0.5, 100), Passed, ""},
		{"too close to tell", reading(50, 390, 0.5, 100), Unjudged, "too close to tell"},
		{"at the limit", reading(50, 400, 0.5, 100), Unjudged, "too close to tell"},
		{"above, and the gauge may be wrong", reading(50, 420, 0.5, 100), Unjudged, "too close"},
		{"above", reading(50, 430, 0.5, 100), Failed, "430"},
		{"too long", reading(50, 300, 0.8, 100), Failed, "0.8 seconds"},
		{"too much remains", reading(50, 300, 0.5, 170), Failed, "170"},
		{"what remains is too close", reading(50, 300, 0.5, 150), Unjudged, "150"},
		{"nothing said of what remains", survey.EdgeForce{Gap: newtons(50), Peak: newtons(300)}, Unjudged, "how long"},
		{"never more than may remain", survey.EdgeForce{Gap: newtons(50), Peak: newtons(120)}, Passed, ""},
		{"no force", survey.EdgeForce{Gap: newtons(50)}, Unjudged, "no force"},
		{"no gap", survey.EdgeForce{Peak: newtons(100)}, Unjudged, "left open"},
		{"a wide gap", reading(900, 100, 0.1, 10), Unjudged, "500"},
	} {
		h := sound()
		h.Forces[0] = c.reading
		got := of(t, judged(h), "force closing")
		assert.Equal(t, c.want, got.Result, c.what)
		assert.Contains(t, english(got.Why), c.says, c.what)
	}
	h := sound()
	h.Forces = h.Forces[:2]
	got := of(t, judged(h), "force closing")
	assert.Equal(t, Unjudged, got.Result)
	assert.Contains(t, english(got.Why), "500", "the gap that was not measured")
}

// By a second way: whatever the gauge's true force was within its uncertainty, a
// reading that passes was under the limit, and one that fails over it.
func TestReadingsAreNotJudgedTooKindly(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		limit := rapid.Float64Range(50, 500).Draw(t, "limit")
		reading := rapid.Float64Range(0, 1000).Draw(t, "reading")
		share := rapid.Float64Range(0, 0.3).Draw(t, "share")
		off := rapid.Float64Range(-share, share).Draw(t, "off")
		result, _ := against(reading, limit, share, text.Text{})
		truth := reading * (1 + off)
		assert.False(t, result == Passed && truth > limit*(1+1e-12))
		assert.False(t, result == Failed && truth < limit*(1-1e-12))
	})
}

// What was signed for another state is not handed over any more.
func TestSignedForAnotherState(t *testing.T) {
	h := sound()
	h.SignedFor = "one"
	p := practice.DefaultPractice()
	s := survey.Survey{Build: survey.Build{HandOver: h}}
	assert.True(t, Judge(&s, &p, driven(), "one").Ready())
	r := Judge(&s, &p, driven(), "two")
	assert.True(t, r.Changed)
	assert.False(t, r.Ready())
}

// A gate without beams is not called one whose beams were tried.
func TestNoBeamsIsSaid(t *testing.T) {
	h := sound()
	h.Beams = survey.NoBeams
	assert.Contains(t, of(t, judged(h), "beams").Name.String(), "Without")
	h.Beams = survey.No
	assert.Equal(t, Failed, of(t, judged(h), "beams").Result)
}

// A worse reading never gives a better result, and never opens a test.
func TestWorseReadingsAreNeverBetter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := reading(rapid.SampledFrom(Gaps[:]).Draw(t, "gap"), rapid.Float64Range(0, 600).Draw(t, "peak"),
			rapid.Float64Range(0, 1).Draw(t, "long"), rapid.Float64Range(0, 300).Draw(t, "rest"))
		worse := f
		worse.Peak.Size += rapid.Float64Range(0, 300).Draw(t, "more")
		worse.Rest.Size += rapid.Float64Range(0, 100).Draw(t, "more remains")
		worse.Long.Size += rapid.Float64Range(0, 1).Draw(t, "longer")
		p := practice.DefaultPractice()
		a, _ := judge(&f, &p, text.Text{})
		b, _ := judge(&worse, &p, text.Text{})
		assert.GreaterOrEqual(t, rank(b), rank(a))
	})
}

func TestWithoutAMotorNothingIsAskedOfOne(t *testing.T) {
	p := practice.DefaultPractice()
	r := Judge(&survey.Survey{}, &p, &plan.Plan{}, "")
	for _, test := range r.Tests {
		assert.False(t, test.Power, test.ID)
	}
	assert.Equal(t, 5, len(r.Tests))
}

func TestSignatures(t *testing.T) {
	h := sound()
	h.Owner = ""
	require.Len(t, judged(h).Missing, 1, "a signature with no name")
	assert.Contains(t, english(judged(h).Missing[0]), "with a name")
	h = sound()
	h.OwnerSign = WriteStrokes([][]Point{{{10, 10}, {12, 12}}})
	require.Len(t, judged(h).Missing, 1, "a slip of the finger is no signature")
	for _, bad := range []string{"x", "1,2;a,b", "-1,4", "301,4", "5,121", "1", ";;;"} {
		assert.False(t, Signed(bad), bad)
	}
	rapid.Check(t, func(t *rapid.T) {
		point := rapid.Custom(func(t *rapid.T) Point {
			return Point{rapid.IntRange(0, StrokeWidth).Draw(t, "x"), rapid.IntRange(0, StrokeHeight).Draw(t, "y")}
		})
		strokes := rapid.SliceOfN(rapid.SliceOfN(point, 1, 20), 1, 20).Draw(t, "strokes")
		assert.Equal(t, strokes, ReadStrokes(WriteStrokes(strokes)))
	})
}

func TestNextService(t *testing.T) {
	p := practice.DefaultPractice()
	for _, c := range []struct {
		signed, service string
		months          float64
		want            string
	}{
		{"2026-01-31T10:00:00Z", "", 0, "2027-01-31"},
		{"2026-01-31", "", 1, "2026-02-28"}, // the month has no 31st
		{"2024-02-29", "", 12, "2025-02-28"},
		{"2026-01-31", "2026-12-05", 6, "2027-06-05"},
		{"2026-01-31", "soon", 6, "2026-07-31"},
		{"2026-01-31", "2025-01-01", 6, "2026-07-31"}, // one of before it was handed over
	} {
		h := survey.HandOver{Signed: c.signed, Services: []survey.Service{{On: c.service}}}
		if c.months > 0 {
			h.ServiceEvery = newtons(c.months)
		}
		got, ok := NextService(&h, &p)
		require.True(t, ok)
		assert.Equal(t, c.want, got.Format(time.DateOnly), "%v", c)
	}
	_, ok := NextService(&survey.HandOver{}, &p)
	assert.False(t, ok)
}

// What is said of a leaf that hangs free tells of its carriages and of no track.
func TestHandOverOfAHangingLeaf(t *testing.T) {
	p := practice.DefaultPractice()
	made := driven()
	made.Leaf.Hanging = &plan.Hanging{}
	h := sound()
	h.StopShut, h.StopOpen, h.Released, h.Pull = survey.Fails, survey.Fails, survey.RollsAway, newtons(400)
	r := Judge(&survey.Survey{Build: survey.Build{HandOver: h}}, &p, made, h.SignedFor)
	carriages := 0
	for _, test := range r.Tests {
		words := english(test.Why) + english(test.Do)
		assert.NotContains(t, words, "track", test.ID)
		if test.Result == Failed && assert.NotEmpty(t, english(test.Why), test.ID) {
			carriages += strings.Count(english(test.Why), "carriages")
		}
	}
	assert.Equal(t, 4, carriages)
}
