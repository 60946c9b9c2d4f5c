package quote

import (
	"errors"
	"math"
	"math/big"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/enginetest"
	"pegpour/engine/input"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// rates of our own invention, for tests.
var rates = map[string]float64{practice.RuleRateHour: 62.5, practice.RuleRateBag: 8.9, practice.RuleRateReadyMix: 215,
	practice.RuleRateSpoil: 85, practice.RuleRateFrame: 4.35, practice.RuleRateTrack: 32.4, practice.RuleRateFixing: 1.85,
	practice.RuleRateConduit: 3.2, practice.RuleRateInfill: 48, practice.RuleRateRunning: 412.5, practice.RuleRateMotor: 690,
	practice.RuleRateRack: 27.3, practice.RuleRateGuidePost: 240, practice.RuleRateMesh: 19.9, practice.RuleRateTint: 88,
	practice.RuleRateFormwork: 6.4, practice.RuleRatePanel: 380, practice.RuleRateWall: 310, practice.RuleRateDrain: 24.5,
	practice.RuleHoursTravel: 1.25, practice.RuleQuoteMargin: 0.125, practice.RuleQuoteTax: 0.19, practice.RuleQuoteRound: 5}

func rated(t testing.TB, more map[string]float64) practice.Practice {
	t.Helper()
	p, err := practice.DefaultPractice().With(rates)
	require.NoError(t, err)
	p, err = p.With(more)
	require.NoError(t, err)
	return p
}

func quoted(t testing.TB, s survey.Survey, p practice.Practice) (*Quote, plan.Plan) {
	t.Helper()
	made, err := engine.Design(s, p)
	require.NoError(t, err)
	q, err := Make(&s, &made, &p)
	require.NoError(t, err)
	return q, made
}

// A square drive with a hard stop, with a pencil: its strip and pad take 0.096 m³, the
// trade's own check.
func TestByHand(t *testing.T) {
	q, _ := quoted(t, enginetest.SquareSite(), rated(t, nil))
	type row struct{ name, amount, unit, hours, rate, cost, price string }
	var got []row
	for _, l := range q.Lines {
		got = append(got, row{l.Name.String(), l.Amount.String(), l.Unit, l.Hours.String(), l.Rate.String(), l.Cost.String(),
			l.Price.String()})
	}
	assert.Equal(t, []row{
		// 0.096 × 4 = 0.384 h; 0.38 × 62.50 = 23.75; 23.75 × 0.125 = 2.96875
		{"Digging", "0.096", "m³", "0.38", "62.5", "23.75", "26.72"},
		// 9.2 × 0.25 = 2.3 h, but the metre has its own price: 9.2 × 6.40 = 58.88; 58.88 × 0.125 = 7.36
		{"Edge form", "9.2", "m", "2.3", "6.4", "58.88", "66.24"},
		// 0.096 and a tenth of waste: 0.1056, written 0.106; × 8 = 0.848 h; 0.85 × 62.50 = 53.125; × 0.125 = 6.64125
		{"Mixing and placing concrete", "0.106", "m³", "0.85", "62.5", "53.13", "59.77"},
		// six pieces × 0.4 = 2.4 h × 62.50 = 150; 18.75
		{"Cutting and welding", "6", "", "2.4", "62.5", "150.00", "168.75"},
		// 23 × 0.1 = 2.3 h × 62.50 = 143.75; 17.96875
		{"Drilling and setting fixings and anchors", "23", "", "2.3", "62.5", "143.75", "161.72"},
		{"Hanging the leaf", "1", "", "4", "62.5", "250.00", "281.25"},                      // 250 + 31.25
		{"Fitting, wiring and setting the motor", "1", "", "5", "62.5", "312.50", "351.56"}, // 312.50 + 39.0625
		// three visits × 1.25 = 3.75 h × 62.50 = 234.375; 234.38 × 0.125 = 29.2975
		{"Travel", "3", "", "3.75", "62.5", "234.38", "263.68"},
		{"Bags of dry mix", "12", "", "0", "8.9", "106.80", "120.15"},                   // 13.35
		{"Loads of spoil", "1", "", "0", "85", "85.00", "95.63"},                        // 10.625
		{"Frame and footing metal", "73.2", "kg", "0", "4.35", "318.42", "358.22"},      // 39.8025
		{"Infill of the leaf", "7.38", "m²", "0", "48", "354.24", "398.52"},             // 4.1 × 1.8; 44.28
		{"Wheels, rollers, stops and catch", "1", "", "0", "412.5", "412.50", "464.06"}, // 51.5625
		{"Motor", "1", "", "0", "690", "690.00", "776.25"},                              // 86.25
		{"Rack", "4.21", "m", "0", "27.3", "114.93", "129.30"},                          // 114.933; 14.36625
		{"Track", "7.61", "m", "0", "32.4", "246.56", "277.38"},                         // 246.564; 30.82
		{"Fixings and anchors", "23", "", "0", "1.85", "42.55", "47.87"},                // 5.31875
		{"Conduit", "0.705", "m", "0", "3.2", "2.26", "2.54"},                           // 2.256; 0.2825
	}, got)
	assert.Equal(t, "20.98", q.Hours.String())
	assert.Equal(t, "3599.65", q.Cost.String())
	assert.Equal(t, "4049.61", q.Prices.String())
	assert.Equal(t, "0.39", q.Rounding.String(), "to the next five")
	assert.Equal(t, "4050.00", q.Net.String())
	assert.Equal(t, "769.50", q.Tax.String(), "4050 × 0.19")
	assert.Equal(t, "4819.50", q.Total.String())
	assert.Equal(t, "450.35", q.Margin().String())
	assert.Equal(t, 30, q.HoldsDays)
	assert.True(t, q.Whole())
}

// What a task takes goes by the ground that is dug, and by who mixes.
func TestHoursByTask(t *testing.T) {
	hours := func(s survey.Survey, name string) string {
		q, _ := quoted(t, s, rated(t, map[string]float64{practice.RuleConcreteReadyMixMinimum: 0.3e9}))
		for _, l := range q.Lines {
			if l.Name == text.Name(name) {
				return l.Hours.String()
			}
		}
		return ""
	}
	s := enginetest.SquareSite()
	for soil, want := range map[string]string{survey.SoilFirm: "0.38", survey.SoilRock: "1.54"} {
		s.Ground.Soil = soil
		assert.Equal(t, want, hours(s, "Digging"), soil)
	}
	s = enginetest.AngledSite()
	soft := hours(s, "Digging")
	s.Ground.Soil = survey.SoilWet
	q, _ := quoted(t, s, rated(t, nil))
	wet := q.Lines[0].Hours
	s.Ground.Soil = survey.SoilSoft
	q, _ = quoted(t, s, rated(t, nil))
	assert.Equal(t, q.Lines[0].Hours.String(), soft)
	assert.InDelta(t, 2*q.Lines[0].Hours.Float(), wet.Float(), 0.011, "wet ground takes twice the hours of soft")
	assert.NotEmpty(t, hours(s, "Placing ready-mix"))
	assert.Empty(t, hours(s, "Mixing and placing concrete"))
	assert.Empty(t, hours(s, "Digging by hand around services"))
	s.RunBack.Obstructions = []survey.Obstruction{{Kind: survey.ObstructionService, Along: survey.Measured(2000, survey.ByTape),
		Offset: survey.Measured(0, survey.ByTape), Length: survey.Measured(50, survey.ByTape), Width: survey.Measured(900, survey.ByTape)}}
	assert.Equal(t, "1.5", hours(s, "Digging by hand around services"))
	s.RunBack.Obstructions[0].Offset = survey.Measured(5000, survey.ByTape)
	assert.Empty(t, hours(s, "Digging by hand around services"), "a service that is far off is nobody's business")
}

// What has no price is named and the rest stands; nothing has a price of our invention.
func TestWithoutPrices(t *testing.T) {
	s := enginetest.SquareSite()
	q, _ := quoted(t, s, practice.DefaultPractice())
	assert.Zero(t, q.Total)
	assert.Empty(t, q.Items())
	assert.False(t, q.Whole())
	assert.Positive(t, q.Hours, "the hours are counted all the same")
	for _, r := range practice.Rules() {
		if r.Dimension == text.Money || r.Group == "Quote" && r.Dimension == text.Fraction {
			assert.Zero(t, r.Default, r.Key)
		}
	}
	p := rated(t, nil)
	whole, _ := quoted(t, s, p)
	p.RateMotor, p.HoursTravel = 0, 0
	q, _ = quoted(t, s, p)
	assert.Equal(t, []text.Name{"Travel", "Motor"}, q.Unpriced)
	assert.Equal(t, whole.Prices-776_25-263_68, q.Prices)
	p = rated(t, nil)
	p.RateHour = 0
	q, _ = quoted(t, s, p)
	assert.Equal(t, []text.Name{"One hour of one person"}, q.Unpriced, "it is missing once")
	assert.Equal(t, whole.Hours-3_750_000, q.Hours-3_750_000)
}

// A task with a price for what is done is not priced by its hours as well.
func TestNoWorkIsPricedTwice(t *testing.T) {
	s := enginetest.SquareSite()
	by, _ := quoted(t, s, rated(t, map[string]float64{practice.RuleRateDig: 100}))
	seen := 0
	for _, l := range by.Lines {
		if l.Name == "Digging" {
			seen++
			assert.Equal(t, Amount(960), l.Cost)
			assert.Equal(t, practice.RuleRateDig, l.Key)
			assert.Equal(t, "0.38", l.Hours.String())
		}
	}
	assert.Equal(t, 1, seen)
}

func TestBadTermsAreRefusedByName(t *testing.T) {
	for _, c := range []struct {
		key         string
		given       float64
		low, high   float64
		set         func(*practice.Practice, float64)
		withRefuses bool
	}{
		{practice.RuleRateHour, 0, 0.01, 1e6, nil, true},
		{practice.RuleRateHour, -5, 0.01, 1e6, func(p *practice.Practice, v float64) { p.RateHour = v }, true},
		{practice.RuleHoursDrill, 0, 0.01, 200, func(p *practice.Practice, v float64) { p.HoursDrill = v }, true},
		{practice.RuleRateBag, -1, 0, 1e6, func(p *practice.Practice, v float64) { p.RateBag = v }, true},
		{practice.RuleRateMotor, math.NaN(), 0.01, 1e6, func(p *practice.Practice, v float64) { p.RateMotor = v }, true},
		{practice.RuleQuoteTax, 2, 0, 0.5, func(p *practice.Practice, v float64) { p.Tax = v }, true},
		{practice.RuleQuoteMargin, 12.5, 0, 2, func(p *practice.Practice, v float64) { p.Margin = v }, true},
		{practice.RuleQuoteMargin, -0.1, 0, 2, func(p *practice.Practice, v float64) { p.Margin = v }, true},
		{practice.RuleQuoteHolds, 0, 1, 365, func(p *practice.Practice, v float64) { p.HoldsDays = v }, true},
	} {
		refusedBy := func(err error) {
			var refused input.Refusals
			require.ErrorAs(t, err, &refused, c.key)
			e := refused.At(practice.PracticePath + c.key)
			require.NotNil(t, e, c.key)
			assert.Equal(t, []float64{c.low, c.high}, []float64{e.Low, e.High})
			if !math.IsNaN(c.given) {
				assert.Equal(t, c.given, e.Given)
			}
			assert.Contains(t, e.Error(), "allowed")
			assert.NotEmpty(t, e.Name)
		}
		_, err := practice.DefaultPractice().With(map[string]float64{c.key: c.given})
		refusedBy(err)
		if c.set == nil {
			continue
		}
		p := rated(t, nil)
		s := enginetest.SquareSite()
		made, err := engine.Design(s, p)
		require.NoError(t, err)
		c.set(&p, c.given)
		q, err := Make(&s, &made, &p)
		refusedBy(err)
		assert.Positive(t, q.Total, "the rest stands")
	}
}

func TestTooLargeIsSaid(t *testing.T) {
	p := rated(t, nil)
	s := enginetest.SquareSite()
	made, err := engine.Design(s, p)
	require.NoError(t, err)
	made.Quantities.Lines[len(made.Quantities.Lines)-1].Amount = 1e15
	_, err = Make(&s, &made, &p)
	assert.True(t, errors.Is(err, ErrLarge))
}

// Totals are the sums of their lines, and each line is what rational numbers give, for
// whatever site and whatever rates.
func TestTotalsAreTheirLines(t *testing.T) {
	r := rand.New(rand.NewPCG(4711, 12))
	for i := range 300 {
		s := enginetest.RandomSite(r)
		switch i % 4 {
		case 1:
			s = enginetest.RandomGroundSite(r)
		case 2:
			s = enginetest.RandomFallingSite(r)
		case 3:
			s = enginetest.RandomLeafSite(r)
		}
		own := map[string]float64{}
		for _, rule := range practice.Rules() {
			switch {
			case rule.Group != "Rates" && rule.Group != "Hours" && rule.Group != "Quote":
			case r.IntN(5) == 0: // as it is
			case rule.Dimension == text.Money:
				own[rule.Key] = math.Round(100*math.Max(rule.Low, r.Float64()*900)) / 100
			case rule.Dimension == text.Fraction:
				own[rule.Key] = math.Round(1e4*r.Float64()*rule.High) / 1e4
			case rule.Dimension == text.Ratio:
				own[rule.Key] = math.Round(1000*math.Max(rule.Low, r.Float64()*20)) / 1000
			}
		}
		p, err := practice.DefaultPractice().With(own)
		require.NoError(t, err)
		made, _ := engine.Judge(s, p)
		q, err := Make(&s, &made, &p)
		require.NoError(t, err)
		exact(t, q)
		again, err := Make(&s, &made, &p)
		require.NoError(t, err)
		assert.Equal(t, q, again)
	}
}

func exact(t *testing.T, q *Quote) {
	t.Helper()
	rational := func(d Decimal) *big.Rat { return big.NewRat(int64(d), 1e6) }
	var cost, prices Amount
	hours := Decimal(0)
	for _, l := range q.Lines {
		cost, prices, hours = cost+l.Cost, prices+l.Price, hours+l.Hours
		of := l.Amount
		if l.ByHour {
			of = l.Hours
		}
		c := new(big.Rat).Mul(rational(of), rational(l.Rate))
		require.Equal(t, nearest(c.Mul(c, big.NewRat(100, 1))).Int64(), int64(l.Cost), "%v", l)
		m := new(big.Rat).Mul(big.NewRat(int64(l.Cost), 1), rational(q.MarginShare))
		require.Equal(t, int64(l.Cost)+nearest(m).Int64(), int64(l.Price), "%v", l)
		require.Equal(t, l.Rate > 0, l.Priced)
		require.GreaterOrEqual(t, l.Price, l.Cost)
	}
	require.Equal(t, cost, q.Cost)
	require.Equal(t, prices, q.Prices)
	require.Equal(t, hours, q.Hours)
	require.Equal(t, q.Prices+q.Rounding, q.Net)
	tax := new(big.Rat).Mul(big.NewRat(int64(q.Net), 1), rational(q.TaxShare))
	require.Equal(t, nearest(tax).Int64(), int64(q.Tax))
	require.Equal(t, q.Net+q.Tax, q.Total)
	require.Equal(t, q.Cost+q.Margin(), q.Net)
	require.Equal(t, q.Total, Sum(q.Items()), "what is agreed adds up to the total")
}

// The table has each line once, and its columns add up.
func TestTable(t *testing.T) {
	p := rated(t, nil)
	p.RateRack = 0
	q, _ := quoted(t, enginetest.SquareSite(), p)
	rows := Table(q)
	var cost, price Amount
	for _, row := range rows[1 : 1+len(q.Lines)] {
		require.Len(t, row, len(rows[0]))
		if row[5] == "" {
			assert.Equal(t, text.Name("Rack"), row[0])
			continue
		}
		c, err := ParseAmount(string(row[5]))
		require.NoError(t, err)
		v, err := ParseAmount(string(row[6]))
		require.NoError(t, err)
		cost, price = cost+c, price+v
	}
	said := map[string]text.Name{}
	for _, row := range rows[1+len(q.Lines):] {
		said[row[0].String()] = row[6]
	}
	assert.Equal(t, q.Cost, cost)
	assert.Equal(t, text.Name(price.String()), said["Sum of the lines"])
	assert.Equal(t, text.Name(q.Total.String()), said["Total"])
	assert.Contains(t, said, "No price for: Rack")
}
