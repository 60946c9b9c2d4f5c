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

// roomyReferences returns the arguments with which the go command builds references to
// values of the page that are quick to make; none, and a word, with another library.
func roomyReferences(o options) ([]string, error) {
	if o.framework != "trimmed" {
		return nil, nil
	}
	root, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		return nil, err
	}
	library := filepath.Join(strings.TrimSpace(string(root)), "src", "syscall", "js", "js.go")
	source, err := os.ReadFile(library)
	if err != nil {
		return nil, err
	}
	roomy, err := withRoomyReferences(source)
	if err != nil {
		fmt.Fprintln(os.Stderr, "build: screens come up slower:", err)
		return nil, nil
	}
	cache, err := filepath.Abs(o.cache)
	if err != nil {
		return nil, err
	}
	ours, list := filepath.Join(cache, "_js.go"), filepath.Join(cache, "overlay.json")
	if err := writeIfOther(ours, roomy); err != nil {
		return nil, err
	}
	named, err := json.Marshal(map[string]map[string]string{"Replace": {library: ours}})
	if err != nil {
		return nil, err
	}
	return []string{"-overlay=" + list}, writeIfOther(list, named)
}

// withRoomyReferences is the source of syscall/js with references that have room.
func withRoomyReferences(source []byte) ([]byte, error) {
	if bytes.Count(source, []byte(tightReference)) != 1 {
		return nil, errOtherLibrary
	}
	return bytes.Replace(source, []byte(tightReference), []byte(roomyReference), 1), nil
}
