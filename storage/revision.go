package storage

import (
	"encoding/hex"
	"slices"

	"pegpour/storage/digest"
)

// Revision names one state of a document in its history: the SHA-256, in
// lower-case hexadecimal, of its canonical bytes and the names of the
// revisions it came from. Empty: none.
type Revision string

// NameRevision returns the name of canonical bytes that came from parents, in
// whatever order and however often these are given.
//
//	SHA-256( bytes, then for each parent in ascending order: LF, parent )
func NameRevision(text []byte, parents ...Revision) Revision {
	parents = slices.Clone(parents)
	slices.Sort(parents)
	var h digest.SHA256
	h.Write(text)
	for _, p := range slices.Compact(parents) {
		if p != "" {
			h.Write([]byte{'\n'})
			h.Write([]byte(p))
		}
	}
	sum := h.Sum()
	return Revision(hex.EncodeToString(sum[:]))
}

// PhotoID returns the identity of a photo's bytes: their SHA-256.
func PhotoID(bytes []byte) string {
	sum := digest.Sum256(bytes)
	return hex.EncodeToString(sum[:])
}
