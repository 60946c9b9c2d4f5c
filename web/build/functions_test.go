package main

import (
	"bytes"
	"encoding/binary"
	"testing"

	"github.com/stretchr/testify/require"
)

// functionsOf is a memory with a table of functions of these names, as Go 1.26 writes it.
func functionsOf(names ...string) []byte {
	head := make([]byte, headSize)
	copy(head, headMark)
	put := func(place, v int) { binary.LittleEndian.PutUint64(head[place:], uint64(v)) }
	put(8, len(names))
	put(32, headSize)
	text := []byte{0}
	var index, records []byte
	for i, name := range names {
		record := make([]byte, recordSize+4*i) // of more and more data each
		binary.LittleEndian.PutUint32(record[recordName:], uint32(len(text)))
		binary.LittleEndian.PutUint32(record[recordLine:], uint32(100+i))
		binary.LittleEndian.PutUint32(record[recordLine+4:], 77)
		index = binary.LittleEndian.AppendUint32(index, uint32(i))
		index = binary.LittleEndian.AppendUint32(index, uint32(8*len(names)+len(records)))
		records = append(records, record...)
		text = append(append(text, name...), 0)
	}
	put(40, headSize+len(text))
	put(64, headSize+len(text))
	return append(append(append([]byte("before"), head...), text...), append(index, records...)...)
}

// namesIn reads the names, and first lines, of the functions of a memory.
func namesIn(memory []byte) (names []string, lines []uint32) {
	table := memory[len("before"):]
	number := func(place int) int { return int(binary.LittleEndian.Uint64(table[place:])) }
	text, records := table[number(32):number(40)], number(64)
	for i := range number(8) {
		record := table[records+int(binary.LittleEndian.Uint32(table[records+8*i+4:])):]
		names = append(names, nameAt(text, int(binary.LittleEndian.Uint32(record[recordName:]))))
		lines = append(lines, binary.LittleEndian.Uint32(record[recordLine:]), binary.LittleEndian.Uint32(record[recordLine+4:]))
	}
	return names, lines
}

// The runtime finds the names that it reads itself, a method has one of its form, and
// nothing else of the table is another.
func TestNamesAreForgotten(t *testing.T) {
	memory := functionsOf("runtime.main", "main.main", "pegpour/engine.(*Sketch).Judge", "reflect.(*rtype).Len",
		"reflect.methodValueCall", "main.main.func1", "runtime.(*mspan).base")
	was := bytes.Clone(memory)
	require.NoError(t, forgetNames(memory))
	names, lines := namesIn(memory)
	require.Equal(t, []string{"runtime.main", "", "reflect.(*rtype).Len", "reflect.(*rtype).Len",
		"reflect.methodValueCall", "", "runtime.(*mspan).base"}, names)
	require.Equal(t, []uint32{0, 77, 0, 77, 0, 77, 0, 77, 0, 77, 0, 77, 0, 77}, lines)
	require.Len(t, memory, len(was))
	require.NotContains(t, string(memory), "Sketch")
	again := bytes.Clone(memory)
	require.NoError(t, forgetNames(again))
	require.Equal(t, memory, again)
}

func TestAnotherTableIsRefused(t *testing.T) {
	whole := functionsOf("runtime.main", "main.main")
	for n := range len(whole) - 4 { // what follows the last record is not looked at
		require.ErrorIs(t, forgetNames(bytes.Clone(whole[:n])), errNoFunctions, n)
	}
	require.ErrorIs(t, forgetNames([]byte("no program of Go")), errNoFunctions)
}

func FuzzForgetNames(f *testing.F) {
	f.Add(functionsOf("runtime.main", "main.main"))
	f.Fuzz(func(_ *testing.T, memory []byte) { _ = forgetNames(memory) })
}
