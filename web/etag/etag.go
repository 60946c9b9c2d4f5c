// Package etag writes and compares the tags by which HTTP names a state of what
// an address gives (RFC 9110, 8.8.3).
package etag

import "strings"

// Quote writes a name as a tag.
func Quote(name string) string { return `"` + name + `"` }

// Matches reports whether the list of a condition, or its *, names the tag. It
// compares weakly, as RFC 9110, 13.1.2 asks for If-None-Match.
func Matches(list, tag string) bool {
	for one := range strings.SplitSeq(list, ",") {
		one = strings.TrimPrefix(strings.TrimSpace(one), "W/")
		if one == "*" || one == tag {
			return true
		}
	}
	return false
}
