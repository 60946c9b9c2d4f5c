package delta

import (
	"encoding/binary"
	"errors"
)

// ErrBroken says that a delta is none of the program it was given for.
var ErrBroken = errors.New("the delta does not belong to this program")

// row is a row of numbers of a delta, or its bytes.
type row struct {
	of     []byte
	broken *bool
}

func (r *row) number() int {
	v, n := binary.Uvarint(r.of)
	if n <= 0 || v > 2*maxSize {
		*r.broken = true
		return 0
	}
	r.of = r.of[n:]
	return int(v)
}

func (r *row) take(n int) []byte {
	if n > len(r.of) {
		*r.broken = true
		return nil
	}
	taken := r.of[:n]
	r.of = r.of[n:]
	return taken
}

// Apply makes the next version of a program from the old one and a delta, as the worker
// of the browser does; most is how large it may become.
func Apply(old, delta []byte, most int) ([]byte, error) {
	broken := false
	rest := row{delta, &broken}
	next := func() row { return row{rest.take(rest.number()), &broken} }
	stretches, alike, other, residuals := next(), next(), next(), next()

	foresight := newForesight()
	same, unalike := 0, 0 // bytes in hand
	more := func() {
		for same == 0 && unalike == 0 {
			if len(alike.of) == 0 {
				same = 2 * maxSize
				return
			}
			same, unalike = alike.number(), other.number()
			if broken {
				return
			}
		}
	}
	var out []byte
	for at := 0; len(stretches.of) > 0; {
		z := stretches.number()
		at += z>>1 ^ -(z & 1)
		length, fresh := stretches.number(), stretches.number()
		if broken || at < 0 || at > len(old) || length > len(old)-at || length+fresh > most-len(out) {
			return nil, ErrBroken
		}
		for ; length > 0; length, at = length-1, at+1 {
			if more(); broken {
				return nil, ErrBroken
			}
			change := foresight.of(old, at)
			if same > 0 {
				same--
			} else {
				unalike--
				residual := residuals.take(1)
				if broken {
					return nil, ErrBroken
				}
				change += residual[0]
			}
			foresight.tell(change)
			out = append(out, old[at]+change)
		}
		out = append(out, rest.take(fresh)...)
	}
	if broken {
		return nil, ErrBroken
	}
	return out, nil
}
