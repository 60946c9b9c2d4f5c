package main

import (
	"encoding/binary"
	"testing"

	"github.com/stretchr/testify/require"
)

// module is a WebAssembly module with a section before and after its data.
func module(pieces ...segment) []byte {
	body := binary.AppendUvarint(nil, uint64(len(pieces)))
	for _, p := range pieces {
		body = append(appendSigned(append(body, 0, 0x41), p.at), 0x0b)
		body = append(binary.AppendUvarint(body, uint64(len(p.data))), p.data...)
	}
	m := []byte("\x00asm\x01\x00\x00\x00\x00\x03abc")
	m = append(binary.AppendUvarint(append(m, dataSection), uint64(len(body))), body...)
	return append(m, "\x00\x02xy"...)
}

// The memory that a module begins with is the same when it is written in one piece:
// WebAssembly core specification 1.0, section 5.5.14.
func TestDataIsJoined(t *testing.T) {
	for name, c := range map[string]struct {
		pieces []segment
		want   segment
	}{
		"a gap":             {[]segment{{4096, []byte("one")}, {4110, []byte("two")}}, segment{4096, []byte("one" + string(make([]byte, 11)) + "two")}},
		"not in order":      {[]segment{{70, []byte("b")}, {64, []byte("a")}}, segment{64, []byte("a\x00\x00\x00\x00\x00b")}},
		"over one another":  {[]segment{{10, []byte("aaaa")}, {12, []byte("bb")}}, segment{10, []byte("aabb")}},
		"beyond 64 KiB":     {[]segment{{1 << 20, []byte{1}}, {1<<20 + 100000, []byte{2}}}, segment{1 << 20, append(append([]byte{1}, make([]byte, 99999)...), 2)}},
		"one piece already": {[]segment{{0, []byte("all")}}, segment{0, []byte("all")}},
	} {
		got, err := joinData(module(c.pieces...))
		require.NoError(t, err, name)
		require.Equal(t, module(c.want), got, name)
	}
	none := module()
	got, err := joinData(none)
	require.NoError(t, err)
	require.Equal(t, none, got)
}

func TestDataThatCannotBeReadIsRefused(t *testing.T) {
	whole := module(segment{4096, []byte("one")}, segment{5000, []byte("two")})
	for n := range whole {
		if _, err := joinData(whole[:n]); err == nil {
			// Cut between two sections a module is one that ends there.
			require.Contains(t, []int{8, 13, len(whole) - 4}, n)
		}
	}
	passive := append([]byte("\x00asm\x01\x00\x00\x00"), dataSection, 4, 1, 1, 1, 'x')
	_, err := joinData(passive)
	require.ErrorContains(t, err, "not known")
}

func FuzzJoinData(f *testing.F) {
	f.Add(module(segment{4096, []byte("one")}, segment{4110, []byte("two")}))
	f.Fuzz(func(t *testing.T, wasm []byte) {
		if len(wasm) > 1000 {
			return
		}
		if once, err := joinData(wasm); err == nil {
			twice, err := joinData(once)
			require.NoError(t, err)
			require.Equal(t, once, twice)
		}
	})
}
