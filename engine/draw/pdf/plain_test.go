package pdf

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// A plain line is as wide as it is set: every sign that plain takes, among letters.
func TestPlainLinesAreAsWideAsSet(t *testing.T) {
	d := &Document{regular: newFace("F1", regularFace), bold: newFace("F2", boldFace)}
	plain := 0
	for _, f := range []*face{d.regular, d.bold} {
		for r := rune(1); r < 0x30000; r++ {
			s := "a" + string(r) + "(b)"
			if !f.plain(s) {
				continue
			}
			plain++
			line, order, without := f.set(s, false)
			require.Empty(t, without, "%U", r)
			require.Len(t, line, 5, "%U", r)
			require.Equal(t, []int{0, 1, 2, 3, 4}, order, "%U", r)
			n := 0
			for k, letter := range []rune(s) {
				require.False(t, line[k].hangs, "%U", r)
				require.Equal(t, f.glyph(letter), line[k].glyph, "%U", r)
				n += f.width(line[k].glyph)
			}
			style := ""
			if f == d.bold {
				style = "B"
			}
			require.Equal(t, float64(n)*3.5/1000, d.width(s, 3.5, style), "%U", r)
		}
	}
	require.Greater(t, plain, 700)
}
