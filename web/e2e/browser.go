package e2e

import (
	"context"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	cdpbrowser "github.com/chromedp/cdproto/browser"
	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/remote"
)

// errNoBrowser says that no browser was found to test with.
var errNoBrowser = errors.New("no chromium or google-chrome is installed")

// findBrowser returns the program of a Chromium of any name. One that has no window
// at all, where it is installed, runs the same pages and starts with a fifth of the
// work; whole asks for one that a person would use.
func findBrowser(whole bool) (string, error) {
	names := []string{"chromium", "chromium-browser", "google-chrome", "google-chrome-stable"}
	if !whole {
		names = append([]string{"chromium-headless-shell"}, names...)
	}
	for _, name := range names {
		if path, err := exec.LookPath(name); err == nil {
			return path, nil
		}
	}
	return "", errNoBrowser
}

// RequireBrowser skips the test when there is no browser to run it with. Where
// the environment says CI, it fails: there a browser has to be.
func RequireBrowser(t testing.TB) {
	t.Helper()
	if _, err := findBrowser(false); err != nil {
		if os.Getenv("CI") != "" {
			t.Fatal(err)
		}
		t.Skip(err)
	}
}

// Browser is a running headless Chromium with a profile of its own.
type Browser struct {
	// Outside catches what the browser sends to other machines.
	Outside *Catcher

	profile string
	whole   bool     // a browser that a person would use
	keeps   bool     // its pages keep the app on the device, see Keeping
	flags   []string // of this browser beside those of all
	process *exec.Cmd
	ended   chan struct{}
	root    context.Context
	cancel  context.CancelFunc
}

// LaunchBrowser starts a browser with a new profile. It ends with the test.
func LaunchBrowser(t testing.TB) *Browser {
	t.Helper()
	return launchBrowserOn(t, scratch(t), false) // not t.TempDir, which fails while a killed browser still writes
}

// LaunchWholeBrowser starts a browser as a person has it: its sensors answer.
func LaunchWholeBrowser(t testing.TB) *Browser {
	t.Helper()
	return launchBrowserOn(t, scratch(t), true)
}

// launchBrowserOn starts a browser with the profile in a folder, and with flags of its own.
// What is timed is timed in a whole browser.
func launchBrowserOn(t testing.TB, profile string, whole bool, flags ...string) *Browser {
	t.Helper()
	RequireBrowser(t)
	catcher, err := startCatcher()
	if err != nil {
		t.Fatal(err)
	}
	_, timed := t.(*testing.B)
	b := &Browser{Outside: catcher, profile: profile, whole: whole || timed, keeps: timed, flags: flags}
	t.Cleanup(b.Kill)
	b.Relaunch(t)
	return b
}

// Keeping has the pages of the browser keep the app for use without signal, as every
// phone does. Other pages never come to that: fetching, checking and storing all programs
// costs more than most tests do, and changes nothing of their screens. What is timed keeps.
func (b *Browser) Keeping() *Browser {
	b.keeps = true
	return b
}

// putOff leaves the worker that keeps the app for later, for good.
const putOff = `
	if (self.ServiceWorkerContainer) ServiceWorkerContainer.prototype.register = () => new Promise(() => {});
`

// Kill ends the browser with SIGKILL, all its processes at once, as a phone
// does that needs the memory. Its pages are gone; the profile stays.
func (b *Browser) Kill() {
	if b.process == nil {
		return
	}
	syscall.Kill(-b.process.Process.Pid, syscall.SIGKILL)
	<-b.ended
	b.cancel()
	b.process = nil
}

// Relaunch starts the browser again on the same profile, after Kill.
func (b *Browser) Relaunch(t testing.TB) {
	t.Helper()
	program, err := findBrowser(b.whole)
	if err != nil {
		t.Fatal(err)
	}
	portFile := filepath.Join(b.profile, "DevToolsActivePort")
	os.Remove(portFile)
	b.process = exec.Command(program,
		"--headless=new", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--disable-quic",
		"--no-first-run", "--no-default-browser-check", "--disable-background-networking",
		"--disable-component-update", "--disable-sync", "--disable-extensions", "--disable-default-apps",
		"--disable-domain-reliability", "--disable-breakpad", "--metrics-recording-only",
		"--disable-features=NetworkTimeServiceQuerying,OptimizationHints,MediaRouter,Translate,"+
			"AutofillServerCommunication,InterestFeedContentSuggestions",
		"--password-store=basic", "--use-mock-keychain", "--hide-scrollbars", "--mute-audio",
		// Tabs behind another one go on as if each were in front.
		"--disable-background-timer-throttling", "--disable-backgrounding-occluded-windows",
		"--disable-renderer-backgrounding",
		"--proxy-server=http://"+b.Outside.address,
		// A window that no test looks at costs some seconds of the processor.
		"--no-startup-window",
		"--remote-debugging-port=0", "--user-data-dir="+b.profile)
	if !b.whole {
		// Without a window nobody answers what speech is understood: asking ends the page.
		b.process.Args = append(b.process.Args, "--disable-blink-features=OnDeviceWebSpeechAvailable")
	}
	b.process.Args = append(b.process.Args, b.flags...)
	if _, timed := t.(*testing.B); !timed {
		// Compiling what runs often once more, better, costs a test more than it gains.
		b.process.Args = append(b.process.Args, "--js-flags=--liftoff-only")
	}
	b.process.Stdout, b.process.Stderr = io.Discard, io.Discard
	b.process.SysProcAttr = &syscall.SysProcAttr{Setpgid: true}
	if err := b.process.Start(); err != nil {
		t.Fatal(err)
	}
	b.ended = make(chan struct{})
	go func(process *exec.Cmd, ended chan struct{}) {
		process.Wait()
		close(ended)
	}(b.process, b.ended)

	address, err := b.debuggingAddress(portFile)
	if err != nil {
		b.cancel = func() {}
		b.Kill()
		t.Fatal(err)
	}
	running, cancelRemote := remote.NewAllocator(context.Background(), address, remote.NoModifyURL)
	root, cancelRoot := chromedp.NewContext(running)
	b.root = root
	b.cancel = func() {
		cancelRoot()
		cancelRemote()
	}
	// The browser itself is spoken to, which opens no tab.
	if _, err := chromedp.CallBrowser(root, cdpbrowser.GetVersion, cdp.Empty{}); err != nil {
		t.Fatal("talking to the browser: ", err)
	}
}

// debuggingAddress waits for the browser to write where it listens.
func (b *Browser) debuggingAddress(portFile string) (string, error) {
	deadline := time.Now().Add(patience)
	for time.Now().Before(deadline) {
		text, err := os.ReadFile(portFile)
		if port, path, found := strings.Cut(string(text), "\n"); err == nil && found && path != "" {
			return "ws://127.0.0.1:" + port + strings.TrimSpace(path), nil
		}
		select {
		case <-b.ended:
			return "", errors.New("the browser ended while starting")
		case <-time.After(20 * time.Millisecond):
		}
	}
	return "", errors.New("the browser did not start in time")
}
