package e2e

import (
	"bytes"
	"context"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// webDriver drives WebKitGTK by WebDriver (https://www.w3.org/TR/webdriver2/).
type webDriver struct {
	session string // its address
}

// call sends a command and reads its value into out, which may be nil.
func (w *webDriver) call(ctx context.Context, method, path string, body, out any) error {
	text, err := json.Marshal(body)
	if err != nil {
		return err
	}
	if method == http.MethodGet {
		text = nil
	}
	request, err := http.NewRequestWithContext(ctx, method, w.session+path, bytes.NewReader(text))
	if err != nil {
		return err
	}
	request.Header.Set("Content-Type", "application/json")
	response, err := http.DefaultClient.Do(request)
	if err != nil {
		return err
	}
	defer response.Body.Close()
	said, err := io.ReadAll(response.Body)
	if err != nil {
		return err
	}
	if response.StatusCode != http.StatusOK {
		return fmt.Errorf("%s %s: %s: %s", method, path, response.Status, said)
	}
	if out == nil {
		return nil
	}
	var answer struct {
		Value json.RawMessage `json:"value"`
	}
	if err := json.Unmarshal(said, &answer); err != nil {
		return err
	}
	return json.Unmarshal(answer.Value, out)
}

func (w *webDriver) open(ctx context.Context, address string) error {
	return w.call(ctx, http.MethodPost, "/url", map[string]any{"url": address}, nil)
}

func (w *webDriver) eval(ctx context.Context, expression string) (value string, err error) {
	var answer []string
	err = w.call(ctx, http.MethodPost, "/execute/async", map[string]any{"args": []any{}, "script": `
		const done = arguments[arguments.length - 1];
		(async () => String(await (` + expression + `)))().then(
			(value) => done(["", value]), (err) => done([String(err), ""]));`}, &answer)
	switch {
	case err != nil:
		return "", err
	case len(answer) != 2:
		return "", fmt.Errorf("evaluating %s: answered %q", expression, answer)
	case answer[0] != "":
		return "", fmt.Errorf("evaluating %s: %s", expression, answer[0])
	}
	return answer[1], nil
}

func (w *webDriver) keys(ctx context.Context, text string) error {
	return w.call(ctx, http.MethodPost, "/actions", map[string]any{"actions": []any{keyActions(text)}}, nil)
}

func (w *webDriver) press(ctx context.Context, x, y int) error {
	return w.call(ctx, http.MethodPost, "/actions", map[string]any{"actions": []any{pressActions(x, y)}}, nil)
}

func (w *webDriver) screenshot(ctx context.Context) ([]byte, error) {
	var data string
	if err := w.call(ctx, http.MethodGet, "/screenshot", nil, &data); err != nil {
		return nil, err
	}
	return base64.StdEncoding.DecodeString(data)
}

// miniBrowser finds WebKitGTK's own small browser, which Debian puts beside the
// library.
func miniBrowser(t testing.TB) string {
	t.Helper()
	found, err := filepath.Glob("/usr/lib/*/webkit2gtk-4.*/MiniBrowser")
	require.NoError(t, err)
	if len(found) == 0 {
		return lookFor(t, "MiniBrowser")
	}
	return found[len(found)-1]
}

// LaunchWebKit starts WebKitGTK on a screen of its own. It ends with the test.
func LaunchWebKit(t testing.TB) *Driven {
	t.Helper()
	driver, screen, browser, home := lookFor(t, "WebKitWebDriver"), lookFor(t, "Xvfb"), miniBrowser(t), scratch(t)

	// The X server takes a free display and writes its number to the pipe.
	number, write, err := os.Pipe()
	require.NoError(t, err)
	defer number.Close()
	x := exec.Command(screen, "-displayfd", "3", "-screen", "0", "800x1000x24", "-nolisten", "tcp")
	x.ExtraFiles = []*os.File{write}
	startProcess(t, x)
	write.Close()
	require.NoError(t, number.SetReadDeadline(time.Now().Add(patience)))
	digits := make([]byte, 16)
	n, err := number.Read(digits)
	require.NoError(t, err, "the X server did not start")
	display := ":" + strings.TrimSpace(string(digits[:n]))

	free, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	address := free.Addr().(*net.TCPAddr)
	free.Close()
	process := exec.Command(driver, fmt.Sprintf("--port=%d", address.Port), "--host=127.0.0.1")
	process.Env = append(os.Environ(), "DISPLAY="+display, "HOME="+home, "XDG_RUNTIME_DIR="+home, "GDK_BACKEND=x11",
		"NO_AT_BRIDGE=1", "LIBGL_ALWAYS_SOFTWARE=1", "WEBKIT_DISABLE_COMPOSITING_MODE=1")
	startProcess(t, process)

	ctx, cancel := context.WithTimeout(context.Background(), patience)
	defer cancel()
	root := fmt.Sprintf("http://127.0.0.1:%d", address.Port)
	ready := &webDriver{session: root}
	for ready.call(ctx, http.MethodGet, "/status", nil, nil) != nil {
		require.NoError(t, ctx.Err(), "WebKitWebDriver did not start in time")
		time.Sleep(50 * time.Millisecond)
	}
	var made struct {
		SessionID string `json:"sessionId"`
	}
	wanted := map[string]any{"capabilities": map[string]any{"alwaysMatch": map[string]any{
		"webkitgtk:browserOptions": map[string]any{"binary": browser, "args": []string{"--automation"}},
	}}}
	require.NoError(t, ready.call(ctx, http.MethodPost, "/session", wanted, &made))
	w := &webDriver{session: root + "/session/" + made.SessionID}
	t.Cleanup(func() {
		ctx, cancel := context.WithTimeout(context.Background(), 10*time.Second)
		defer cancel()
		w.call(ctx, http.MethodDelete, "", nil, nil)
	})
	size := map[string]any{"width": phoneWidth, "height": phoneHeight + 80}
	require.NoError(t, w.call(ctx, http.MethodPost, "/window/rect", size, nil))
	return &Driven{t: t, engine: "webkit", driver: w}
}
