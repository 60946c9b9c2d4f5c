package e2e

import (
	"bufio"
	"context"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/coder/websocket"
	"github.com/coder/websocket/wsjson"
	"github.com/stretchr/testify/require"
)

// bidi drives Firefox by WebDriver BiDi (https://w3c.github.io/webdriver-bidi/),
// one command at a time; what the browser reports in between is passed over.
type bidi struct {
	socket *websocket.Conn
	last   int
	page   string // the browsing context
}

// call sends a command and reads its result into out, which may be nil.
func (b *bidi) call(ctx context.Context, method string, params map[string]any, out any) error {
	b.last++
	if params == nil {
		params = map[string]any{}
	}
	if err := wsjson.Write(ctx, b.socket, map[string]any{"id": b.last, "method": method, "params": params}); err != nil {
		return err
	}
	for {
		var answer struct {
			ID      int             `json:"id"`
			Type    string          `json:"type"`
			Error   string          `json:"error"`
			Message string          `json:"message"`
			Result  json.RawMessage `json:"result"`
		}
		if err := wsjson.Read(ctx, b.socket, &answer); err != nil {
			return err
		}
		switch {
		case answer.ID != b.last:
		case answer.Type == "error":
			return fmt.Errorf("%s: %s: %s", method, answer.Error, answer.Message)
		case out == nil:
			return nil
		default:
			return json.Unmarshal(answer.Result, out)
		}
	}
}

func (b *bidi) open(ctx context.Context, address string) error {
	to := map[string]any{"context": b.page, "url": address, "wait": "complete"}
	return b.call(ctx, "browsingContext.navigate", to, nil)
}

func (b *bidi) eval(ctx context.Context, expression string) (string, error) {
	var answer struct {
		Type   string `json:"type"`
		Result struct {
			Value string `json:"value"`
		} `json:"result"`
		ExceptionDetails struct {
			Text string `json:"text"`
		} `json:"exceptionDetails"`
	}
	err := b.call(ctx, "script.evaluate", map[string]any{
		"expression": "(async () => String(await (" + expression + ")))()",
		"target":     map[string]any{"context": b.page}, "awaitPromise": true,
	}, &answer)
	if err == nil && answer.Type != "success" {
		err = fmt.Errorf("evaluating %s: %s", expression, answer.ExceptionDetails.Text)
	}
	return answer.Result.Value, err
}

func (b *bidi) keys(ctx context.Context, text string) error {
	return b.call(ctx, "input.performActions", map[string]any{"context": b.page, "actions": []any{keyActions(text)}}, nil)
}

func (b *bidi) press(ctx context.Context, x, y int) error {
	actions := map[string]any{"context": b.page, "actions": []any{pressActions(x, y)}}
	return b.call(ctx, "input.performActions", actions, nil)
}

func (b *bidi) screenshot(ctx context.Context) ([]byte, error) {
	var answer struct {
		Data string `json:"data"`
	}
	if err := b.call(ctx, "browsingContext.captureScreenshot", map[string]any{"context": b.page}, &answer); err != nil {
		return nil, err
	}
	return base64.StdEncoding.DecodeString(answer.Data)
}

// keyActions and pressActions are the same in both kinds of WebDriver.
func keyActions(text string) map[string]any {
	var strokes []any
	for _, r := range text {
		key := string(r)
		if r == '\r' {
			key = "\uE007" // Enter
		}
		strokes = append(strokes,
			map[string]any{"type": "keyDown", "value": key}, map[string]any{"type": "keyUp", "value": key})
	}
	return map[string]any{"type": "key", "id": "keyboard", "actions": strokes}
}

func pressActions(x, y int) map[string]any {
	return map[string]any{
		"type": "pointer", "id": "pointer", "parameters": map[string]any{"pointerType": "mouse"},
		"actions": []any{
			map[string]any{"type": "pointerMove", "x": x, "y": y, "duration": 0},
			map[string]any{"type": "pointerDown", "button": 0},
			map[string]any{"type": "pointerUp", "button": 0},
		},
	}
}

// firefoxSettings keep the browser from asking other machines anything.
const firefoxSettings = `
user_pref("app.normandy.enabled", false);
user_pref("app.update.disabledForTesting", true);
user_pref("browser.safebrowsing.malware.enabled", false);
user_pref("browser.safebrowsing.phishing.enabled", false);
user_pref("browser.search.update", false);
user_pref("browser.shell.checkDefaultBrowser", false);
user_pref("datareporting.policy.dataSubmissionEnabled", false);
user_pref("extensions.update.enabled", false);
user_pref("network.captive-portal-service.enabled", false);
user_pref("network.connectivity-service.enabled", false);
user_pref("network.dns.disablePrefetch", true);
user_pref("network.prefetch-next", false);
user_pref("services.settings.server", "data:,#remote-settings-dummy/v1");
user_pref("toolkit.telemetry.enabled", false);
user_pref("toolkit.telemetry.server", "https://localhost.invalid");
`

// LaunchFirefox starts a headless Firefox with a new profile and more settings,
// as lines of a user.js. It ends with the test.
func LaunchFirefox(t testing.TB, settings string) *Driven {
	t.Helper()
	profile := scratch(t)
	require.NoError(t, os.WriteFile(filepath.Join(profile, "user.js"), []byte(firefoxSettings+settings), 0o600))
	d, _ := launchFirefoxOn(t, profile)
	return d
}

// launchFirefoxOn starts Firefox on a profile; kill ends it at once, all its processes.
func launchFirefoxOn(t testing.TB, profile string) (d *Driven, kill func()) {
	t.Helper()
	program := lookFor(t, "firefox-esr", "firefox")
	process := exec.Command(program, "--headless", "--no-remote", "--new-instance", "--profile", profile,
		"--remote-debugging-port", "0", "about:blank")
	process.Env = append(os.Environ(), "HOME="+profile, "MOZ_CRASHREPORTER_DISABLE=1")
	said, err := process.StderrPipe()
	require.NoError(t, err)
	startProcess(t, process)
	kill = func() {
		syscall.Kill(-process.Process.Pid, syscall.SIGKILL)
		process.Process.Wait()
	}

	address := make(chan string, 1)
	go func() {
		for lines := bufio.NewScanner(said); lines.Scan(); {
			if _, found, ok := strings.Cut(lines.Text(), "WebDriver BiDi listening on "); ok {
				address <- strings.TrimSpace(found)
			}
		}
	}()
	ctx, cancel := context.WithTimeout(context.Background(), patience)
	defer cancel()
	var at string
	select {
	case at = <-address:
	case <-time.After(patience):
		t.Fatal("Firefox did not start in time")
	}
	socket, _, err := websocket.Dial(ctx, at+"/session", nil)
	require.NoError(t, err)
	t.Cleanup(func() { socket.CloseNow() })
	socket.SetReadLimit(64 << 20)
	b := &bidi{socket: socket}
	require.NoError(t, b.call(ctx, "session.new", map[string]any{"capabilities": map[string]any{}}, nil))
	var tree struct {
		Contexts []struct {
			Context string `json:"context"`
		} `json:"contexts"`
	}
	require.NoError(t, b.call(ctx, "browsingContext.getTree", nil, &tree))
	require.NotEmpty(t, tree.Contexts)
	b.page = tree.Contexts[0].Context
	require.NoError(t, b.call(ctx, "browsingContext.setViewport", map[string]any{
		"context": b.page, "viewport": map[string]any{"width": phoneWidth, "height": phoneHeight}, "devicePixelRatio": 2,
	}, nil))
	return &Driven{t: t, engine: "firefox", driver: b}, kill
}
