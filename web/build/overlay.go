package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
)

// Go's own library keeps a finalizer for each value of the page that the program holds, in
// a list for each page of memory, sorted, which every further one walks through. The
// references are so small that a thousand share a list, and as a screen with a thousand
// elements came onto the page a third of its time went there. With room of eight
// around each a list has 128.
const (
	tightReference = "gcPtr = new(ref)\n"
	roomyReference = "gcPtr = &new([8]ref)[0] // few to a span, whose list of finalizers is walked\n"
)

// errOtherLibrary says that Go's library is not the one that roomyReference was written for.
var errOtherLibrary = errors.New("syscall/js of this Go makes its references in another way: see web/build/overlay.go")

// replacements is a file of the go command that names other files for some of the source.
type replacements struct{ Replace map[string]string }

// overlay returns the arguments with which the go command builds references to values of
// the page that are quick to make, and what else the options replace. With a library of Go
// that is not known the references stay as they are, and a word is said.
func overlay(o options) ([]string, error) {
	list := replacements{map[string]string{}}
	if o.overlay != "" {
		text, err := os.ReadFile(o.overlay)
		if err == nil {
			err = json.Unmarshal(text, &list)
		}
		if err != nil {
			return nil, fmt.Errorf("-overlay: %w", err)
		}
	}
	if o.framework == "trimmed" {
		if err := list.addReferences(o.cache); errors.Is(err, errOtherLibrary) {
			fmt.Fprintln(os.Stderr, "build: screens come up slower:", err)
		} else if err != nil {
			return nil, err
		}
	}
	if len(list.Replace) == 0 {
		return nil, nil
	}
	named, err := json.Marshal(list)
	if err != nil {
		return nil, err
	}
	file, err := filepath.Abs(filepath.Join(o.cache, "overlay.json"))
	if err != nil {
		return nil, err
	}
	return []string{"-overlay=" + file}, writeIfOther(file, named)
}

// addReferences writes a syscall/js with references that have room, and names it.
func (r *replacements) addReferences(cache string) error {
	root, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		return err
	}
	library := filepath.Join(strings.TrimSpace(string(root)), "src", "syscall", "js", "js.go")
	source, err := os.ReadFile(library)
	if err != nil {
		return err
	}
	roomy, err := withRoomyReferences(source)
	if err != nil {
		return err
	}
	ours, err := filepath.Abs(filepath.Join(cache, "_js.go"))
	if err != nil {
		return err
	}
	r.Replace[library] = ours
	return writeIfOther(ours, roomy)
}

// withRoomyReferences is the source of syscall/js with references that have room.
func withRoomyReferences(source []byte) ([]byte, error) {
	if bytes.Count(source, []byte(tightReference)) != 1 {
		return nil, errOtherLibrary
	}
	return bytes.Replace(source, []byte(tightReference), []byte(roomyReference), 1), nil
}
