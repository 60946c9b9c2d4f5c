package main

import (
	"encoding/binary"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

func asItIs([]byte) error { return nil }

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
		got, err := joinData(module(c.pieces...), asItIs)
		require.NoError(t, err, name)
		require.Equal(t, module(c.want), got, name)
	}
	none := module()
	got, err := joinData(none, asItIs)
	require.NoError(t, err)
	require.Equal(t, none, got)
}

func TestDataThatCannotBeReadIsRefused(t *testing.T) {
	whole := module(segment{4096, []byte("one")}, segment{5000, []byte("two")})
	for n := range whole {
		if _, err := joinData(whole[:n], asItIs); err == nil {
			// Cut between two sections a module is one that ends there.
			require.Contains(t, []int{8, 13, len(whole) - 4}, n)
		}
	}
	passive := append([]byte("\x00asm\x01\x00\x00\x00"), dataSection, 4, 1, 1, 1, 'x')
	_, err := joinData(passive, asItIs)
	require.ErrorContains(t, err, "not known")
}

func FuzzJoinData(f *testing.F) {
	f.Add(module(segment{4096, []byte("one")}, segment{4110, []byte("two")}))
	f.Fuzz(func(t *testing.T, wasm []byte) {
		if len(wasm) > 1000 {
			return
		}
		if once, err := joinData(wasm, asItIs); err == nil {
			twice, err := joinData(once, asItIs)
			require.NoError(t, err)
			require.Equal(t, once, twice)
		}
	})
}

// Names of functions are for the table of rooms and go no further.
func TestNamesAreLeftOut(t *testing.T) {
	plain := module(segment{64, []byte("a")})
	names := append([]byte("\x00"), binary.AppendUvarint(nil, 12)...)
	named := append(append(slices.Clone(plain), names...), "\x04name\x01\x05\x01\x00\x02ab"...)
	got, err := joinData(named, asItIs)
	require.NoError(t, err)
	require.Equal(t, plain, got)
}

// A program weighs what its functions weigh, each under the room of its package.
func TestWeighedByNames(t *testing.T) {
	// The code of two functions after one that is imported, and their names.
	wasm := []byte("\x00asm\x01\x00\x00\x00" + "\x02\x06\x01\x01a\x01b\x00" + "\x0a\x07\x02\x01x\x03xyz" +
		"\x0b\x04data" + "\x00\x22\x04name\x01\x1b\x02\x01\x10pegpour_engine.a\x02\x06main.b")
	sizes, data, err := bodiesOf(wasm)
	require.NoError(t, err)
	require.Equal(t, map[string]int{"pegpour_engine.a": 1, "main.b": 3}, sizes)
	require.Equal(t, 4, data)
	_, _, err = bodiesOf(module())
	require.ErrorIs(t, err, errNotWasm)
	for name, room := range map[string]string{"pegpour/engine/draw/solid": "engine/draw", "pegpour/app": "app",
		"github.com/maxence-charriere/go-app/v9/pkg/app": "go-app", "github.com/google/uuid": "other packages",
		"encoding/json": "Go's own library", byTools: byTools} {
		require.Equal(t, room, ofPackage(name), name)
	}
	require.Equal(t, "pegpour/engine", packageOf("pegpour_engine.a", map[string]string{"pegpour_engine": "pegpour/engine"}))
}
