package e2e

import (
	"bytes"
	"encoding/json"
	"io"
	"net/http"
	"os/exec"
	"regexp"
	"strings"
	"testing"

	"pegpour/storage"
	"pegpour/web/api/apitest"
)

// StartYard starts a server that also keeps a yard, in a folder of its own.
func StartYard(t testing.TB, binary, bundle string) *Server {
	t.Helper()
	s := &Server{binary: binary, data: t.TempDir()}
	s.start(t, "localhost:0", bundle)
	t.Cleanup(s.Kill)
	return s
}

// Code makes a pairing code for a role with the command line.
func (s *Server) Code(t testing.TB, role string) string {
	t.Helper()
	out, err := exec.Command(s.binary, "pair", "-data", s.data, "-role", role).Output()
	if err != nil {
		t.Fatal(err)
	}
	code := regexp.MustCompile(`(?m)^[2-9A-Z]{5}-[2-9A-Z]{5}$`).FindString(string(out))
	if code == "" {
		t.Fatalf("no code in %s", out)
	}
	return code
}

// Device speaks to the yard past any browser.
type Device struct {
	t         testing.TB
	url       string
	ID, token string
}

// Device pairs a device of a role by the API.
func (s *Server) Device(t testing.TB, role, name string) *Device {
	t.Helper()
	return s.Pair(t, s.Code(t, role), name)
}

// Pair uses a code up.
func (s *Server) Pair(t testing.TB, code, name string) *Device {
	t.Helper()
	d := &Device{t: t, url: s.URL}
	var answer struct {
		Token  string
		Device struct{ ID string }
	}
	body, _ := json.Marshal(map[string]string{"code": code, "name": name})
	d.want(201, "POST", "/api/v1/pair", body, &answer)
	d.token, d.ID = answer.Token, answer.Device.ID
	return d
}

// Do sends a request and returns status and body.
func (d *Device) Do(method, path string, body []byte) (int, []byte) {
	d.t.Helper()
	request, err := http.NewRequest(method, d.url+path, bytes.NewReader(body))
	if err != nil {
		d.t.Fatal(err)
	}
	if d.token != "" {
		request.Header.Set("Authorization", "Bearer "+d.token)
	}
	request.Header.Set("Content-Type", "application/json")
	response, err := http.DefaultClient.Do(request)
	if err != nil {
		d.t.Fatal(err)
	}
	defer response.Body.Close()
	text, err := io.ReadAll(response.Body)
	if err != nil {
		d.t.Fatal(err)
	}
	return response.StatusCode, text
}

func (d *Device) want(status int, method, path string, body []byte, to any) {
	d.t.Helper()
	got, text := d.Do(method, path, body)
	if got != status {
		d.t.Fatalf("%s %s: %d %s", method, path, got, text)
	}
	if to != nil {
		if err := json.Unmarshal(text, to); err != nil {
			d.t.Fatal(err)
		}
	}
}

// Put sends a state of a site and returns its name.
func (d *Device) Put(doc *storage.Document, parents ...storage.Revision) storage.Revision {
	d.t.Helper()
	text, err := storage.Encode(doc)
	if err != nil {
		d.t.Fatal(err)
	}
	status, answer := d.Do("PUT", apitest.RevisionPath(doc.ID, text, parents...), text)
	if status != 200 && status != 201 {
		d.t.Fatalf("PUT: %d %s", status, answer)
	}
	return storage.NameRevision(text, parents...)
}

// Heads lists the newest revisions of a site.
func (d *Device) Heads(site string) []storage.Revision {
	d.t.Helper()
	var answer struct{ Heads []storage.Revision }
	d.want(200, "GET", "/api/v1/sites/"+site, nil, &answer)
	return answer.Heads
}

// Newest reads the one newest state of a site.
func (d *Device) Newest(site string) *storage.Document {
	d.t.Helper()
	heads := d.Heads(site)
	if len(heads) != 1 {
		d.t.Fatalf("%d heads", len(heads))
	}
	_, text := d.Do("GET", "/api/v1/sites/"+site+"/revisions/"+string(heads[0]), nil)
	doc, err := storage.Decode(text)
	if err != nil {
		d.t.Fatal(err)
	}
	return doc
}

// without drops the faults that a test brought about itself.
func without(faults []string, expected ...string) []string {
	var left []string
next:
	for _, f := range faults {
		for _, e := range expected {
			if strings.Contains(f, e) {
				continue next
			}
		}
		left = append(left, f)
	}
	return left
}

// PairingLink makes a code for a device of the role, as the command line does, and
// returns it with the link that its picture holds for those who reach the yard
// at the address.
func (s *Server) PairingLink(t testing.TB, role, address string) (code, link string) {
	t.Helper()
	out, err := exec.Command(s.binary, "pair", "-data", s.data, "-role", role, "-url", address).Output()
	if err != nil {
		t.Fatal("pegpour pair: ", err)
	}
	for line := range strings.Lines(string(out)) {
		if before, after, found := strings.Cut(strings.TrimSpace(line), "#pair="); found {
			return after, before + "#pair=" + after
		}
	}
	t.Fatalf("pegpour pair named no link: %s", out)
	return "", ""
}
