package main

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
)

const (
	customSection = 0       // of a WebAssembly module
	dataSection   = 11      // likewise
	mostMemory    = 1 << 28 // bytes that a program begins with; ours begin with 7 MB
)

var errCut = errors.New("a WebAssembly module that ends too early")

// segment is a piece of memory that a module begins with.
type segment struct {
	at   int
	data []byte
}

// joinData makes one piece of the memory that a module begins with, and leaves out the
// names of functions; change may change it. The linker leaves out each short run of zeros and so writes a
// hundred thousand pieces, whose addresses do not pack; the zeros do.
func joinData(wasm []byte, change func(memory []byte) error) ([]byte, error) {
	if len(wasm) < 8 {
		return nil, errCut
	}
	out := append([]byte(nil), wasm[:8]...)
	for rest := wasm[8:]; len(rest) > 0; {
		kind := rest[0]
		size, n := binary.Uvarint(rest[1:])
		if n <= 0 || size > uint64(len(rest)-1-n) {
			return nil, errCut
		}
		end := 1 + n + int(size)
		switch {
		case kind == customSection && bytes.HasPrefix(rest[1+n:end], []byte("\x04name")):
		case kind == dataSection:
			pieces, err := segments(rest[1+n : end])
			if err != nil {
				return nil, err
			}
			body, err := joined(pieces, change)
			if err != nil {
				return nil, err
			}
			out = append(binary.AppendUvarint(append(out, kind), uint64(len(body))), body...)
		default:
			out = append(out, rest[:end]...)
		}
		rest = rest[end:]
	}
	return out, nil
}

// segments reads a data section. All segments have to be of the one memory and at a
// constant address, as Go's linker writes them.
func segments(section []byte) ([]segment, error) {
	count, n := binary.Uvarint(section)
	if n <= 0 {
		return nil, errCut
	}
	section = section[n:]
	var all []segment
	for range count {
		if len(section) < 2 {
			return nil, errCut
		}
		if section[0] != 0 || section[1] != 0x41 { // memory 0, i32.const
			return nil, fmt.Errorf("a data segment of a kind that is not known: %#x", section[:2])
		}
		at, n := signed(section[2:])
		section = section[2+n:]
		if n == 0 || at < 0 || at > mostMemory || len(section) == 0 || section[0] != 0x0b { // end
			return nil, errCut
		}
		size, n := binary.Uvarint(section[1:])
		if n <= 0 || size > uint64(len(section)-1-n) {
			return nil, errCut
		}
		end := 1 + n + int(size)
		all = append(all, segment{at, section[1+n : end]})
		section = section[end:]
	}
	return all, nil
}

// joined writes a data section of one segment with the bytes of all, as change left them.
func joined(all []segment, change func(memory []byte) error) ([]byte, error) {
	if len(all) == 0 {
		return []byte{0}, nil
	}
	first, last := all[0].at, 0
	for _, s := range all {
		first, last = min(first, s.at), max(last, s.at+len(s.data))
	}
	memory := make([]byte, last-first)
	for _, s := range all { // in their order: a later one writes over an earlier
		copy(memory[s.at-first:], s.data)
	}
	if err := change(memory); err != nil {
		return nil, err
	}
	body := appendSigned([]byte{1, 0, 0x41}, first)
	return append(binary.AppendUvarint(append(body, 0x0b), uint64(len(memory))), memory...), nil
}

// signed reads a signed number of at most 32 bits in LEB128, and how many bytes it
// has; none when it is cut.
func signed(b []byte) (v int, n int) {
	for shift := 0; n < len(b) && n < 5; shift += 7 {
		c := b[n]
		n++
		v |= int(c&0x7f) << shift
		if c < 0x80 {
			if c&0x40 != 0 {
				v -= 1 << (shift + 7)
			}
			return v, n
		}
	}
	return 0, 0
}

func appendSigned(b []byte, v int) []byte {
	for {
		c := byte(v & 0x7f)
		v >>= 7
		if v == 0 && c&0x40 == 0 || v == -1 && c&0x40 != 0 {
			return append(b, c)
		}
		b = append(b, c|0x80)
	}
}
