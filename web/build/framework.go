package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"

	"pegpour/web/wholefile"
)

const (
	frameworkModule = "github.com/maxence-charriere/go-app/v9"

	// trimmedFolder holds the files that stand in for the framework's own in
	// the browser program. Its name hides it from the go command.
	trimmedFolder = "web/build/_framework"

	// uuidModule gives the framework's identities, trimmedUUID stands in for it: a
	// module of one file, made where the framework's copy is.
	uuidModule  = "github.com/google/uuid"
	trimmedUUID = "web/build/_uuid.go"

	// trimmedFrom names the framework's own texts of those files, for which ours
	// were written: a later framework may have put something else in them.
	trimmedFrom = "d34db803700daf31cb7334f4f01b8789c7d18c51fd6013246570253ca3738d7f"
)

// trimmedModule returns the arguments that make the go command build with a
// copy of the framework without what never runs in a browser: its server, and
// with it net/http, TLS and templates, and regular expressions. The copy lies
// in the folder of o.cache; the module and its sums stay as they are.
func trimmedModule(o options) ([]string, error) {
	if o.framework != "trimmed" {
		return nil, nil
	}
	listed, err := exec.Command("go", "list", "-m", "-json", frameworkModule).Output()
	if err != nil {
		return nil, fmt.Errorf("go list -m %s: %w", frameworkModule, err)
	}
	var module struct{ Dir, Version string }
	if err := json.Unmarshal(listed, &module); err != nil {
		return nil, err
	}
	if module.Dir == "" {
		if err := run(nil, "go", "mod", "download", frameworkModule); err != nil {
			return nil, err
		}
		if listed, err = exec.Command("go", "list", "-m", "-json", frameworkModule).Output(); err != nil {
			return nil, fmt.Errorf("go list -m %s: %w", frameworkModule, err)
		}
		if err := json.Unmarshal(listed, &module); err != nil {
			return nil, err
		}
		if module.Dir == "" {
			return nil, errors.New("the framework's source is nowhere to be found")
		}
	}
	ours, err := filepath.Glob(filepath.Join(trimmedFolder, "*.go"))
	if err != nil {
		return nil, err
	}
	if err := sameOriginals(module.Dir, ours); err != nil {
		return nil, err
	}
	cache, err := filepath.Abs(o.cache)
	if err != nil {
		return nil, err
	}
	copied := filepath.Join(cache, "framework-"+module.Version)
	if err := copyFramework(module.Dir, copied, ours); err != nil {
		return nil, err
	}
	identities := filepath.Join(cache, "uuid")
	if err := copyUUID(identities); err != nil {
		return nil, err
	}
	return replacedModule(cache, map[string]string{frameworkModule: copied, uuidModule: identities})
}

// sameOriginals tells whether the framework's own files are still those that
// ours were written for.
func sameOriginals(dir string, ours []string) error {
	sum := sha256.New()
	for _, file := range ours {
		original, err := os.ReadFile(filepath.Join(dir, "pkg/app", filepath.Base(file)))
		if err != nil {
			return err
		}
		sum.Write(original)
	}
	if found := hex.EncodeToString(sum.Sum(nil)); found != trimmedFrom {
		return fmt.Errorf("the framework's own files that %s stands in for have changed: "+
			"compare them, then set trimmedFrom in web/build/framework.go to %s; -framework whole builds without",
			trimmedFolder, found)
	}
	return nil
}

// copyFramework writes the packages that a browser program needs to a folder,
// with our files in place of the framework's own of the same names. Files that
// are right already keep their times.
func copyFramework(from, to string, ours []string) error {
	sources := map[string]string{"go.mod": filepath.Join(from, "go.mod")}
	for _, folder := range []string{"pkg/app", "pkg/errors"} {
		files, err := filepath.Glob(filepath.Join(from, folder, "*.go"))
		if err != nil {
			return err
		}
		for _, file := range files {
			if !strings.HasSuffix(file, "_test.go") {
				sources[filepath.Join(folder, filepath.Base(file))] = file
			}
		}
	}
	for _, file := range ours {
		sources[filepath.Join("pkg/app", filepath.Base(file))] = file
	}
	for name, source := range sources {
		content, err := os.ReadFile(source)
		if err != nil {
			return err
		}
		if err := writeIfOther(filepath.Join(to, name), content); err != nil {
			return err
		}
	}
	return nil
}

// copyUUID writes the module that stands in for uuidModule to a folder.
func copyUUID(to string) error {
	content, err := os.ReadFile(trimmedUUID)
	if err != nil {
		return err
	}
	if err := writeIfOther(filepath.Join(to, "uuid.go"), content); err != nil {
		return err
	}
	return writeIfOther(filepath.Join(to, "go.mod"), []byte("module "+uuidModule+"\n\ngo 1.24\n"))
}

// replacedModule writes a go.mod in which modules are the copies in folders, and
// returns the arguments that have the go command use it.
func replacedModule(cache string, copies map[string]string) ([]string, error) {
	module, err := os.ReadFile("go.mod")
	if err != nil {
		return nil, err
	}
	sums, err := os.ReadFile("go.sum")
	if err != nil {
		return nil, err
	}
	root, err := os.Getwd()
	if err != nil {
		return nil, err
	}
	for _, name := range slices.Sorted(maps.Keys(copies)) {
		// The program keeps this line: a path from the module's root names no machine.
		copied, err := filepath.Rel(root, copies[name])
		if err != nil {
			return nil, err
		}
		module = fmt.Appendf(module, "\nreplace %s => %q\n", name, "./"+filepath.ToSlash(copied))
	}
	file := filepath.Join(cache, "browser.mod")
	if err := writeIfOther(file, module); err != nil {
		return nil, err
	}
	if err := writeIfOther(filepath.Join(cache, "browser.sum"), sums); err != nil {
		return nil, err
	}
	return []string{"-modfile=" + file}, nil
}

// writeIfOther writes a file that does not yet read so.
func writeIfOther(name string, content []byte) error {
	if found, err := os.ReadFile(name); err == nil && bytes.Equal(found, content) {
		return nil
	}
	if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
		return err
	}
	return wholefile.Write(name, func(w io.Writer) error { _, err := w.Write(content); return err })
}

// coldPackages are compiled without copying small functions into their callers:
// they are called once for each thing a person does, and weigh a tenth of the
// packed program less this way. What computes at each key (outlines) is not among
// them.
var coldPackages = []string{
	frameworkModule + "/pkg/app",
	"encoding/...", "net/url", "time", "fmt", "strconv", "reflect", "context", "os", "io/...", "syscall/...",
	"path/...", "strings", "bytes", "errors", "bufio", "sort", "html", "math/big", "internal/poll", "internal/fmtsort", "compress/...",
	"crypto/...", "github.com/google/uuid", "slices", "maps", "sync", "internal/sync", "internal/strconv", "net/netip", "unicode/...", "weak", "unique",
	"pegpour/app/...",
	"pegpour/engine", "pegpour/engine/stages", "pegpour/engine/anchor", "pegpour/engine/sorting",
	"pegpour/engine/text", "pegpour/engine/input", "pegpour/engine/practice", "pegpour/engine/survey",
	"pegpour/engine/plan", "pegpour/engine/ground", "pegpour/engine/network", "pegpour/engine/advice", "pegpour/engine/drawing",
	"pegpour/engine/tables", "pegpour/engine/draw", "pegpour/engine/draw/...", "pegpour/engine/units",
	"pegpour/engine/reference", "pegpour/engine/geom", "pegpour/engine/elementary", "pegpour/engine/refusal", "pegpour/engine/words", "pegpour/engine/levels",
	"pegpour/engine/tape", "pegpour/engine/soil", "pegpour/engine/steel", "pegpour/engine/wind", "pegpour/engine/slab",
	"pegpour/engine/motion", "pegpour/engine/concrete", "pegpour/engine/photo",
	"pegpour/storage", "pegpour/storage/...",
}

func coldFlags() []string {
	var flags []string
	for _, name := range coldPackages {
		flags = append(flags, "-gcflags="+name+"=-l")
	}
	return flags
}
