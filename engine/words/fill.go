package words

import (
	"strconv"
	"strings"
)

// Fill puts parts into the holes {0}, {1} and so on of a text. A hole with no
// part stays as it stands.
func Fill(text string, parts ...string) string {
	long := len(text)
	for _, part := range parts {
		long += len(part)
	}
	var b strings.Builder
	b.Grow(long)
	fill(&b, text, len(parts), func(i int) string { return parts[i] })
	return b.String()
}

// FillWith is Fill with count parts, each made where its hole is.
func FillWith(text string, count int, part func(i int) string) string {
	if count == 0 || strings.IndexByte(text, '{') < 0 {
		return text
	}
	var b strings.Builder
	fill(&b, text, count, part)
	return b.String()
}

func fill(b *strings.Builder, text string, count int, part func(i int) string) {
	for i := 0; i < len(text); i++ {
		if text[i] == '{' {
			if end := strings.IndexByte(text[i:], '}'); end > 1 {
				if n, err := strconv.Atoi(text[i+1 : i+end]); err == nil && n >= 0 && n < count {
					b.WriteString(part(n))
					i += end
					continue
				}
			}
		}
		b.WriteByte(text[i])
	}
}
