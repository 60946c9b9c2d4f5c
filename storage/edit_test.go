package storage

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/input"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
)

// randomEdit makes some edit on d, refused ones among them.
func randomEdit(r *rand.Rand, d *Document) (Edit, error) {
	fields := survey.Fields(&d.Survey)
	f := fields[r.IntN(len(fields))]
	edges := []string{"drive.runBackEdge", "drive.latchEdge"}
	edge := edges[r.IntN(2)]
	rules := practice.Rules()
	rule := rules[r.IntN(len(rules))]
	switch r.IntN(16) {
	case 0, 1, 2, 3, 4:
		if f.Numeric() {
			v := survey.Measured(f.Low+(f.High-f.Low)*(r.Float64()*1.2-0.1), survey.Methods()[r.IntN(7)])
			if r.IntN(4) == 0 {
				v = survey.Value{}
			}
			return SetValue(d, f.Path, v)
		}
		if len(f.Options) > 0 {
			words := append([]string{"", "nonsense"}, f.Options[0].Value, f.Options[len(f.Options)-1].Value)
			return SetWords(d, f.Path, words[r.IntN(len(words))])
		}
		return SetWords(d, f.Path, fmt.Sprint("text ", r.IntN(9), " ü \U0001f600 \"/~@"))
	case 5:
		return SetDraft(d, f.Path, fmt.Sprint("4ab", r.IntN(9)))
	case 6:
		return ClearDraft(d, f.Path)
	case 7:
		return SetRule(d, rule.Key, rule.Low+(rule.High-rule.Low)*(r.Float64()*1.2-0.1), "")
	case 8:
		return ClearRule(d, rule.Key)
	case 9, 10:
		return AddObstruction(d,
			survey.Obstruction{Kind: survey.ObstructionTree, Length: survey.Measured(float64(r.IntN(900)), survey.ByTape)})
	case 11:
		if n := len(d.Survey.RunBack.Obstructions); n > 0 {
			return RemoveObstruction(d, r.IntN(n))
		}
		return AddEdgePoint(d, edge, survey.EdgePoint{})
	case 12:
		return AddEdgePoint(d, edge, survey.EdgePoint{Along: survey.Measured(float64(r.IntN(900)), survey.ByString)})
	case 13:
		points, err := edgePoints(d, edge)
		if err == nil && len(points) > 0 {
			return RemoveEdgePoint(d, edge, r.IntN(len(points)))
		}
		return SetTick(d, "P/1", true)
	case 14:
		return SetTick(d, fmt.Sprint("P", r.IntN(4)), r.IntN(2) == 0)
	default:
		if len(d.Notes) > 0 && r.IntN(2) == 0 {
			return RemoveNote(d, d.Notes[r.IntN(len(d.Notes))].ID)
		}
		return PutNote(d, Note{Text: fmt.Sprint(r.IntN(99)), Pin: &Pin{r.Float64(), 1}})
	}
}

// refusedBy fails the test for an error that is no engine refusal.
func refusedBy(t testing.TB, err error) {
	t.Helper()
	var e *input.FieldError
	if err != nil && !errors.As(err, &e) {
		t.Fatalf("untyped error %v", err)
	}
}

func TestUndoAllReturnsToTheStart(t *testing.T) {
	for seed := range uint64(60) {
		r := rand.New(rand.NewPCG(seed, 7))
		d := NewDocument("2026-01-01T00:00:00Z")
		if seed%2 == 1 {
			d, _ = readDocument(t, "site-v1-unknown.json")
		}
		states := [][]byte{encode(t, d)}
		var made []Edit
		for range 60 {
			e, err := randomEdit(r, d)
			refusedBy(t, err)
			e = e.Stamped(fmt.Sprint("2026-01-01T00:00:", len(made)))
			if e, err = Rebase(d, e); err != nil {
				t.Fatal(err)
			}
			text, err := json.Marshal(e) // as the store keeps it
			if err != nil {
				t.Fatal(err)
			}
			var kept Edit
			if err := json.Unmarshal(text, &kept); err != nil {
				t.Fatal(err)
			}
			n, err := Apply(d, kept)
			if err != nil {
				t.Fatalf("seed %d: %v", seed, err)
			}
			if !bytes.Equal(encode(t, d), states[len(states)-1]) {
				t.Fatalf("seed %d: Apply changed the document it was given", seed)
			}
			d = n
			states, made = append(states, encode(t, d)), append(made, kept)
		}
		for i := len(made) - 1; i >= 0; i-- {
			var err error
			if d, err = Revert(d, made[i]); err != nil {
				t.Fatal(err)
			}
			if got := encode(t, d); !bytes.Equal(got, states[i]) {
				t.Fatalf("seed %d, edit %d %+v:\ngot  %s\nwant %s", seed, i, made[i], got, states[i])
			}
		}
		for i := range made {
			var err error
			if d, err = Apply(d, made[i]); err != nil {
				t.Fatal(err)
			}
			if !bytes.Equal(encode(t, d), states[i+1]) {
				t.Fatalf("seed %d: redo of edit %d gives another document", seed, i)
			}
		}
	}
}

func apply(t testing.TB, d *Document, e Edit, err error) *Document {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
	n, err := Apply(d, e)
	if err != nil {
		t.Fatal(err)
	}
	return n
}

func TestRefusedNumberBecomesADraft(t *testing.T) {
	d := NewDocument("2026-01-01T00:00:00Z")
	e, err := SetValue(d, "opening.width", survey.Measured(4000, survey.ByTape))
	d = apply(t, d, e, err)
	for text, size := range map[string]float64{"0": 0, "-5": -5, "1e9": 1e9, "NaN": math.NaN(), "Inf": math.Inf(1)} {
		e, err := SetValue(d, "opening.width", survey.Value{Size: size, How: survey.ByTape, Text: text})
		var refused *input.FieldError
		if !errors.As(err, &refused) || refused.Path != "opening.width" {
			t.Fatalf("%s: got %v", text, err)
		}
		n := apply(t, d, e, nil)
		if got, ok := n.Draft("opening.width"); !ok || got != text {
			t.Errorf("%s: draft %q", text, got)
		}
		if n.Survey.Opening.Width.Size != 4000 {
			t.Errorf("%s: the width became %v", text, n.Survey.Opening.Width)
		}
		e, err = SetValue(n, "opening.width", survey.Measured(4100, survey.ByTape))
		n = apply(t, n, e, err)
		if _, ok := n.Draft("opening.width"); ok || n.Survey.Opening.Width.Size != 4100 {
			t.Errorf("%s: after a good value: %+v, drafts %v", text, n.Survey.Opening.Width, n.Drafts)
		}
	}
	e, err = SetValue(d, "opening.width", survey.Measured(-5, survey.ByTape))
	if n := apply(t, d, e, nil); err == nil || n.Drafts["opening.width"] != "-5" {
		t.Errorf("without text: %v, %v", n.Drafts, err)
	}
	e, err = SetRule(d, "strip.width", -1, "minus one")
	if n := apply(t, d, e, nil); err == nil || n.Drafts["practice.strip.width"] != "minus one" || len(n.Practice) > 0 {
		t.Errorf("rule: %v, %v, %v", n.Drafts, n.Practice, err)
	}
	e, err = SetWords(d, "gate.motor", "steam")
	if n := apply(t, d, e, nil); err == nil || n.Drafts["gate.motor"] != "steam" || n.Survey.Gate.Motor != "" {
		t.Errorf("choice: %v, %v", n.Drafts, err)
	}
}

func TestDraftsFollowTheirEntry(t *testing.T) {
	d := NewDocument("2026-01-01T00:00:00Z")
	for range 3 {
		e, err := AddObstruction(d, survey.Obstruction{Kind: survey.ObstructionTree})
		d = apply(t, d, e, err)
	}
	e, err := SetDraft(d, "runBack.obstructions.2.length", "4x")
	d = apply(t, d, e, err)
	e, err = RemoveObstruction(d, 0)
	n := apply(t, d, e, err)
	if got, _ := n.Draft("runBack.obstructions.1.length"); got != "4x" {
		t.Errorf("the draft went astray: %v", n.Drafts)
	}
	e, err = RemoveObstruction(n, 1)
	if n = apply(t, n, e, err); len(n.Drafts) > 0 {
		t.Errorf("drafts of a removed entry stay: %v", n.Drafts)
	}
	if n, err = Revert(n, e); err != nil || len(n.Drafts) != 1 {
		t.Errorf("undo does not bring the draft back: %v, %v", n.Drafts, err)
	}
}

// TestEditReachesItsEntry: an edit made on entry 1 in one tab must not land on
// another entry after a second tab removed entry 0.
func TestEditReachesItsEntry(t *testing.T) {
	d := NewDocument("2026-01-01T00:00:00Z")
	for _, name := range []string{"a", "b", "c"} {
		e, err := AddObstruction(d, survey.Obstruction{Name: name})
		d = apply(t, d, e, err)
	}
	set, err := SetValue(d, "runBack.obstructions.1.length", survey.Measured(777, survey.ByTape))
	if err != nil {
		t.Fatal(err)
	}
	remove0, err := RemoveObstruction(d, 0)
	n := apply(t, apply(t, d, remove0, err), set, nil)
	if o := n.Survey.RunBack.Obstructions; len(o) != 2 || o[0].Name != "b" || o[0].Length.Size != 777 ||
		o[1].Length.Known() {
		t.Errorf("got %+v", o)
	}
	remove1, err := RemoveObstruction(d, 1)
	gone := apply(t, d, remove1, err)
	var e *GoneError
	if _, err := Apply(gone, set); !errors.As(err, &e) {
		t.Errorf("got %v, want a GoneError", err)
	}
}

func TestListsAreBounded(t *testing.T) {
	d := NewDocument("2026-01-01T00:00:00Z")
	for range survey.MaxObstructions {
		e, err := AddObstruction(d, survey.Obstruction{})
		d = apply(t, d, e, err)
	}
	for range survey.MaxEdgePoints {
		e, err := AddEdgePoint(d, "drive.latchEdge", survey.EdgePoint{})
		d = apply(t, d, e, err)
	}
	if _, err := AddObstruction(d, survey.Obstruction{}); err == nil {
		t.Error("an obstruction too many")
	}
	if _, err := AddEdgePoint(d, "drive.latchEdge", survey.EdgePoint{}); err == nil {
		t.Error("a point too many")
	}
	for _, f := range []func() (Edit, error){
		func() (Edit, error) { return RemoveObstruction(d, survey.MaxObstructions) },
		func() (Edit, error) { return RemoveObstruction(d, -1) },
		func() (Edit, error) { return RemoveEdgePoint(d, "drive.noEdge", 0) },
		func() (Edit, error) { return RemoveEdgePoint(d, "drive.runBackEdge", 0) },
		func() (Edit, error) { return SetValue(d, "no.field", survey.Value{}) },
		func() (Edit, error) { return SetValue(d, "drive.runBackEdge.points.0.along", survey.Value{}) },
		func() (Edit, error) { return SetWords(d, "opening.width", "x") },
		func() (Edit, error) { return AddEntry(d, "x", "opening", nil) },
		func() (Edit, error) { return AddEntry(d, "x", "no.list", nil) },
		func() (Edit, error) { return RemoveEntry(d, "x", "opening.width", 0) },
		func() (Edit, error) { return RemoveEntry(d, "x", "", 0) },
		func() (Edit, error) { return SetRule(d, "no.rule", 1, "") },
	} {
		if _, err := f(); err == nil {
			t.Error("an impossible edit was made")
		} else {
			refusedBy(t, err)
		}
	}
}

func TestPathsThatLeadNowhere(t *testing.T) {
	d, _ := readDocument(t, "site-v1.json")
	for _, path := range []string{"", "x", "/id", "/format", "/version", "/survey/runBack/obstructions/0/name",
		"/photos/@", "/survey/opening/width/size/x",
		"/survey/runBack/obstructions/@aa31/id", "/" + strings.Repeat("a/", 100)} {
		var e *PathError
		if _, err := Apply(d, Edit{Changes: []Change{{Path: path, After: json.RawMessage(`1`)}}}); !errors.As(err, &e) {
			t.Errorf("%q: got %v, want a PathError", path, err)
		}
	}
	var e *DecodeError
	for _, after := range []string{`"words"`, `{"size":[]}`, `{`} {
		if _, err := Apply(d, Edit{Changes: []Change{{Path: "/survey/opening/width",
			After: json.RawMessage(after)}}}); !errors.As(err, &e) {
			t.Errorf("%s: got %v, want a DecodeError", after, err)
		}
	}
}

func FuzzEdit(f *testing.F) {
	f.Add([]byte(`{"changes":[{"path":"/survey/opening/width","after":{"size":4}}]}`))
	f.Add([]byte(`{"changes":[{"path":"/photos/@a","after":{"id":"b"},"follows":"x"},{"path":"/photos/@a"}]}`))
	f.Add([]byte(`{"changes":[{"path":"/survey/runBack/obstructions","after":[1,{"id":"a"}]},{"path":"/survey/runBack/obstructions/@a/name","after":"x"}]}`))
	base, _ := readDocument(f, "site-v1.json")
	was := encode(f, base)
	f.Fuzz(func(t *testing.T, in []byte) {
		var e Edit
		if json.Unmarshal(in, &e) != nil {
			return
		}
		kept, err := Rebase(base, e)
		if err != nil {
			return
		}
		n, err := Apply(base, kept)
		if err != nil {
			return
		}
		back, err := Revert(n, kept)
		if err != nil {
			t.Fatalf("cannot be undone: %v", err)
		}
		if got := encode(t, back); !bytes.Equal(got, was) {
			t.Fatalf("undo of %s:\ngot  %s\nwant %s", in, got, was)
		}
	})
}

// Edits of an earlier run fit where what they found or left still stands, and not where
// something else does.
func TestEditsOfAnEarlierRunAreOvertaken(t *testing.T) {
	d := NewDocument("2026-01-01T00:00:00Z")
	width := func(v float64) Edit {
		e, err := SetValue(d, survey.OpeningWidth, survey.Measured(v, survey.ByTape))
		require.NoError(t, err)
		return e
	}
	old := []Edit{width(4000)}
	is, err := d.Overtaken(old)
	require.NoError(t, err)
	assert.False(t, is, "not stored yet")
	for _, c := range []struct {
		v  float64
		is bool
	}{{4000, false}, {4100, true}} {
		d, err = Apply(d, width(c.v))
		require.NoError(t, err)
		is, err = d.Overtaken(old)
		require.NoError(t, err)
		assert.Equal(t, c.is, is, c.v)
	}
}
