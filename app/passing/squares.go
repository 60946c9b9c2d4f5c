package passing

import "rsc.io/qr/coding"

// quiet is the white edge around a code that readers want, in squares (ISO/IEC 18004).
const quiet = 4

// Squares draws bytes as QR codes of one version (ISO/IEC 18004), with the least
// correction: what is lost is made up by the row.
type Squares struct {
	plan *coding.Plan
	Side int // of a picture with its edge, in squares
}

// NewSquares lays out the codes of a version, from 10 on.
func NewSquares(version coding.Version) (*Squares, error) {
	plan, err := coding.NewPlan(version, coding.L, 0)
	if err != nil {
		return nil, err
	}
	return &Squares{plan, 4*int(version) + 17 + 2*quiet}, nil
}

// Room is how many bytes a picture holds: from version 10 on 20 bits say that bytes
// follow, and how many.
func (s *Squares) Room() int { return s.plan.DataBytes - 3 }

// Draw paints bytes, a pixel of red, green, blue and opacity for each square.
func (s *Squares) Draw(b []byte, pixels []byte) error {
	code, err := s.plan.Encode(coding.String(b))
	if err != nil {
		return err
	}
	for y := range s.Side {
		for x := range s.Side {
			light := byte(0xff)
			if code.Black(x-quiet, y-quiet) {
				light = 0
			}
			p := pixels[4*(y*s.Side+x):]
			p[0], p[1], p[2], p[3] = light, light, light, 0xff
		}
	}
	return nil
}
