package canonical

import (
	"pegpour/engine/sorting"

	"cmp"
	"math"
	"strconv"
	"unicode/utf16"
	"unicode/utf8"

	"pegpour/engine/refusal"
)

// ErrUnwritable is returned for what JSON cannot hold: NaN, infinities, text
// that is not UTF-8 and values that are not part of a tree.
var ErrUnwritable = error(refusal.Error("a value that JSON cannot hold"))

// Marshal writes a tree in the form of RFC 8785: no white space, names sorted
// by their UTF-16 code units, numbers as ECMAScript writes them.
func Marshal(tree any) ([]byte, error) { return Append(nil, tree) }

// Append is Marshal onto the end of dst.
func Append(dst []byte, tree any) ([]byte, error) {
	switch v := tree.(type) {
	case nil:
		return append(dst, "null"...), nil
	case bool:
		return strconv.AppendBool(dst, v), nil
	case float64:
		return appendNumber(dst, v)
	case string:
		return appendText(dst, v)
	case []any:
		var err error
		dst = append(dst, '[')
		for i := range v {
			if i > 0 {
				dst = append(dst, ',')
			}
			if dst, err = Append(dst, v[i]); err != nil {
				return nil, err
			}
		}
		return append(dst, ']'), nil
	case map[string]any:
		names := make([]string, 0, len(v))
		for name := range v {
			names = append(names, name)
		}
		sorting.By(names, compareUTF16)
		var err error
		dst = append(dst, '{')
		for i, name := range names {
			if i > 0 {
				dst = append(dst, ',')
			}
			if dst, err = appendText(dst, name); err != nil {
				return nil, err
			}
			dst = append(dst, ':')
			if dst, err = Append(dst, v[name]); err != nil {
				return nil, err
			}
		}
		return append(dst, '}'), nil
	}
	return nil, ErrUnwritable
}

// compareUTF16 orders text as RFC 8785 section 3.2.3 wants it. It differs from
// the order of UTF-8 bytes only where one side needs a surrogate pair.
func compareUTF16(a, b string) int {
	for a != "" && b != "" {
		ra, na := utf8.DecodeRuneInString(a)
		rb, nb := utf8.DecodeRuneInString(b)
		if ra != rb {
			ua, _ := utf16.EncodeRune(ra)
			ub, _ := utf16.EncodeRune(rb)
			if ra < 0x10000 {
				ua = ra
			}
			if rb < 0x10000 {
				ub = rb
			}
			if ua != ub {
				return cmp.Compare(ua, ub)
			}
			return cmp.Compare(ra, rb)
		}
		a, b = a[na:], b[nb:]
	}
	return cmp.Compare(len(a), len(b))
}

// appendNumber writes a double as ECMAScript's Number::toString does: the
// shortest digits that read back the same, an exponent below 1e-6 and from 1e21.
func appendNumber(dst []byte, f float64) ([]byte, error) {
	if math.IsNaN(f) || math.IsInf(f, 0) {
		return nil, ErrUnwritable
	}
	if f == 0 {
		return append(dst, '0'), nil // and minus zero
	}
	if abs := math.Abs(f); abs >= 1e-6 && abs < 1e21 {
		return strconv.AppendFloat(dst, f, 'f', -1, 64), nil
	}
	dst = strconv.AppendFloat(dst, f, 'e', -1, 64)
	// Go writes at least two digits of exponent: e-09 becomes e-9.
	if n := len(dst); dst[n-2] == '0' && (dst[n-3] == '-' || dst[n-3] == '+') {
		dst[n-2] = dst[n-1]
		dst = dst[:n-1]
	}
	return dst, nil
}

func appendText(dst []byte, s string) ([]byte, error) {
	if !utf8.ValidString(s) {
		return nil, ErrUnwritable
	}
	const hex = "0123456789abcdef"
	dst = append(dst, '"')
	start := 0
	for i := 0; i < len(s); i++ {
		c := s[i]
		if c >= ' ' && c != '"' && c != '\\' {
			continue
		}
		dst = append(dst, s[start:i]...)
		start = i + 1
		switch c {
		case '"', '\\':
			dst = append(dst, '\\', c)
		case '\b':
			dst = append(dst, '\\', 'b')
		case '\f':
			dst = append(dst, '\\', 'f')
		case '\n':
			dst = append(dst, '\\', 'n')
		case '\r':
			dst = append(dst, '\\', 'r')
		case '\t':
			dst = append(dst, '\\', 't')
		default:
			dst = append(dst, '\\', 'u', '0', '0', hex[c>>4], hex[c&15])
		}
	}
	return append(append(dst, s[start:]...), '"'), nil
}
