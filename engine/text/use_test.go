package text

import "testing"

// A part of strength is told no finer than it is known, and on the side of 100 % on
// which it lies.
func TestUse(t *testing.T) {
	for v, want := range map[float64]string{
		3.4729: "347 %", 0.4762: "48 %", 0.1: "10 %", 0.0994: "9.9 %", 0.0996: "10 %", 0.0123: "1.2 %", 0: "0 %",
		1: "100 %", 1.003: "101 %", 0.9981: "99 %", 1.4: "140 %", 0.00012: "0 %",
	} {
		if got := PlainArg(Used(v)); got != want {
			t.Errorf("%g: got %s, want %s", v, got, want)
		}
	}
	if name, _ := Use.MarshalText(); string(name) != "grade" {
		t.Errorf("documents have it as %s", name)
	}
}
