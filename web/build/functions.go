package main

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"os"
	"slices"
	"strings"
)

// The table of functions that Go's linker puts into the memory of a program, as package
// runtime of Go 1.20 to 1.26 reads it (symtab.go, pcHeader and _func): a head, the names,
// and a record for each function. Numbers are of little endian.
const (
	headSize   = 72
	recordName = 4  // place of the name's offset in a record
	recordLine = 36 // place of the function's first line
	recordSize = 44 // without what follows it
)

// headMark are the first bytes of the head: the format, and that an address takes one
// byte at least and eight at most.
var headMark = []byte{0xf1, 0xff, 0xff, 0xff, 0, 0, 1, 8}

var errNoFunctions = errors.New("no table of functions that is known: a newer Go may write another one")

// runtimeNames are the beginnings of names that the runtime itself reads: its own
// goroutines go by them, and how reflect's calls keep their arguments.
var runtimeNames = []string{"runtime.", "internal/runtime/", "reflect.", "syscall/js."}

// forgetNames takes the names of functions, and where each begins, out of the memory of a
// program: a thirtieth of what a phone fetches. What a program that stops writes down still
// has the file and the line of each call.
func forgetNames(memory []byte) error {
	head := bytes.Index(memory, headMark)
	if head < 0 || len(memory) < head+headSize {
		return errNoFunctions
	}
	table := memory[head:]
	at := func(place int) int {
		return int(min(binary.LittleEndian.Uint64(table[place:]), mostMemory))
	}
	count, namesFrom, namesTo, records := at(8), at(32), at(40), at(64)
	if namesFrom > namesTo || namesTo > len(table) || records+8*count > len(table) {
		return errNoFunctions
	}
	names := table[namesFrom:namesTo]
	functions := make([][]byte, count)
	for k := range functions { // all are looked at before one is changed
		record := records + int(binary.LittleEndian.Uint32(table[records+8*k+4:]))
		if record+recordSize > len(table) {
			return errNoFunctions
		}
		functions[k] = table[record:]
		offset := offsetOf(functions[k])
		if offset < 0 || offset >= len(names) || offset > 0 && names[offset-1] != 0 {
			return errNoFunctions
		}
	}
	method := methodName(names)
	for _, function := range functions {
		name := nameAt(names, offsetOf(function))
		switch {
		case isRuntimes(name):
		case strings.Contains(name, ".(*"): // what calls one on nil is told so by a name of this form
			binary.LittleEndian.PutUint32(function[recordName:], uint32(method))
		default:
			binary.LittleEndian.PutUint32(function[recordName:], 0)
		}
		binary.LittleEndian.PutUint32(function[recordLine:], 0)
	}
	for offset := 0; offset < len(names); {
		name := nameAt(names, offset)
		if !isRuntimes(name) {
			clear(names[offset : offset+len(name)])
		}
		offset += len(name) + 1
	}
	return nil
}

// forgetNamesIfKnown leaves the names in, and says so, where another Go wrote the table.
func forgetNamesIfKnown(memory []byte) error {
	if err := forgetNames(memory); err != nil {
		fmt.Fprintln(os.Stderr, "build: programs keep the names of functions:", err)
	}
	return nil
}

// offsetOf is where the name of a function begins among the names.
func offsetOf(function []byte) int { return int(binary.LittleEndian.Uint32(function[recordName:])) }

func nameAt(names []byte, offset int) string {
	end := bytes.IndexByte(names[offset:], 0)
	if end < 0 {
		end = len(names) - offset
	}
	return string(names[offset : offset+end])
}

func isRuntimes(name string) bool {
	return slices.ContainsFunc(runtimeNames, func(begins string) bool { return strings.HasPrefix(name, begins) })
}

// methodName is the place of a name that is kept and is of a method.
func methodName(names []byte) int {
	return max(0, bytes.Index(names, []byte("\x00reflect.(*"))+1)
}
