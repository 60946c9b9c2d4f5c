package e2e

import (
	"context"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// driver is what the tests ask of an engine that is not Chromium. Each call
// answers with an error when the browser refuses it or is gone.
type driver interface {
	// open goes to an address and returns when it is loaded.
	open(ctx context.Context, address string) error
	// eval evaluates a JavaScript expression in the page, waits for a promise,
	// and returns the value as text.
	eval(ctx context.Context, expression string) (string, error)
	// keys types into what has the focus.
	keys(ctx context.Context, text string) error
	// press presses the pointer's button at a place of the window.
	press(ctx context.Context, x, y int) error
	// screenshot returns the window as a PNG.
	screenshot(ctx context.Context) ([]byte, error)
}

// Driven is a page in an engine that is not Chromium.
type Driven struct {
	t      testing.TB
	engine string
	driver
}

func (d *Driven) within(do func(ctx context.Context) error) {
	d.t.Helper()
	ctx, cancel := context.WithTimeout(context.Background(), patience)
	defer cancel()
	if err := do(ctx); err != nil {
		d.t.Fatalf("%s: %v", d.engine, err)
	}
}

// Go opens an address and waits until the program runs.
func (d *Driven) Go(address string) {
	d.t.Helper()
	d.within(func(ctx context.Context) error { return d.open(ctx, address) })
	d.Wait(`document.documentElement.dataset.app === "running"`)
}

// Eval evaluates an expression and returns its value as text.
func (d *Driven) Eval(expression string) (value string) {
	d.t.Helper()
	d.within(func(ctx context.Context) (err error) {
		value, err = d.eval(ctx, expression)
		return err
	})
	return value
}

// Wait waits until an expression is true, also across reloads.
func (d *Driven) Wait(expression string) {
	d.t.Helper()
	ctx, cancel := context.WithTimeout(context.Background(), patience)
	defer cancel()
	for {
		value, err := d.eval(ctx, "!!("+expression+")")
		if err == nil && value == "true" {
			return
		}
		select {
		case <-ctx.Done():
			last, cancelLast := context.WithTimeout(context.Background(), 5*time.Second)
			defer cancelLast()
			words, _ := d.eval(last, "document.body.innerText")
			d.t.Fatalf("%s: still not so: %s (last error: %v)\nthe page shows: %s", d.engine, expression, err, words)
		case <-time.After(50 * time.Millisecond):
		}
	}
}

// Tap presses the middle of an element once it is not under another one: the
// list that is shown while the program loads gives way to the program's own.
func (d *Driven) Tap(selector string) {
	d.t.Helper()
	find := "document.querySelector(" + quote(selector) + ")"
	d.Wait(find)
	for until := time.Now().Add(patience); ; time.Sleep(50 * time.Millisecond) {
		at := d.Eval(`(() => {
			const e = ` + find + `;
			if (!e) return "gone";
			e.scrollIntoView({block: "nearest", behavior: "instant"});
			const r = e.getBoundingClientRect();
			const x = Math.round(r.x + r.width / 2), y = Math.round(r.y + r.height / 2);
			const top = document.elementFromPoint(x, y);
			if (top && (top === e || e.contains(top))) return x + " " + y;
			return "under " + (top ? top.outerHTML.slice(0, 200) : "nothing");
		})()`)
		if x, y, found := strings.Cut(at, " "); found && x != "under" {
			d.within(func(ctx context.Context) error { return d.press(ctx, whole(x), whole(y)) })
			return
		}
		if time.Now().After(until) {
			d.t.Fatalf("%s: %q cannot be pressed: it is %s", d.engine, selector, at)
		}
	}
}

func whole(digits string) (n int) {
	for _, r := range digits {
		n = n*10 + int(r-'0')
	}
	return n
}

// Keys types into what has the focus.
func (d *Driven) Keys(text string) {
	d.t.Helper()
	d.within(func(ctx context.Context) error { return d.keys(ctx, text) })
}

// Screenshot writes a picture of the window to shots/<engine>-<name>.png, where
// pictures are asked for.
func (d *Driven) Screenshot(name string) {
	d.t.Helper()
	if os.Getenv("PEGPOUR_SHOTS") == "" {
		return
	}
	d.within(func(ctx context.Context) error {
		picture, err := d.screenshot(ctx)
		if err != nil {
			return err
		}
		if err := os.MkdirAll("shots", 0o755); err != nil {
			return err
		}
		return os.WriteFile(filepath.Join("shots", d.engine+"-"+name+".png"), picture, 0o644)
	})
}

// lookFor returns the first program of these names that is installed. Without
// one the test is skipped, or fails where the environment says CI.
func lookFor(t testing.TB, names ...string) string {
	t.Helper()
	for _, name := range names {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	err := errors.New("not installed: " + strings.Join(names, ", "))
	if os.Getenv("CI") != "" {
		t.Fatal(err)
	}
	t.Skip(err)
	return ""
}

// startProcess starts a program in a group of its own, which ends, all of it,
// with the test.
func startProcess(t testing.TB, process *exec.Cmd) {
	t.Helper()
	process.SysProcAttr = &syscall.SysProcAttr{Setpgid: true}
	require.NoError(t, process.Start())
	t.Cleanup(func() {
		syscall.Kill(-process.Process.Pid, syscall.SIGKILL)
		process.Wait()
	})
}

// scratch is a folder that is removed with the test, also when a killed browser
// is still writing into it.
func scratch(t testing.TB) string {
	t.Helper()
	folder, err := os.MkdirTemp("", "pegpour-profile-")
	require.NoError(t, err)
	t.Cleanup(func() { os.RemoveAll(folder) })
	return folder
}
