package e2e

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
)

// What the tests run: the server, and bundles for it. The bare program makes
// the tests of the shell independent of what the screens are like.
var (
	serverBinary string
	realBundle   string // "" for the one in the binary
	bareFirst    string // folder of a bundle with the bare program
	bareSecond   string // the same, as another version with another program
)

func TestMain(m *testing.M) { os.Exit(buildAndRun(m)) }

func buildAndRun(m *testing.M) int {
	if _, err := findBrowser(false); err != nil && os.Getenv("CI") == "" {
		return m.Run() // each test says why it is skipped
	}
	work, err := os.MkdirTemp("", "pegpour-e2e-")
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	defer os.RemoveAll(work)
	if err := buildAll(work); err != nil {
		fmt.Fprintln(os.Stderr, "building what the tests run:", err)
		return 1
	}
	return m.Run()
}

func buildAll(work string) error {
	bareFirst, bareSecond = filepath.Join(work, "first"), filepath.Join(work, "second")
	cache := filepath.Join(work, "cache")
	// Packed fast, not small: these bundles stay on this machine. The bare program
	// makes no documents, and is the office's too.
	bare := []string{"-office", "./web/e2e/bare", "-building", "", "-papers", ""}
	bundle := func(program, out, mark string, more ...string) error {
		return goCommand(append([]string{"run", "-buildvcs=false", "./web/build", "-main", program, "-out", out,
			"-mark", mark, "-cache", cache, "-quality", "1", "-budget", "100000000"}, more...)...)
	}
	if err := bundle("./web/e2e/bare", bareFirst, "first", append(bare, "-framework", "whole")...); err != nil {
		return err
	}
	if err := bundle("./web/e2e/bare", bareSecond, "second", bare...); err != nil {
		return err
	}
	if serverBinary = os.Getenv("PEGPOUR_BINARY"); serverBinary != "" {
		return nil
	}
	serverBinary, realBundle = filepath.Join(work, "pegpour"), filepath.Join(work, "real")
	if err := bundle("./app/browser", realBundle, ""); err != nil {
		return err
	}
	return goCommand("build", "-buildvcs=false", "-o", serverBinary, "./web")
}

func goCommand(arguments ...string) error {
	command := exec.Command("go", arguments...)
	command.Dir = "../.." // the root of the module
	command.Stderr = os.Stderr
	if out, err := command.Output(); err != nil {
		return fmt.Errorf("go %v: %w\n%s", arguments, err, out)
	}
	return nil
}
