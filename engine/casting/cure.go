package casting

import (
	"cmp"
	"math"
	"slices"
	"time"

	"pegpour/engine/concrete"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// Clock is how days and times of a pour are written: as a clock on site shows them.
const Clock = "2006-01-02T15:04"

// Cure is how a pour hardens.
type Cure struct {
	// Problem is why nothing is judged; empty where it is.
	Problem text.Text
	// Notes are what makes it less sure than it looks.
	Notes []text.Text
	// Anchors may be drilled and set, Hang the track be laid and the leaf be hung.
	Anchors, Hang Ready

	s       float64 // of the cement
	warmth  []warmthAt
	onwards float64 // °C from the last of warmth on
}

// Ready is when something may be done.
type Ready struct {
	// Share of the mean strength at 28 days that is needed of this mix.
	Share float64
	// Hours after the end of the pour, where Judged.
	Hours  float64
	Judged bool
	// Problem is why it is not judged.
	Problem text.Text
}

type warmthAt struct{ hours, warmth float64 }

// mostHours is how long a pour is followed, h: what is not hard in a year never will be.
const mostHours = 365 * 24

// ReadCure finds when the concrete of a pour is hard enough.
//
//	Σ Δt·exp(13.65 − 4000/(273 + T)) ≥ 28/(1 − ln β/s)²
//
// hour by hour, each at the temperature of its middle: straight between readings,
// held before the first, and after the last as it is expected to be. β is the share of
// what the design took:
//
//	β = share·(f_design + 8)/(f_mix + 8)
//
// Source: EN 1992-1-1, 3.1.2(6), B.10 and table 3.1 for f_cm = f_ck + 8 MPa.
func ReadCure(s survey.Survey, p practice.Practice) Cure {
	r := read(&s, &p)
	rules := r.Practice()
	c := Cure{s: rules.CementNormal}
	switch pour := &s.Build.Casting.Pour; pour.Cement {
	case survey.CementRapid:
		c.s = rules.CementRapid
	case survey.CementSlow:
		c.s = rules.CementSlow
	}
	if c.Problem = pourTimes(&s.Build.Casting.Pour); !c.Problem.Empty() {
		return c
	}
	if c.Problem = c.readWarmth(r); !c.Problem.Empty() {
		return c
	}
	mix, _, given := r.Reading(survey.PourStrength)
	if !given {
		mix.Size = rules.ConcreteStrength
		c.Notes = append(c.Notes, text.Say("Taken as the mix of the design: {0}. The bag or the docket says.",
			text.Megapascals(mix.Size)))
	}
	const meanAbove = 8 // MPa
	over := (rules.ConcreteStrength + meanAbove) / (mix.Size + meanAbove)
	c.Anchors, c.Hang = c.ready(rules.CureAnchors*over), c.ready(rules.CureHang*over)
	c.noteGaps(rules.CureReadEvery)
	return c
}

// pourTimes says what is wrong with the times of a pour; empty where nothing is.
func pourTimes(p *survey.Pour) text.Text {
	if p.Ended == "" {
		return text.Say("Cannot be judged yet: say when the pour ended.")
	}
	ended, err := time.Parse(Clock, p.Ended)
	if err != nil {
		return text.Say("Cannot be judged: {0} is no day and time. Put the end of the pour right.", text.Typed(p.Ended))
	}
	if p.Began == "" {
		return text.Text{}
	}
	began, err := time.Parse(Clock, p.Began)
	if err != nil {
		return text.Say("Cannot be judged: {0} is no day and time. Put the start of the pour right.", text.Typed(p.Began))
	}
	if ended.Before(began) {
		return text.Say("Cannot be judged: the pour ends before it starts. Put start or end right.")
	}
	return text.Text{}
}

// readWarmth reads the temperatures; it says what is missing, empty where nothing is.
func (c *Cure) readWarmth(r *survey.Reader) text.Text {
	hours := r.Survey().Build.Casting.Pour.Hours
	for i := range hours[:min(len(hours), survey.MaxCuredAt)] {
		after, _, timed := r.Reading(survey.CuredAtAfter.At(i))
		warmth, _, taken := r.Reading(survey.CuredAtWarmth.At(i))
		if timed && taken {
			c.warmth = append(c.warmth, warmthAt{after.Size, warmth.Size})
		} else {
			c.Notes = append(c.Notes, text.Say("Temperature {0} lacks its hour or its degrees and is not counted.",
				text.Number(float64(i+1))))
		}
	}
	slices.SortStableFunc(c.warmth, func(a, b warmthAt) int { return cmp.Compare(a.hours, b.hours) })
	expected, _, expects := r.Reading(survey.PourExpected)
	held, _, holds := r.Reading(survey.PourWarmth)
	switch n := len(c.warmth); {
	case n > 0 && expects:
		c.onwards = expected.Size
	case n > 0:
		c.onwards = c.warmth[n-1].warmth
		c.Notes = append(c.Notes, text.Say("From the last reading on it is taken to stay at {0} °C.", text.Plain(c.onwards)))
	case holds:
		c.onwards = held.Size
	case expects:
		c.onwards = expected.Size
	default:
		return text.Say("Cannot be judged yet: note the temperature of the concrete, once or by the hour.")
	}
	return text.Text{}
}

// at is the temperature at an hour after the pour, °C.
func (c *Cure) at(hour float64) float64 {
	for i, q := range c.warmth {
		if hour > q.hours {
			continue
		}
		if i == 0 {
			return q.warmth
		}
		before := c.warmth[i-1]
		if q.hours == before.hours {
			return q.warmth
		}
		return before.warmth + (q.warmth-before.warmth)*(hour-before.hours)/(q.hours-before.hours)
	}
	return c.onwards
}

// ready finds when a share of the strength is there.
func (c *Cure) ready(share float64) Ready {
	ready := Ready{Share: share}
	if share > 1 {
		ready.Problem = text.Say("Cannot be judged: the mix is weaker than the design took. Ask the engineer before anything is set.")
		return ready
	}
	needed, err := concrete.AgeOfShare(c.s, max(share, 0.01))
	if err != nil {
		ready.Problem = text.Say("Cannot be judged: {0}", text.List(text.Because(err)))
		return ready
	}
	hours, problem := c.hoursTo(needed)
	ready.Hours, ready.Problem, ready.Judged = hours, problem, problem.Empty()
	return ready
}

// hoursTo is how long it takes until an age, days at 20 °C, is reached.
func (c *Cure) hoursTo(age float64) (hours float64, problem text.Text) {
	reached := 0.0
	for hour := 0.0; hour < mostHours; hour++ {
		warmth := c.at(hour + 0.5)
		for _, q := range c.warmth { // a reading between two middles
			if q.hours >= hour && q.hours < hour+1 && (q.warmth < concrete.ColdestCure || q.warmth > concrete.HottestCure) {
				warmth = q.warmth
			}
		}
		rate, err := concrete.AgeRate(warmth)
		if err != nil {
			return 0, outside(warmth, hour)
		}
		gained := rate / 24
		if reached+gained >= age {
			return hour + (age-reached)/gained, text.Text{}
		}
		reached += gained
	}
	return 0, text.Say("Cannot be judged: at these temperatures it takes more than a year. Keep it warm.")
}

// outside says that a temperature is none at which concrete is judged.
func outside(warmth, hour float64) text.Text {
	if warmth < concrete.ColdestCure {
		return text.Say(
			"Cannot be judged: {0} °C after {1} hours, and below 0 °C nothing is. Cover it, keep it warm, and have its strength tested before anything is set.",
			text.Plain(warmth), text.Number(math.Round(hour)))
	}
	return text.Say(
		"Cannot be judged: {0} °C after {1} hours, and above 80 °C nothing is. Read the temperature again.",
		text.Plain(warmth), text.Number(math.Round(hour)))
}

// noteGaps notes the times for which no temperature was read though it counts.
func (c *Cure) noteGaps(every float64) {
	was := 0.0
	for _, q := range c.warmth {
		if q.hours-was > every {
			c.Notes = append(c.Notes, text.Say(
				"No temperature between hour {0} and hour {1}: what lies between is a guess. Read at least every {2} hours.",
				text.Number(was), text.Number(q.hours), text.Number(every)))
		}
		was = q.hours
	}
}

// ShareAt is the share of the mean strength at 28 days that is there so many hours
// after the pour; false where that is not judged.
func (c *Cure) ShareAt(hours float64) (share float64, judged bool) {
	if !c.Problem.Empty() || !(hours >= 0 && hours <= mostHours) {
		return 0, false
	}
	age := 0.0
	for hour := 0.0; hour < hours; hour++ {
		long := min(1, hours-hour)
		rate, err := concrete.AgeRate(c.at(hour + long/2))
		if err != nil {
			return 0, false
		}
		age += rate * long / 24
	}
	share, err := concrete.StrengthShare(c.s, age)
	return share, err == nil
}
