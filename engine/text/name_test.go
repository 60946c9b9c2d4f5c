package text

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A name is said by its format and parts; what was typed stays, and English is
// what files hold.
func TestNames(t *testing.T) {
	german := map[string]string{"Motor": "Antrieb", "Motor pad": "Antriebsfundament", "{0} {1}": "{1}. {0}",
		"Tape {0} – {1}": "Maß {0} – {1}", "Footing post {0}": "Fundamentstütze {0}"}
	say := func(english string) string {
		if said, ok := german[english]; ok {
			return said
		}
		return english
	}
	for _, c := range []struct {
		name             Name
		english, inOther string
	}{
		{"", "", ""},
		{"Motor", "Motor", "Antrieb"},
		{TypedName("Motor"), "Motor", "Motor"},
		{TypedName(""), "", ""},
		{TypedName("Footing post 2"), "Footing post 2", "Footing post 2"},
		{Numbered("Footing post {0}", 2), "Footing post 2", "Fundamentstütze 2"},
		{Named("{0} {1}", "Motor pad", "3"), "Motor pad 3", "3. Antriebsfundament"},
		{Named("{0} {1}", Numbered("Footing post {0}", 2), "3"), "Footing post 2 3", "3. Fundamentstütze 2"},
		{Named("Tape {0} – {1}", TypedName("Motor"), TypedName("{0}")), "Tape Motor – {0}", "Maß Motor – {0}"},
	} {
		assert.Equal(t, c.english, c.name.String())
		assert.Equal(t, c.inOther, c.name.In(say))
		written, err := json.Marshal(map[string]any{"name": c.name})
		require.NoError(t, err)
		assert.JSONEq(t, `{"name":"`+c.english+`"}`, string(written))
	}
}

func FuzzName(f *testing.F) {
	f.Add("Peg {0} of {1}", "\xfe\xff", "a")
	f.Fuzz(func(t *testing.T, format, a, b string) {
		_ = Named(format, TypedName(a), Named(b, Name(a))).String()
		_ = Name(format + a).String()
	})
}
