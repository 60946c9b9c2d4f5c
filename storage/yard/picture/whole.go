package picture

import (
	"bufio"
	"encoding/binary"
	"errors"
	"hash/crc32"
	"io"

	"pegpour/engine/refusal"
)

// errNotWhole: a picture's parts do not go on to its end.
var errNotWhole = errors.New("not whole")

// checkWhole refuses a file with a picture's header and no picture. It goes through the
// parts of the file and unpacks none. What follows behind the picture's end is let be:
// telephones put more there. Cameras and programs leave out the end of JPEG and GIF, and
// every reader puts up with it. Errors: *Error, from's own.
func checkWhole(mediaType string, from io.Reader) error {
	f := &failing{from: from}
	b := bufio.NewReader(f)
	err := map[string]func(*bufio.Reader) error{
		"image/png": wholePNG, "image/jpeg": wholeJPEG, "image/gif": wholeGIF, "image/webp": wholeWebP,
	}[mediaType](b)
	switch {
	case f.failed != nil:
		return f.failed
	case err != nil:
		return invalid("this photo is not whole: there is a header and no picture ({0})", refusal.Typed(mediaType))
	}
	return nil
}

// skip reads over n bytes, all of which have to be there.
func skip(b *bufio.Reader, n int64) error {
	_, err := io.CopyN(io.Discard, b, n)
	return err
}

// wholePNG wants a header, data and an end, each with its checksum (PNG, section 5).
func wholePNG(b *bufio.Reader) error {
	if err := skip(b, 8); err != nil {
		return err
	}
	data := int64(0)
	for {
		var head [8]byte
		if _, err := io.ReadFull(b, head[:]); err != nil {
			return err
		}
		size := int64(binary.BigEndian.Uint32(head[:]))
		sum := crc32.NewIEEE()
		_, _ = sum.Write(head[4:])
		if size > MaxBytes {
			return errNotWhole
		}
		if _, err := io.CopyN(sum, b, size); err != nil {
			return err
		}
		var want [4]byte
		if _, err := io.ReadFull(b, want[:]); err != nil {
			return err
		}
		kind := string(head[4:])
		if binary.BigEndian.Uint32(want[:]) != sum.Sum32() {
			return errNotWhole
		}
		switch kind {
		case "IDAT":
			data += size
		case "IEND":
			if data == 0 {
				return errNotWhole
			}
			return nil
		}
	}
}

// wholeJPEG wants a frame and a scan with data (ITU-T T.81, B.1).
func wholeJPEG(b *bufio.Reader) error {
	if err := skip(b, 2); err != nil {
		return err
	}
	frame, data := false, false
	for {
		marker, entropy, err := nextMarker(b)
		data = data || frame && entropy > 0
		if errors.Is(err, io.EOF) && data {
			return nil
		}
		if err != nil {
			return err
		}
		switch {
		case marker == 0xd9: // end of image
			if !data {
				return errNotWhole
			}
			return nil
		case marker == 0x01 || marker >= 0xd0 && marker <= 0xd8: // stand alone
			continue
		case marker >= 0xc0 && marker <= 0xcf && marker != 0xc4 && marker != 0xc8 && marker != 0xcc:
			frame = true
		}
		var size [2]byte
		if _, err := io.ReadFull(b, size[:]); err != nil {
			return err
		}
		n := int64(binary.BigEndian.Uint16(size[:]))
		if n < 2 {
			return errNotWhole
		}
		if err := skip(b, n-2); err != nil {
			return err
		}
	}
}

// nextMarker reads to the next marker of a JPEG, and says how many bytes of data were
// before it.
func nextMarker(b *bufio.Reader) (marker byte, before int, err error) {
	for {
		c, err := b.ReadByte()
		if err != nil {
			return 0, before, err
		}
		if c != 0xff {
			before++
			continue
		}
		for c == 0xff {
			if c, err = b.ReadByte(); err != nil {
				return 0, before, err
			}
		}
		if c != 0 {
			return c, before, nil
		}
		before++ // 0xff of the data
	}
}

// wholeGIF wants a picture with data (GIF89a, appendix A).
func wholeGIF(b *bufio.Reader) error {
	table := func(flags byte) int64 {
		if flags&0x80 == 0 {
			return 0
		}
		return 3 << (flags&7 + 1)
	}
	blocks := func() (n int, err error) {
		for {
			size, err := b.ReadByte()
			if err != nil || size == 0 {
				return n, err
			}
			n += int(size)
			if err := skip(b, int64(size)); err != nil {
				return n, err
			}
		}
	}
	var head [13]byte
	if _, err := io.ReadFull(b, head[:]); err != nil {
		return err
	}
	if err := skip(b, table(head[10])); err != nil {
		return err
	}
	data := 0
	for {
		kind, err := b.ReadByte()
		if errors.Is(err, io.EOF) && data > 0 {
			return nil
		}
		if err != nil {
			return err
		}
		switch kind {
		case 0x21: // extension
			if err := skip(b, 1); err != nil {
				return err
			}
			if _, err := blocks(); err != nil {
				return err
			}
		case 0x2c: // image
			var at [9]byte
			if _, err := io.ReadFull(b, at[:]); err != nil {
				return err
			}
			if err := skip(b, table(at[8])+1); err != nil {
				return err
			}
			n, err := blocks()
			if err != nil {
				return err
			}
			data += n
		case 0x3b: // trailer
			if data == 0 {
				return errNotWhole
			}
			return nil
		default:
			return errNotWhole
		}
	}
}

// wholeWebP wants what the head of the file says is there, and picture data in it (RFC
// 9649, section 2).
func wholeWebP(b *bufio.Reader) error {
	var head [12]byte
	if _, err := io.ReadFull(b, head[:]); err != nil {
		return err
	}
	left := int64(binary.LittleEndian.Uint32(head[4:])) - 4
	data := int64(0)
	for left >= 8 {
		var chunk [8]byte
		if _, err := io.ReadFull(b, chunk[:]); err != nil {
			return err
		}
		size := int64(binary.LittleEndian.Uint32(chunk[4:]))
		padded := size + size&1
		if left -= 8 + padded; left < -1 { // the last one's padding may be missing
			return errNotWhole
		}
		if left < 0 {
			padded = size
		}
		if err := skip(b, padded); err != nil {
			return err
		}
		switch string(chunk[:4]) {
		case "VP8 ", "VP8L", "ANMF":
			data += size
		}
	}
	if data <= 10 {
		return errNotWhole
	}
	return nil
}
