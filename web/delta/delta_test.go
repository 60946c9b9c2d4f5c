package delta

import (
	"bytes"
	"encoding/binary"
	"math/rand/v2"
	"testing"

	"github.com/andybalholm/brotli"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// program is one as a compiler makes it: numbers that grow along it and pieces of text.
func program(functions, inserted int) []byte {
	r := rand.New(rand.NewPCG(1, 2))
	var out []byte
	for i := range functions {
		out = append(out, 0x20, byte(r.IntN(256)), byte(r.IntN(256)), 0x10)
		callee := r.IntN(functions)
		if callee >= functions/3 {
			callee += inserted
		}
		out = binary.AppendUvarint(out, uint64(callee+20_000))
		if i == functions/3 {
			out = append(out, bytes.Repeat([]byte("added "), inserted)...)
		}
	}
	return out
}

func packed(t *testing.T, b []byte) int {
	t.Helper()
	var out bytes.Buffer
	w := brotli.NewWriterLevel(&out, 9)
	_, err := w.Write(b)
	require.NoError(t, err)
	require.NoError(t, w.Close())
	return out.Len()
}

func TestAfterTheDeltaItIsTheNext(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	noise := func(n int) []byte {
		b := make([]byte, n)
		for i := range b {
			b[i] = byte(r.IntN(256))
		}
		return b
	}
	some := noise(5000)
	for name, c := range map[string][2][]byte{
		"nothing":          {nil, nil},
		"from nothing":     {nil, some},
		"to nothing":       {some, nil},
		"the same":         {some, some},
		"another":          {some, noise(4000)},
		"shorter":          {some, some[1000:3000]},
		"turned about":     {some, append(bytes.Clone(some[2500:]), some[:2500]...)},
		"twice":            {some, append(bytes.Clone(some), some...)},
		"one byte":         {[]byte{1}, []byte{2}},
		"a function added": {program(30_000, 0), program(30_000, 3)},
		"a function less":  {program(30_000, 3), program(30_000, 0)},
	} {
		d := Diff(c[0], c[1])
		got, err := Apply(c[0], d, len(c[1]))
		require.NoError(t, err, name)
		assert.True(t, bytes.Equal(c[1], got), name)
		if len(c[1]) > 0 {
			_, err = Apply(c[0], d, len(c[1])-1)
			assert.ErrorIs(t, err, ErrBroken, "%s: larger than it may be", name)
		}
	}
}

// Numbers that all moved are sent about once each.
func TestWhatMovedIsForeseen(t *testing.T) {
	old, next := program(60_000, 0), program(60_000, 3)
	whole, difference := packed(t, next), packed(t, Diff(old, next))
	assert.Less(t, difference, whole/8, "of %d", whole)
}

// Drawn pairs, spoiled deltas: the right one, or an error, never a panic.
func FuzzDelta(f *testing.F) {
	f.Add([]byte("the quick brown fox jumps"), []byte("the quick red fox jumped"), 3, byte(7))
	f.Add(program(50, 0), program(50, 1), 0, byte(0))
	f.Fuzz(func(t *testing.T, old, next []byte, at int, spoil byte) {
		d := Diff(old, next)
		got, err := Apply(old, d, len(next))
		if err != nil || !bytes.Equal(got, next) {
			t.Fatalf("%v: %q of %q and %q", err, got, old, next)
		}
		if at >= 0 && at < len(d) {
			d[at] ^= spoil
			if got, err := Apply(old, d, len(next)); err == nil && len(got) > len(next) {
				t.Fatal("larger than it may be")
			}
		}
	})
}
