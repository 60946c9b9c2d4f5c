package pairing

import (
	"strings"

	"rsc.io/qr"
)

// Squares draws a text as a QR code, row by row, without the quiet zone around
// it: 1 is dark.
func Squares(text string) ([]string, error) {
	code, err := qr.Encode(text, qr.M)
	if err != nil {
		return nil, err
	}
	rows := make([]string, code.Size)
	for y := range rows {
		row := make([]byte, code.Size)
		for x := range row {
			row[x] = '0'
			if code.Black(x, y) {
				row[x] = '1'
			}
		}
		rows[y] = string(row)
	}
	return rows, nil
}

// Blocks draws a text as a QR code for a terminal: half blocks, light on dark,
// with the quiet zone of four modules that readers want.
func Blocks(text string) (string, error) {
	code, err := qr.Encode(text, qr.M)
	if err != nil {
		return "", err
	}
	const quiet = 4
	var b strings.Builder
	for y := -quiet; y < code.Size+quiet; y += 2 {
		for x := -quiet; x < code.Size+quiet; x++ {
			upper, lower := !code.Black(x, y), !code.Black(x, y+1)
			switch {
			case upper && lower:
				b.WriteString("█")
			case upper:
				b.WriteString("▀")
			case lower:
				b.WriteString("▄")
			default:
				b.WriteByte(' ')
			}
		}
		b.WriteByte('\n')
	}
	return b.String(), nil
}
