package draw

import (
	"strconv"
	"strings"
)

// changesApart stands between the words of [Changes]; no SVG holds it.
const changesApart = "\x1f"

// Changes says how a page makes one picture of [Parts] of the one before it without
// making its elements anew, which takes a browser twice as long: for each attribute that
// differs the number of its element in the order of the document, its name ("" for the
// words in it) and what it is now, with the sign U+001F between all of them. It reports
// false where the elements are others, or a value holds a sign that is written as a
// name of it.
func Changes(before, after string) (changes string, ok bool) {
	var out []byte
	add := func(element int, name, value string) bool {
		if len(out) > 0 {
			out = append(out, changesApart...)
		}
		out = strconv.AppendInt(out, int64(element), 10)
		out = append(append(append(append(out, changesApart...), name...), changesApart...), value...)
		return strings.IndexByte(value, '&') < 0
	}
	element, open := -1, false // the element that came last; whether nothing closed since
	for {
		words, restBefore, tagBefore := strings.Cut(before, "<")
		now, restAfter, tagAfter := strings.Cut(after, "<")
		if tagBefore != tagAfter || words != now && (!open || words == "" || now == "" || !add(element, "", now)) {
			return "", false
		}
		if !tagAfter {
			return string(out), true
		}
		tag, restBefore, _ := strings.Cut(restBefore, ">")
		is, restAfter, _ := strings.Cut(restAfter, ">")
		before, after = restBefore, restAfter
		open = is[0] != '/' && is[len(is)-1] != '/'
		if is[0] != '/' {
			element++
		}
		if tag == is {
			continue
		}
		name, tag, _ := strings.Cut(tag, ` `)
		like, is, _ := strings.Cut(is, ` `)
		if name != like {
			return "", false
		}
		for is != "" || tag != "" {
			var value, nowValue string
			name, tag, ok = strings.Cut(tag, `="`)
			like, is, _ = strings.Cut(is, `="`)
			value, tag, _ = strings.Cut(tag, `"`)
			nowValue, is, _ = strings.Cut(is, `"`)
			if name != like || value != nowValue && (!ok || !add(element, strings.TrimPrefix(name, " "), nowValue)) {
				return "", false
			}
		}
	}
}
