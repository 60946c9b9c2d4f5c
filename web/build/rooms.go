package main

import (
	"cmp"
	"encoding/binary"
	"errors"
	"fmt"
	"maps"
	"os"
	"os/exec"
	"regexp"
	"slices"
	"strings"
)

// notInNames is what the linker replaces in the names of functions.
var notInNames = regexp.MustCompile(`[^\w.]`)

// byTools stands for the package of what bears no package's name.
const byTools = "made by compiler and linker"

var errNotWasm = errors.New("not a WebAssembly program with the names of its functions")

// least is what a room must weigh in some program to have a line of its own, bytes.
const least = 15_000

// ofPackage is the room that a package belongs to.
func ofPackage(name string) string {
	own, ours := strings.CutPrefix(name, "pegpour/")
	first, _, _ := strings.Cut(name, "/")
	switch {
	case ours:
		parts := strings.Split(own, "/")
		return strings.Join(parts[:min(2, len(parts))], "/")
	case strings.HasPrefix(name, "github.com/maxence-charriere/go-app/"):
		return "go-app"
	case strings.Contains(first, "."):
		return "other packages"
	case name == byTools:
		return name
	}
	return "Go's own library"
}

// roomsTable is what the code of each room weighs in each program before packing, the
// heaviest of the phone's first. Texts and tables are data, which bears no names.
func roomsTable(o options, made programs) (string, error) {
	columns := []struct {
		name, program string
		wasm          []byte
	}{{"phone", o.main, made.named.phone}, {"building", o.building, made.named.building},
		{"office", o.office, made.named.office}, {"papers", o.papers, made.named.papers}}
	module, err := trimmedModule(o)
	if err != nil {
		return "", err
	}
	arguments := append([]string{"list", "-deps", "-buildvcs=false"}, module...)
	for _, c := range columns {
		if c.program != "" {
			arguments = append(arguments, c.program)
		}
	}
	list := exec.Command("go", arguments...)
	list.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm")
	packages, err := list.Output()
	if err != nil {
		return "", err
	}
	byName := map[string]string{} // packages, as the linker writes them
	for _, name := range strings.Fields(string(packages)) {
		byName[notInNames.ReplaceAllString(name, "_")] = name
	}
	const data = "texts and tables of all"
	sizes, all := map[string][]int{}, make([]int, len(columns))
	add := func(room string, column, size int) {
		if sizes[room] == nil {
			sizes[room] = make([]int, len(columns))
		}
		sizes[room][column] += size
		all[column] += size
	}
	for i, c := range columns {
		if c.wasm == nil {
			continue
		}
		bodies, rest, err := bodiesOf(c.wasm)
		if err != nil {
			return "", err
		}
		add(data, i, rest)
		for name, size := range bodies {
			add(ofPackage(packageOf(name, byName)), i, size)
		}
	}
	small := fmt.Sprintf("rooms under %d kB", least/1000)
	for room, of := range sizes {
		if slices.Max(of) < least && room != small {
			for i, size := range of {
				add(small, i, size)
				all[i] -= size
			}
			delete(sizes, room)
		}
	}
	rooms := slices.SortedFunc(maps.Keys(sizes), func(a, b string) int {
		return cmp.Or(cmp.Compare(sizes[b][0], sizes[a][0]), cmp.Compare(slices.Max(sizes[b]), slices.Max(sizes[a])),
			strings.Compare(a, b))
	})
	var out strings.Builder
	fmt.Fprintf(&out, "%-34s", "kB before packing")
	for _, c := range columns {
		fmt.Fprintf(&out, "%9s", c.name)
	}
	row := func(name string, of []int) {
		fmt.Fprintf(&out, "\n%-34s", name)
		for _, size := range of {
			if size == 0 {
				fmt.Fprintf(&out, "%9s", "–")
			} else {
				fmt.Fprintf(&out, "%9d", (size+500)/1000)
			}
		}
	}
	for _, room := range rooms {
		row(room, sizes[room])
	}
	row("together", all)
	return out.String(), nil
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
	return byTools
}
