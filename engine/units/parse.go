package units

import "strconv"

// Parse reads a length and returns it in millimetres. A number without a unit
// is in def; after feet it is in inches. A sign is kept: whether a length may be
// negative, and how long it may be, is the caller's to check. Space around the
// text, a tab or the end of line that a laser sends are skipped.
//
// It takes 3204, 3.204 m, 3,204 m, 320.4 cm, 3 m 204 mm, 4 000, 10' 6 1/2",
// 10ft 6-1/2in, 10' 6" 1/2, 10'6, 126.5", 6 1/2 and the typographic forms of the marks,
// fractions, signs and spaces. It refuses exponents, NaN, infinities,
// hexadecimal, anything after the length and what can be read in two ways,
// each with a *ParseError. The package comment gives the rule for points and
// commas.
func Parse(text string, def Unit) (mm float64, err error) {
	s := &scanner{text: text, allowed: lengthAllowed}
	mm, refused := s.length(def)
	if refused != nil {
		return 0, refused
	}
	return mm, nil
}

func (s *scanner) length(def Unit) (float64, *ParseError) {
	if len(s.text) > longest {
		return 0, s.refuse(0, TooLong)
	}
	sign := s.sign()
	if s.at == len(s.text) {
		return 0, s.refuse(s.at, Empty)
	}
	var parts [3]part
	count := 0
	for {
		p, err := s.part(def, parts[:count])
		if err != nil {
			return 0, err
		}
		if count > 0 && parts[count-1].unit == p.unit { // 3" 1/2
			parts[count-1].fraction = p.fraction
		} else {
			parts[count] = p
			count++
		}
		s.skipSpace()
		if s.at == len(s.text) {
			break
		}
		if r, width := s.peek(); r == '-' && p.unit == Foot && p.named {
			s.at += width // 10'-6"
			s.skipSpace()
		}
		if count == len(parts) || !p.named {
			return 0, s.refuse(s.at, Trailing)
		}
		if r, _ := s.peek(); r == 0 {
			return 0, s.refuse(s.at, NoNumber)
		} else if (r < '0' || r > '9') && vulgar(r).below == 0 {
			return 0, s.refuse(s.at, Trailing)
		}
	}
	if mm := sum(parts[:count]); mm != 0 { // never a negative nothing
		return sign * mm, nil
	}
	return 0, nil
}

// part is one number with its unit.
type part struct {
	number
	unit  Unit
	named bool // the unit was written
}

// part takes a number and its unit and holds it against those before.
func (s *scanner) part(def Unit, before []part) (part, *ParseError) {
	var p part
	var err *ParseError
	if p.number, err = s.tapeNumber(); err != nil {
		return p, err
	}
	end := s.at
	s.skipSpace()
	at := s.at
	word := s.word()
	switch unit, known := unitNamed(word); {
	case word == "" && len(before) > 0 && (before[len(before)-1].unit == Foot || p.continues(before)):
		p.unit = Inch
		s.at = end
	case word == "" && len(before) > 0:
		return p, s.refuse(p.from, UnknownUnit)
	case word == "":
		p.unit = def
		s.at = end
	case !known:
		return p, s.refuseWord(at, UnknownUnit)
	default:
		p.unit, p.named = unit, true
		if r, width := s.peek(); r == '.' && (word == "in" || word == "ins" || word == "ft") {
			s.at += width
		}
	}
	if p.fraction.below > 0 && p.unit != Inch {
		return p, s.refuseWord(p.from, MetricPart)
	}
	if err := s.readSeparator(&p); err != nil {
		return p, err
	}
	if len(before) == 0 {
		return p, nil
	}
	last := before[len(before)-1]
	switch {
	case p.unit == Inch && p.continues(before):
		return p, nil
	case last.unit.Imperial() != p.unit.Imperial() || last.unit <= p.unit:
		return p, s.refuseWord(p.from, WrongOrder)
	case !last.isWhole() || last.fraction.below > 0:
		return p, s.refuseWord(p.from, Trailing)
	case p.times(p.unit.tenths()) >= last.unit.Millimetres():
		return p, s.refuseWord(p.from, TooMany)
	}
	return p, nil
}

// continues reports whether a part is the fraction of the whole inches before it.
func (p part) continues(before []part) bool {
	last := before[len(before)-1]
	return p.fraction.below > 0 && p.integers == 0 && last.unit == Inch && last.isWhole() && last.fraction.below == 0
}

// readSeparator decides what a single point or comma means, by the rule in the package
// comment.
func (s *scanner) readSeparator(p *part) *ParseError {
	if p.separated != singlePoint && p.separated != singleComma {
		return nil
	}
	three := p.decimals == 3
	thousands := three && p.nonzero && p.integers <= 3
	switch p.unit {
	case Metre:
		return nil
	case Millimetre:
		if p.decimals < 3 {
			return nil
		}
		// Metres and thousands of millimetres are the same length.
		if !p.named && three && p.integers <= 3 || p.named && thousands && p.separated == singleComma {
			p.decimals = 0
			return nil
		}
		other := p.number
		other.decimals -= 3
		return s.ambiguous(p, other)
	}
	if thousands && p.separated == singleComma {
		other := p.number
		other.decimals = 0
		return s.ambiguous(p, other)
	}
	return nil
}

func (s *scanner) ambiguous(p *part, other number) *ParseError {
	e := s.refuseWord(p.from, Ambiguous)
	for _, n := range [...]number{p.number, other} {
		e.Readings = append(e.Readings, strconv.FormatFloat(n.value(), 'f', -1, 64)+" "+p.unit.String())
	}
	return e
}

// sum adds the parts. Feet, inches and a fraction are added before they become
// millimetres, so that they are rounded once.
func sum(parts []part) float64 {
	if len(parts) == 2 && parts[0].unit == Foot && parts[1].isWhole() && parts[1].separated == whole {
		n := parts[1].number
		n.digits += 12 * parts[0].digits
		return n.times(Inch.tenths())
	}
	var mm float64
	for _, p := range parts {
		mm += p.times(p.unit.tenths())
	}
	return mm
}
