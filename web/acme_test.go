package main

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/base64"
	"encoding/json"
	"encoding/pem"
	"flag"
	"fmt"
	"io"
	"log/slog"
	"math/big"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// authority is as much of a certificate authority by RFC 8555 as a server needs that
// proves its name by tls-alpn-01 (RFC 8737).
type authority struct {
	*httptest.Server
	t    testing.TB
	key  *ecdsa.PrivateKey
	cert *x509.Certificate

	mu      sync.Mutex
	at      string // where the server that proves its name listens
	name    string
	state   string
	issued  []byte
	orders  int
	proved  bool
	contact string
}

func newAuthority(t testing.TB) *authority {
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	require.NoError(t, err)
	c := &x509.Certificate{SerialNumber: big.NewInt(1), Subject: pkix.Name{CommonName: "authority"}, IsCA: true,
		NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(time.Hour), BasicConstraintsValid: true,
		KeyUsage: x509.KeyUsageCertSign}
	der, err := x509.CreateCertificate(rand.Reader, c, c, &key.PublicKey, key)
	require.NoError(t, err)
	cert, err := x509.ParseCertificate(der)
	require.NoError(t, err)
	a := &authority{t: t, key: key, cert: cert, state: "pending"}
	a.Server = httptest.NewServer(a)
	t.Cleanup(a.Close)
	return a
}

// payload is what a signed request says; who signed it does not matter here.
func payload(r *http.Request, to any) {
	var signed struct{ Payload string }
	body, _ := io.ReadAll(r.Body)
	_ = json.Unmarshal(body, &signed)
	text, _ := base64.RawURLEncoding.DecodeString(signed.Payload)
	_ = json.Unmarshal(text, to)
}

func (a *authority) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	a.mu.Lock()
	defer a.mu.Unlock()
	w.Header().Set("Replay-Nonce", fmt.Sprint(time.Now().UnixNano()))
	w.Header().Set("Content-Type", "application/json")
	say := func(status int, body map[string]any) {
		w.WriteHeader(status)
		_ = json.NewEncoder(w).Encode(body)
	}
	order := func() map[string]any {
		state := map[string]string{"pending": "pending", "valid": "ready"}[a.state]
		body := map[string]any{"status": state, "authorizations": []string{a.URL + "/authz"}, "finalize": a.URL + "/finalize",
			"identifiers": []map[string]string{{"type": "dns", "value": a.name}}}
		if a.issued != nil {
			body["status"], body["certificate"] = "valid", a.URL+"/cert"
		}
		return body
	}
	switch r.URL.Path {
	case "/":
		say(200, map[string]any{"newNonce": a.URL + "/nonce", "newAccount": a.URL + "/account", "newOrder": a.URL + "/new",
			"revokeCert": a.URL + "/revoke", "keyChange": a.URL + "/change"})
	case "/nonce":
		w.WriteHeader(200)
	case "/account":
		var asked struct{ Contact []string }
		payload(r, &asked)
		a.contact = strings.Join(asked.Contact, ",")
		w.Header().Set("Location", a.URL+"/account/1")
		say(201, map[string]any{"status": "valid"})
	case "/new":
		var asked struct {
			Identifiers []struct{ Value string }
		}
		payload(r, &asked)
		a.name = asked.Identifiers[0].Value
		a.orders++
		w.Header().Set("Location", a.URL+"/order")
		say(201, order())
	case "/order":
		say(200, order())
	case "/authz":
		say(200, map[string]any{"status": a.state, "identifier": map[string]string{"type": "dns", "value": a.name},
			"challenges": []map[string]string{{"type": "tls-alpn-01", "url": a.URL + "/challenge", "token": "token-1",
				"status": a.state}}})
	case "/challenge":
		a.prove()
		say(200, map[string]any{"type": "tls-alpn-01", "url": a.URL + "/challenge", "token": "token-1", "status": a.state})
	case "/finalize":
		var asked struct{ CSR string }
		payload(r, &asked)
		der, _ := base64.RawURLEncoding.DecodeString(asked.CSR)
		csr, err := x509.ParseCertificateRequest(der)
		if err != nil || a.state != "valid" {
			say(403, map[string]any{"type": "urn:ietf:params:acme:error:unauthorized"})
			return
		}
		c := &x509.Certificate{SerialNumber: big.NewInt(2), DNSNames: csr.DNSNames, NotBefore: time.Now().Add(-time.Minute),
			NotAfter: time.Now().Add(time.Hour)}
		leaf, err := x509.CreateCertificate(rand.Reader, c, a.cert, csr.PublicKey, a.key)
		if err != nil {
			say(500, nil)
			return
		}
		a.issued = append(pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: leaf}),
			pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: a.cert.Raw})...)
		w.Header().Set("Location", a.URL+"/order")
		say(200, order())
	case "/cert":
		w.Header().Set("Content-Type", "application/pem-certificate-chain")
		_, _ = w.Write(a.issued)
	default:
		say(404, nil)
	}
}

// prove asks the server that wants a certificate for the proof that the name is its own.
func (a *authority) prove() {
	c, err := tls.Dial("tcp", a.at, &tls.Config{ServerName: a.name, NextProtos: []string{"acme-tls/1"}, InsecureSkipVerify: true})
	if err != nil {
		return
	}
	defer c.Close()
	leaf := c.ConnectionState().PeerCertificates[0]
	for _, e := range leaf.Extensions {
		if e.Id.String() == "1.3.6.1.5.5.7.1.31" && leaf.VerifyHostname(a.name) == nil {
			a.state, a.proved = "valid", true
		}
	}
}

// TestCertificateIsFetched has the server fetch its certificate from an authority that
// proves the name, keep it, and serve with it.
func TestCertificateIsFetched(t *testing.T) {
	a := newAuthority(t)
	folder := filepath.Join(t.TempDir(), "acme")
	arguments := []string{"-acme", "yard.example.org", "-acme-mail", "me@example.org", "-acme-folder", folder,
		"-acme-directory", a.URL + "/"}
	listen := func() (address string) {
		flags := flag.NewFlagSet("serve", flag.ContinueOnError)
		e := tlsFlags(flags)
		require.NoError(t, flags.Parse(arguments))
		require.NoError(t, e.check("0.0.0.0:443"), "encrypted: other machines may come")
		l, err := e.listen("127.0.0.1:0", slog.New(slog.DiscardHandler))
		require.NoError(t, err)
		server := newServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) { _, _ = io.WriteString(w, "here") }))
		server.ErrorLog = slog.NewLogLogger(slog.DiscardHandler, slog.LevelError)
		go func() { _ = server.Serve(l) }()
		t.Cleanup(func() { _ = server.Close() })
		return l.Addr().String()
	}
	a.at = listen()
	pool := x509.NewCertPool()
	pool.AddCert(a.cert)
	served := func(name string) error {
		c, err := tls.Dial("tcp", a.at, &tls.Config{ServerName: name, RootCAs: pool})
		if err == nil {
			c.Close()
		}
		return err
	}
	require.Error(t, served("another.example.org"), "a name that was not given is not asked for")
	require.Zero(t, a.orders)
	require.NoError(t, served("yard.example.org"))
	require.True(t, a.proved)
	require.Equal(t, "mailto:me@example.org", a.contact)
	require.Equal(t, 1, a.orders)
	entries, err := os.ReadDir(folder)
	require.NoError(t, err)
	for _, e := range entries {
		info, err := e.Info()
		require.NoError(t, err)
		require.Zero(t, info.Mode().Perm()&0o077, "%s holds a key", e.Name())
	}
	a.at = listen() // started anew
	require.NoError(t, served("yard.example.org"))
	require.Equal(t, 1, a.orders, "the one that was kept is used")
}

func TestNamesForCertificatesAreChecked(t *testing.T) {
	for arguments, want := range map[string]string{
		"-acme yard":                                    "-acme-folder",
		"-acme yard -acme-folder x":                     `"yard" is no name`,
		"-acme https://a.example -acme-folder x":        "is no name",
		"-acme 192.0.2.1 -acme-folder x":                "is no name",
		"-acme a.example,*.b.example -acme-folder x":    "is no name",
		"-acme a.example -acme-folder x -cert c -key k": "exclude",
	} {
		flags := flag.NewFlagSet("serve", flag.ContinueOnError)
		e := tlsFlags(flags)
		require.NoError(t, flags.Parse(strings.Fields(arguments)))
		require.ErrorContains(t, e.check("127.0.0.1:0"), want, arguments)
	}
}
