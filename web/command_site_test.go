package main

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"encoding/xml"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/app/papers/order"
	"pegpour/app/papers/press"
	"pegpour/engine"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/tables"
	"pegpour/storage"
	"pegpour/storage/demo"
)

// pegpour runs the command line and returns exit code, output and complaints.
func pegpour(in string, arguments ...string) (code int, out, fault string) {
	var o, f bytes.Buffer
	code = execute(context.Background(), commands(), arguments, strings.NewReader(in), &o, &f)
	return code, o.String(), f.String()
}

func TestCommandLineOnEveryDemoSite(t *testing.T) {
	for i := range demo.Sites() {
		site := strconv.Itoa(i + 1)
		code, survey, fault := pegpour("", "demo", "-site", site)
		require.Equal(t, exitDone, code, fault)

		code, made, fault := pegpour(survey, "plan")
		require.Equal(t, exitDone, code, fault)
		var p plan.Plan
		require.NoError(t, json.Unmarshal([]byte(made), &p))
		want, err := engine.Design(demo.Sites()[i].Survey, practice.DefaultPractice())
		require.NoError(t, err)
		assert.InDelta(t, want.Quantities.Concrete, p.Quantities.Concrete, 1)
		code, again, _ := pegpour(survey, "plan")
		require.Equal(t, exitDone, code)
		assert.Equal(t, made, again, "equal input gives equal bytes")

		code, svg, fault := pegpour(survey, "drawing", "-pegs")
		require.Equal(t, exitDone, code, fault)
		decoder := xml.NewDecoder(strings.NewReader(svg))
		for {
			if _, err := decoder.Token(); errors.Is(err, io.EOF) {
				break
			} else if err != nil {
				t.Fatal(err)
			}
		}

		code, points, fault := pegpour(survey, "pegs")
		require.Equal(t, exitDone, code, fault)
		read, err := csv.NewReader(strings.NewReader(points)).ReadAll()
		require.NoError(t, err)
		assert.Equal(t, tables.Pegs(&want), read)

		code, _, fault = pegpour(survey, "place")
		require.Equal(t, exitFault, code)
		assert.Contains(t, fault, "site.place")
		placed := strings.Replace(survey, `"site":{`, `"site":{"place":"51.5, -0.12",`, 1)
		code, place, fault := pegpour(placed, "place")
		require.Equal(t, exitDone, code, fault)
		assert.Contains(t, place, `"coordinates":[-0.12000,51.50000]`)

		file := filepath.Join(t.TempDir(), "set-out.dxf")
		code, _, fault = pegpour(survey, "drawing", "-out", file)
		require.Equal(t, exitDone, code, fault)
		written, err := os.ReadFile(file)
		require.NoError(t, err)
		document, err := storage.Decode([]byte(survey))
		require.NoError(t, err)
		encoded, err := storage.Encode(document)
		require.NoError(t, err)
		printed, err := press.Print(order.Order{Document: encoded, For: order.Exchange})
		require.NoError(t, err)
		assert.Equal(t, string(printed), string(written), "the phone makes the same file")
		assert.Contains(t, string(written), "AC1009")

		code, table, fault := pegpour(survey, "quantities")
		require.Equal(t, exitDone, code, fault)
		rows, err := csv.NewReader(strings.NewReader(table)).ReadAll()
		require.NoError(t, err)
		assert.Equal(t, []string{"Item", "Amount", "Unit"}, rows[0])
		assert.Greater(t, len(rows), 10)

		code, table, fault = pegpour(survey, "quote")
		require.Equal(t, exitDone, code, fault)
		rows, err = csv.NewReader(strings.NewReader(table)).ReadAll()
		require.NoError(t, err)
		assert.Equal(t, []string{"Item", "Amount", "Unit", "Hours", "Rate", "Cost", "Price"}, rows[0])
		if demo.Sites()[i].Practice == nil {
			assert.Contains(t, table, "No price for: One hour of one person", "nobody invents a rate")
		} else {
			assert.NotContains(t, table, "No price for", "it has rates of its own")
		}
	}
}

func TestCommandLineNamesTheFieldAndFails(t *testing.T) {
	_, survey, _ := pegpour("", "demo")
	wide := strings.Replace(survey, `"size":4000`, `"size":0`, 1)
	require.NotEqual(t, survey, wide)
	code, out, fault := pegpour(wide, "plan")
	assert.Equal(t, exitFault, code)
	assert.Empty(t, out, "nothing is written")
	assert.Contains(t, fault, "opening.width")
	assert.Contains(t, fault, "given 0")
	assert.Contains(t, fault, "allowed 800 to 12000")

	drafted := strings.Replace(survey, `"format"`, `"drafts":{"opening.width":"abc"},"format"`, 1)
	code, _, fault = pegpour(drafted, "quantities")
	assert.Equal(t, exitFault, code)
	assert.Contains(t, fault, `opening.width: "abc"`)

	for _, c := range []struct {
		in   string
		args []string
		code int
		says string
	}{
		{"{", []string{"plan"}, exitFault, "-:"},
		{"", []string{"plan"}, exitFault, "-:"},
		{survey, []string{"plan", "-in", "/nowhere/at/all"}, exitFault, "/nowhere/at/all"},
		{survey, []string{"plan", "stray"}, exitUsage, "stray"},
		{survey, []string{"drawing", "-width", "5"}, exitUsage, "-width"},
		{"", []string{"demo", "-site", "99"}, exitUsage, "-site"},
		{"", []string{"nonsense"}, exitUsage, "nonsense"},
		{"", nil, exitUsage, "plan"},
	} {
		code, out, fault := pegpour(c.in, c.args...)
		assert.Equal(t, c.code, code, "%v", c.args)
		assert.Empty(t, out)
		assert.Contains(t, fault, c.says, "%v", c.args)
	}
}

func TestCommandLineTakesTheShopsRules(t *testing.T) {
	_, survey, _ := pegpour("", "demo")
	file := filepath.Join(t.TempDir(), "rules.json")
	require.NoError(t, os.WriteFile(file, []byte(`{"strip.width": 300}`), 0o600))
	code, made, fault := pegpour(survey, "plan", "-rules", file)
	require.Equal(t, exitDone, code, fault)
	var p plan.Plan
	require.NoError(t, json.Unmarshal([]byte(made), &p))
	f, _ := p.Figure("strip.width")
	assert.Equal(t, 300.0, f.Value)

	require.NoError(t, os.WriteFile(file, []byte(`{"strip.width": -1, "no.such": 3}`), 0o600))
	code, _, fault = pegpour(survey, "plan", "-rules", file)
	assert.Equal(t, exitFault, code)
	assert.Contains(t, fault, "strip.width")
	assert.Contains(t, fault, "no.such")
}
