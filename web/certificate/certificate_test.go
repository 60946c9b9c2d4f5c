package certificate

import (
	"bytes"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/x509"
	"encoding/pem"
	"log/slog"
	"math/big"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// write puts a new certificate of a number, and its key, into files.
func write(t *testing.T, number int64, cert, key string) {
	t.Helper()
	k, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	require.NoError(t, err)
	c := &x509.Certificate{SerialNumber: big.NewInt(number), DNSNames: []string{"yard.example"},
		NotBefore: time.Now(), NotAfter: time.Now().Add(time.Hour)}
	der, err := x509.CreateCertificate(rand.Reader, c, c, &k.PublicKey, k)
	require.NoError(t, err)
	keyDER, err := x509.MarshalECPrivateKey(k)
	require.NoError(t, err)
	if cert != "" {
		require.NoError(t, os.WriteFile(cert, pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: der}), 0o600))
	}
	if key != "" {
		require.NoError(t, os.WriteFile(key, pem.EncodeToMemory(&pem.Block{Type: "EC PRIVATE KEY", Bytes: keyDER}), 0o600))
	}
}

func TestReadAgainWhenItChanges(t *testing.T) {
	cert, key := filepath.Join(t.TempDir(), "c"), filepath.Join(t.TempDir(), "k")
	now := time.Now()
	var log bytes.Buffer
	_, err := Open(cert, key, time.Now, slog.New(slog.DiscardHandler))
	require.ErrorIs(t, err, os.ErrNotExist)
	write(t, 1, cert, key)
	f, err := Open(cert, key, func() time.Time { return now }, slog.New(slog.NewTextHandler(&log, nil)))
	require.NoError(t, err)
	number := func() int64 {
		now = now.Add(2 * time.Second)
		c, err := f.Get(nil)
		require.NoError(t, err)
		return c.Leaf.SerialNumber.Int64()
	}
	require.EqualValues(t, 1, number())
	write(t, 2, cert, key)
	require.EqualValues(t, 2, number())

	// Between the writing of the certificate and of the key they do not fit.
	write(t, 3, cert, "")
	require.EqualValues(t, 2, number())
	require.Contains(t, log.String(), "the one from before stays")
	require.Error(t, f.Reload())
	write(t, 4, cert, key)
	require.EqualValues(t, 4, number())
	require.NoError(t, os.Remove(cert))
	require.EqualValues(t, 4, number())
	require.NoError(t, os.WriteFile(cert, []byte("no certificate"), 0o600))
	require.EqualValues(t, 4, number())
	write(t, 5, cert, key)
	require.NoError(t, f.Reload())
	names, until := f.About()
	require.Equal(t, []string{"yard.example"}, names)
	require.True(t, until.After(time.Now()))

	// A link that is turned to other files, as tools that renew do.
	other := filepath.Join(t.TempDir(), "other")
	write(t, 6, other+"c", other+"k")
	require.NoError(t, os.Remove(cert))
	require.NoError(t, os.Remove(key))
	require.NoError(t, os.Symlink(other+"c", cert))
	require.NoError(t, os.Symlink(other+"k", key))
	require.EqualValues(t, 6, number())
}
