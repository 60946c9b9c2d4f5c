package demo

import (
	"testing"

	"pegpour/engine"
)

// The network of the demo is sound: every peg fixed, no tape suspected, the
// opening from it, and nothing that says stop.
func TestTapedNetwork(t *testing.T) {
	plan, err := engine.Design(tapedNetwork(), engine.DefaultPractice())
	if err != nil {
		t.Fatal(err)
	}
	n := plan.Network
	if n == nil || len(n.Pegs) != 10 || len(n.Loose) > 0 || n.DegreesOfFreedom < 5 {
		t.Fatalf("%+v", n)
	}
	if plan.Opening < 4230 || plan.Opening > 4246 {
		t.Errorf("the opening is %.1f", plan.Opening)
	}
	for _, tape := range n.Tapes {
		if tape.Suspect || !tape.Used {
			t.Errorf("%s – %s: %+v", tape.From, tape.To, tape)
		}
	}
	for _, c := range plan.Checks {
		if c.Severity == engine.Stop {
			t.Errorf("%s: %s", c.Code, c.What.String())
		}
	}
}
