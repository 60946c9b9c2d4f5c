package reference

import (
	"bufio"
	"encoding/json"
	"flag"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/reference/cases"
)

var update = flag.Bool("update", false, "write the list anew")

const (
	folder   = "../../testdata/references/"
	document = folder + "TABLE.md"
	compact  = "table.tsv"
)

// published is a case as it stands in testdata/references.
type published struct {
	ID        string
	Topic     string
	Title     string
	Source    string
	Kind      string `json:"source_kind"`
	URL       string
	Expected  map[string]any
	Tolerance map[string]float64 `json:"rel_tolerance"`
}

// found runs the maths packages' own reference tests and takes down what they
// found for each value.
func found(t *testing.T) map[string]float64 {
	t.Helper()
	dir := t.TempDir()
	run := func(args ...string) {
		cmd := exec.Command("go", append([]string{"test", "-count=1", "-short"}, args...)...)
		cmd.Dir = ".."
		cmd.Env = append(os.Environ(), cases.Folder+"="+dir)
		out, err := cmd.CombinedOutput()
		require.NoError(t, err, "%s", out)
	}
	run("-run", "References$", "./anchor", "./concrete", "./geom", "./motion", "./slab", "./soil", "./steel", "./units",
		"./wind")
	run("-run", "^Test", "./levels", "./photo", "./tape")
	files, err := filepath.Glob(filepath.Join(dir, "*.jsonl"))
	require.NoError(t, err)
	got := map[string]float64{}
	for _, name := range files {
		f, err := os.Open(name)
		require.NoError(t, err)
		for lines := bufio.NewScanner(f); lines.Scan(); {
			var v cases.Found
			require.NoError(t, json.Unmarshal(lines.Bytes(), &v))
			got[v.Subject+"\t"+v.ID+"\t"+v.Name] = v.Got
		}
		require.NoError(t, f.Close())
	}
	return got
}

func figure(v float64) string {
	if v == math.Trunc(v) && math.Abs(v) < 1e9 {
		return fmt.Sprintf("%.0f", v)
	}
	return fmt.Sprintf("%.6g", v)
}

func clean(s string) string {
	return strings.TrimSpace(strings.NewReplacer("\t", " ", "\n", " ", "|", "/").Replace(s))
}

// One test over the whole engine: every case with its source, what is expected,
// what the engine gives and how far it is off.
func TestTable(t *testing.T) {
	if testing.Short() {
		t.Skip("runs other packages' tests")
	}
	got := found(t)
	files, err := filepath.Glob(folder + "*.json")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	var md, tsv strings.Builder
	md.WriteString("# What the engine was checked against\n\nMade by `go test ./engine/reference -update`; the test holds it against what the engine gives today. " +
		"Source: read = had before us, memory = recalled from the named book or standard, computed = arithmetic of its own.\n")
	listed, values := 0, 0
	ids := map[string]bool{}
	for _, name := range files {
		raw, err := os.ReadFile(name)
		require.NoError(t, err)
		var cases []published
		require.NoError(t, json.Unmarshal(raw, &cases), name)
		subject := strings.TrimSuffix(filepath.Base(name), ".json")
		md.WriteString("\n## " + subject +
			"\n\n| case | what | source | had by | value | expected | engine | error |\n|---|---|---|---|---|---|---|---|\n")
		for _, c := range cases {
			assert.False(t, ids[subject+c.ID], "two cases called %s", c.ID)
			ids[subject+c.ID] = true
			names := make([]string, 0, len(c.Expected))
			for n := range c.Expected {
				names = append(names, n)
			}
			slices.Sort(names)
			begun := false
			for _, n := range names {
				v, ok := got[subject+"\t"+c.ID+"\t"+n]
				if !ok {
					continue // that value is looked at in its package in another way
				}
				expected, is, wrong := "the printed shape", "the same", 0.0
				if want, number := c.Expected[n].(float64); number {
					expected, is = figure(want), figure(v)
					if wrong = math.Abs(v - want); want != 0 {
						wrong /= math.Abs(want)
					}
					tolerance, set := c.Tolerance[n]
					if !set {
						tolerance = c.Tolerance["*"]
					}
					assert.LessOrEqual(t, wrong, tolerance+1e-6, "%s %s: %v, printed %v", c.ID, n, v, want)
				} else {
					assert.Equal(t, 1.0, v, c.ID)
				}
				if wrong < 1e-12 {
					wrong = 0
				}
				if !begun {
					begun = true
					listed++
					tsv.WriteString(strings.Join([]string{subject, c.ID, clean(c.Topic), clean(c.Title),
						clean(c.Source), c.Kind}, "\t") + "\n")
				}
				values++
				tsv.WriteString(strings.Join([]string{"", clean(n), expected, is, fmt.Sprintf("%.1e", wrong)}, "\t") +
					"\n")
				md.WriteString("| " +
					strings.Join([]string{c.ID, clean(c.Title), clean(c.Source), c.Kind, clean(n), expected, is,
						fmt.Sprintf("%.1e", wrong)}, " | ") + " |\n")
			}
			if !begun {
				t.Logf("%s: in its package's own test only", c.ID)
			}
		}
	}
	t.Logf("%d cases, %d values", listed, values)
	assert.GreaterOrEqual(t, listed, 200)
	if *update {
		require.NoError(t, os.WriteFile(document, []byte(md.String()), 0o644))
		require.NoError(t, os.WriteFile(compact, []byte(tsv.String()), 0o644))
		return
	}
	written, err := os.ReadFile(document)
	require.NoError(t, err)
	assert.Equal(t, string(written), md.String(), "run go test ./engine/reference -update and look at what changed")
	assert.Equal(t, table, tsv.String())
}

func TestCases(t *testing.T) {
	cases := Cases()
	require.GreaterOrEqual(t, len(cases), 60)
	read := 0
	for _, c := range cases {
		assert.NotEmpty(t, c.Source, c.ID)
		assert.Contains(t, []string{KindRead, KindMemory, KindComputed}, c.Kind, c.ID)
		require.NotEmpty(t, c.Values, c.ID)
		for _, v := range c.Values {
			// Rolling coefficients are printed to one figure.
			assert.Less(t, v.Error, 0.3, "%s %s", c.ID, v.Name)
		}
		if c.Kind == KindRead {
			read++
		}
	}
	assert.GreaterOrEqual(t, read, 60, "cases had before us, not recalled")
}

// Every topic that a figure is said to rest on has cases.
func TestTopicsHaveCases(t *testing.T) {
	there := map[string]bool{}
	for _, c := range Cases() {
		there[c.Topic] = true
	}
	for _, b := range backing {
		for _, topic := range b.topics {
			assert.True(t, there[topic], "%s: no case of %q", b.figure, topic)
		}
	}
	assert.Nil(t, Topics("leaf.frame"))
	assert.NotEmpty(t, Topics("strength.embedment"))
}
