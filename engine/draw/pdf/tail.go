package pdf

import (
	"bytes"
	"strconv"
)

// withViewer has readers show the title of a document in place of its file's name, which PDF/UA
// and every reader for the blind ask for (ISO 32000-1, table 150). The library has no word for
// it: the entry is put into the catalogue, the last object of the file, and the place of the
// table of objects, which stands after it, is mended.
func withViewer(out []byte) []byte {
	const entry = "/ViewerPreferences <</DisplayDocTitle true>>\n"
	begin := []byte("/Type /Catalog\n")
	at := bytes.LastIndex(out, begin)
	start := bytes.LastIndex(out, []byte("startxref\n"))
	if at < 0 || start < at {
		return out
	}
	at += len(begin)
	start += len("startxref\n")
	place, rest, _ := bytes.Cut(out[start:], []byte("\n"))
	offset, err := strconv.Atoi(string(place))
	if err != nil {
		return out
	}
	made := make([]byte, 0, len(out)+len(entry)+2)
	made = append(append(append(made, out[:at]...), entry...), out[at:start]...)
	made = strconv.AppendInt(made, int64(offset+len(entry)), 10)
	return append(append(made, '\n'), rest...)
}
