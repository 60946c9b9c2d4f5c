package row

import (
	"encoding/binary"

	"pegpour/engine/refusal"
	"pegpour/storage/digest"
)

// Row gives the pictures of one content.
type Row struct {
	Content
	blocks [][]uint64
}

// Why a content cannot be shown.
var (
	ErrEmpty    = error(refusal.Error("there is nothing to show"))
	ErrTooLarge = error(refusal.Error("too large to be shown in pictures"))
)

// New cuts a content into pictures of at most so many bytes. Errors: ErrEmpty, ErrTooLarge.
func New(content []byte, picture int) (*Row, error) {
	room := picture - around
	if len(content) == 0 {
		return nil, ErrEmpty
	}
	if room < minBlock || len(content) > MaxBytes || len(content) > room*maxBlocks {
		return nil, ErrTooLarge
	}
	r := &Row{Content: Content{
		SHA256: digest.Sum256(content), Size: len(content), Blocks: (len(content) + room - 1) / room,
	}}
	for each := r.blockBytes(); len(r.blocks) < r.Blocks; {
		at := min(len(r.blocks)*each, len(content))
		r.blocks = append(r.blocks, words(content[at:min(at+each, len(content))], each))
	}
	return r, nil
}

// Picture returns the picture of a number, from 0.
func (r *Row) Picture(number uint32) []byte {
	each := r.blockBytes()
	sum := words(nil, each)
	for i, word := range choice(number, r.Blocks) {
		for bit := range 64 {
			if word>>bit&1 != 0 {
				add(sum, r.blocks[i*64+bit])
			}
		}
	}
	p := Picture{r.Content, number, octets(sum)[:each]}
	return p.bytes()
}

// words are bytes as whole words, filled up with zeros to hold so many bytes.
func words(b []byte, size int) []uint64 {
	w := make([]uint64, (size+7)/8)
	var last [8]byte
	for i := range w {
		if len(b) < 8 {
			clear(last[:])
			copy(last[:], b)
			b = last[:]
		}
		w[i] = binary.LittleEndian.Uint64(b)
		if b = b[8:]; len(b) == 0 {
			break
		}
	}
	return w
}

// octets are the bytes of words.
func octets(w []uint64) []byte {
	b := make([]byte, 0, len(w)*8)
	for _, word := range w {
		b = binary.LittleEndian.AppendUint64(b, word)
	}
	return b
}
