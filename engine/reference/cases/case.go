package cases

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// Case is one published or computed case.
type Case struct {
	ID       string
	Topic    string
	Title    string
	Inputs   json.RawMessage
	Expected map[string]any // a number, or a text for a shape
	// Tolerance is relative, by the name of the value; "*" holds for all others.
	Tolerance map[string]float64 `json:"rel_tolerance"`
}

// Values are what was found for a case, by name.
type Values = map[string]float64

// Read returns all cases of a subject: those of its file, such as steel.json,
// and of the files that add a source's own, such as steel_en10219.json. A file
// without cases fails.
func Read(t *testing.T, file string) []Case {
	t.Helper()
	// Tests run in their package's own folder, two below the module's.
	const folder = "../../testdata/references/"
	more, err := filepath.Glob(folder + strings.TrimSuffix(file, ".json") + "_*.json")
	if err != nil {
		t.Fatal(err)
	}
	var all []Case
	for _, name := range append([]string{folder + file}, more...) {
		raw, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		var those []Case
		if err := json.Unmarshal(raw, &those); err != nil || len(those) == 0 {
			t.Fatalf("%s: %d cases, %v", name, len(those), err)
		}
		all = append(all, those...)
	}
	return all
}

// OfTopic returns the cases of a file that have a topic. None fails.
func OfTopic(t *testing.T, file, topic string) []Case {
	t.Helper()
	var chosen []Case
	for _, c := range Read(t, file) {
		if c.Topic == topic {
			chosen = append(chosen, c)
		}
	}
	if len(chosen) == 0 {
		t.Fatalf("%s: no case of topic %q", file, topic)
	}
	return chosen
}

// Named returns the case of a file that has an ID. None fails.
func Named(t *testing.T, file, id string) Case {
	t.Helper()
	for _, c := range Read(t, file) {
		if c.ID == id {
			return c
		}
	}
	t.Fatalf("%s: no case %q", file, id)
	return Case{}
}

// Topics are the functions that find the values of a case, by its topic.
type Topics = map[string]func(Case) (Values, error)

// Run runs every case of a file, as a test of its ID, through the function of
// its topic. A case without a function, or an expected value that none gives,
// fails.
func Run(t *testing.T, file string, topics Topics) {
	t.Helper()
	for _, c := range Read(t, file) {
		t.Run(c.ID, func(t *testing.T) {
			find := topics[c.Topic]
			if find == nil {
				t.Fatalf("no test for topic %q", c.Topic)
			}
			got, err := find(c)
			if err != nil {
				t.Fatal(err)
			}
			for name := range c.Expected {
				value, found := got[name]
				if !found {
					t.Errorf("%s was not found", name)
					continue
				}
				c.Compare(t, name, value)
			}
		})
	}
}

// Expects reports whether the case has an expected value of a name.
func (c Case) Expects(name string) bool {
	_, expected := c.Expected[name]
	return expected
}

// Compare takes down a value that was found, and fails where it is not the
// expected one within the tolerance, or where none is expected.
func (c Case) Compare(t *testing.T, name string, got float64) {
	t.Helper()
	takeDown(c.ID, name, got)
	want, expected := c.Expected[name].(float64)
	if !expected {
		t.Fatalf("%s: no number %q is expected", c.ID, name)
	}
	tolerance, own := c.Tolerance[name]
	if !own {
		tolerance = c.Tolerance["*"]
	}
	if !(math.Abs(got-want) <= tolerance*math.Abs(want)) {
		t.Errorf("%s: %s is %.14g, want %.14g within %v", c.ID, name, got, want, tolerance)
	}
}

// CompareShape takes down whether a shape is the expected one, and fails where
// it is not.
func (c Case) CompareShape(t *testing.T, name string, same bool) {
	t.Helper()
	if !same {
		t.Errorf("%s: %s is not the expected shape", c.ID, name)
		return
	}
	takeDown(c.ID, name, 1)
}
