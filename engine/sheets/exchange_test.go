package sheets

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/enginetest"
	"pegpour/engine/geom"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
)

// exchanged is what a reader of its own, or another program, found in a file.
type exchanged struct {
	Release  string   `json:"release"`
	Found    []string `json:"found"`
	Points   []placed `json:"points"`
	Outlines []placed `json:"outlines"`
	Texts    []placed `json:"texts"`
	Lines    int      `json:"lines"`
}

// placed is something on a layer: coordinates in pairs, or a text.
type placed struct {
	Layer, Text string
	At          []float64
}

func (p *placed) UnmarshalJSON(data []byte) error {
	var values []any
	if err := json.Unmarshal(data, &values); err != nil {
		return err
	}
	for i, v := range values {
		switch v := v.(type) {
		case float64:
			p.At = append(p.At, v)
		case string:
			if i == 0 {
				p.Layer = v
			} else {
				p.Text = v
			}
		}
	}
	return nil
}

// readExchange reads a file by the rules of the format: pairs of lines, a code and its
// value.
func readExchange(t *testing.T, file []byte) exchanged {
	t.Helper()
	var e exchanged
	var kind, layer, text string
	var at, outline []float64
	inOutline, inEntities := false, false
	end := func() {
		switch kind {
		case "POINT":
			e.Points = append(e.Points, placed{Layer: layer, At: at})
		case "LINE":
			e.Lines++
		case "TEXT":
			e.Texts = append(e.Texts, placed{Layer: layer, Text: text})
		case "POLYLINE":
			inOutline, outline = true, nil
		case "VERTEX":
			require.True(t, inOutline)
			outline = append(outline, at...)
		case "SEQEND":
			e.Outlines = append(e.Outlines, placed{Layer: layer, At: outline})
			inOutline = false
		}
	}
	lines := bufio.NewScanner(bytes.NewReader(file))
	for lines.Scan() {
		code, err := strconv.Atoi(strings.TrimSpace(lines.Text()))
		require.NoError(t, err, "a code")
		require.True(t, lines.Scan(), "a value")
		value := lines.Text()
		switch {
		case code == 2 && value == "ENTITIES":
			inEntities = true
		case code == 1 && strings.HasPrefix(value, "AC"):
			e.Release = value
		case !inEntities:
		case code == 0:
			end()
			kind, at = value, nil
		case code == 8:
			layer = value
		case code == 1:
			text = value
		case code == 10 || code == 20:
			v, err := strconv.ParseFloat(value, 64)
			require.NoError(t, err)
			at = append(at, v)
		}
	}
	require.Equal(t, "EOF", kind)
	return e
}

// exchangeSites are the sites that files are made of: drawn ones, some with text that is
// hard to write.
func exchangeSites(n int) []survey.Survey {
	sites := append(enginetest.RandomSites(n), enginetest.SquareSite(), survey.Survey{})
	sites[0].Site.Name = strings.Repeat("Ωmega 🚪 100 % ^ \"gate\" מחסום ", 7)
	return sites
}

// soaked is how many drawn sites, more where PEGPOUR_DRAWN says so.
func soaked(few int) int {
	if n, err := strconv.Atoi(os.Getenv("PEGPOUR_DRAWN")); err == nil {
		return n
	}
	return few
}

// Every outline of the plan and every peg stands in the file in true size, on the layer of
// its part, to a thousandth of a millimetre; each peg has its number.
func TestExchangeIsInTrueSize(t *testing.T) {
	rules := practice.DefaultPractice()
	for i, s := range exchangeSites(soaked(60)) {
		made, _ := engine.Design(s, rules)
		file, err := Exchange(Issue{Plan: &made, Survey: &s, Practice: &rules})
		require.NoError(t, err, i)
		checkExchange(t, &made, readExchange(t, file), i)
		again, err := Exchange(Issue{Plan: &made, Survey: &s, Practice: &rules})
		require.NoError(t, err, i)
		require.Equal(t, file, again, i)
	}
}

// checkExchange holds what was read from a file against the plan.
func checkExchange(t *testing.T, made *plan.Plan, read exchanged, site int) {
	t.Helper()
	require.Equal(t, "AC1009", read.Release)
	sign := 1.0
	if made.Mirrored() {
		sign = -1
	}
	require.Len(t, read.Points, len(made.Pegs), site)
	for i, g := range made.Pegs {
		p := read.Points[i]
		assert.Equal(t, "PEGS", p.Layer)
		assert.InDelta(t, sign*g.Chainage, p.At[0], 0.001, site)
		assert.InDelta(t, g.Offset, p.At[1], 0.001, site)
		assert.Contains(t, read.Texts, placed{Layer: "PEGS", Text: strconv.Itoa(g.Number)}, site)
	}
	for i := range made.Outlines {
		o := &made.Outlines[i]
		layer, poured := map[plan.PartKind]string{plan.PartPad: "PAD", plan.PartRunBackStrip: "STRIP",
			plan.PartDriveStrip: "DRIVE-STRIP", plan.PartPostHole: "HOLE"}[o.Kind]
		if !poured || len(o.Ring) < 3 {
			continue
		}
		assert.True(t, hasRing(read.Outlines, layer, o.Ring, sign), "site %d: %s on %s", site, o.Kind, layer)
	}
}

// hasRing reports whether one of the outlines has the corners of a ring, from any of them on.
func hasRing(outlines []placed, layer string, ring geom.Polygon, sign float64) bool {
	for _, o := range outlines {
		if o.Layer != layer || len(o.At) != 2*len(ring) {
			continue
		}
		for shift := range ring {
			far := 0.0
			for i := range ring {
				q := ring[(i+shift)%len(ring)]
				far = math.Max(far, math.Hypot(o.At[2*i]-sign*q.X, o.At[2*i+1]-q.Y))
			}
			if far <= 0.001 {
				return true
			}
		}
	}
	return false
}

// Another program reads the files, finds nothing to complain of in its audit, and reads
// the same.
func TestExchangeIsReadElsewhere(t *testing.T) {
	python := "/usr/bin/python3" // Debian's own, which has the package python3-ezdxf
	if err := exec.Command(python, "-c", "import ezdxf").Run(); err != nil {
		if os.Getenv("CI") != "" {
			t.Fatal("python3-ezdxf is not installed:", err)
		}
		t.Skip("python3-ezdxf is not installed:", err)
	}
	rules := practice.DefaultPractice()
	folder := t.TempDir()
	sites := exchangeSites(soaked(40))
	arguments := []string{filepath.Join("testdata", "audit.py")}
	own := make([]exchanged, len(sites))
	for i, s := range sites {
		made, _ := engine.Design(s, rules)
		file, err := Exchange(Issue{Plan: &made, Survey: &s, Practice: &rules})
		require.NoError(t, err)
		name := filepath.Join(folder, fmt.Sprint(i, ".dxf"))
		require.NoError(t, os.WriteFile(name, file, 0o600))
		arguments, own[i] = append(arguments, name), readExchange(t, file)
	}
	command := exec.Command(python, arguments...)
	command.Stderr = os.Stderr
	said, err := command.Output()
	require.NoError(t, err)
	lines := strings.Split(strings.TrimSpace(string(said)), "\n")
	require.Len(t, lines, len(sites))
	for i, line := range lines {
		var theirs exchanged
		require.NoError(t, json.Unmarshal([]byte(line), &theirs), line)
		require.Empty(t, theirs.Found, i)
		require.Equal(t, own[i].Release, theirs.Release)
		require.Equal(t, own[i].Lines, theirs.Lines)
		require.Len(t, theirs.Texts, len(own[i].Texts), i)
		require.Equal(t, own[i].Points, theirs.Points, i)
		require.Equal(t, own[i].Outlines, theirs.Outlines, i)
	}
}
