package identity

import (
	"testing"

	"github.com/google/uuid"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestRandomIsVersion4(t *testing.T) {
	seen := map[UUID]bool{}
	for range 1000 {
		u := New()
		require.False(t, seen[u])
		seen[u] = true
		read, err := uuid.Parse(u.String())
		require.NoError(t, err)
		assert.Equal(t, uuid.Version(4), read.Version())
		assert.Equal(t, uuid.RFC4122, read.Variant())
		assert.Equal(t, [16]byte(read), [16]byte(u))
	}
}

// The example of RFC 9562, appendix A.4, from memory: the name www.example.com in
// the space of domain names. The library gives the same.
func TestOfANameIsVersion5(t *testing.T) {
	space, ok := Parse("6ba7b810-9dad-11d1-80b4-00c04fd430c8")
	require.True(t, ok)
	assert.Equal(t, "2ed6657d-e927-568b-95e1-2665a8aea6a2", Of(space, "www.example.com").String())
	for _, name := range []string{"", "a", "a site", "0123456789abcdef0123456789abcdef"} {
		for range 20 {
			space := New()
			assert.Equal(t, uuid.NewSHA1(uuid.UUID(space), []byte(name)).String(), Of(space, name).String())
		}
	}
}

func FuzzParse(f *testing.F) {
	for _, text := range []string{
		"", "x", "6ba7b810-9dad-11d1-80b4-00c04fd430c8", "6BA7B8109DAD11D180B400C04FD430C8", "urn:uuid:6ba7b810-9dad-11d1-80b4-00c04fd430c8",
		"URN:UUID:6ba7b810-9dad-11d1-80b4-00c04fd430c8", "{6ba7b810-9dad-11d1-80b4-00c04fd430c8}",
		"6ba7b810_9dad-11d1-80b4-00c04fd430c8", "6ba7b810-9dad-11d1-80b4-00c04fd430cg", "6ba7b8109dad-11d1-80b4-00c04fd430c8--",
	} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		want, err := uuid.Parse(text)
		got, ok := Parse(text)
		require.Equal(t, err == nil, ok, text)
		if ok {
			require.Equal(t, [16]byte(want), [16]byte(got), text)
		}
	})
}
