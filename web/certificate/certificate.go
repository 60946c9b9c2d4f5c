// Package certificate keeps the certificate of a server as it stands in its files:
// whoever renews it need not start the server anew.
package certificate

import (
	"crypto/tls"
	"crypto/x509"
	"errors"
	"log/slog"
	"os"
	"sync"
	"time"
)

// lookEvery is how often a connection has the files looked at.
const lookEvery = time.Second

// Files are a certificate and its key, in PEM.
type Files struct {
	cert, key string
	now       func() time.Time
	log       *slog.Logger

	mu     sync.Mutex
	pair   *tls.Certificate
	looked time.Time
	seen   [2]os.FileInfo // how the two looked from outside; nil: not there
}

// Open reads a certificate and its key. log hears when they changed, or could not be
// read again.
func Open(cert, key string, now func() time.Time, log *slog.Logger) (*Files, error) {
	f := &Files{cert: cert, key: key, now: now, log: log}
	f.mu.Lock()
	defer f.mu.Unlock()
	return f, f.read()
}

// Get is for tls.Config.GetCertificate. A certificate and key that do not fit one
// another, as between the writing of one and of the other, or that cannot be read, leave
// the ones from before.
func (f *Files) Get(*tls.ClientHelloInfo) (*tls.Certificate, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	if now := f.now(); now.Sub(f.looked) >= lookEvery || now.Before(f.looked) {
		f.looked = now
		if !same(f.states(), f.seen) {
			f.again()
		}
	}
	return f.pair, nil
}

// Reload reads the files at once. After an error the ones from before stay.
func (f *Files) Reload() error {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.again()
}

func (f *Files) again() error {
	err := f.read()
	if err != nil {
		f.log.Error("the certificate could not be read again: the one from before stays", "file", f.cert, "error", err)
		return err
	}
	f.log.Info("the certificate was read again", "file", f.cert, "until", f.leaf().NotAfter)
	return nil
}

func (f *Files) read() error {
	seen := f.states() // before reading: a change meanwhile is seen the next time
	pair, err := tls.LoadX509KeyPair(f.cert, f.key)
	if err != nil {
		return err
	}
	if pair.Leaf == nil {
		return errors.New("there is no certificate in " + f.cert)
	}
	f.pair, f.seen = &pair, seen
	return nil
}

func (f *Files) states() (s [2]os.FileInfo) {
	for i, name := range []string{f.cert, f.key} {
		if info, err := os.Stat(name); err == nil {
			s[i] = info
		}
	}
	return s
}

// same reports whether both files are those from before. Two written in one tick of the
// file system's clock differ in which file they are.
func same(a, b [2]os.FileInfo) bool {
	for i := range a {
		if (a[i] == nil) != (b[i] == nil) || a[i] != nil && (a[i].Size() != b[i].Size() || !a[i].ModTime().Equal(b[i].ModTime()) ||
			!os.SameFile(a[i], b[i])) {
			return false
		}
	}
	return true
}

func (f *Files) leaf() *x509.Certificate { return f.pair.Leaf }

// About returns the names that the certificate is for and when it ends.
func (f *Files) About() (names []string, until time.Time) {
	f.mu.Lock()
	defer f.mu.Unlock()
	for _, ip := range f.leaf().IPAddresses {
		names = append(names, ip.String())
	}
	return append(names, f.leaf().DNSNames...), f.leaf().NotAfter
}
