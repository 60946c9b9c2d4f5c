// Package record lets the tests of the maths packages hand what they found for
// a reference case to the one test that lists all of them. It is linked into
// tests only.
package record

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strconv"
)

// Folder is the environment variable that names where to write; without it
// nothing is written.
const Folder = "PEGPOUR_REFERENCE_RUN"

// Value is what a test found for one value of one case.
type Value struct {
	Subject string // the package whose test found it
	ID      string
	Name    string
	Got     float64
}

// Got notes what was found for a value of a case.
func Got(id, name string, got float64) {
	folder := os.Getenv(Folder)
	if folder == "" {
		return
	}
	// Tests run in their package's own folder.
	at, _ := os.Getwd()
	line, err := json.Marshal(Value{filepath.Base(at), id, name, got})
	if err != nil {
		return
	}
	f, err := os.OpenFile(filepath.Join(folder, strconv.Itoa(os.Getpid())+".jsonl"), os.O_APPEND|os.O_CREATE|os.O_WRONLY, 0o644)
	if err != nil {
		return
	}
	_, _ = f.Write(append(line, '\n'))
	_ = f.Close()
}
