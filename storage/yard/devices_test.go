package yard_test

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"pegpour/storage"
	"pegpour/storage/yard"
)

// picture is a PNG whose pixels cannot be packed.
func picture(t testing.TB, side int) []byte {
	t.Helper()
	random := rand.New(rand.NewPCG(uint64(side), 2))
	m := image.NewRGBA(image.Rect(0, 0, side, side))
	for i := range m.Pix {
		m.Pix[i] = uint8(random.Uint32())
	}
	m.Set(0, 0, color.White)
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, m))
	return b.Bytes()
}

func photos(t *testing.T, open func(yard.Options) *yard.Yard) {
	y := open(yard.Options{})
	ctx := t.Context()
	data := picture(t, 64)
	id, size := storage.PhotoID(data), int64(len(data))
	_, err := y.Photo(ctx, id)
	require.ErrorIs(t, err, yard.ErrNotFound)
	p, err := y.PutPiece(ctx, "d", id, 0, size, data[:1000])
	require.NoError(t, err)
	require.EqualValues(t, 1000, p.Have)
	p, err = y.PutPiece(ctx, "d", id, 0, size, data[:1000])
	require.NoError(t, err, "a piece again")
	require.EqualValues(t, 1000, p.Have)
	var offset *yard.OffsetError
	for _, start := range []int64{500, 1001} {
		_, err = y.PutPiece(ctx, "d", id, start, size, data[start:start+1000])
		require.ErrorAs(t, err, &offset)
		require.EqualValues(t, 1000, offset.Have)
	}
	y = open(yard.Options{})
	_, _, err = y.PhotoBytes(ctx, id)
	require.ErrorIs(t, err, yard.ErrNotFound, "not all of it is here")
	p, err = y.PutPiece(ctx, "d", id, 1000, size, data[1000:])
	require.NoError(t, err)
	require.Equal(t, yard.PhotoState{ID: id, Type: "image/png", Size: size, Have: size, Complete: true, Width: 64,
		Height: 64}, p)
	_, got, err := y.PhotoBytes(ctx, id)
	require.NoError(t, err)
	require.Equal(t, data, got)

	bad := storage.PhotoID([]byte("other"))
	_, err = y.PutPiece(ctx, "d", bad, 0, size, data)
	var digest *yard.DigestError
	require.ErrorAs(t, err, &digest)
	_, err = y.Photo(ctx, bad)
	require.ErrorIs(t, err, yard.ErrNotFound)
	text := []byte("<script>")
	_, err = y.PutPiece(ctx, "d", storage.PhotoID(text), 0, int64(len(text)), text)
	var invalid *yard.InvalidError
	require.ErrorAs(t, err, &invalid)
	for _, c := range []struct{ start, size int64 }{{-1, 10}, {0, yard.MaxPhotoBytes + 1}, {0, 3}, {0, 0}} {
		_, err = y.PutPiece(ctx, "d", id, c.start, c.size, []byte("1234"))
		require.ErrorAs(t, err, &invalid)
	}
}

func pairing(t *testing.T, open func(yard.Options) *yard.Yard) {
	now := time.Date(2026, 5, 1, 8, 0, 0, 0, time.UTC)
	y := open(yard.Options{Now: func() time.Time { return now }})
	ctx := t.Context()
	code, expires, err := y.NewCode(ctx, yard.Crew)
	require.NoError(t, err)
	require.Equal(t, now.Add(yard.CodeLife), expires)
	_, _, err = y.Pair(ctx, "AAAAA-AAAAA", "Phone")
	require.ErrorIs(t, err, yard.ErrRefused)
	d, token, err := y.Pair(ctx, " "+string(bytes.ToLower([]byte(code)))+" ", "Phone")
	require.NoError(t, err, "as a person types it")
	require.Equal(t, yard.Crew, d.Role)
	_, _, err = y.Pair(ctx, code, "Phone")
	require.ErrorIs(t, err, yard.ErrRefused, "only once")
	got, err := y.Device(ctx, token)
	require.NoError(t, err)
	require.Equal(t, d.ID, got.ID)
	for _, wrong := range []string{"", token + "x", d.ID} {
		_, err = y.Device(ctx, wrong)
		require.ErrorIs(t, err, yard.ErrRefused)
	}
	require.NoError(t, y.Withdraw(ctx, d.ID))
	_, err = y.Device(ctx, token)
	require.ErrorIs(t, err, yard.ErrRefused)
	require.ErrorIs(t, y.Withdraw(ctx, "none"), yard.ErrNotFound)

	late, _, err := y.NewCode(ctx, yard.Office)
	require.NoError(t, err)
	now = now.Add(yard.CodeLife + time.Second)
	_, _, err = y.Pair(ctx, late, "Desk")
	require.ErrorIs(t, err, yard.ErrRefused, "too late")
	_, _, err = y.NewCode(ctx, "king")
	require.Error(t, err)
}

func FuzzCheckPhoto(f *testing.F) {
	f.Add([]byte("RIFF\x00\x00\x00\x00WEBPVP8X\x00\x00\x00\x00\x00\x00\x00\x00\x01\x00\x00\x01\x00\x00"))
	f.Add([]byte("\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR\x7f\xff\xff\xff\x7f\xff\xff\xff\x08\x06\x00\x00\x00"))
	f.Add([]byte("\xff\xd8\xff\xc0\x00\x11\x08\xff\xff\xff\xff\x03"))
	f.Fuzz(func(t *testing.T, data []byte) {
		kind, w, h, err := yard.CheckPhoto(data)
		if err == nil && (kind == "" || w < 1 || h < 1 || w*h > 120_000_000) {
			t.Errorf("%q %d x %d was let through", kind, w, h)
		}
	})
}
