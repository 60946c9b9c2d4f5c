// Package golden holds pictures and pages against the ones that were looked at
// and kept. It is linked into tests only, and gives them the flag -update.
package golden

import (
	"bytes"
	"flag"
	"os"
	"testing"
)

var update = flag.Bool("update", false, "write the kept pictures and pages anew")

// Compare fails where a picture or page is not the kept one at path. With
// -update it is kept.
func Compare(t *testing.T, path string, got []byte) {
	t.Helper()
	if *update {
		if err := os.WriteFile(path, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("%s has changed: look at it, then run with -update", path)
	}
}
