package yard_test

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"encoding/hex"
	"hash/crc32"
	"image"
	"image/color"
	"image/gif"
	"image/jpeg"
	"image/png"
	"testing"

	"github.com/stretchr/testify/require"

	"pegpour/storage/yard"
)

// chunk is a part of a PNG.
func chunk(kind string, data []byte) []byte {
	b := binary.BigEndian.AppendUint32(nil, uint32(len(data)))
	b = append(append(b, kind...), data...)
	return binary.BigEndian.AppendUint32(b, crc32.ChecksumIEEE(b[4:]))
}

// pngHeader is all of a PNG that says how large it is.
func pngHeader(width, height uint32) []byte {
	ihdr := binary.BigEndian.AppendUint32(binary.BigEndian.AppendUint32(nil, width), height)
	return append([]byte("\x89PNG\r\n\x1a\n"), chunk("IHDR", append(ihdr, 8, 0, 0, 0, 0))...)
}

// A file with a picture's header and no picture is none.
func TestPhotosAreWhole(t *testing.T) {
	m := image.NewPaletted(image.Rect(0, 0, 40, 30), []color.Color{color.White, color.Black})
	for i := range m.Pix {
		m.Pix[i] = uint8(i / 7 % 2)
	}
	var p, j, g bytes.Buffer
	require.NoError(t, png.Encode(&p, m))
	require.NoError(t, jpeg.Encode(&j, m, nil))
	require.NoError(t, gif.Encode(&g, m, nil))
	webp, err := hex.DecodeString("524946461a000000574542505650384c0d0000002f00000010071011118888080800")
	require.NoError(t, err)
	var packed bytes.Buffer
	z := zlib.NewWriter(&packed)
	_, _ = z.Write(make([]byte, 100))
	_ = z.Close()
	iend := chunk("IEND", nil)
	for _, c := range []struct {
		name string
		data []byte
		want string
	}{
		{"PNG", p.Bytes(), "image/png"},
		{"JPEG", j.Bytes(), "image/jpeg"},
		{"GIF", g.Bytes(), "image/gif"},
		{"WebP", webp, "image/webp"},
		{"PNG with more behind it", append(bytes.Clone(p.Bytes()), "PK and so on"...), "image/png"},
		{"JPEG with more behind it", append(bytes.Clone(j.Bytes()), j.Bytes()...), "image/jpeg"},
		{"JPEG without its end", j.Bytes()[:j.Len()-2], "image/jpeg"},
		{"GIF without its end", g.Bytes()[:g.Len()-1], "image/gif"},
		{"PNG, header only", pngHeader(40, 30), ""},
		{"PNG, header and end", append(pngHeader(40, 30), iend...), ""},
		{"PNG, no end", append(pngHeader(40, 30), chunk("IDAT", packed.Bytes())...), ""},
		{"PNG, nothing in its data", append(append(pngHeader(40, 30), chunk("IDAT", nil)...), iend...), ""},
		{"PNG, longer than it is", append(pngHeader(40, 30), 0xff, 0xff, 0xff, 0xff, 'I', 'D', 'A', 'T'), ""},
		{"PNG, cut", p.Bytes()[:p.Len()/2], ""},
		{"PNG, a flipped bit", flipped(p.Bytes()), ""},
		{"PNG, as wide as a bomb", append(append(pngHeader(20_001, 1), chunk("IDAT", packed.Bytes())...), iend...), ""},
		{"PNG, as large as a bomb", append(append(pngHeader(19_000, 19_000), chunk("IDAT", packed.Bytes())...), iend...), ""},
		{"JPEG, header only", j.Bytes()[:bytes.Index(j.Bytes(), []byte{0xff, 0xda})], ""},
		{"GIF, header only", g.Bytes()[:bytes.IndexByte(g.Bytes(), 0x2c)], ""},
		{"WebP, header only", webp[:30], ""},
		{"WebP, no picture", []byte("RIFF\x16\x00\x00\x00WEBPVP8X\x0a\x00\x00\x00\x00\x00\x00\x00\x05\x00\x00\x05\x00\x00"), ""},
		{"SVG", []byte(`<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>`), ""},
		{"nothing", nil, ""},
	} {
		kind, _, _, err := yard.CheckPhoto(c.data)
		if c.want == "" {
			var bad *yard.InvalidError
			require.ErrorAs(t, err, &bad, c.name)
			continue
		}
		require.NoError(t, err, c.name)
		require.Equal(t, c.want, kind, c.name)
	}
}

func flipped(data []byte) []byte {
	data = bytes.Clone(data)
	data[len(data)/2] ^= 1
	return data
}
