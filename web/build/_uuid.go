// Package uuid stands in for the library of this name in the programs for the
// browser: the one function that the framework uses, without the ciphers that the
// library draws in. See pegpour/storage/identity.
package uuid

import (
	"encoding/hex"
	"math/rand/v2"
)

// NewString returns a random UUID, version 4.
func NewString() string {
	var u [16]byte
	a, b := rand.Uint64(), rand.Uint64()
	for i := range 8 {
		u[i], u[8+i] = byte(a>>(8*i)), byte(b>>(8*i))
	}
	u[6], u[8] = u[6]&0x0f|0x40, u[8]&0x3f|0x80
	digits := hex.EncodeToString(u[:])
	return digits[:8] + "-" + digits[8:12] + "-" + digits[12:16] + "-" + digits[16:20] + "-" + digits[20:]
}
