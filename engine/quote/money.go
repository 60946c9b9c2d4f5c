package quote

import (
	"math"
	"math/bits"
	"strconv"
	"strings"

	"pegpour/engine/refusal"
)

// Amount is money in whole cents: hundredths of the shop's currency. It is exact; two
// are added and taken from each other as they are.
type Amount int64

// Decimal is a number in whole millionths: an amount of work, an hour, a rate, a share.
// It is exact as long as it was written with six decimals at most.
type Decimal int64

// One is the Decimal 1.
const One Decimal = 1_000_000

const (
	places = 6    // decimals of a Decimal
	digits = 12   // of a Decimal before its point
	most   = 1e14 // cents that are counted
)

// What a number can be refused for.
var (
	// ErrNumber is returned for what is no decimal number of twelve digits at most
	// before its point and six after it.
	ErrNumber = error(refusal.Error("not a number of at most twelve digits and six decimals"))
	// ErrLarge is returned where a product or a sum has more digits than are counted.
	ErrLarge = error(refusal.Error("the sum of money is too large to be counted"))
)

// ParseDecimal reads a decimal number: a sign, digits, and a point or a comma with
// digits behind it where there are any. Nothing is rounded; errors: ErrNumber.
func ParseDecimal(text string) (Decimal, error) {
	text = strings.TrimSpace(text)
	rest, minus := strings.CutPrefix(text, "-")
	if !minus {
		rest = strings.TrimPrefix(text, "+")
	}
	whole, part := rest, ""
	if at := strings.IndexAny(rest, ".,"); at >= 0 {
		whole, part = rest[:at], rest[at+1:]
		if part == "" {
			return 0, ErrNumber
		}
	}
	if rest == "" {
		return 0, ErrNumber
	}
	whole, part = strings.TrimLeft(whole, "0"), strings.TrimRight(part, "0")
	if len(whole) > digits || len(part) > places {
		return 0, ErrNumber
	}
	all := whole + part + strings.Repeat("0", places-len(part))
	v := Decimal(0)
	for i := range len(all) {
		if all[i] < '0' || all[i] > '9' {
			return 0, ErrNumber
		}
		v = 10*v + Decimal(all[i]-'0')
	}
	if minus {
		v = -v
	}
	return v, nil
}

// DecimalOf is a measured or kept number to so many decimals, six at most, halves away
// from nothing. What was typed with that many decimals comes back as it was typed.
// Errors: ErrNumber.
func DecimalOf(v float64, decimals int) (Decimal, error) {
	scale := math.Pow10(decimals)
	v = math.Round(v * scale)
	if math.IsNaN(v) || math.Abs(v) >= 1e9*scale {
		return 0, ErrNumber
	}
	return Decimal(v) * Decimal(math.Pow10(places-decimals)), nil
}

// String is the number with no more decimals than it has: "12.5".
func (d Decimal) String() string {
	s := fixed(int64(d), places)
	return strings.TrimSuffix(strings.TrimRight(s, "0"), ".")
}

// Float is the nearest float64, for screens.
func (d Decimal) Float() float64 { return float64(d) / float64(One) }

// String is the amount with two decimals: "1234.50", "-0.05".
func (a Amount) String() string { return fixed(int64(a), 2) }

// Float is the nearest float64, for screens.
func (a Amount) Float() float64 { return float64(a) / 100 }

// ParseAmount reads what String wrote. Errors: ErrNumber.
func ParseAmount(text string) (Amount, error) {
	d, err := ParseDecimal(text)
	if err != nil || d%(One/100) != 0 {
		return 0, ErrNumber
	}
	return Amount(d / (One / 100)), nil
}

// fixed writes v with its last so many digits behind a point.
func fixed(v int64, decimals int) string {
	sign, u := "", uint64(v)
	if v < 0 {
		sign, u = "-", -u
	}
	s := strconv.FormatUint(u, 10)
	if short := decimals + 1 - len(s); short > 0 {
		s = strings.Repeat("0", short) + s
	}
	return sign + s[:len(s)-decimals] + "." + s[len(s)-decimals:]
}

// share is a·b over per, per > 0, to the nearest, halves away from nothing. Errors:
// ErrLarge.
func share(a, b, per int64) (int64, error) {
	size := func(v int64) uint64 {
		if v < 0 {
			return -uint64(v)
		}
		return uint64(v)
	}
	high, low := bits.Mul64(size(a), size(b))
	low, carry := bits.Add64(low, uint64(per/2), 0) // per is even
	if high += carry; high >= uint64(per) {
		return 0, ErrLarge
	}
	q, _ := bits.Div64(high, low, uint64(per))
	if q > most {
		return 0, ErrLarge
	}
	if (a < 0) != (b < 0) {
		return -int64(q), nil
	}
	return int64(q), nil
}

// times is a × b in money, to the cent.
func (d Decimal) times(rate Decimal) (Amount, error) {
	cents, err := share(int64(d), int64(rate), int64(One)*int64(One)/100)
	return Amount(cents), err
}

// part is a share of an amount, to the cent.
func (a Amount) part(of Decimal) (Amount, error) {
	cents, err := share(int64(a), int64(of), int64(One))
	return Amount(cents), err
}

// toMultiple is an amount rounded to a multiple of step, and never to nothing; as it is
// where step is 0.
func (a Amount) toMultiple(step Amount) Amount {
	if step <= 0 || a <= 0 {
		return a
	}
	return max((2*a+step)/(2*step)*step, step)
}
