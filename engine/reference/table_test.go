package reference

import (
	"bufio"
	"encoding/json"
	"flag"
	"fmt"
	"maps"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
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
	misprint = "errata.json"
	printed  = "errata.tsv"
)

// kinds in the order of the tables.
var kinds = []string{KindRead, KindFormula, KindMemory, KindComputed}

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
	// Calls is the function that the case checks, where its topic has several.
	Calls string
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

// asClose writes what was found with one figure more than what is expected has,
// so that the list in the program stays small, and nothing where that is what is
// expected.
func asClose(expected string, v float64) string {
	want, err := strconv.ParseFloat(expected, 64)
	if err != nil {
		return "the same"
	}
	mantissa, _, _ := strings.Cut(strings.TrimLeft(expected, "-0."), "e")
	figures := max(3, len(strings.ReplaceAll(mantissa, ".", "")))
	short := strconv.FormatFloat(v, 'g', min(figures+1, 6), 64)
	if got, err := strconv.ParseFloat(short, 64); err == nil && got == want {
		return ""
	}
	return short
}

func clean(s string) string {
	return strings.TrimSpace(strings.NewReplacer("\t", " ", "\n", " ", "|", "/").Replace(s))
}

// One test over the whole engine: every case with its source, what is expected,
// what the engine gives, how far it is off, and whether a design uses it.
func TestTable(t *testing.T) {
	if testing.Short() {
		t.Skip("runs other packages' tests")
	}
	got, used := found(t), reached(t)
	var list strings.Builder
	var tsv strings.Builder
	count := tally{}
	listed := 0
	ids := map[string]bool{}
	subject := ""
	for _, file := range casesOf(t) {
		if subject != file.subject {
			subject = file.subject
			list.WriteString("\n## " + subject + "\n\n| case | what | source | had by | in a design | value | expected | engine | error |\n" +
				"|---|---|---|---|---|---|---|---|---|\n")
		}
		for _, c := range file.cases {
			assert.False(t, ids[subject+c.ID], "two cases called %s", c.ID)
			ids[subject+c.ID] = true
			unused, in := "unused", "no"
			if subject == byScreens || used[formulaOfCase(t, subject, c)] {
				unused, in = "", "yes"
			}
			begun := false
			for _, n := range slices.Sorted(maps.Keys(c.Expected)) {
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
					tsv.WriteString(strings.Join([]string{subject, clean(c.Topic), clean(c.Title), clean(c.Source), c.Kind,
						unused}, "\t") + "\n")
				}
				count.add(subject, c.Topic, c.Kind, unused == "")
				tsv.WriteString(strings.Join([]string{"", clean(n), expected, asClose(expected, v)}, "\t") + "\n")
				list.WriteString("| " + strings.Join([]string{c.ID, clean(c.Title), clean(c.Source), c.Kind, in, clean(n),
					expected, is, fmt.Sprintf("%.1e", wrong)}, " | ") + " |\n")
			}
			if !begun {
				t.Logf("%s: in its package's own test only", c.ID)
			}
		}
	}
	wrong, wrongLines := misprints(t)
	md := "# What the engine was checked against\n\nMade by `go test ./engine/reference -update`; the test holds it against what the engine gives today. " +
		"Source: read = the value as printed there, formula = the formula read there and the value worked out from it, " +
		"memory = recalled from the named book or standard, computed = arithmetic of its own. " +
		"In a design: whether a design calls the formula, straight or through others.\n\n" +
		count.page() + wrong + list.String()
	t.Logf("%d cases\n%s", listed, count.page())
	assert.GreaterOrEqual(t, listed, 200)
	if *update {
		require.NoError(t, os.WriteFile(document, []byte(md), 0o644))
		require.NoError(t, os.WriteFile(compact, []byte(tsv.String()), 0o644))
		require.NoError(t, os.WriteFile(printed, []byte(wrongLines), 0o644))
		return
	}
	written, err := os.ReadFile(document)
	require.NoError(t, err)
	assert.Equal(t, string(written), md, "run go test ./engine/reference -update and look at what changed")
	assert.Equal(t, kept(t, compact), tsv.String())
	assert.Equal(t, kept(t, printed), wrongLines)
}

// caseFile is one file of cases with its subject: steel for steel.json and for
// steel_en10219.json.
type caseFile struct {
	subject string
	cases   []published
}

// casesOf reads all files of cases, those of a subject one after the other.
func casesOf(t *testing.T) []caseFile {
	t.Helper()
	names, err := filepath.Glob(folder + "*.json")
	require.NoError(t, err)
	var all []caseFile
	for _, name := range names {
		base := strings.TrimSuffix(filepath.Base(name), ".json")
		if base+".json" == misprint {
			continue
		}
		raw, err := os.ReadFile(name)
		require.NoError(t, err)
		var cases []published
		require.NoError(t, json.Unmarshal(raw, &cases), name)
		subject, _, _ := strings.Cut(base, "_")
		all = append(all, caseFile{subject, cases})
	}
	require.NotEmpty(t, all)
	slices.SortStableFunc(all, func(a, b caseFile) int { return strings.Compare(a.subject, b.subject) })
	return all
}

// tally counts values by kind and topic.
type tally map[[2]string]map[string]int

func (c tally) add(subject, topic, kind string, used bool) {
	key := [2]string{subject, topic}
	if c[key] == nil {
		c[key] = map[string]int{}
	}
	c[key][kind]++
	if used {
		c[key]["used"]++
	}
}

// kept is the text of a file of this package.
func kept(t *testing.T, name string) string {
	data, err := os.ReadFile(name)
	require.NoError(t, err)
	return string(data)
}

// page is the table of values by kind and topic.
func (c tally) page() string {
	var page strings.Builder
	page.WriteString("## Values by kind and topic\n\n| subject | topic | read | formula | memory | computed | all | in a design |\n" +
		"|---|---|---|---|---|---|---|---|\n")
	sum := map[string]int{}
	row := func(subject, topic string, of map[string]int) {
		all := 0
		page.WriteString("| " + subject + " | " + topic)
		for _, k := range kinds {
			all += of[k]
			fmt.Fprintf(&page, " | %d", of[k])
		}
		fmt.Fprintf(&page, " | %d | %d |\n", all, of["used"])
	}
	keys := slices.SortedFunc(maps.Keys(c), func(a, b [2]string) int {
		return strings.Compare(a[0]+"\t"+a[1], b[0]+"\t"+b[1])
	})
	for _, key := range keys {
		row(key[0], clean(key[1]), c[key])
		for k, n := range c[key] {
			sum[k] += n
		}
	}
	row("all", "", sum)
	return page.String()
}

// misprints are what sources print wrongly: as a table, and as the lines that
// go with the program.
func misprints(t *testing.T) (table, lines string) {
	t.Helper()
	raw, err := os.ReadFile(folder + misprint)
	require.NoError(t, err)
	var all []struct{ Source, URL, Where, Printed, Should, Why string }
	require.NoError(t, json.Unmarshal(raw, &all))
	table = "\n## Misprints\n\nWhat the sources print wrongly, as far as it was found here. Such a value is not checked against.\n\n" +
		"| source | where | printed | should be | what shows it |\n|---|---|---|---|---|\n"
	for _, e := range all {
		fields := []string{clean(e.Source), clean(e.Where), clean(e.Printed), clean(e.Should), clean(e.Why)}
		for _, f := range fields {
			assert.NotEmpty(t, f, e.Where)
		}
		table += "| " + strings.Join(fields, " | ") + " |\n"
		lines += strings.Join(fields, "\t") + "\n"
	}
	return table, lines
}

func TestCases(t *testing.T) {
	cases := Cases(kept(t, compact))
	require.GreaterOrEqual(t, len(cases), 60)
	values, read := map[string]int{}, map[string]int{}
	for _, c := range cases {
		assert.NotEmpty(t, c.Source, c.Title)
		assert.Contains(t, kinds, c.Kind, c.Title)
		require.NotEmpty(t, c.Values, c.Title)
		for _, v := range c.Values {
			// Rolling coefficients are printed to one figure.
			assert.Less(t, v.Error, 0.3, "%s %s", c.Title, v.Name)
		}
		values[c.Kind] += len(c.Values)
		if c.Kind == KindRead {
			read[c.Subject] += len(c.Values)
		}
	}
	// What trust rests on: values had before us, and few that were recalled.
	assert.GreaterOrEqual(t, values[KindRead], 600)
	assert.LessOrEqual(t, values[KindMemory], 60)
	for _, subject := range []string{"concrete", "geom", "levels", "slab", "soil", "steel", "tape", "units", "wind"} {
		assert.NotZero(t, read[subject], "nothing of %s was read in a source", subject)
	}
}

// Every topic that a figure is said to rest on has cases.
func TestTopicsHaveCases(t *testing.T) {
	there := map[string]bool{}
	for _, c := range Cases(kept(t, compact)) {
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
