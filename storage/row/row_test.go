package row

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// contentOf is a content of random bytes, the same for each seed.
func contentOf(seed uint64, size int) []byte {
	r := rand.New(rand.NewPCG(seed, 1))
	b := make([]byte, size)
	for i := range b {
		b[i] = byte(r.Uint32())
	}
	return b
}

// The generator's first values from 1234567, as they are widely published (recalled).
func TestGeneratorIsSplitMix64(t *testing.T) {
	g := generator(1234567)
	for _, want := range []uint64{6457827717110365317, 3203168211198807973, 9817491932198370423,
		4593380528125082431, 16408922859458223821} {
		assert.Equal(t, want, g.next())
	}
}

// Whatever is lost, seen twice, out of order, damaged or of another content: once enough
// came, what comes out is what went in, and nothing else ever does.
func TestAnyPicturesThatSufficeGiveTheContent(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		content := contentOf(rapid.Uint64().Draw(t, "content"), rapid.IntRange(1, 20000).Draw(t, "size"))
		room := rapid.IntRange(around+minBlock, 900).Draw(t, "room")
		r, err := New(content, room)
		require.NoError(t, err)
		other, err := New(append([]byte("other"), content...), room)
		require.NoError(t, err)
		first := rapid.Uint32Range(0, uint32(3*r.Blocks)).Draw(t, "first")
		lost := rapid.Float64Range(0, 0.8).Draw(t, "lost")
		numbers := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 2))

		g := NewGathering(r.Content)
		var late [][]byte
		for n := first; !g.Done(); n++ {
			require.Less(t, n, first+uint32(20*r.Blocks+1000), "it never ends")
			b := r.Picture(n)
			require.LessOrEqual(t, len(b), room)
			if numbers.Float64() < lost {
				continue
			}
			if numbers.Float64() < 0.3 {
				late = append(late, b)
				continue
			}
			give := [][]byte{b}
			if len(late) > 0 && numbers.Float64() < 0.5 {
				at := numbers.IntN(len(late))
				give = append(give, late[at], b, late[at], other.Picture(n))
			}
			for _, b := range give {
				p, err := Read(bytes.Clone(b))
				require.NoError(t, err)
				g.Add(p)
				damaged := bytes.Clone(b)
				damaged[numbers.IntN(len(damaged))] ^= 1 << numbers.IntN(8)
				_, err = Read(damaged)
				require.Error(t, err)
			}
		}
		whole, err := g.Whole()
		require.NoError(t, err)
		require.Equal(t, content, whole)
	})
}

// One picture more than there are blocks fails with a chance of a half, E more with 2^-E:
// on average 1.6 more are needed, at every length. MacKay 2003, section 50.1, recalled.
func TestHowManyPicturesMoreAreNeeded(t *testing.T) {
	for _, blocks := range []int{1, 2, 5, 40, 64, 65, 200} {
		const runs = 300
		more, worst := 0, 0
		for run := range runs {
			r, err := New(contentOf(uint64(run), blocks*minBlock), around+minBlock)
			require.NoError(t, err)
			require.Equal(t, blocks, r.Blocks)
			g := NewGathering(r.Content)
			came := 0
			for n := uint32(blocks + run*1000); !g.Done(); n++ { // not one of the first
				p, err := Read(r.Picture(n))
				require.NoError(t, err)
				g.Add(p)
				came++
			}
			more += came - blocks
			worst = max(worst, came-blocks)
		}
		average := float64(more) / runs
		t.Logf("%d blocks: %.2f more, at most %d", blocks, average, worst)
		assert.Less(t, average, 2.0)
		assert.Less(t, worst, 16, "2^-15 in each of 300 runs")
	}
}

// A megabyte with three pictures of ten lost needs hardly more pictures than must be lost.
func TestAMegabyteWithLosses(t *testing.T) {
	r, err := New(contentOf(7, 1<<20), 1732)
	require.NoError(t, err)
	numbers := rand.New(rand.NewPCG(3, 3))
	g := NewGathering(r.Content)
	came := 0
	for n := uint32(0); !g.Done(); n++ {
		if numbers.Float64() < 0.3 {
			continue
		}
		p, err := Read(r.Picture(n))
		require.NoError(t, err)
		g.Add(p)
		came++
	}
	assert.LessOrEqual(t, came, r.Blocks+12)
	whole, err := g.Whole()
	require.NoError(t, err)
	assert.Equal(t, contentOf(7, 1<<20), whole)
}

func TestWhatCannotBeShown(t *testing.T) {
	_, err := New(nil, 1000)
	assert.ErrorIs(t, err, ErrEmpty)
	_, err = New(make([]byte, MaxBytes+1), 1732)
	assert.ErrorIs(t, err, ErrTooLarge)
	_, err = New([]byte("x"), around+minBlock-1)
	assert.ErrorIs(t, err, ErrTooLarge)
	_, err = New(make([]byte, maxBlocks*minBlock+1), around+minBlock)
	assert.ErrorIs(t, err, ErrTooLarge)
	r, err := New(make([]byte, maxBlocks*minBlock), around+minBlock)
	require.NoError(t, err)
	assert.Equal(t, maxBlocks, r.Blocks)
}

// sealed puts the right checksum behind what was changed.
func sealed(b []byte) []byte {
	body := b[:len(b)-4]
	return binary.BigEndian.AppendUint32(bytes.Clone(body), crc32.ChecksumIEEE(body))
}

func TestPicturesThatAreNotTaken(t *testing.T) {
	r, err := New(contentOf(1, 500), 200)
	require.NoError(t, err)
	changed := func(at int, to byte) []byte {
		b := r.Picture(2)
		b[at] = to
		return sealed(b)
	}
	for _, c := range []struct {
		name string
		b    []byte
		want error
	}{
		{"nothing", nil, ErrForeign},
		{"an address", []byte("https://example.com/a-page-with-quite-a-long-address-in-it?and=more"), ErrForeign},
		{"no version", changed(2, 0), ErrForeign},
		{"a newer version", changed(2, 2), ErrNewer},
		{"more than is allowed", changed(35, 0xff), ErrDamaged},
		{"no blocks", sealed(append(append(r.Picture(2)[:39], 0, 0), r.Picture(2)[41:]...)), ErrDamaged},
		{"of another length", sealed(append(r.Picture(2)[:60], 0, 0, 0, 0)), ErrDamaged},
		{"cut", r.Picture(2)[:100], ErrDamaged},
	} {
		_, err := Read(c.b)
		assert.ErrorIs(t, err, c.want, c.name)
	}
}

// Pictures that are whole but lie about their content are found out at the end, and the
// true ones then give it.
func TestALyingPictureIsFoundOut(t *testing.T) {
	r, err := New(contentOf(1, 500), 200)
	require.NoError(t, err)
	g := NewGathering(r.Content)
	for n := range uint32(r.Blocks) {
		b := r.Picture(n)
		if n == 1 {
			b[head] ^= 1
			b = sealed(b)
		}
		p, err := Read(b)
		require.NoError(t, err)
		require.True(t, g.Add(p))
		require.False(t, g.Add(p), "twice says nothing")
	}
	_, err = g.Whole()
	require.ErrorIs(t, err, ErrWrongDigest)
	require.Zero(t, g.Known)
	for n := uint32(0); !g.Done(); n++ {
		p, err := Read(r.Picture(n))
		require.NoError(t, err)
		g.Add(p)
	}
	whole, err := g.Whole()
	require.NoError(t, err)
	require.Equal(t, contentOf(1, 500), whole)
}

func FuzzRead(f *testing.F) {
	r, _ := New(contentOf(1, 500), 200)
	f.Add(r.Picture(0))
	f.Add(r.Picture(1 << 31))
	f.Add([]byte("https://example.com"))
	f.Fuzz(func(t *testing.T, b []byte) {
		for _, b := range [][]byte{b, sealed(append(bytes.Clone(b), 0, 0, 0, 0))} {
			p, err := Read(b)
			if err != nil {
				continue
			}
			again := p.bytes()
			if !bytes.Equal(again, b) {
				t.Fatalf("%x was read and written as %x", b, again)
			}
			g := NewGathering(p.Content)
			if !g.Add(p) {
				t.Fatal("the first picture says nothing")
			}
			if g.Done() {
				if whole, err := g.Whole(); err == nil && len(whole) != p.Size {
					t.Fatal("another size")
				}
			}
		}
	})
}

func BenchmarkPicture(b *testing.B) {
	r, err := New(contentOf(7, 1<<20), 1732)
	require.NoError(b, err)
	b.ReportAllocs()
	n := uint32(r.Blocks)
	for b.Loop() {
		r.Picture(n)
		n++
	}
}

// BenchmarkGather makes a megabyte again of which three pictures of ten were lost.
func BenchmarkGather(b *testing.B) {
	r, err := New(contentOf(7, 1<<20), 1732)
	require.NoError(b, err)
	var pictures []Picture
	for n := range uint32(2 * r.Blocks) {
		if n%10 < 7 {
			p, err := Read(r.Picture(n))
			require.NoError(b, err)
			pictures = append(pictures, p)
		}
	}
	b.SetBytes(1 << 20)
	for b.Loop() {
		g := NewGathering(r.Content)
		for _, p := range pictures {
			g.Add(p)
		}
		if _, err := g.Whole(); err != nil {
			b.Fatal(err)
		}
	}
}
