package building

import (
	"math/rand/v2"
	"regexp"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// contentLines are the lines of a calendar by RFC 5545, 3.1: each ends in CRLF, none is
// longer than 75 octets without it, and one that begins with a space goes on with the
// line before.
func contentLines(t *testing.T, file string) (lines []string) {
	t.Helper()
	require.True(t, strings.HasSuffix(file, "\r\n"))
	for _, line := range strings.Split(strings.TrimSuffix(file, "\r\n"), "\r\n") {
		assert.LessOrEqual(t, len(line), 75, line)
		assert.True(t, utf8.ValidString(line), "no character is cut: %q", line)
		assert.NotContains(t, line, "\r")
		assert.NotContains(t, line, "\n")
		if rest, goesOn := strings.CutPrefix(line, " "); goesOn {
			require.NotEmpty(t, lines)
			lines[len(lines)-1] += rest
			continue
		}
		lines = append(lines, line)
	}
	return lines
}

// textOf undoes the escapes of RFC 5545, 3.3.11; it fails on what may not stand there.
func textOf(t *testing.T, value string) string {
	t.Helper()
	var b strings.Builder
	for i := 0; i < len(value); i++ {
		switch c := value[i]; {
		case c == '\\':
			i++
			require.Less(t, i, len(value), "nothing is escaped")
			switch value[i] {
			case 'n', 'N':
				b.WriteByte('\n')
			case '\\', ';', ',':
				b.WriteByte(value[i])
			default:
				require.Fail(t, "no such escape", string(value[i]))
			}
		case c == ';' || c == ',':
			require.Fail(t, "not escaped", value)
		default:
			b.WriteByte(c)
		}
	}
	return b.String()
}

var (
	ofLine = regexp.MustCompile(`^[A-Z-]+:`)
	inUTC  = regexp.MustCompile(`^\d{8}T\d{6}Z$`)
)

func TestCalendarByItsRules(t *testing.T) {
	long := strings.Repeat("Anker am Tor; über, neben \\ hinter „der“ Säule 🚧 ", 9)
	for seed := range uint64(200) {
		r := rand.New(rand.NewPCG(seed, 1))
		runes := []rune(long)
		summary := string(runes[:1+r.IntN(len(runes)-1)])
		details := "Zeile eins\r\nZeile zwei\n" + summary + "\x07"
		at := time.Date(2026, 4, 29, 5, 30, 0, 0, time.FixedZone("here", 2*3600))
		file := calendar(time.Date(2026, 4, 1, 12, 0, 0, 0, time.UTC), appointment{"a-1@x", summary, details, at},
			appointment{"b-1@x", "zwei", "", at})
		lines := contentLines(t, file)
		count, open := map[string]int{}, []string{}
		for _, line := range lines {
			require.Regexp(t, ofLine, line)
			name, value, _ := strings.Cut(line, ":")
			count[name]++
			switch name {
			case "BEGIN":
				open = append(open, value)
			case "END":
				require.Equal(t, open[len(open)-1], value, "closed in order")
				open = open[:len(open)-1]
			case "DTSTAMP", "DTSTART":
				require.Regexp(t, inUTC, value)
			case "SUMMARY", "DESCRIPTION", "UID":
				textOf(t, value)
			}
		}
		assert.Empty(t, open)
		assert.Equal(t, "BEGIN:VCALENDAR", lines[0])
		assert.Equal(t, "END:VCALENDAR", lines[len(lines)-1])
		assert.Equal(t, 1, count["VERSION"])
		assert.Equal(t, 1, count["PRODID"])
		for _, name := range []string{"UID", "DTSTAMP", "DTSTART", "SUMMARY", "DURATION", "TRIGGER"} {
			assert.Equal(t, 2, count[name], name)
		}
		assert.Contains(t, lines, "DTSTART:20260429T033000Z")
		for _, line := range lines {
			if value, is := strings.CutPrefix(line, "SUMMARY:"); is && count["seen"] == 0 {
				count["seen"]++
				assert.Equal(t, summary, textOf(t, value), "nothing is lost")
			}
		}
	}
}

func TestAfterIsTheNextQuarter(t *testing.T) {
	from, ok := timeOf("2026-04-01T15:07")
	require.True(t, ok)
	assert.Equal(t, "2026-04-02T15:15", wallOf(after(from, 24)))
	assert.Equal(t, "2026-04-01T15:15", wallOf(after(from, 0.01)))
	quarter, _ := timeOf("2026-04-01T15:15")
	assert.Equal(t, "2026-04-01T16:15", wallOf(after(quarter, 1)))
	_, ok = timeOf("yesterday")
	assert.False(t, ok)
}
