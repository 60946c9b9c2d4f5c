package yard

import (
	"errors"
	"pegpour/engine/refusal"
	"pegpour/storage"
	"strconv"
	"strings"
	"unicode"
)

// plain makes text fit for a line of a list: no control characters, none that are not
// seen and turn the order of others round, not long. What a document holds stays as it
// is; this is for what stands beside others on a screen: names of devices and people,
// and what the list of sites shows and is searched by.
func plain(t string) string {
	t = strings.Map(func(r rune) rune {
		switch {
		case unicode.IsControl(r), r == '\u2028', r == '\u2029':
			return ' '
		case turnsOrder(r), unseen(r):
			return -1
		}
		return r
	}, strings.ToValidUTF8(t, ""))
	if r := []rune(t); len(r) > 200 {
		t = string(r[:200])
	}
	return strings.TrimSpace(t)
}

// turnsOrder reports the marks, embeddings, overrides and isolates of direction (Unicode
// Standard Annex 9): with them "gpj.exe" is shown as "exe.jpg".
func turnsOrder(r rune) bool {
	return r == '\u061c' || r == '\u200e' || r == '\u200f' || r >= '\u202a' && r <= '\u202e' || r >= '\u2066' && r <= '\u2069'
}

// unseen reports what makes two names differ that look the same. The joiners are not
// among them: words of several languages, and pictures, need them.
func unseen(r rune) bool {
	return r == '\u00ad' || r == '\u200b' || r == '\u2060' || r == '\ufeff' || r == '\u180e'
}

// freeName is the name with a number behind it if one of the taken is the same.
func freeName(name string, taken []string) string {
	used := map[string]bool{}
	for _, t := range taken {
		used[sameName(t)] = true
	}
	free := name
	for n := 2; used[sameName(free)]; n++ {
		free = name + " (" + strconv.Itoa(n) + ")"
	}
	return free
}

// sameName is equal for names that people take for the same.
func sameName(name string) string {
	return strings.Join(strings.Fields(strings.ToLower(name)), " ")
}

// usable refuses a document that this program knows the version of and cannot read:
// nobody could open it, nor take it along. One of a newer version is kept as it is. It
// returns the document's step, noFar for one that cannot be read.
func usable(text []byte) (far int, err error) {
	far, err = farOf(text)
	var newer *storage.NewerError
	if err == nil || errors.As(err, &newer) {
		return far, nil
	}
	return far, &InvalidError{refusal.Of(err)}
}
