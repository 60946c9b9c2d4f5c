package draw

import (
	"math/rand/v2"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// changed makes changes in a picture, as a page does it in its elements.
func changed(t *testing.T, picture, changes string) string {
	t.Helper()
	if changes == "" {
		return picture
	}
	tags := regexp.MustCompile(`<[a-z][^>]*>`).FindAllStringIndex(picture, -1)
	words := strings.Split(changes, changesApart)
	if len(words)%3 != 0 {
		t.Fatalf("%d words", len(words))
	}
	for i := len(words) - 3; i >= 0; i -= 3 { // from the end, so that the places before stay
		n, err := strconv.Atoi(words[i])
		if err != nil {
			t.Fatal(err)
		}
		from, to := tags[n][0], tags[n][1]
		name, value := words[i+1], words[i+2]
		if name == "" {
			end := to + strings.IndexByte(picture[to:], '<')
			picture = picture[:to] + value + picture[end:]
			continue
		}
		// The tag may have grown by a change that stood behind this one.
		to = from + strings.IndexByte(picture[from:], '>') + 1
		at := regexp.MustCompile(` ` + name + `="[^"]*"`).FindStringIndex(picture[from:to])
		picture = picture[:from+at[0]] + ` ` + name + `="` + value + `"` + picture[from+at[1]:]
	}
	return picture
}

// What changes make of the picture before is the picture after.
func TestChangesMakeThePictureAfter(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 3))
	o := Options{Screen: true, OnlyFields: true, Highlight: "dim.opening", Prefix: "a"}
	body := func() string {
		s := footing()
		for i, e := range s.Elements {
			switch e := e.(type) {
			case Dimension:
				e.Text = strconv.Itoa(random.IntN(4000))
				s.Elements[i] = e
			case Region:
				for k := range e.Outer {
					e.Outer[k].X += float64(random.IntN(3)) * 50
				}
			}
		}
		sheet, err := Layout(s, Phone(390, 300))
		if err != nil {
			t.Fatal(err)
		}
		_, body := Parts(sheet, o)
		return body
	}
	before, made := body(), 0
	for range 200 {
		after := body()
		if changes, ok := Changes(before, after); ok {
			made++
			if got := changed(t, before, changes); got != after {
				t.Fatalf("changes %q\nof %s\nmake %s\nnot %s", changes, before, got, after)
			}
		}
		before = after
	}
	if made < 100 {
		t.Errorf("changes were found %d times of 200", made)
	}
}

func TestChangesOfOtherElements(t *testing.T) {
	const base = `<g class="a"><path d="M1 2"/><text x="1">4000</text></g>`
	for _, c := range []struct{ after, changes string }{
		{base, ""},
		{`<g class="b"><path d="M1 3"/><text x="1">~4100</text></g>`, "0|class|b|1|d|M1 3|2||~4100"},
		{`<g class="a"><path d="M1 2"/><text x="">4000</text></g>`, "2|x|"},
	} {
		got, ok := Changes(base, c.after)
		if got = strings.ReplaceAll(got, changesApart, "|"); !ok || got != c.changes {
			t.Errorf("%s: %q, %v, want %q", c.after, got, ok, c.changes)
		}
	}
	for _, after := range []string{
		"",
		`<g class="a"><path d="M1 2"/></g>`,
		`<g class="a"><path d="M1 2"/><text x="1">4000</text></g><g></g>`,
		`<g class="a"><rect d="M1 2"/><text x="1">4000</text></g>`,
		`<g class="a"><path c="M1 2"/><text x="1">4000</text></g>`,
		`<g class="a"><path d="M1 2" x="1"/><text x="1">4000</text></g>`,
		`<g class="a"><path/><text x="1">4000</text></g>`,
		`<g class="a"><path d="M1 2"></path><text x="1">4000</text></g>`,
		`<g class="a"><path d="M1 2"/><text x="1"></text></g>`,
		`<g class="a"><path d="M1 2"/><text x="1">a &amp; b</text></g>`,
		`<g class="a"><path d="M1 2"/><text x="1">4000</text>words</g>`,
		`words<g class="a"><path d="M1 2"/><text x="1">4000</text></g>`,
	} {
		if got, ok := Changes(base, after); ok {
			t.Errorf("%s: %q, want none", after, got)
		}
	}
}
