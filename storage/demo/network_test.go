package demo

import (
	"testing"

	"pegpour/engine"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
)

// The network of the demo is sound: every peg fixed, no tape suspected, the
// opening from it, and nothing that says stop.
func TestTapedNetwork(t *testing.T) {
	made, err := engine.Design(tapedNetwork(), practice.DefaultPractice())
	if err != nil {
		t.Fatal(err)
	}
	n := made.Network
	if n == nil || len(n.Pegs) != 10 || len(n.Loose) > 0 || n.DegreesOfFreedom < 5 {
		t.Fatalf("%+v", n)
	}
	if made.Opening < 4230 || made.Opening > 4246 {
		t.Errorf("the opening is %.1f", made.Opening)
	}
	for _, tape := range n.Tapes {
		if tape.Suspect || !tape.Used {
			t.Errorf("%s – %s: %+v", tape.From, tape.To, tape)
		}
	}
	for _, c := range made.Checks {
		if c.Severity == plan.Stop {
			t.Errorf("%s: %s", c.Code, c.What.String())
		}
	}
}
