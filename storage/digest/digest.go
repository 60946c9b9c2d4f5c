// Package digest makes the digests by which revisions are named and back-ups are
// checked: SHA-256 and SHA-1 as in FIPS 180-4.
//
// Decision: the functions are our own, for the standard library's draw AES, SHA-3, a
// random generator and their tests of themselves into the browser's program. The
// standard library is what the tests hold them against. It would change if the
// library's digests came without the rest.
package digest

import (
	"encoding/binary"
	"math/bits"
)

// start256 and round256 are the first 32 bits of what is behind the point of the
// square roots of the first 8 primes and of the cube roots of the first 64:
// sections 5.3.3 and 4.2.2.
var start256 = [8]uint32{
	0x6a09e667, 0xbb67ae85, 0x3c6ef372, 0xa54ff53a, 0x510e527f, 0x9b05688c, 0x1f83d9ab, 0x5be0cd19,
}

var round256 = [64]uint32{
	0x428a2f98, 0x71374491, 0xb5c0fbcf, 0xe9b5dba5, 0x3956c25b, 0x59f111f1, 0x923f82a4, 0xab1c5ed5,
	0xd807aa98, 0x12835b01, 0x243185be, 0x550c7dc3, 0x72be5d74, 0x80deb1fe, 0x9bdc06a7, 0xc19bf174,
	0xe49b69c1, 0xefbe4786, 0x0fc19dc6, 0x240ca1cc, 0x2de92c6f, 0x4a7484aa, 0x5cb0a9dc, 0x76f988da,
	0x983e5152, 0xa831c66d, 0xb00327c8, 0xbf597fc7, 0xc6e00bf3, 0xd5a79147, 0x06ca6351, 0x14292967,
	0x27b70a85, 0x2e1b2138, 0x4d2c6dfc, 0x53380d13, 0x650a7354, 0x766a0abb, 0x81c2c92e, 0x92722c85,
	0xa2bfe8a1, 0xa81a664b, 0xc24b8b70, 0xc76c51a3, 0xd192e819, 0xd6990624, 0xf40e3585, 0x106aa070,
	0x19a4c116, 0x1e376c08, 0x2748774c, 0x34b0bcb5, 0x391c0cb3, 0x4ed8aa4a, 0x5b9cca4f, 0x682e6ff3,
	0x748f82ee, 0x78a5636f, 0x84c87814, 0x8cc70208, 0x90befffa, 0xa4506ceb, 0xbef9a3f7, 0xc67178f2,
}

// SHA256 is a digest in the making; the zero value is that of nothing.
type SHA256 struct {
	state [8]uint32
	rest  [64]byte // what has not filled a block
	size  uint64   // bytes written
}

// Write implements io.Writer. It never fails.
func (d *SHA256) Write(data []byte) (int, error) {
	if d.size == 0 {
		d.state = start256
	}
	written := len(data)
	held := int(d.size % 64)
	d.size += uint64(written)
	if held > 0 {
		n := copy(d.rest[held:], data)
		if data = data[n:]; held+n < 64 {
			return written, nil
		}
		d.block(d.rest[:])
	}
	for ; len(data) >= 64; data = data[64:] {
		d.block(data)
	}
	copy(d.rest[:], data)
	return written, nil
}

// Sum returns the digest of what was written.
func (d *SHA256) Sum() [32]byte {
	end := *d                  // writing may go on
	end.Write(padding(d.size)) // begins anew where nothing was written
	var sum [32]byte
	for i, s := range end.state {
		binary.BigEndian.PutUint32(sum[4*i:], s)
	}
	return sum
}

// Sum256 returns the digest of data.
func Sum256(data []byte) [32]byte {
	var d SHA256
	d.Write(data)
	return d.Sum()
}

// block takes 64 bytes in: section 6.2.2.
func (d *SHA256) block(data []byte) {
	var w [64]uint32
	for i := range 16 {
		w[i] = binary.BigEndian.Uint32(data[4*i:])
	}
	for i := 16; i < 64; i++ {
		a, b := w[i-15], w[i-2]
		w[i] = w[i-16] + w[i-7] +
			(bits.RotateLeft32(a, -7) ^ bits.RotateLeft32(a, -18) ^ a>>3) +
			(bits.RotateLeft32(b, -17) ^ bits.RotateLeft32(b, -19) ^ b>>10)
	}
	s := &d.state
	a, b, c, t, e, f, g, h := s[0], s[1], s[2], s[3], s[4], s[5], s[6], s[7]
	for i := range 64 {
		one := h + (bits.RotateLeft32(e, -6) ^ bits.RotateLeft32(e, -11) ^ bits.RotateLeft32(e, -25)) +
			(e&f ^ ^e&g) + round256[i] + w[i]
		two := (bits.RotateLeft32(a, -2) ^ bits.RotateLeft32(a, -13) ^ bits.RotateLeft32(a, -22)) +
			(a&b ^ a&c ^ b&c)
		a, b, c, t, e, f, g, h = one+two, a, b, c, t+one, e, f, g
	}
	for i, v := range [8]uint32{a, b, c, t, e, f, g, h} {
		s[i] += v
	}
}

// padding ends a message of size bytes: a bit, noughts, and its length in bits, so
// that blocks of 64 bytes are full. Section 5.1.1.
func padding(size uint64) []byte {
	pad := make([]byte, 72-(size+8)%64)
	pad[0] = 0x80
	binary.BigEndian.PutUint64(pad[len(pad)-8:], size*8)
	return pad
}

// Sum1 returns the SHA-1 digest of data, for names and not for safety: section 6.1.2.
func Sum1(data []byte) [20]byte {
	state := [5]uint32{0x67452301, 0xefcdab89, 0x98badcfe, 0x10325476, 0xc3d2e1f0}
	message := append(append([]byte(nil), data...), padding(uint64(len(data)))...)
	for ; len(message) > 0; message = message[64:] {
		var w [80]uint32
		for i := range 16 {
			w[i] = binary.BigEndian.Uint32(message[4*i:])
		}
		for i := 16; i < 80; i++ {
			w[i] = bits.RotateLeft32(w[i-3]^w[i-8]^w[i-14]^w[i-16], 1)
		}
		s := state
		for i := range 80 {
			b, c, d := s[1], s[2], s[3]
			var mixed uint32
			switch i / 20 {
			case 0:
				mixed = (b&c ^ ^b&d) + 0x5a827999
			case 1:
				mixed = (b ^ c ^ d) + 0x6ed9eba1
			case 2:
				mixed = (b&c ^ b&d ^ c&d) + 0x8f1bbcdc
			case 3:
				mixed = (b ^ c ^ d) + 0xca62c1d6
			}
			s = [5]uint32{bits.RotateLeft32(s[0], 5) + mixed + s[4] + w[i], s[0], bits.RotateLeft32(b, 30), c, d}
		}
		for i := range s {
			state[i] += s[i]
		}
	}
	var sum [20]byte
	for i, s := range state {
		binary.BigEndian.PutUint32(sum[4*i:], s)
	}
	return sum
}
