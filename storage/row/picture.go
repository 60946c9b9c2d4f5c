package row

import (
	"encoding/binary"
	"hash/crc32"

	"pegpour/engine/refusal"
)

// A picture is, in bytes, the most significant first:
//
//	2   mark, the same in every version
//	1   version
//	32  SHA-256 of the content
//	4   size of the content
//	2   number of blocks
//	4   number of the picture
//	n   the sum of blocks
//	4   CRC-32 (IEEE 802.3) of all before
const (
	mark    = 0x9dc7
	version = 1
	head    = 45
	around  = head + 4
)

// Limits of a content.
const (
	MaxBytes  = 8 << 20
	maxBlocks = 8192
	minBlock  = 16
)

// Content names what is passed on and how it is cut.
type Content struct {
	SHA256 [32]byte
	Size   int
	Blocks int
}

// blockBytes is how many bytes of the content a picture holds.
func (c Content) blockBytes() int { return (c.Size + c.Blocks - 1) / c.Blocks }

// Picture is one of a content's.
type Picture struct {
	Content
	Number uint32
	Sum    []byte
}

// Why bytes are no picture that can be used.
var (
	// ErrForeign: they are another program's.
	ErrForeign = error(refusal.Error("not a picture of a row"))
	ErrNewer   = error(refusal.Error("shown by a newer version: update to read it"))
	ErrDamaged = error(refusal.Error("the picture is damaged"))
)

// bytes writes the picture.
func (p *Picture) bytes() []byte {
	b := make([]byte, 0, around+len(p.Sum))
	b = binary.BigEndian.AppendUint16(b, mark)
	b = append(b, version)
	b = append(b, p.SHA256[:]...)
	b = binary.BigEndian.AppendUint32(b, uint32(p.Size))
	b = binary.BigEndian.AppendUint16(b, uint16(p.Blocks))
	b = binary.BigEndian.AppendUint32(b, p.Number)
	b = append(b, p.Sum...)
	return binary.BigEndian.AppendUint32(b, crc32.ChecksumIEEE(b))
}

// Read reads a picture. Errors: ErrForeign, ErrNewer, ErrDamaged. The picture holds on to
// the bytes.
func Read(b []byte) (Picture, error) {
	var p Picture
	if len(b) < around || binary.BigEndian.Uint16(b) != mark || b[2] == 0 {
		return p, ErrForeign
	}
	body, sum := b[:len(b)-4], binary.BigEndian.Uint32(b[len(b)-4:])
	switch {
	case crc32.ChecksumIEEE(body) != sum:
		return p, ErrDamaged
	case b[2] > version:
		return p, ErrNewer
	}
	copy(p.SHA256[:], b[3:])
	p.Size = int(binary.BigEndian.Uint32(b[35:]))
	p.Blocks = int(binary.BigEndian.Uint16(b[39:]))
	p.Number = binary.BigEndian.Uint32(b[41:])
	p.Sum = body[head:]
	if p.Size < 1 || p.Size > MaxBytes || p.Blocks < 1 || p.Blocks > maxBlocks || len(p.Sum) != p.blockBytes() {
		return Picture{}, ErrDamaged
	}
	return p, nil
}
