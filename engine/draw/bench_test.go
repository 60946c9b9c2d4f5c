package draw

import (
	"strconv"
	"testing"
)

// typicalPlan has 60 elements, 15 of them dimensions.
func typicalPlan() *Scene {
	s := footing()
	x := 0.0
	for i := range 7 {
		s.Add(Dimension{Tag: Tag{ID: "bay." + strconv.Itoa(i), Voice: VoiceWorkedOut}, From: Pt(x, 0),
			To: Pt(x+1000, 0), Side: Below, Text: "1000"})
		x += 1000
	}
	for i, at := range []Point{{0, 0}, {7200, 0}, {7200, 400}, {5100, 1100}, {4200, 1100}, {0, 400}} {
		s.Add(Peg{Tag: Tag{ID: "peg." + strconv.Itoa(i)}, At: at, Number: i + 1})
	}
	for i := 0; len(s.Elements) < 60; i++ {
		s.Add(Line{Tag: Tag{ID: "bar." + strconv.Itoa(i), Role: RoleSteel}, From: Pt(float64(200*i), 50),
			To: Pt(float64(200*i), 350)})
	}
	return s
}

func BenchmarkTypicalPlan(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Render(typicalPlan(), Phone(390, 420), Options{Screen: true}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkTypicalPlanAtScale(b *testing.B) {
	b.ReportAllocs()
	v := Phone(390, 420)
	v.Scale = 0.04
	for b.Loop() {
		if _, err := Render(typicalPlan(), v, Options{Screen: true}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkCrowded(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Render(crowded(), Phone(390, 420), Options{Screen: true}); err != nil {
			b.Fatal(err)
		}
	}
}
