package main

import (
	"bufio"
	"bytes"
	"context"
	"crypto/tls"
	"encoding/json"
	"io"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"pegpour/storage/yard"
)

// TestServerProcess is not a test: it is the server that others start and signal. It
// runs main with the arguments given, one a line.
func TestServerProcess(t *testing.T) {
	arguments := os.Getenv("PEGPOUR_TEST_ARGUMENTS")
	if arguments == "" {
		t.Skip("only as a server for other tests")
	}
	os.Args = append([]string{"pegpour"}, strings.Split(arguments, "\n")...)
	main()
}

// server is a program of its own.
type server struct {
	*exec.Cmd
	address string
	log     *locked
	ended   chan error
}

// locked is a buffer for what another program says.
type locked struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (l *locked) Write(p []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.b.Write(p)
}

func (l *locked) String() string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.b.String()
}

// startServer runs "pegpour serve" with the arguments.
func startServer(t testing.TB, arguments ...string) *server {
	t.Helper()
	all := append([]string{"serve", "-addr", "127.0.0.1:0", "-bundle", tinyBundle(t)}, arguments...)
	c := exec.Command(os.Args[0], "-test.run=^TestServerProcess$")
	c.Env = append(os.Environ(), "PEGPOUR_TEST_ARGUMENTS="+strings.Join(all, "\n"))
	return startProgram(t, c)
}

// startProgram starts a server that is a program of its own.
func startProgram(t testing.TB, c *exec.Cmd) *server {
	t.Helper()
	s := &server{Cmd: c, log: &locked{}, ended: make(chan error, 1)}
	s.SysProcAttr = &syscall.SysProcAttr{Pdeathsig: syscall.SIGKILL}
	s.Stderr = s.log
	out, err := s.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, s.Start())
	t.Cleanup(func() { _ = s.Process.Kill() })
	lines := bufio.NewScanner(out)
	for lines.Scan() {
		if _, at, found := strings.Cut(lines.Text(), " is at "); found {
			s.address = at
			go func() {
				_, _ = io.Copy(io.Discard, out)
				s.ended <- s.Wait()
			}()
			return s
		}
	}
	_ = s.Wait()
	t.Fatalf("the server did not start: %s", s.log)
	return nil
}

// end waits for the server and returns its exit code; -1 when a signal ended it.
func (s *server) end(t testing.TB) int {
	t.Helper()
	select {
	case <-s.ended:
	case <-time.After(30 * time.Second):
		t.Fatal("the server did not end")
	}
	return s.ProcessState.ExitCode()
}

// slowRequest begins a request whose body waits to be ended, and returns what ends it
// and gives the answer.
func slowRequest(t testing.TB, s *server, token string) (end func() string) {
	t.Helper()
	c, err := net.Dial("tcp", strings.TrimPrefix(s.address, "http://"))
	require.NoError(t, err)
	_, err = io.WriteString(c, "POST /api/v1/codes HTTP/1.1\r\nHost: yard\r\nAuthorization: Bearer "+token+
		"\r\nContent-Type: application/json\r\nContent-Length: 15\r\nConnection: close\r\n\r\n{")
	require.NoError(t, err)
	time.Sleep(200 * time.Millisecond) // the server waits for the rest
	return func() string {
		defer c.Close()
		_, _ = io.WriteString(c, `"role":"crew"}`)
		answer, _ := io.ReadAll(c)
		first, _, _ := strings.Cut(string(answer), "\r\n")
		return first
	}
}

func officeIn(t testing.TB, data string) (token string) {
	t.Helper()
	y, err := yard.Open(t.Context(), data, yard.Options{})
	require.NoError(t, err)
	defer y.Close()
	code, _, err := y.NewCode(t.Context(), yard.Office)
	require.NoError(t, err)
	_, token, err = y.Pair(t.Context(), code, "Desk")
	require.NoError(t, err)
	return token
}

// Told to stop, the server lets what runs end, and takes nothing new.
func TestServerDrains(t *testing.T) {
	data := filepath.Join(t.TempDir(), "data")
	token := officeIn(t, data)
	s := startServer(t, "-data", data)
	end := slowRequest(t, s, token)
	require.NoError(t, s.Process.Signal(syscall.SIGTERM))
	require.Eventually(t, func() bool {
		c, err := net.Dial("tcp", strings.TrimPrefix(s.address, "http://"))
		if err == nil {
			c.Close()
		}
		return err != nil
	}, 10*time.Second, 20*time.Millisecond, "it listens no more")
	select {
	case <-s.ended:
		t.Fatal("it ended before the request did")
	case <-time.After(300 * time.Millisecond):
	}
	require.Equal(t, "HTTP/1.1 201 Created", end())
	require.Equal(t, exitDone, s.end(t), s.log.String())
}

func TestSecondSignalEndsAtOnce(t *testing.T) {
	data := filepath.Join(t.TempDir(), "data")
	token := officeIn(t, data)
	s := startServer(t, "-data", data)
	end := slowRequest(t, s, token)
	require.NoError(t, s.Process.Signal(syscall.SIGTERM))
	require.Eventually(t, func() bool { return strings.Contains(s.log.String(), "being stopped") }, 10*time.Second,
		20*time.Millisecond)
	require.NoError(t, s.Process.Signal(syscall.SIGTERM))
	require.Equal(t, -1, s.end(t))
	require.Empty(t, end())
}

// What does not end in the time given is cut off, and said.
func TestDrainHasAnEnd(t *testing.T) {
	data := filepath.Join(t.TempDir(), "data")
	token := officeIn(t, data)
	s := startServer(t, "-data", data, "-drain-time", "100ms")
	slowRequest(t, s, token)
	require.NoError(t, s.Process.Signal(syscall.SIGTERM))
	require.Equal(t, exitFault, s.end(t))
	require.Contains(t, s.log.String(), "were cut off")
}

// SIGHUP has the certificate and how much is logged read again; the server goes on.
func TestHangUpReadsAgain(t *testing.T) {
	cert, key, _ := makeCertificate(t)
	data := filepath.Join(t.TempDir(), "data")
	file := settingsFile(t, `log-level = "warn"`, `data = "`+data+`"`, `cert = "`+cert+`"`, `key = "`+key+`"`)
	s := startServer(t, "-config", file)
	served := func() string {
		c, err := tls.Dial("tcp", strings.TrimPrefix(s.address, "https://"), &tls.Config{InsecureSkipVerify: true})
		require.NoError(t, err)
		defer c.Close()
		return string(c.ConnectionState().PeerCertificates[0].Raw)
	}
	before := served()
	require.NotContains(t, s.log.String(), "read again")
	newCert, newKey, _ := makeCertificate(t)
	require.NoError(t, os.Rename(newCert, cert))
	require.NoError(t, os.Rename(newKey, key))
	require.NoError(t, os.WriteFile(file, []byte(strings.Replace(readFile(t, file), `"warn"`, `"info"`, 1)), 0o600))
	require.NoError(t, s.Process.Signal(syscall.SIGHUP))
	require.Eventually(t, func() bool { return strings.Contains(s.log.String(), "read again: certificate and log-level") },
		10*time.Second, 20*time.Millisecond)
	require.NotEqual(t, before, served())
	require.NoError(t, os.WriteFile(file, []byte("nonsense"), 0o600))
	require.NoError(t, s.Process.Signal(syscall.SIGHUP))
	require.Eventually(t, func() bool { return strings.Contains(s.log.String(), "could not be read again") },
		10*time.Second, 20*time.Millisecond)
	served()
	require.NoError(t, s.Process.Signal(syscall.SIGINT))
	require.Equal(t, exitDone, s.end(t), s.log.String())
}

func readFile(t testing.TB, name string) string {
	t.Helper()
	b, err := os.ReadFile(name)
	require.NoError(t, err)
	return string(b)
}

func TestSecondServerIsRefused(t *testing.T) {
	data := filepath.Join(t.TempDir(), "data")
	s := startServer(t, "-data", data)
	code, _, fault := pegpour("", "serve", "-addr", "127.0.0.1:0", "-bundle", tinyBundle(t), "-data", data)
	require.Equal(t, exitFault, code)
	require.Contains(t, fault, "another server uses this folder: "+data+", process ")
	code, _, fault = pegpour("", "sites", "-data", data)
	require.Equal(t, exitDone, code, fault)
	require.NoError(t, s.Process.Kill())
	s.end(t)
	startServer(t, "-data", data)
}

// state asks a server how it is.
func state(t testing.TB, address, path string) (int, http.Header, string) {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), 20*time.Second)
	defer cancel()
	r, err := http.NewRequestWithContext(ctx, "GET", address+path, nil)
	require.NoError(t, err)
	answer, err := http.DefaultClient.Do(r)
	require.NoError(t, err)
	defer answer.Body.Close()
	body, err := io.ReadAll(answer.Body)
	require.NoError(t, err)
	return answer.StatusCode, answer.Header, string(body)
}

func TestServerSaysHowItIs(t *testing.T) {
	data := filepath.Join(t.TempDir(), "data")
	token := officeIn(t, data)
	s := startServer(t, "-data", data, "-log-format", "json", "-log-level", "debug")
	code, _, body := state(t, s.address, "/healthz")
	require.Equal(t, 200, code)
	require.Contains(t, body, `"alive": true`)
	code, _, body = state(t, s.address, "/readyz")
	require.Equal(t, 200, code, body)
	require.Contains(t, body, "MB are free on the disk")

	r, err := http.NewRequest("GET", s.address+"/api/v1/sites", nil)
	require.NoError(t, err)
	r.Header.Set("Authorization", "Bearer "+token)
	answer, err := http.DefaultClient.Do(r)
	require.NoError(t, err)
	answer.Body.Close()
	require.Equal(t, 200, answer.StatusCode)
	code, header, body := state(t, s.address, "/api/v1/sites")
	require.Equal(t, 401, code)
	id := header.Get("Request-Id")
	require.NotEmpty(t, id)
	var p struct{ Request string }
	require.NoError(t, json.Unmarshal([]byte(body), &p))
	require.Equal(t, id, p.Request)
	require.Eventually(t, func() bool { return strings.Contains(s.log.String(), `"request":"`+id+`"`) }, 5*time.Second,
		10*time.Millisecond)
	code, _, body = state(t, s.address, "/metrics")
	require.Equal(t, 200, code)
	for _, want := range []string{`pegpour_requests_total{route="GET /api/v1/sites",status="200"} 1`,
		`pegpour_requests_total{route="GET /api/v1/sites",status="401"} 1`, "pegpour_devices 1", "pegpour_room_bytes ",
		"pegpour_photos_waiting 0", `pegpour_database_seconds_count{kind="read"}`} {
		require.Contains(t, body, want)
	}

	full := startServer(t, "-data", filepath.Join(t.TempDir(), "data"), "-least-room", "999999999")
	code, _, body = state(t, full.address, "/readyz")
	require.Equal(t, 503, code)
	require.Contains(t, body, "are wanted")
}
