package passing

import "rsc.io/qr/coding"

// quiet is the white edge around a code that readers want, in squares (ISO/IEC 18004).
const quiet = 4

// squares draws bytes as QR codes of one version (ISO/IEC 18004), with the least
// correction: what is lost is made up by the row.
type squares struct {
	plan *coding.Plan
	side int // of a picture with its edge, in squares
}

func newSquares(version coding.Version) (*squares, error) {
	plan, err := coding.NewPlan(version, coding.L, 0)
	if err != nil {
		return nil, err
	}
	return &squares{plan, 4*int(version) + 17 + 2*quiet}, nil
}

// room is how many bytes a picture holds: from version 10 on 20 bits say that bytes
// follow, and how many.
func (s *squares) room() int { return s.plan.DataBytes - 3 }

// draw paints bytes, a pixel of red, green, blue and opacity for each square.
func (s *squares) draw(b []byte, pixels []byte) error {
	code, err := s.plan.Encode(coding.String(b))
	if err != nil {
		return err
	}
	for y := range s.side {
		for x := range s.side {
			light := byte(0xff)
			if code.Black(x-quiet, y-quiet) {
				light = 0
			}
			p := pixels[4*(y*s.side+x):]
			p[0], p[1], p[2], p[3] = light, light, light, 0xff
		}
	}
	return nil
}
