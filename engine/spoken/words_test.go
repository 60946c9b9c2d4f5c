package spoken_test

import (
	"math/rand/v2"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/spoken"
	"pegpour/engine/units"
)

var (
	englishSmall = strings.Fields("zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen " +
		"fifteen sixteen seventeen eighteen nineteen")
	englishTens = strings.Fields("- - twenty thirty forty fifty sixty seventy eighty ninety")
	germanSmall = strings.Fields("null ein zwei drei vier fünf sechs sieben acht neun zehn elf zwölf dreizehn vierzehn " +
		"fünfzehn sechzehn siebzehn achtzehn neunzehn")
	germanTens = strings.Fields("- - zwanzig dreißig vierzig fünfzig sechzig siebzig achtzig neunzig")
)

// inEnglish says a whole number below a million, with "and" where it is usual or without.
func inEnglish(n int, and string) string {
	switch {
	case n < 0:
		return "minus " + inEnglish(-n, and)
	case n < 20:
		return englishSmall[n]
	case n < 100 && n%10 == 0:
		return englishTens[n/10]
	case n < 100:
		return englishTens[n/10] + "-" + englishSmall[n%10]
	case n < 1000 && n%100 == 0:
		return englishSmall[n/100] + " hundred"
	case n < 1000:
		return englishSmall[n/100] + " hundred " + and + inEnglish(n%100, and)
	case n%1000 == 0:
		return inEnglish(n/1000, and) + " thousand"
	case n%1000 < 100:
		return inEnglish(n/1000, and) + " thousand " + and + inEnglish(n%1000, and)
	}
	return inEnglish(n/1000, and) + " thousand " + inEnglish(n%1000, and)
}

// inGerman says a whole number below a million, in one word; last is how its one ends.
func inGerman(n int, last string) string {
	switch {
	case n < 0:
		return "minus " + inGerman(-n, last)
	case n == 1:
		return "ein" + last
	case n < 20:
		return germanSmall[n]
	case n < 100 && n%10 == 0:
		return germanTens[n/10]
	case n < 100:
		return germanSmall[n%10] + "und" + germanTens[n/10]
	case n < 1000 && n%100 == 0:
		return germanSmall[n/100] + "hundert"
	case n < 1000:
		return germanSmall[n/100] + "hundert" + inGerman(n%100, last)
	case n%1000 == 0:
		return inGerman(n/1000, "") + "tausend"
	}
	return inGerman(n/1000, "") + "tausend" + inGerman(n%1000, last)
}

// oneByOne says digits each by itself.
func oneByOne(digits string, small []string) string {
	var said []string
	for _, d := range digits {
		said = append(said, small[d-'0'])
	}
	return strings.Join(said, " ")
}

func reads(t *testing.T, heard, language, want string) {
	t.Helper()
	typed, err := spoken.Read(heard, language)
	require.NoError(t, err, heard)
	require.Equal(t, want, typed, heard)
}

// Each whole number that is said is the one that is read, however it is said.
func TestNumbersSaidAreRead(t *testing.T) {
	for n := -99_999; n <= 99_999; n++ {
		if n%7 != 0 && (n < -1200 || n > 1200) {
			continue
		}
		want := strconv.Itoa(n)
		reads(t, inEnglish(n, "and "), "en", want)
		reads(t, inEnglish(n, ""), "en", want)
		reads(t, inGerman(n, "s"), "de", want)
		if n >= 10 {
			reads(t, oneByOne(want, englishSmall), "en", want)
			reads(t, oneByOne(want, germanSmall), "de", want)
		}
		if n >= 1100 && n < 10_000 && n/100%10 != 0 {
			rest := ""
			if n%100 != 0 {
				rest = " " + inEnglish(n%100, "")
			}
			reads(t, inEnglish(n/100, "")+" hundred"+rest, "en", want)
			rest = ""
			if n%100 != 0 {
				rest = inGerman(n%100, "s")
			}
			reads(t, inGerman(n/100, "")+"hundert"+rest, "de", want)
		}
	}
}

// With decimals and a unit what is read is as long as what was said.
func TestDecimalsSaidAreRead(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 20_000 {
		whole, places := r.IntN(100), 1+r.IntN(3)
		decimals := ""
		for range places {
			decimals += strconv.Itoa(r.IntN(10))
		}
		sign, minus := "", ""
		if r.IntN(4) == 0 {
			sign, minus = "-", "minus "
		}
		want := sign + strconv.Itoa(whole) + "." + decimals + " m"
		for heard, language := range map[string]string{
			minus + inEnglish(whole, "") + " point " + oneByOne(decimals, englishSmall) + " metres": "en",
			minus + inGerman(whole, "s") + " Komma " + oneByOne(decimals, germanSmall) + " Meter":   "de",
			sign + strconv.Itoa(whole) + "," + decimals + " Meter":                                  "de",
			sign + strconv.Itoa(whole) + "." + decimals + " metres":                                 "en",
		} {
			reads(t, heard, language, want)
		}
		mm, err := units.Parse(want, units.Millimetre)
		require.NoError(t, err)
		size, err := strconv.ParseFloat(sign+strconv.Itoa(whole)+"."+decimals, 64)
		require.NoError(t, err)
		assert.InDelta(t, size*1000, mm, 1e-6)
		if places == 2 && decimals[0] != '0' {
			n, _ := strconv.Atoi(decimals)
			reads(t, minus+inEnglish(whole, "")+" point "+inEnglish(n, "")+" metres", "en", want)
			reads(t, minus+inGerman(whole, "s")+" Komma "+inGerman(n, "s")+" Meter", "de", want)
			for heard, language := range map[string]string{
				minus + inEnglish(whole, "") + " metres " + inEnglish(n, ""): "en",
				minus + inGerman(whole, "") + " Meter " + inGerman(n, "s"):   "de",
			} {
				typed, err := spoken.Read(heard, language)
				require.NoError(t, err, heard)
				long, err := units.Parse(typed, units.Millimetre)
				require.NoError(t, err, typed)
				assert.InDelta(t, size*1000, long, 1e-6, heard)
			}
		}
	}
}

// asTyped is all that may ever be given: no letter but a unit's.
var asTyped = regexp.MustCompile(`^-?` + size + `( mm| cm| m| %|°|'|")?( ` + size + `( mm| cm| m| %|°|'|"))?(/m)?$|` +
	`^-?\d+:\d+$`)

const size = `\d+(\.\d+| \d{1,2}/\d{1,2}|/\d{1,2})?`

// Whatever is heard, what is given has the form of what is typed, and nothing is given
// with an error.
func FuzzRead(f *testing.F) {
	for _, heard := range []string{"three thousand four hundred and fifty", "zwei Komma fünf Meter", "1:40",
		"10' 6 1/2\"", "-.5 m", "4 000", "1,234.5", "½", "one in in", "3/8/9", "a half a", "ein ein halb", "\xff", "per cent", "2..5",
		"5-", "- 5", "ß′″"} {
		f.Add(heard)
	}
	f.Fuzz(func(t *testing.T, heard string) {
		for _, language := range []string{"en", "de", ""} {
			typed, err := spoken.Read(heard, language)
			if err != nil {
				if typed != "" {
					t.Errorf("%q gave %q with %v", heard, typed, err)
				}
				continue
			}
			if !asTyped.MatchString(typed) {
				t.Errorf("%q gave %q", heard, typed)
			}
		}
	})
}

func BenchmarkRead(b *testing.B) {
	for b.Loop() {
		_, _ = spoken.Read("neunundneunzigtausendneunhundertneunundneunzig Millimeter", "de")
	}
}
