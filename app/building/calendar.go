package building

import (
	"strings"
	"time"
	"unicode/utf8"
)

// appointment is an entry of a calendar.
type appointment struct {
	uid     string // the same for one that is saved again
	summary string
	details string
	at      time.Time
}

// calendarMedia is the media type of a calendar's file.
const calendarMedia = "text/calendar;charset=utf-8"

// calendar writes appointments as a file that the calendar of a phone takes, each with
// an alarm at its time. Times are in UTC, so that no zone has to be described: the phone
// shows its own.
//
// Source: RFC 5545, 3.1 (lines), 3.3.11 (text), 3.6.1 (event), 3.6.6 (alarm).
func calendar(made time.Time, all ...appointment) string {
	const utc = "20060102T150405Z"
	var b strings.Builder
	line := func(name, value string) { fold(&b, name+":"+value) }
	line("BEGIN", "VCALENDAR")
	line("VERSION", "2.0")
	line("PRODID", "-//Pegpour//Pour//EN")
	line("CALSCALE", "GREGORIAN")
	line("METHOD", "PUBLISH")
	for _, a := range all {
		line("BEGIN", "VEVENT")
		line("UID", escaped(a.uid))
		line("DTSTAMP", made.UTC().Format(utc))
		line("DTSTART", a.at.UTC().Format(utc))
		line("DURATION", "PT1H")
		line("SUMMARY", escaped(a.summary))
		line("DESCRIPTION", escaped(a.details))
		line("BEGIN", "VALARM")
		line("ACTION", "DISPLAY")
		line("DESCRIPTION", escaped(a.summary))
		line("TRIGGER", "PT0S")
		line("END", "VALARM")
		line("END", "VEVENT")
	}
	line("END", "VCALENDAR")
	return b.String()
}

// escaped is a text as a value of a calendar; what no calendar may hold is left out.
func escaped(text string) string {
	text = strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(text)
	var b strings.Builder
	for _, r := range text {
		switch {
		case r == '\n':
			b.WriteString(`\n`)
		case r == '\\' || r == ';' || r == ',':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r < ' ' && r != '\t' || r == 0x7f || r == utf8.RuneError:
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

// longest is how many octets a line may hold, its end left out.
const longest = 75

// fold writes a line, broken where it is too long and never within a character. The
// space that begins what goes on counts.
func fold(b *strings.Builder, line string) {
	room := longest
	for len(line) > room {
		cut := room
		for !utf8.RuneStart(line[cut]) {
			cut--
		}
		b.WriteString(line[:cut])
		b.WriteString("\r\n ")
		line, room = line[cut:], longest-1
	}
	b.WriteString(line)
	b.WriteString("\r\n")
}
