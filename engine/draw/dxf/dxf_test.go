package dxf

import (
	"bytes"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/draw"
)

func drawn(t testing.TB, mirror bool, elements ...draw.Element) Drawing {
	t.Helper()
	s := &draw.Scene{Title: "Plan"}
	s.Add(elements...)
	sheet, err := draw.Layout(s, draw.View{Width: 1, Paper: true, Scale: 1.0 / 50, Mirror: mirror})
	require.NoError(t, err)
	return Drawing{Scene: s, Sheet: sheet}
}

// entities are those of a file, each with its codes and values.
func entities(t testing.TB, file []byte) []map[int][]string {
	t.Helper()
	lines := strings.Split(strings.TrimSuffix(string(file), "\r\n"), "\r\n")
	require.Zero(t, len(lines)%2, "pairs of a code and a value")
	var all []map[int][]string
	inside := false
	for i := 0; i < len(lines); i += 2 {
		code, err := strconv.Atoi(strings.TrimSpace(lines[i]))
		require.NoError(t, err)
		value := lines[i+1]
		switch {
		case code == 2 && value == "ENTITIES":
			inside = true
		case inside && code == 0 && value == "ENDSEC":
			return all
		case inside && code == 0:
			all = append(all, map[int][]string{0: {value}})
		case inside:
			last := all[len(all)-1]
			last[code] = append(last[code], value)
		}
	}
	return all
}

func tag(id string, role draw.Role) draw.Tag { return draw.Tag{ID: id, Role: role} }

// Codes of each entity by the reference of release 12 (memory).
func TestEntities(t *testing.T) {
	d := drawn(t, false,
		draw.Line{Tag: tag("track", draw.RoleCentre), From: draw.Pt(-250, 0), To: draw.Pt(4000.125, 10)},
		draw.Circle{Tag: tag("hole", draw.RoleHidden), Centre: draw.Pt(1000, 500), Radius: 150},
		draw.Region{Tag: tag("driveStrip.2", draw.RoleOutline), Outer: draw.RectRing(0, 0, 4000, 300), Hatch: draw.HatchConcrete},
		draw.Peg{Tag: tag("peg.7", draw.RoleNote), At: draw.Pt(300, 700), Number: 7})
	d.At = draw.Pt(100, -50)
	var line, circle, outline, point map[int][]string
	for _, e := range entities(t, Write([]Drawing{d})) {
		switch {
		case e[0][0] == "LINE" && e[8][0] == "TRACK":
			line = e
		case e[0][0] == "CIRCLE" && e[8][0] == "HOLE":
			circle = e
		case e[0][0] == "POLYLINE" && e[8][0] == "DRIVE-STRIP":
			outline = e
		case e[0][0] == "POINT":
			point = e
		}
	}
	assert.Equal(t, map[int][]string{0: {"LINE"}, 8: {"TRACK"}, 6: {"CENTER"}, 62: {"1"}, 10: {"-150.0"}, 20: {"-50.0"},
		30: {"0.0"}, 11: {"4100.125"}, 21: {"-40.0"}, 31: {"0.0"}}, line)
	assert.Equal(t, map[int][]string{0: {"CIRCLE"}, 8: {"HOLE"}, 6: {"HIDDEN"}, 62: {"8"}, 10: {"1100.0"}, 20: {"450.0"},
		30: {"0.0"}, 40: {"150.0"}}, circle)
	require.NotNil(t, outline)
	assert.Equal(t, []string{"1"}, outline[70], "closed")
	require.NotNil(t, point)
	assert.Equal(t, []string{"PEGS", "400.0", "650.0"}, []string{point[8][0], point[10][0], point[20][0]})
}

// The other hand turns x and no text.
func TestMirrored(t *testing.T) {
	line := draw.Line{Tag: tag("track", draw.RoleCentre), From: draw.Pt(0, 0), To: draw.Pt(4000, 10)}
	e := entities(t, Write([]Drawing{drawn(t, true, line)}))
	assert.Equal(t, []string{"-4000.0", "10.0"}, []string{e[0][11][0], e[0][21][0]})
}

// Names of layers have only letters that release 12 allows, and no more than 31.
func FuzzFile(f *testing.F) {
	f.Add("driveStrip.2", "100 %, 7° — Ωmega\r\n  0\r\nEOF")
	f.Add("", "^ \x00 \x7f \u0085 🚪")
	f.Add(strings.Repeat("long.", 50)+"öäü ;*?", "%%c")
	allowed := regexp.MustCompile(`^[A-Z0-9_$-]{1,31}$`)
	f.Fuzz(func(t *testing.T, id, words string) {
		if id == "" {
			id = "x"
		}
		d := drawn(t, false, draw.Line{Tag: tag(id, draw.RoleThin), From: draw.Pt(0, 0), To: draw.Pt(100, 100)},
			draw.Text{Tag: tag(id, draw.RoleNote), At: draw.Pt(50, 0), Text: words})
		d.Title = words
		file := Write([]Drawing{d}, words)
		for _, e := range entities(t, file) {
			require.Regexp(t, allowed, e[8][0])
		}
		for _, b := range bytes.ReplaceAll(file, []byte("\r\n"), nil) {
			require.False(t, b < ' ' || b >= 0x7F && b < 0xA0, "byte %#x", b)
		}
	})
}

func TestLetters(t *testing.T) {
	assert.Equal(t, "7.5\xb0 \xe4 \\U+2014 \\U+03A9 \\U+D83D\\U+DEAA", lettersOf("7.5° ä — Ω 🚪"))
	assert.Equal(t, "100 %%% ^ ", lettersOf("100 % ^"))
}

// Nothing to draw is still a file that can be read.
func TestNothing(t *testing.T) {
	assert.Empty(t, entities(t, Write(nil)))
	assert.True(t, strings.HasSuffix(string(Write(nil)), "  0\r\nEOF\r\n"))
}
