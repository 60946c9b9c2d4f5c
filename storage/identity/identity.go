// Package identity makes the identities of sites: UUIDs as in RFC 9562.
//
// Decision: the functions are our own, for a library's draws ciphers and a database's
// interface into the browser's program, 0.04 MB packed. The library is what the tests
// hold them against. It would change if the program no longer had to be small.
package identity

import (
	"encoding/hex"
	"math/rand/v2"
	"strings"

	"pegpour/storage/digest"
)

// UUID is one in binary form.
type UUID [16]byte

// New returns a random UUID (version 4, section 5.4). The runtime's generator is
// seeded by the system; an identity has to be unlike any other, not secret.
func New() UUID {
	var u UUID
	a, b := rand.Uint64(), rand.Uint64()
	for i := range 8 {
		u[i], u[8+i] = byte(a>>(8*i)), byte(b>>(8*i))
	}
	return u.versioned(4)
}

// Of returns the UUID of a name within a space, always the same one (version 5,
// section 5.5).
func Of(space UUID, name string) UUID {
	sum := digest.Sum1(append(space[:], name...))
	return UUID(sum[:16]).versioned(5)
}

func (u UUID) versioned(version byte) UUID {
	u[6] = u[6]&0x0f | version<<4
	u[8] = u[8]&0x3f | 0x80
	return u
}

// String implements fmt.Stringer: 8-4-4-4-12 hexadecimal digits.
func (u UUID) String() string {
	digits := hex.EncodeToString(u[:])
	return digits[:8] + "-" + digits[8:12] + "-" + digits[12:16] + "-" + digits[16:20] + "-" + digits[20:]
}

// Parse reads a UUID with its dashes, also after "urn:uuid:" or in braces, or the 32
// digits alone.
func Parse(text string) (u UUID, ok bool) {
	switch len(text) {
	case 32:
	case 36 + len("urn:uuid:"):
		if !strings.EqualFold(text[:9], "urn:uuid:") {
			return u, false
		}
		text = text[9:]
	case 38:
		text = text[1:37]
	}
	if len(text) == 36 {
		if text[8] != '-' || text[13] != '-' || text[18] != '-' || text[23] != '-' {
			return u, false
		}
		text = text[:8] + text[9:13] + text[14:18] + text[19:23] + text[24:]
	}
	if len(text) != 32 {
		return u, false
	}
	n, err := hex.Decode(u[:], []byte(text))
	return u, err == nil && n == len(u)
}
