// Package picture tells what picture bytes hold, and whether it is whole, without
// unpacking it.
package picture

import (
	"encoding/binary"
	"errors"
	"image"
	_ "image/gif"
	_ "image/jpeg"
	_ "image/png"
	"io"

	"pegpour/engine/refusal"
)

// The limits of a photo.
const (
	MaxBytes  = 32 << 20
	MaxSide   = 20_000      // pixels
	MaxPixels = 120_000_000 // of the whole
)

// Error is why a file is refused.
type Error struct{ Reason refusal.Message }

// Error gives the reason.
func (e *Error) Error() string { return e.Reason.String() }

func invalid(format string, args ...refusal.Arg) *Error { return &Error{refusal.Say(format, args...)} }

// Check says what picture a file of size bytes holds, by what it is and not by what it is
// called, and refuses what would be too large to unpack, or is not there to its end. open
// reads it from its beginning. Errors: *Error, the reader's own.
func Check(size int64, open func() io.Reader) (mediaType string, width, height int, err error) {
	if size > MaxBytes {
		return "", 0, 0, invalid("a photo has at most {0} bytes", refusal.Count(MaxBytes))
	}
	mediaType = "image/webp"
	head := make([]byte, webpHead)
	n, err := io.ReadFull(open(), head)
	if err != nil && !errors.Is(err, io.EOF) && !errors.Is(err, io.ErrUnexpectedEOF) {
		return "", 0, 0, err
	}
	width, height, ok := webpSize(head[:n])
	if !ok {
		from := &failing{from: open()}
		c, form, err := image.DecodeConfig(from)
		if from.failed != nil {
			return "", 0, 0, from.failed
		}
		if err != nil {
			return "", 0, 0, invalid("this is no photo: JPEG, PNG, WebP and GIF are known")
		}
		mediaType, width, height = "image/"+form, c.Width, c.Height
	}
	if width < 1 || height < 1 || width > MaxSide || height > MaxSide || width*height > MaxPixels {
		return "", 0, 0, invalid("a photo has at most {0} pixels a side and {1} in all", refusal.Count(MaxSide),
			refusal.Count(MaxPixels))
	}
	return mediaType, width, height, checkWhole(mediaType, open())
}

// failing remembers why reading failed: decoders do not tell it from a bad picture.
type failing struct {
	from   io.Reader
	failed error
}

func (f *failing) Read(b []byte) (int, error) {
	n, err := f.from.Read(b)
	if err != nil && !errors.Is(err, io.EOF) {
		f.failed = err
	}
	return n, err
}

// webpHead is how much of a WebP file webpSize reads.
const webpHead = 30

// webpSize reads the size from the header of a WebP file (RFC 9649).
func webpSize(b []byte) (width, height int, ok bool) {
	if len(b) < webpHead || string(b[:4]) != "RIFF" || string(b[8:12]) != "WEBP" {
		return 0, 0, false
	}
	low24 := func(p []byte) int { return int(p[0]) | int(p[1])<<8 | int(p[2])<<16 }
	switch string(b[12:16]) {
	case "VP8X":
		return low24(b[24:]) + 1, low24(b[27:]) + 1, true
	case "VP8L":
		bits := binary.LittleEndian.Uint32(b[21:])
		return int(bits&0x3fff) + 1, int(bits>>14&0x3fff) + 1, b[20] == 0x2f
	case "VP8 ":
		return int(binary.LittleEndian.Uint16(b[26:]) & 0x3fff), int(binary.LittleEndian.Uint16(b[28:]) & 0x3fff),
			b[23] == 0x9d && b[24] == 0x01 && b[25] == 0x2a
	}
	return 0, 0, false
}
