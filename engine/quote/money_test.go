package quote

import (
	"math"
	"math/big"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestParseDecimal(t *testing.T) {
	for text, want := range map[string]Decimal{"12.5": 12_500_000, "12,5": 12_500_000, "0": 0, "-3": -3_000_000, "+.25": 250_000,
		" 007.10 ": 7_100_000, "0.000001": 1, "999999999999.999999": 999999999999_999999, "1.5000000000": 1_500_000} {
		got, err := ParseDecimal(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, got, text)
	}
	for _, text := range []string{"", "-", ".", "5.", "1.2.3", "1,234.5", "0.0000001", "1e3", "1000000000000", "NaN", "--1", "1 2", "٣"} {
		_, err := ParseDecimal(text)
		assert.ErrorIs(t, err, ErrNumber, text)
	}
	for d, want := range map[Decimal]string{12_500_000: "12.5", 0: "0", -1: "-0.000001", 3_000_000: "3", -20_000_000: "-20"} {
		assert.Equal(t, want, d.String())
	}
	for a, want := range map[Amount]string{123450: "1234.50", -5: "-0.05", 0: "0.00", 7: "0.07"} {
		assert.Equal(t, want, a.String())
		back, err := ParseAmount(want)
		require.NoError(t, err)
		assert.Equal(t, a, back)
	}
	_, err := ParseAmount("1.005")
	assert.ErrorIs(t, err, ErrNumber, "half a cent is no amount")
	assert.Equal(t, "-9223372036854775808"[:18], strings.ReplaceAll(Amount(math.MinInt64).String(), ".", "")[:18])
}

var decimal = regexp.MustCompile(`^[+-]?([0-9]+([.,][0-9]+)?|[.,][0-9]+)$`)

// What is read is what an independent reader of decimals reads, and what is written is
// read as the same.
func FuzzParseDecimal(f *testing.F) {
	for _, seed := range []string{"12.5", "0,19", "-.000001", "999999999999.999999", "1e9", "", "5.", "00", "1.0000000", "+1"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		got, err := ParseDecimal(text)
		plain := strings.TrimSpace(text)
		if err != nil {
			if decimal.MatchString(plain) {
				r, ok := new(big.Rat).SetString(strings.ReplaceAll(plain, ",", "."))
				require.True(t, ok)
				millionths := new(big.Rat).Mul(r, big.NewRat(1e6, 1))
				limit := new(big.Rat).Mul(big.NewRat(1e12, 1), big.NewRat(1e6, 1))
				assert.True(t, !millionths.IsInt() || millionths.Abs(millionths).Cmp(limit) >= 0, "%q was refused", text)
			}
			return
		}
		require.Regexp(t, decimal, plain)
		r, ok := new(big.Rat).SetString(strings.ReplaceAll(plain, ",", "."))
		require.True(t, ok)
		assert.Zero(t, r.Cmp(big.NewRat(int64(got), 1e6)), "%q read as %s", text, got)
		again, err := ParseDecimal(got.String())
		require.NoError(t, err)
		assert.Equal(t, got, again)
	})
}

// nearest rounds a number to a whole one, halves away from nothing.
func nearest(r *big.Rat) *big.Int {
	twice := new(big.Rat).Mul(new(big.Rat).Abs(r), big.NewRat(2, 1))
	twice.Add(twice, big.NewRat(1, 1))
	n := new(big.Int).Quo(twice.Num(), new(big.Int).Mul(twice.Denom(), big.NewInt(2)))
	if r.Sign() < 0 {
		n.Neg(n)
	}
	return n
}

// Products are those of rational numbers, rounded once.
func TestProductsAreRoundedOnce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := Decimal(rapid.Int64Range(-1e12, 1e12).Draw(t, "a"))
		b := Decimal(rapid.Int64Range(-1e12, 1e12).Draw(t, "b"))
		got, err := a.times(b)
		product := new(big.Rat).Mul(big.NewRat(int64(a), 1e6), big.NewRat(int64(b), 1e6))
		want := nearest(product.Mul(product, big.NewRat(100, 1)))
		require.NoError(t, err)
		assert.Equal(t, want.Int64(), int64(got))

		part, err := Amount(a).part(b)
		share := new(big.Rat).Mul(big.NewRat(int64(a), 1), big.NewRat(int64(b), 1e6))
		if want := nearest(share); want.IsInt64() && want.CmpAbs(big.NewInt(most)) <= 0 {
			require.NoError(t, err)
			assert.Equal(t, want.Int64(), int64(part))
		} else {
			assert.ErrorIs(t, err, ErrLarge)
		}
	})
	for _, c := range []struct{ a, b, want string }{
		{"0.5", "0.01", "0.01"}, {"0.5", "-0.01", "-0.01"}, {"0.499999", "0.01", "0.00"}, {"1", "0.005", "0.01"},
		{"3", "33.335", "100.01"}, {"0", "9", "0.00"},
	} {
		a, _ := ParseDecimal(c.a)
		b, _ := ParseDecimal(c.b)
		got, err := a.times(b)
		require.NoError(t, err)
		assert.Equal(t, c.want, got.String(), "%s × %s", c.a, c.b)
	}
	large, _ := ParseDecimal("999999999999")
	_, err := large.times(large)
	assert.ErrorIs(t, err, ErrLarge)
}

func TestToMultiple(t *testing.T) {
	for _, c := range []struct{ a, step, want Amount }{
		{404961, 500, 405000}, {404749, 500, 404500}, {404750, 500, 405000}, {404961, 0, 404961}, {3, 500, 500}, {0, 500, 0},
		{15, 7, 14}, {18, 7, 21},
	} {
		assert.Equal(t, c.want, c.a.toMultiple(c.step), "%v", c)
	}
}

func TestDecimalOf(t *testing.T) {
	for _, c := range []struct {
		v        float64
		decimals int
		want     string
	}{{7.7 * 0.01, 6, "0.077"}, {0.1 + 0.2, 6, "0.3"}, {9.2e3 / 1e3, 3, "9.2"}, {0.0005, 3, "0.001"}, {-0.0005, 3, "-0.001"}, {12, 0, "12"}} {
		got, err := DecimalOf(c.v, c.decimals)
		require.NoError(t, err)
		assert.Equal(t, c.want, got.String(), "%v", c.v)
	}
	for _, bad := range []float64{math.NaN(), math.Inf(1), 1e9, -1e12} {
		_, err := DecimalOf(bad, 6)
		assert.ErrorIs(t, err, ErrNumber)
	}
}
