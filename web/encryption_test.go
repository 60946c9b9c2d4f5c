package main

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"flag"
	"io"
	"log/slog"
	"math/big"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// makeCertificate writes a certificate for 127.0.0.1 and its key.
func makeCertificate(t testing.TB) (certFile, keyFile string, pool *x509.CertPool) {
	t.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	require.NoError(t, err)
	c := &x509.Certificate{
		SerialNumber: big.NewInt(1), Subject: pkix.Name{CommonName: "yard"}, IPAddresses: []net.IP{net.IPv4(127, 0, 0, 1)},
		NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(time.Hour), IsCA: true, BasicConstraintsValid: true,
	}
	der, err := x509.CreateCertificate(rand.Reader, c, c, &key.PublicKey, key)
	require.NoError(t, err)
	keyDER, err := x509.MarshalECPrivateKey(key)
	require.NoError(t, err)
	certFile, keyFile = filepath.Join(t.TempDir(), "c.pem"), filepath.Join(t.TempDir(), "k.pem")
	require.NoError(t, os.WriteFile(certFile, pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: der}), 0o600))
	require.NoError(t, os.WriteFile(keyFile, pem.EncodeToMemory(&pem.Block{Type: "EC PRIVATE KEY", Bytes: keyDER}), 0o600))
	made, err := x509.ParseCertificate(der)
	require.NoError(t, err)
	pool = x509.NewCertPool()
	pool.AddCert(made)
	return certFile, keyFile, pool
}

func TestServedWithCertificate(t *testing.T) {
	cert, key, pool := makeCertificate(t)
	flags := flag.NewFlagSet("serve", flag.ContinueOnError)
	e := tlsFlags(flags)
	require.NoError(t, flags.Parse([]string{"-cert", cert, "-key", key}))
	require.NoError(t, e.check("0.0.0.0:0"), "with a certificate other machines may come")
	l, err := e.listen("127.0.0.1:0", slog.New(slog.DiscardHandler))
	require.NoError(t, err)
	server := newServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		_, _ = io.WriteString(w, "here")
	}))
	go func() { _ = server.Serve(l) }()
	defer server.Close()
	clientOf := func(c *tls.Config) *http.Client { return &http.Client{Transport: &http.Transport{TLSClientConfig: c}} }
	client := clientOf(&tls.Config{RootCAs: pool})
	answer, err := client.Get(e.scheme("http://" + l.Addr().String()))
	require.NoError(t, err)
	defer answer.Body.Close()
	body, err := io.ReadAll(answer.Body)
	require.NoError(t, err)
	require.Equal(t, "here", string(body))
	require.GreaterOrEqual(t, answer.TLS.Version, uint16(tls.VersionTLS12))
	old := clientOf(&tls.Config{RootCAs: pool, MaxVersion: tls.VersionTLS11})
	_, err = old.Get("https://" + l.Addr().String())
	require.Error(t, err, "nothing older than TLS 1.2")
}

func TestPlainHTTPOnlyWhenTold(t *testing.T) {
	for _, c := range []struct {
		address string
		given   []string
		refused bool
	}{
		{"localhost:0", nil, false},
		{"127.0.0.1:0", nil, false},
		{"[::1]:0", nil, false},
		{":0", nil, true},
		{"0.0.0.0:0", nil, true},
		{"[::]:0", nil, true},
		{"192.0.2.7:80", nil, true},
		{"0.0.0.0:0", []string{"-insecure-http"}, false},
	} {
		flags := flag.NewFlagSet("serve", flag.ContinueOnError)
		e := tlsFlags(flags)
		require.NoError(t, flags.Parse(c.given))
		err := e.check(c.address)
		require.Equal(t, c.refused, err != nil, c.address)
		if c.refused {
			require.ErrorIs(t, err, errUsage)
		}
	}
}
