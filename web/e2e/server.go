package e2e

import (
	"bufio"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"os/exec"
	"slices"
	"strings"
	"testing"
	"time"
)

// patience is how long anything may take before a test gives up. It is long
// because the machine may be busy, and is never waited out when all is well.
const patience = 60 * time.Second

// Server is a running Pegpour server. Its address stays the same when it is
// stopped and started again, with the same or another bundle.
type Server struct {
	// URL has no slash at its end.
	URL string

	binary  string
	data    string // folder of its yard, "" for none
	process *exec.Cmd
}

// StartServer starts the server with the bundle in the folder, or with the one
// in the binary when folder is "", on a free port. It ends with the test.
func StartServer(t testing.TB, binary, folder string) *Server {
	t.Helper()
	s := &Server{binary: binary}
	s.start(t, "localhost:0", folder)
	t.Cleanup(s.Kill)
	return s
}

// Restart kills the server and starts it at the same address with the bundle
// in the folder, "" for the one in the binary.
func (s *Server) Restart(t testing.TB, folder string) {
	t.Helper()
	s.Kill()
	s.start(t, strings.TrimPrefix(s.URL, "http://"), folder)
}

// Kill ends the server at once, as a loss of power would. For a page it is the
// same as having no signal.
func (s *Server) Kill() {
	if s.process != nil {
		s.process.Process.Kill()
		s.process.Wait()
		s.process = nil
	}
}

func (s *Server) start(t testing.TB, address, folder string) {
	t.Helper()
	arguments := []string{"serve", "-addr", address}
	if folder != "" {
		arguments = append(arguments, "-bundle", folder)
	}
	if s.data != "" {
		arguments = append(arguments, "-data", s.data)
	}
	process := exec.Command(s.binary, arguments...)
	process.Dir = t.TempDir()
	process.Stderr = os.Stderr
	out, err := process.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := process.Start(); err != nil {
		t.Fatal(err)
	}
	s.process = process
	lines := bufio.NewScanner(out)
	for lines.Scan() {
		if _, url, found := strings.Cut(lines.Text(), " is at "); found {
			s.URL = url
			go io.Copy(io.Discard, out)
			return
		}
	}
	t.Fatal("the server ended without saying where it is")
}

// Get fetches from the server itself, past any browser, and returns status,
// headers and body as sent. The encoding is what Accept-Encoding would say.
func (s *Server) Get(t testing.TB, path, encoding string) (int, http.Header, []byte) {
	t.Helper()
	request, err := http.NewRequest(http.MethodGet, s.URL+path, nil)
	if err != nil {
		t.Fatal(err)
	}
	client := &http.Client{Transport: &http.Transport{DisableCompression: true, DisableKeepAlives: true}}
	if encoding != "" {
		request.Header.Set("Accept-Encoding", encoding)
	}
	response, err := client.Do(request)
	if err != nil {
		t.Fatal(err)
	}
	defer response.Body.Close()
	body, err := io.ReadAll(response.Body)
	if err != nil {
		t.Fatal(err)
	}
	return response.StatusCode, response.Header, body
}

// browsersOwn are the hosts that Chromium asks on its own account, whatever
// page it shows and whatever switches it is given: accounts, its own updates,
// the time. No other host of the same owner is passed over.
var browsersOwn = []string{
	"accounts.google.com", "update.googleapis.com", "clients2.google.com",
	"clients1.google.com", "redirector.gvt1.com", "optimizationguide-pa.googleapis.com",
	"content-autofill.googleapis.com", "safebrowsing.googleapis.com", "android.clients.google.com", "mtalk.google.com",
}

// Catcher is a proxy that lets nothing through and keeps what was asked of it.
// Browsers do not use a proxy for this machine itself, so all it ever sees is
// what wanted to leave.
type Catcher struct {
	address string
	asked   chan string
}

func startCatcher() (*Catcher, error) {
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		return nil, err
	}
	c := &Catcher{address: listener.Addr().String(), asked: make(chan string, 1000)}
	go http.Serve(listener, http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if host, _, _ := strings.Cut(r.Host, ":"); slices.Contains(browsersOwn, host) {
			http.Error(w, "nothing leaves this machine", http.StatusBadGateway)
			return
		}
		select {
		case c.asked <- fmt.Sprint(r.Method, " ", r.Host, " ", r.URL.Path):
		default: // a thousand are proof enough
		}
		http.Error(w, "nothing leaves this machine", http.StatusBadGateway)
	}))
	return c, nil
}

// Caught returns what wanted to leave since the last call.
func (c *Catcher) Caught() []string {
	var all []string
	for {
		select {
		case one := <-c.asked:
			all = append(all, one)
		default:
			return all
		}
	}
}
