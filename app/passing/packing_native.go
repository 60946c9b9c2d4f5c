//go:build !js

package passing

import (
	"bytes"
	"compress/zlib"
	"io"
)

// packed packs bytes where there is no browser: in tests.
func packed(file []byte) ([]byte, error) {
	var out bytes.Buffer
	w := zlib.NewWriter(&out)
	_, err := w.Write(file)
	if err != nil || w.Close() != nil {
		return nil, errCannotPack
	}
	return out.Bytes(), nil
}

// unpacked is what was packed.
func unpacked(content []byte) ([]byte, error) {
	r, err := zlib.NewReader(bytes.NewReader(content))
	if err != nil {
		return nil, errNotPacked
	}
	file, err := io.ReadAll(io.LimitReader(r, mostUnpacked+1))
	switch {
	case err != nil:
		return nil, errNotPacked
	case len(file) > mostUnpacked:
		return nil, errUnpackedTo
	}
	return file, nil
}
