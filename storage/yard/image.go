package yard

import (
	"bytes"
	"encoding/binary"
	"image"
	_ "image/gif"
	_ "image/jpeg"
	_ "image/png"

	"pegpour/engine/refusal"
)

// The limits of a photo.
const (
	MaxPhotoBytes  = 32 << 20
	MaxPhotoSide   = 20_000      // pixels
	MaxPhotoPixels = 120_000_000 // of the whole
)

// CheckPhoto says what picture bytes hold, by what they are and not by what
// they are called, and refuses what would be too large to unpack. It reads the
// header only. Errors: *InvalidError.
func CheckPhoto(data []byte) (mediaType string, width, height int, err error) {
	if len(data) > MaxPhotoBytes {
		return "", 0, 0, invalid("a photo has at most {0} bytes", refusal.Count(MaxPhotoBytes))
	}
	mediaType = "image/webp"
	width, height, ok := webpSize(data)
	if !ok {
		c, form, err := image.DecodeConfig(bytes.NewReader(data))
		if err != nil {
			return "", 0, 0, invalid("this is no photo: JPEG, PNG, WebP and GIF are known")
		}
		mediaType, width, height = "image/"+form, c.Width, c.Height
	}
	if width < 1 || height < 1 || width > MaxPhotoSide || height > MaxPhotoSide || width*height > MaxPhotoPixels {
		return "", 0, 0, invalid("a photo has at most {0} pixels a side and {1} in all", refusal.Count(MaxPhotoSide),
			refusal.Count(MaxPhotoPixels))
	}
	return mediaType, width, height, nil
}

// webpSize reads the size from the header of a WebP file (RFC 9649).
func webpSize(b []byte) (width, height int, ok bool) {
	if len(b) < 30 || string(b[:4]) != "RIFF" || string(b[8:12]) != "WEBP" {
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
