package main

import (
	"cmp"
	"encoding/binary"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
)

// notInNames is what the linker replaces in the names of functions.
var notInNames = regexp.MustCompile(`[^\w.]`)

var errNotWasm = errors.New("not a WebAssembly program with the names of its functions")

// printRooms prints what the code of each package weighs in the phone's program
// before packing, the heaviest first. The program is linked once more for it, with
// the names of its functions. Texts and tables are data, which bears no names.
func printRooms(o options) error {
	arguments, err := compileArguments(o)
	if err != nil {
		return err
	}
	module, err := trimmedModule(o)
	if err != nil {
		return err
	}
	file := filepath.Join(o.cache, "named.wasm")
	arguments = append(arguments, "-o", file, o.main)
	if err := run([]string{"GOOS=js", "GOARCH=wasm"}, "go", arguments...); err != nil {
		return err
	}
	wasm, err := os.ReadFile(file)
	if err != nil {
		return err
	}
	bodies, data, err := bodiesOf(wasm)
	if err != nil {
		return err
	}
	list := exec.Command("go", append(append([]string{"list", "-deps", "-buildvcs=false"}, module...), o.main)...)
	list.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm")
	packages, err := list.Output()
	if err != nil {
		return err
	}
	byName := map[string]string{} // packages, as the linker writes them
	for _, name := range strings.Fields(string(packages)) {
		byName[notInNames.ReplaceAllString(name, "_")] = name
	}
	sizes := map[string]int{}
	for name, size := range bodies {
		sizes[packageOf(name, byName)] += size
	}
	type room struct {
		name string
		size int
	}
	var rooms []room
	for name, size := range sizes {
		rooms = append(rooms, room{name, size})
	}
	slices.SortFunc(rooms, func(a, b room) int { return cmp.Or(b.size-a.size, strings.Compare(a.name, b.name)) })
	fmt.Printf("%8.1f kB data of all packages\n", float64(data)/1e3)
	for _, r := range rooms {
		fmt.Printf("%8.1f kB %s\n", float64(r.size)/1e3, r.name)
	}
	return nil
}

// bodiesOf measures the bodies of the functions of a program, and the data:
// https://webassembly.github.io/spec/core/binary/modules.html and, for the names,
// https://webassembly.github.io/spec/core/appendix/custom.html
func bodiesOf(wasm []byte) (sizes map[string]int, data int, err error) {
	defer func() {
		if recover() != nil { // cut off somewhere
			err = errNotWasm
		}
	}()
	at := 8
	number := func() int {
		v, n := binary.Uvarint(wasm[at:])
		at += n
		return int(v)
	}
	const custom, imports, code, dataSection = 0, 2, 10, 11
	var bodies []int
	names := map[int]string{}
	imported := 0
	for at < len(wasm) {
		kind := wasm[at]
		at++
		size := number()
		end := at + size
		switch kind {
		case imports:
			// The program imports functions only: module, name, kind, type.
			imported = number()
		case code:
			for range number() {
				size := number()
				bodies = append(bodies, size)
				at += size
			}
		case dataSection:
			data = size
		case custom:
			if length := number(); string(wasm[at:at+length]) != "name" {
				break
			}
			at += len("name")
			for at < end {
				part := wasm[at]
				at++
				next := number() + at
				if part == 1 { // of functions
					for range number() {
						index, length := number(), number()
						names[index] = string(wasm[at : at+length])
						at += length
					}
				}
				at = next
			}
		}
		at = end
	}
	if len(names) == 0 {
		return nil, 0, errNotWasm
	}
	sizes = map[string]int{}
	for i, size := range bodies {
		sizes[names[imported+i]] += size
	}
	return sizes, data, nil
}

// packageOf is the package of a function, by its name as the linker writes it.
func packageOf(function string, byName map[string]string) string {
	for end, c := range function {
		if name := byName[function[:end]]; c == '.' && name != "" {
			return name
		}
	}
	return "made by the compiler and the linker"
}
