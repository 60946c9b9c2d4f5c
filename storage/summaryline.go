package storage

import (
	"strconv"
	"strings"
)

// line is a Summary with what only the store needs.
type line struct {
	Summary
	PhotoIDs []string
}

// The list of sites is kept one line a site, its parts set apart by lineGap,
// and not as JSON: a phone reads 10,000 of them at every start, and in
// WebAssembly encoding/json takes most of that time. The lines are made from
// the documents and can be made again.
const (
	lineGap     = "\x1f"
	lineVersion = "1"
	lineParts   = 12
)

func (l line) text() []byte {
	flags := ""
	if l.Demo {
		flags += "d"
	}
	if l.Trashed {
		flags += "t"
	}
	parts := []string{lineVersion, l.ID, l.Name, l.Address, l.Client, l.Created, l.Changed, flags,
		strconv.Itoa(l.Photos), string(l.Revision), string(l.Condition), strings.Join(l.PhotoIDs, ",")}
	for i := range parts {
		parts[i] = strings.Map(plainRune, parts[i])
	}
	return []byte(strings.Join(parts, lineGap))
}

// plainRune turns control characters into spaces.
func plainRune(r rune) rune {
	if r < ' ' {
		return ' '
	}
	return r
}

// readLineOf reads the line of a site; false when it is damaged.
func readLineOf(text []byte) (line, bool) {
	parts := strings.Split(string(text), lineGap)
	if len(parts) != lineParts || parts[0] != lineVersion || parts[1] == "" {
		return line{}, false
	}
	photos, err := strconv.Atoi(parts[8])
	if err != nil {
		return line{}, false
	}
	l := line{Summary: Summary{
		ID: parts[1], Name: parts[2], Address: parts[3], Client: parts[4], Created: parts[5], Changed: parts[6],
		Demo: strings.Contains(parts[7], "d"), Trashed: strings.Contains(parts[7], "t"),
		Photos: photos, Revision: Revision(parts[9]), Condition: Condition(parts[10]),
	}}
	if parts[11] != "" {
		l.PhotoIDs = strings.Split(parts[11], ",")
	}
	return l, true
}

// readLineAt reads the line of one site, made anew when it is damaged.
func readLineAt(tx Tx, id string, text []byte) (line, error) {
	if l, ok := readLineOf(text); ok && l.ID == id {
		return l, nil
	}
	return rebuiltLine(tx, id)
}
