package cases

import (
	"encoding/json"
	"testing"
)

// Fill reads the inputs into a struct or a map.
func (c Case) Fill(t *testing.T, into any) {
	t.Helper()
	if err := json.Unmarshal(c.Inputs, into); err != nil {
		t.Fatal(c.ID, err)
	}
}

// Number returns an input, 0 where the case has none of that name.
func (c Case) Number(name string) float64 { return input[float64](c, name) }

// Word returns an input that is a text, "" where the case has none of that name.
func (c Case) Word(name string) string { return input[string](c, name) }

// Holds returns an input that is true or false, false where the case has none
// of that name.
func (c Case) Holds(name string) bool { return input[bool](c, name) }

// Numbers returns an input that is a list, nil where the case has none of that
// name.
func (c Case) Numbers(name string) []float64 { return input[[]float64](c, name) }

// Rows returns an input that is a table, nil where the case has none of that
// name.
func (c Case) Rows(name string) [][]float64 { return input[[][]float64](c, name) }

// input is the input of a name, and the zero of T where the case has none. It
// panics where the input is not a T: the file is wrong.
func input[T any](c Case, name string) T {
	var all map[string]json.RawMessage
	err := json.Unmarshal(c.Inputs, &all)
	var value T
	if raw, given := all[name]; given && err == nil {
		err = json.Unmarshal(raw, &value)
	}
	if err != nil {
		panic(c.ID + ": " + name + ": " + err.Error())
	}
	return value
}
