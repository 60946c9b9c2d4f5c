package quote

import (
	"math"
	"slices"

	"pegpour/engine/geom"
	"pegpour/engine/input"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// Line is one line of a quote.
type Line struct {
	// Key names the line for good: the key of the rule that prices it or counts its
	// hours.
	Key  string
	Name text.Name
	// Work is set for what hands do, and not for what is bought.
	Work bool
	// Amount of what is done or bought, in the Unit: "m³", "m²", "m", "kg" or
	// empty for what is counted.
	Amount Decimal
	Unit   string
	// Hours that it takes one person; 0 for what is bought.
	Hours Decimal
	// ByHour says that Rate is for one hour, and not for one Unit.
	ByHour bool
	Rate   Decimal
	// Cost is to the shop, Price with its margin. Priced is false where there is no
	// rate: then both are 0.
	Cost, Price Amount
	Priced      bool
}

// Quote is what a plan costs and is sold for.
type Quote struct {
	Lines []Line
	// Unpriced names what is needed and has no price. The sums are without it.
	Unpriced []text.Name
	Hours    Decimal // of all lines
	// Cost is the sum of the costs; Prices is that of the prices, and with Rounding
	// it is the Net price. Total is Net and Tax.
	Cost, Prices, Rounding, Net, Tax, Total Amount
	MarginShare, TaxShare                   Decimal
	HoldsDays                               int
}

// Margin is what is left of the net price over the cost.
func (q *Quote) Margin() Amount { return q.Net - q.Cost }

// NotSettled is said beside the price of a plan that has a Stop.
const NotSettled = "The watch-outs say Stop: as it is drawn it cannot be built. Settle that before anybody signs."

// Lacking lists the keys of the rules that would give a price to what has none, each once.
func (q *Quote) Lacking() []string {
	var keys []string
	for i := range q.Lines {
		key := q.Lines[i].Key
		if q.Lines[i].ByHour {
			key = practice.RuleRateHour
		}
		if !q.Lines[i].Priced && !slices.Contains(keys, key) {
			keys = append(keys, key)
		}
	}
	if slices.Contains(q.Unpriced, travel) {
		keys = append(keys, practice.RuleHoursTravel)
	}
	return keys
}

// Whole reports whether all that is needed has a price.
func (q *Quote) Whole() bool { return len(q.Unpriced) == 0 }

// travel is the task that has no line where nobody said how far it is.
const travel = "Travel"

// maker makes a quote of one plan.
type maker struct {
	q       *Quote
	rules   *practice.Practice
	refused input.Refusals
	noHour  bool
	failed  error
}

// Make prices a plan by the rates, hours and terms of a practice. The survey is the one
// that the plan is of.
//
// The quote is always there. A rule that may not be so counts as not given; the error
// is then input.Refusals and names each rule, what was given and what is allowed. Where
// an amount has more digits than are counted, the error is ErrLarge, and the quote is
// not to be used.
func Make(s *survey.Survey, p *plan.Plan, rules *practice.Practice) (*Quote, error) {
	m := &maker{q: &Quote{}, rules: rules}
	m.work(s, p)
	m.bought(&p.Quantities)
	if m.noHour {
		m.q.Unpriced = append(m.q.Unpriced, practice.RuleOf(practice.RuleRateHour).Name)
	}
	m.sum()
	if m.failed != nil {
		return m.q, m.failed
	}
	return m.q, m.refused.OrNil()
}

// value is a rule that is in its range; 0 where it was not given or is refused.
func (m *maker) value(key string) Decimal {
	r := practice.RuleOf(key)
	v := r.Of(*m.rules)
	if v == r.Default && v < r.Low {
		return 0 // not given
	}
	e := r.Check(v)
	d, err := DecimalOf(v, places)
	if e == nil && err == nil {
		return d
	}
	if e != nil && m.refused.At(e.Path) == nil {
		m.refused = append(m.refused, *e)
	}
	if v = r.Default; v < r.Low {
		return 0
	}
	d, err = DecimalOf(v, places)
	m.note(err)
	return d
}

// note keeps the first error of a sum.
func (m *maker) note(err error) {
	if m.failed == nil {
		m.failed = err
	}
}

// counted is an amount as it is written.
func (m *maker) counted(v float64, of text.Dimension) (Decimal, string) {
	unit, per, decimals := "", 1.0, 0
	switch of {
	case text.Volume:
		unit, per, decimals = "m³", 1e9, 3
	case text.Area:
		unit, per, decimals = "m²", 1e6, 3
	case text.Length:
		unit, per, decimals = "m", 1e3, 3
	case text.Mass:
		unit, decimals = "kg", 1
	}
	d, err := DecimalOf(v/per, decimals)
	if err != nil {
		m.note(ErrLarge)
	}
	return d, unit
}

// add adds a line at its rate.
func (m *maker) add(l Line) {
	if l.Rate > 0 {
		amount := l.Amount
		if l.ByHour {
			amount = l.Hours
		}
		var err error
		l.Cost, err = amount.times(l.Rate)
		m.note(err)
		margin, err := l.Cost.part(m.value(practice.RuleQuoteMargin))
		m.note(err)
		l.Price, l.Priced = l.Cost+margin, true
	}
	m.q.Lines = append(m.q.Lines, l)
}

// task is work of so much of something, v > 0. each is the rule of its hours for one
// unit, and by that of its rate for one unit where the shop may have one; "" for none.
func (m *maker) task(name text.Name, each, by string, v float64, of text.Dimension) {
	l := Line{Key: each, Name: name, Work: true}
	if l.Amount, l.Unit = m.counted(v, of); l.Amount <= 0 {
		return
	}
	hours, err := l.Amount.times(m.value(each)) // hundredths, as cents are
	m.note(err)
	l.Hours = Decimal(hours) * (One / 100)
	m.q.Hours += l.Hours
	if by != "" {
		if l.Rate = m.value(by); l.Rate > 0 {
			l.Key = by
			m.add(l)
			return
		}
	}
	l.ByHour, l.Rate = true, m.value(practice.RuleRateHour)
	m.noHour = m.noHour || l.Rate <= 0
	m.add(l)
}

// work adds the tasks in the order of the job.
func (m *maker) work(s *survey.Survey, p *plan.Plan) {
	q := &p.Quantities
	m.dig(s, p)
	m.task("Digging by hand around services", practice.RuleHoursService, "", m.servicesNear(p), text.Count)
	m.task("Edge form", practice.RuleHoursForm, practice.RuleRateFormwork, q.Form, text.Length)
	m.task("Saw cut", practice.RuleHoursCut, practice.RuleRateCut, q.SawCut, text.Length)
	m.task("Pavers lifted and laid again", practice.RuleHoursPavers, "", q.PaversLifted, text.Area)
	if q.ReadyMix {
		m.task("Placing ready-mix", practice.RuleHoursPlace, "", q.Order, text.Volume)
	} else {
		m.task("Mixing and placing concrete", practice.RuleHoursMix, "", q.Order, text.Volume)
	}
	pieces := 0
	for i := range p.Steel.Cuts {
		pieces += p.Steel.Cuts[i].Count * (1 + p.Steel.Cuts[i].Joined)
	}
	m.task("Cutting and welding", practice.RuleHoursWeld, "", float64(pieces), text.Count)
	m.task("Drilling and setting fixings and anchors", practice.RuleHoursDrill, "", float64(q.Fixings+q.Anchors), text.Count)
	panels, motors := 0, 0
	for _, side := range p.Sides() {
		panels += len(side.Leaf.Panels)
	}
	for range p.Parts(plan.PartMotor) {
		motors++
	}
	m.task("Hanging the leaf", practice.RuleHoursHang, "", float64(panels), text.Count)
	if motors > 0 {
		m.task("Fitting, wiring and setting the motor", practice.RuleHoursWire, "", float64(motors), text.Count)
	}
	if visits := m.value(practice.RuleHoursVisits); m.value(practice.RuleHoursTravel) > 0 {
		m.task(travel, practice.RuleHoursTravel, "", visits.Float(), text.Count)
	} else {
		m.q.Unpriced = append(m.q.Unpriced, travel)
	}
}

// dig adds the digging: of two leaves each side in its own ground, and what lies under both
// in that of the run-back side.
func (m *maker) dig(s *survey.Survey, p *plan.Plan) {
	whole := p.Quantities.DigBank
	if p.Pair != nil {
		latch := p.Pair.Latch.Quantities.DigBank
		m.task("Digging on the latch side", survey.DiggingRuleAtLatch(s), practice.RuleRateDig, latch, text.Volume)
		whole -= latch
	}
	m.task("Digging", survey.DiggingRule(s), practice.RuleRateDig, whole, text.Volume)
}

// servicesNear counts the buried services that are nearer to what is dug than the shop
// keeps clear of anything in the way.
func (m *maker) servicesNear(p *plan.Plan) float64 {
	n := 0.0
	for i := range p.Site.Obstructions {
		ob := &p.Site.Obstructions[i]
		if ob.Kind != survey.ObstructionService {
			continue
		}
		for k := range p.Outlines {
			o := &p.Outlines[k]
			if (o.Concrete || o.Kind == plan.PartCavity) && geom.Distance(o.Ring, ob.Box) < m.rules.ObstructionClearance {
				n++
				break
			}
		}
	}
	return n
}

// bought adds the price basis, without what is work.
func (m *maker) bought(q *plan.Quantities) {
	for i := range q.Lines {
		b := &q.Lines[i]
		switch b.Key {
		case practice.RuleRateDig, practice.RuleRateFormwork, practice.RuleRateCut:
			continue
		}
		l := Line{Key: b.Key, Name: b.Name, Rate: m.value(b.Key)}
		if l.Amount, l.Unit = m.counted(b.Amount, b.Of); l.Amount <= 0 {
			continue
		}
		if l.Rate <= 0 {
			m.q.Unpriced = append(m.q.Unpriced, b.Name)
		}
		m.add(l)
	}
}

// sum makes the sums of the lines.
func (m *maker) sum() {
	q := m.q
	for i := range q.Lines {
		q.Cost += q.Lines[i].Cost
		q.Prices += q.Lines[i].Price
	}
	step, err := One.times(m.value(practice.RuleQuoteRound))
	m.note(err)
	q.Net = q.Prices.toMultiple(step)
	q.Rounding = q.Net - q.Prices
	q.MarginShare, q.TaxShare = m.value(practice.RuleQuoteMargin), m.value(practice.RuleQuoteTax)
	q.Tax, err = q.Net.part(q.TaxShare)
	m.note(err)
	q.Total = q.Net + q.Tax
	q.HoldsDays = int(math.Round(m.value(practice.RuleQuoteHolds).Float()))
}
