package digest

import (
	"bytes"
	"crypto/sha1"
	"crypto/sha256"
	"encoding/hex"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The digests of "abc" in NIST's examples for FIPS 180-4, from memory.
func TestPublishedExamples(t *testing.T) {
	long := Sum256([]byte("abc"))
	assert.Equal(t, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad", hex.EncodeToString(long[:]))
	short := Sum1([]byte("abc"))
	assert.Equal(t, "a9993e364706816aba3e25717850c26c9cd0d89d", hex.EncodeToString(short[:]))
}

// Messages of every length up to a few blocks, in pieces of every size, give what
// the standard library gives.
func BenchmarkSum256(b *testing.B) {
	data := make([]byte, 1<<20)
	b.SetBytes(1 << 20)
	for b.Loop() {
		Sum256(data)
	}
}

func TestAsTheStandardLibrary(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 4))
	for n := range 400 {
		data := make([]byte, n)
		for i := range data {
			data[i] = byte(random.Uint32())
		}
		kept := bytes.Clone(data)
		require.Equal(t, sha256.Sum256(data), Sum256(data), n)
		require.Equal(t, sha1.Sum(data), Sum1(data), n)
		var pieces SHA256
		for rest := data; len(rest) > 0; {
			some := 1 + random.IntN(len(rest))
			written, err := pieces.Write(rest[:some])
			require.NoError(t, err)
			require.Equal(t, some, written)
			require.Equal(t, sha256.Sum256(data[:n-len(rest)+some]), pieces.Sum(), "it may be asked for in between")
			rest = rest[some:]
		}
		require.Equal(t, kept, data)
	}
	assert.Equal(t, sha256.Sum256(nil), new(SHA256).Sum())
}
