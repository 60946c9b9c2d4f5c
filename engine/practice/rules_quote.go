package practice

import "pegpour/engine/text"

// QuotePractice is what a quote is made by beside the rates of what is bought: hours
// of each task for one unit of what is done, and the terms. Hours are hours of one
// person, money is in the shop's currency, shares are parts of one.
type QuotePractice struct {
	HoursDigFirm, HoursDigSoft, HoursDigWet, HoursDigRock float64 // each m³ in the bank
	HoursForm, HoursCut                                   float64 // each m
	HoursMix, HoursPlace                                  float64 // each m³
	HoursPavers                                           float64 // each m²
	HoursDrill, HoursWeld, HoursHang, HoursWire           float64 // each
	HoursService, Visits, HoursTravel                     float64 // each
	RateHour                                              float64 // each hour
	RateMotor, RateRack, RateRunning, RateInfill          float64 // each, m, each, m²
	Margin, Tax                                           float64
	RoundTo                                               float64
	HoldsDays                                             float64
}

// The keys of these rules, as documents hold them.
const (
	RuleHoursDigFirm = "hours.digFirm"
	RuleHoursDigSoft = "hours.digSoft"
	RuleHoursDigWet  = "hours.digWet"
	RuleHoursDigRock = "hours.digRock"
	RuleHoursForm    = "hours.form"
	RuleHoursCut     = "hours.cut"
	RuleHoursMix     = "hours.mix"
	RuleHoursPlace   = "hours.place"
	RuleHoursPavers  = "hours.pavers"
	RuleHoursDrill   = "hours.drill"
	RuleHoursWeld    = "hours.weld"
	RuleHoursHang    = "hours.hang"
	RuleHoursWire    = "hours.wire"
	RuleHoursService = "hours.service"
	RuleHoursVisits  = "hours.visits"
	RuleHoursTravel  = "hours.travel"
	RuleRateHour     = "rate.hour"
	RuleRateMotor    = "rate.motor"
	RuleRateRack     = "rate.rack"
	RuleRateRunning  = "rate.running"
	RuleRateInfill   = "rate.infill"
	RuleQuoteMargin  = "quote.margin"
	RuleQuoteTax     = "quote.tax"
	RuleQuoteRound   = "quote.round"
	RuleQuoteHolds   = "quote.holds"
)

// The groups of the rules that are money, or make it.
const (
	GroupRates = "Rates"
	GroupHours = "Hours"
	GroupQuote = "Quote"
)

const (
	yourHours = "A guess to start from: your own jobs tell better."
	yourPrice = "Yours; without one it is left out of the price and named."
)

// hours is a rule of the hours of one person for one unit of a task.
func hours(key string, name text.Name, hours float64, at func(*Practice) *float64) Rule {
	return Rule{Key: key, Group: "Hours", Name: name, Dimension: text.Ratio, Default: hours, Low: 0.01, High: 200,
		Why: yourHours, Source: CommonPractice, at: at}
}

// given is a rate that nobody can guess: it is not there until the shop gives it.
func given(key string, name text.Name, at func(*Practice) *float64) Rule {
	return Rule{Key: key, Group: "Rates", Name: name, Dimension: text.Money, Low: 0.01, High: 1e6, Why: yourPrice,
		Source: CommonPractice, at: at}
}

var quoteRules = []Rule{
	hours(RuleHoursDigFirm, "Hours to dig one cubic metre of firm ground", 4, func(p *Practice) *float64 { return &p.HoursDigFirm }),
	hours(RuleHoursDigSoft, "Hours to dig one cubic metre of soft ground", 2.5, func(p *Practice) *float64 { return &p.HoursDigSoft }),
	hours(RuleHoursDigWet, "Hours to dig one cubic metre of wet ground", 5, func(p *Practice) *float64 { return &p.HoursDigWet }),
	hours(RuleHoursDigRock, "Hours to break out one cubic metre of rock", 16, func(p *Practice) *float64 { return &p.HoursDigRock }),
	hours(RuleHoursService, "Hours to dig around one buried service by hand", 1.5,
		func(p *Practice) *float64 { return &p.HoursService }),
	hours(RuleHoursForm, "Hours to form one metre of edge", 0.25, func(p *Practice) *float64 { return &p.HoursForm }),
	hours(RuleHoursCut, "Hours to saw-cut one metre", 0.2, func(p *Practice) *float64 { return &p.HoursCut }),
	hours(RuleHoursPavers, "Hours to lift and lay again one square metre of pavers", 1.5,
		func(p *Practice) *float64 { return &p.HoursPavers }),
	hours(RuleHoursMix, "Hours to mix and place one cubic metre from bags", 8, func(p *Practice) *float64 { return &p.HoursMix }),
	hours(RuleHoursPlace, "Hours to place one cubic metre of ready-mix", 2.5, func(p *Practice) *float64 { return &p.HoursPlace }),
	hours(RuleHoursDrill, "Hours to drill and set one fixing or anchor", 0.1, func(p *Practice) *float64 { return &p.HoursDrill }),
	hours(RuleHoursWeld, "Hours to cut and weld in one piece of steel", 0.4, func(p *Practice) *float64 { return &p.HoursWeld }),
	hours(RuleHoursHang, "Hours to hang one panel and set its rollers", 4, func(p *Practice) *float64 { return &p.HoursHang }),
	hours(RuleHoursWire, "Hours to fit, wire and set one motor", 5, func(p *Practice) *float64 { return &p.HoursWire }),
	{Key: RuleHoursVisits, Group: "Hours", Name: "Visits to the site, all hands together", Dimension: text.Count, Default: 3,
		Low: 1, High: 100, Why: "Dig and pour; hang and wire; hand over. Two people on one day are two.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.Visits }},
	{Key: RuleHoursTravel, Group: "Hours", Name: "Hours on the road for one visit, there and back", Dimension: text.Ratio,
		Low: 0.01, High: 48, Why: "Yours, and best for each site; without it travel is left out of the price and named.",
		Source: CommonPractice, at: func(p *Practice) *float64 { return &p.HoursTravel }},

	given(RuleRateHour, "One hour of one person", func(p *Practice) *float64 { return &p.RateHour }),
	given(RuleRateMotor, "One motor with its controls", func(p *Practice) *float64 { return &p.RateMotor }),
	given(RuleRateRack, "One metre of rack", func(p *Practice) *float64 { return &p.RateRack }),
	given(RuleRateRunning, "Wheels, rollers, stops and catch of a gate", func(p *Practice) *float64 { return &p.RateRunning }),
	given(RuleRateInfill, "One square metre of infill of the leaf", func(p *Practice) *float64 { return &p.RateInfill }),

	{Key: RuleQuoteMargin, Group: "Quote", Name: "Margin on top of what work and materials cost", Dimension: text.Fraction,
		Low: 0, High: 2, Why: "Yours. It goes onto each line; who is quoted sees prices only.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.Margin }},
	{Key: RuleQuoteTax, Group: "Quote", Name: "Tax on top of the net price", Dimension: text.Fraction, Low: 0, High: 0.5,
		Why: "By your local law. With 0 the quote says that it has no tax in it.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.Tax }},
	{Key: RuleQuoteRound, Group: "Quote", Name: "The net price is rounded to a multiple of", Dimension: text.Money,
		Low: 0.01, High: 1000, Why: "Yours; without one nothing is rounded but to the cent.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.RoundTo }},
	{Key: RuleQuoteHolds, Group: "Quote", Name: "Days for which a quote holds", Dimension: text.Count, Default: 30, Low: 1,
		High: 365, Why: "Prices of steel and concrete move.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.HoldsDays }},
}
