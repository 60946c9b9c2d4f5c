package learned

import (
	"pegpour/engine/casting"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// Topic is one thing that a job teaches.
type Topic int

// The topics, in the order in which they are told.
const (
	Waste   Topic = iota // concrete used beyond what is drawn, over what is drawn
	Dug                  // concrete as dug beyond what is drawn, over what is drawn
	Bulking              // loose spoil over the ground in the bank
	Loads                // loads taken beyond those planned, over those planned
	DigFirm              // hours of one person for each cubic metre of firm ground in the bank
	DigSoft              // the same of soft ground
	DigWet               // of wet ground
	DigRock              // of rock
	Form                 // hours for each metre of edge form
	Mix                  // hours for each cubic metre ordered, from bags
	Place                // the same, ready-mixed
	Hang                 // hours for each panel of the leaf
	Wire                 // hours for a motor
	All                  // hours for a gate, of everything
	Topics               // how many there are
)

// topic is what is said of a topic.
type topic struct {
	name text.Name
	rule string // its key; "" where nothing can be taken as a rule
	take string // offers the rule: its value goes into {0}
	// Of one and of several jobs: {0} counts them, {1} is the mean, {2} and {3} the
	// least and the most. less is said where the mean is below nothing, of its size.
	one, many, oneLess, manyLess string
	share                        bool   // told in per cent
	unit                         string // of one job's value; "" for shares and bulking
}

const takeHours = "Take {0} hours as the rule"

// topics is never written to.
var topics = [Topics]topic{
	Waste: {name: "Concrete", rule: practice.RuleConcreteWaste, take: "Take {0} as the waste", share: true,
		one:      "{1} more concrete than drawn, on one job.",
		many:     "{1} more concrete than drawn, over {0} jobs between {2} and {3}.",
		oneLess:  "{1} less concrete than drawn, on one job.",
		manyLess: "{1} less concrete than drawn, over {0} jobs; from {2} to {3} more."},
	Dug: {name: "Dug deeper than drawn", share: true,
		one:      "{1} more to fill than drawn, by depths on one job.",
		many:     "{1} more to fill than drawn, by depths on {0} jobs between {2} and {3}.",
		oneLess:  "{1} less to fill than drawn, by depths on one job.",
		manyLess: "{1} less to fill than drawn, by depths on {0} jobs; from {2} to {3} more."},
	Bulking: {name: "Bulking of spoil", rule: practice.RuleDigSwell, take: "Take {0} as the bulking of spoil",
		one:  "Spoil bulks up {1} times, on one job.",
		many: "Spoil bulks up {1} times, over {0} jobs between {2} and {3}."},
	Loads: {name: "Loads of spoil", share: true,
		one:      "{1} more loads of spoil than planned, on one job.",
		many:     "{1} more loads of spoil than planned, over {0} jobs between {2} and {3}.",
		oneLess:  "{1} fewer loads of spoil than planned, on one job.",
		manyLess: "{1} fewer loads of spoil than planned, over {0} jobs; from {2} to {3} more."},
	DigFirm: {name: "Digging in firm ground", rule: practice.RuleHoursDigFirm, take: takeHours, unit: "h/m³",
		one:  "{1} hours for each cubic metre of firm ground, on one job.",
		many: "{1} hours for each cubic metre of firm ground, over {0} jobs between {2} and {3}."},
	DigSoft: {name: "Digging in soft ground", rule: practice.RuleHoursDigSoft, take: takeHours, unit: "h/m³",
		one:  "{1} hours for each cubic metre of soft ground, on one job.",
		many: "{1} hours for each cubic metre of soft ground, over {0} jobs between {2} and {3}."},
	DigWet: {name: "Digging in wet ground", rule: practice.RuleHoursDigWet, take: takeHours, unit: "h/m³",
		one:  "{1} hours for each cubic metre of wet ground, on one job.",
		many: "{1} hours for each cubic metre of wet ground, over {0} jobs between {2} and {3}."},
	DigRock: {name: "Breaking out rock", rule: practice.RuleHoursDigRock, take: takeHours, unit: "h/m³",
		one:  "{1} hours for each cubic metre of rock, on one job.",
		many: "{1} hours for each cubic metre of rock, over {0} jobs between {2} and {3}."},
	Form: {name: "Edge forms", rule: practice.RuleHoursForm, take: takeHours, unit: "h/m",
		one:  "{1} hours for each metre of edge form, on one job.",
		many: "{1} hours for each metre of edge form, over {0} jobs between {2} and {3}."},
	Mix: {name: "Mixing and placing from bags", rule: practice.RuleHoursMix, take: takeHours, unit: "h/m³",
		one:  "{1} hours for each cubic metre ordered, mixed from bags, on one job.",
		many: "{1} hours for each cubic metre ordered, mixed from bags, over {0} jobs between {2} and {3}."},
	Place: {name: "Placing ready-mix", rule: practice.RuleHoursPlace, take: takeHours, unit: "h/m³",
		one:  "{1} hours for each cubic metre ordered, ready-mixed, on one job.",
		many: "{1} hours for each cubic metre ordered, ready-mixed, over {0} jobs between {2} and {3}."},
	Hang: {name: "Hanging the leaf", rule: practice.RuleHoursHang, take: takeHours, unit: "h",
		one:  "{1} hours for each panel of the leaf, on one job.",
		many: "{1} hours for each panel of the leaf, over {0} jobs between {2} and {3}."},
	Wire: {name: "Fitting, wiring and setting the motor", rule: practice.RuleHoursWire, take: takeHours, unit: "h",
		one:  "{1} hours for a motor, on one job.",
		many: "{1} hours for a motor, over {0} jobs between {2} and {3}."},
	All: {name: "Hours of a whole job", unit: "h",
		one:  "{1} hours for a gate, on one job.",
		many: "{1} hours for a gate, over {0} jobs between {2} and {3}."},
}

// Name is what a topic is called.
func (t Topic) Name() text.Name { return topics[t].name }

// Rule is the key of the rule that a topic sets; "" for none.
func (t Topic) Rule() string { return topics[t].rule }

// Told is a value of a topic as it is told.
func (t Topic) Told(v float64) text.Arg {
	if topics[t].share {
		return text.Arg{Value: rounded(v, 100), Dimension: text.Fraction}
	}
	return text.Plain(rounded(v, 100))
}

// Alone is a value of a topic as it is told with nothing beside it.
func (t Topic) Alone(v float64) text.Arg {
	told := t.Told(v)
	if unit := topics[t].unit; unit != "" {
		told.Dimension, told.Words = text.WithUnit, text.Name(unit)
	}
	return told
}

// Job is what one job teaches.
type Job struct {
	Name string
	// LeftOut is set where a person left it out.
	LeftOut bool
	Of      [Topics]Use
}

// Use is planned against used.
type Use struct {
	Planned, Used text.Arg  // of no dimension where there is none
	How           text.Text // how Used is known
	// Value is what is learned: a share, a bulking, or hours for a unit. It counts
	// where Problem is empty; that says why it cannot be judged, and what to record.
	Value   float64
	Problem text.Text
	// Absent is set where the job has none of it and nothing is to be recorded.
	Absent bool
}

// Judged reports whether it counts.
func (u Use) Judged() bool { return !u.Absent && u.Problem.Empty() }

// Recorded reports whether anything counts of what a job used; depths alone do not.
func (j *Job) Recorded() bool {
	for t := range j.Of {
		if Topic(t) != Dug && j.Of[t].Judged() {
			return true
		}
	}
	return false
}

// reading finds what was noted; what is refused was not.
type reading struct{ *survey.Reader }

func (r reading) noted(path survey.Path) (float64, bool) {
	v, _, taken := r.Reading(path)
	return v.Size, taken
}

// Read sets what a job used against the plan that was made of its survey by practice.
func Read(s survey.Survey, made *plan.Plan, p practice.Practice) Job {
	r := reading{survey.NewReader(&s, &p)}
	q := &made.Quantities
	j := Job{Name: s.Site.Name}
	j.Of[Waste] = r.concrete(q, &p)
	j.Of[Dug] = deeper(&s, made, &p)
	j.Of[Bulking], j.Of[Loads] = r.spoil(q, &p)
	for t := DigFirm; t <= All; t++ {
		j.Of[t] = Use{Absent: true}
	}
	const metre, cubic = 1e3, 1e9
	pour, order := Mix, q.Order/cubic
	if q.ReadyMix {
		pour = Place
	}
	for dig := DigFirm; dig <= DigRock; dig++ {
		if dig.Rule() == survey.DiggingRule(&s) { // what is learned is what is priced
			j.Of[dig] = r.hours(dig, survey.HandOverHoursDig, q.DigBank/cubic)
		}
	}
	j.Of[Form] = r.hours(Form, survey.HandOverHoursForm, q.Form/metre)
	j.Of[pour] = r.hours(pour, survey.HandOverHoursPour, order)
	j.Of[Hang] = r.hours(Hang, survey.HandOverHoursHang, float64(len(made.Leaf.Panels)))
	if made.Has(plan.PartMotor) {
		j.Of[Wire] = r.hours(Wire, survey.HandOverHoursWire, 1)
	}
	j.Of[All] = r.hours(All, survey.HandOverHours, 1)
	if sum := r.hoursByTask(); j.Of[All].Judged() && sum > j.Of[All].Value+1e-9 {
		j.Of[All].Problem = text.Say("Cannot be judged: the hours by task come to {0}, more than all hours. Look at both under Hand-over.", text.Plain(sum))
	}
	return j
}

// concrete is what bags and docket say against what is drawn.
func (r reading) concrete(q *plan.Quantities, p *practice.Practice) Use {
	u := Use{Planned: text.CubicMM(q.Concrete)}
	bags, _ := r.noted(survey.PourBags)
	metres, _ := r.noted(survey.PourDelivered)
	delivered := metres * 1e9
	used := float64(bags*p.BagYield) + delivered
	switch {
	case used <= 0:
		u.Problem = text.Say("Cannot be judged: note the bags used or the concrete delivered, under The pour.")
		return u
	case delivered <= 0:
		u.How = text.Say("{0} bags of {1} each", text.Plain(bags), text.CubicMM(p.BagYield))
	case bags <= 0:
		u.How = text.Say("by the docket")
	default:
		u.How = text.Say("{0} bags of {1} each, and {2} by the docket", text.Plain(bags), text.CubicMM(p.BagYield),
			text.CubicMM(delivered))
	}
	u.Used = text.CubicMM(used)
	if q.Concrete <= 0 {
		u.Problem = text.Say("Cannot be judged: the plan has no concrete.")
		return u
	}
	u.Value = used/q.Concrete - 1
	return u
}

// deeper is what depths say against what is drawn.
func deeper(s *survey.Survey, made *plan.Plan, p *practice.Practice) Use {
	drawn := made.Quantities.Concrete
	u := Use{Planned: text.CubicMM(drawn)}
	dug, depths := casting.ReadDug(*s, made, *p), 0
	for i := range dug.Parts {
		depths += dug.Parts[i].Count
	}
	if depths == 0 || drawn <= 0 {
		u.Problem = text.Say("Cannot be judged: measure depths before the concrete, under Forms and depth.")
		return u
	}
	u.Used = text.CubicMM(dug.Concrete)
	u.How = text.Counted(depths, "by one depth", "by {0} depths")
	u.Value = dug.Concrete/drawn - 1
	return u
}

// spoil is what was carted against what is planned: how it bulks up, and the loads.
func (r reading) spoil(q *plan.Quantities, p *practice.Practice) (bulking, loads Use) {
	bulking.Planned, loads.Planned = text.CubicMM(q.DigLoose), text.Number(float64(q.Loads))
	taken, counted := r.noted(survey.HandOverLoads)
	metres, measured := r.noted(survey.HandOverSpoil)
	loose := metres * 1e9
	switch {
	case !counted:
		loads.Problem = text.Say("Cannot be judged: note the trailer loads of spoil, under Hand-over.")
	case q.Loads == 0:
		loads.Problem = text.Say("Cannot be judged: the plan has no spoil.")
	default:
		loads.Used, loads.How = text.Number(taken), text.Say("counted")
		loads.Value = taken/float64(q.Loads) - 1
	}
	switch {
	case measured:
		bulking.How = text.Say("loose, as noted")
	case counted:
		loose = taken * p.TrailerLoad
		bulking.How = text.Say("{0} loads of {1}", text.Plain(taken), text.CubicMM(p.TrailerLoad))
	default:
		bulking.Problem = text.Say("Cannot be judged: note the trailer loads or the loose volume of spoil, under Hand-over.")
		return bulking, loads
	}
	bulking.Used = text.CubicMM(loose)
	switch {
	case q.DigBank <= 0:
		bulking.Problem = text.Say("Cannot be judged: the plan has no spoil.")
	case !measured && q.SpoilMass/p.TrailerPayload > min(taken, q.DigLoose/p.TrailerLoad)+1e-9:
		bulking.Problem = text.Say("Cannot be judged from loads: a trailer of {0} is full by weight before it is by volume. Note the loose volume of spoil, under Hand-over.",
			text.Kilograms(p.TrailerPayload))
	case !measured && taken < p.LearnedLoads:
		bulking.Problem = text.Say("Cannot be judged from so few loads: the last may not have been full. Note the loose volume of spoil, under Hand-over.")
	case loose < q.DigBank:
		bulking.Problem = text.Say("Cannot be judged: {0} loose of {1} in the bank, so that some of it stayed on site.",
			text.CubicMM(loose), text.CubicMM(q.DigBank))
	default:
		bulking.Value = loose / q.DigBank
	}
	return bulking, loads
}

// hours are those of a task over so many units of what is planned; the rule of its
// hours for a unit gives those planned.
func (r reading) hours(t Topic, path survey.Path, units float64) Use {
	var u Use
	if key := topics[t].rule; key != "" {
		u.Planned = text.Plain(rounded(units*practice.RuleOf(key).Of(*r.Practice()), 100))
	}
	spent, known := r.noted(path)
	switch {
	case !known:
		u.Problem = text.Say("Cannot be judged: note “{0}”, under Hand-over.", text.Word(survey.FieldOf(path).Name))
		return u
	case units <= 0:
		u.Problem = text.Say("Cannot be judged: the plan has none of it.")
	default:
		u.Value = spent / units
	}
	u.Used, u.How = text.Plain(spent), text.Say("hours, as noted")
	return u
}

func (r reading) hoursByTask() (sum float64) {
	for _, path := range []survey.Path{survey.HandOverHoursDig, survey.HandOverHoursForm, survey.HandOverHoursPour,
		survey.HandOverHoursHang, survey.HandOverHoursWire} {
		spent, _ := r.noted(path)
		sum += spent
	}
	return sum
}
