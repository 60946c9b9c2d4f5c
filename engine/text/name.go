package text

import (
	"strconv"
	"strings"
	"unicode/utf8"

	"pegpour/engine/words"
)

// Name is what a thing is called: an English text of the words catalogue, with
// what stands in its holes, or what a person typed, which no language changes.
//
// It is one string, in which signs that no text can hold part the format from
// its parts: a constant is a name, two names compare, and a name without parts
// costs nothing. A slice of parts would cost an allocation for each name and
// forbid to compare them. It is read with String and In, never as a string.
type Name string

// The signs are bytes that stand in no UTF-8 text.
const (
	typedSign  = "\xfd"
	beforePart = '\xfe'
	behindPart = '\xff'
)

// Named makes a name of a format with {0}, {1} and so on.
func Named(format string, parts ...Name) Name {
	long := len(format)
	for _, part := range parts {
		long += len(part) + 2
	}
	var b strings.Builder
	b.Grow(long)
	b.WriteString(format)
	for _, part := range parts {
		b.WriteByte(beforePart)
		b.WriteString(string(part))
		b.WriteByte(behindPart)
	}
	return Name(b.String())
}

// Numbered makes a name of a format and the whole number in its hole.
func Numbered(format string, n int) Name { return Named(format, Name(strconv.Itoa(n))) }

// TypedName is a name that a person typed.
func TypedName(typed string) Name {
	if typed == "" {
		return ""
	}
	if !utf8.ValidString(typed) {
		typed = strings.ToValidUTF8(typed, "\uFFFD")
	}
	return Name(typedSign + typed)
}

// TypedNames are names that a person typed.
func TypedNames(typed []string) []Name {
	names := make([]Name, len(typed))
	for i := range typed {
		names[i] = TypedName(typed[i])
	}
	return names
}

// String is the name in English.
func (n Name) String() string { return n.In(func(english string) string { return english }) }

// MarshalText writes the name in English.
func (n Name) MarshalText() ([]byte, error) { return []byte(n.String()), nil }

// In is the name in another language, of which say gives the exact texts.
func (n Name) In(say func(english string) string) string {
	if typed, ok := strings.CutPrefix(string(n), typedSign); ok {
		return typed
	}
	if strings.IndexByte(string(n), beforePart) < 0 {
		return say(string(n))
	}
	format, parts := n.cut()
	return words.FillWith(say(format), len(parts), func(i int) string { return parts[i].In(say) })
}

// cut parts the format from what stands in its holes.
func (n Name) cut() (format string, parts []Name) {
	deep, start := 0, 0
	for i := range len(n) {
		switch n[i] {
		case beforePart:
			if deep == 0 && parts == nil {
				format = string(n[:i])
			}
			if deep++; deep == 1 {
				start = i + 1
			}
		case behindPart:
			if deep--; deep == 0 {
				parts = append(parts, n[start:i])
			}
		}
	}
	return format, parts
}
