package quote

import (
	"slices"

	"pegpour/engine"
	"pegpour/engine/advice"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// deeper and wider are how far a value is tried beside the one that stands, mm. Common
// practice, no published source.
const (
	deeper = 100
	wider  = 200
)

// Case is one thing on which a price rests, and the other way it may turn out.
type Case struct {
	// Key names it for good; What says how it may turn out.
	Key  string
	What text.Text

	change func(*survey.Survey)
	// mends is the check that a price is not asked without: what it asks for is built.
	mends plan.Question
}

// Survey is a survey as it would be then. The one given stays as it is.
func (c *Case) Survey(s survey.Survey) survey.Survey {
	s = s.Clone()
	c.change(&s)
	return s
}

// Site is the site and the rules by which it would be built then: the survey of Survey,
// with what makes it hold. holds is false where nothing that is known does.
func (c *Case) Site(s survey.Survey, rules practice.Practice) (other survey.Survey, by practice.Practice, holds bool) {
	other, by = c.Survey(s), rules
	if c.mends == "" {
		return other, by, true
	}
	for range 3 { // what mends one may ask a little more of the other
		made, _ := engine.Design(other, by)
		i := slices.IndexFunc(made.Checks, func(k plan.Check) bool {
			return k.Question == c.mends && k.Severity != plan.Sound
		})
		if i < 0 {
			return other, by, true
		}
		k := slices.IndexFunc(made.Checks[i].Remedies, func(r plan.Remedy) bool { return len(r.Changes) > 0 })
		if k < 0 {
			return other, by, false
		}
		other, by, _ = advice.With(other, by, made.Checks[i].Remedies[k].Changes)
	}
	return other, by, false
}

// Rest is what came of a case.
type Rest struct {
	Case
	// Difference of the totals: what it would cost more, less where negative.
	Difference Amount
	// Unpriced names what would be needed then and has no price, beside what has none
	// as it is: the difference is without it.
	Unpriced []text.Name
	// Partial is set where something has no price, as it is or then: the difference is
	// without it.
	Partial bool
	// Stops is set where it cannot be built as it is drawn then: the difference is not
	// all of it.
	Stops bool
}

// Known reports whether the difference says something: nothing is none only where all has
// a price and is built as it is drawn.
func (r *Rest) Known() bool { return r.Difference != 0 || !r.Stops && !r.Partial }

// Try designs and prices a site as it would be in a case, and sets it beside base, the
// quote of the plan p as the site is. Errors: ErrLarge. A value or a rule that is
// refused is refused in base too and says nothing new here.
func (c *Case) Try(s survey.Survey, p *plan.Plan, rules *practice.Practice, base *Quote) (Rest, error) {
	other, by, holds := c.Site(s, *rules)
	made, _ := engine.Judge(other, by)
	then, err := Make(&other, &made, &by)
	r := Rest{Case: *c, Difference: then.Total - base.Total, Stops: !holds,
		Partial: !base.Whole() || !then.Whole()}
	for i := range made.Checks {
		r.Stops = r.Stops || made.Checks[i].Severity == plan.Stop && !stops(p, made.Checks[i].Code)
	}
	for _, name := range then.Unpriced {
		if !slices.Contains(base.Unpriced, name) {
			r.Unpriced = append(r.Unpriced, name)
		}
	}
	if err == ErrLarge {
		return r, err
	}
	return r, nil
}

// stops reports whether a plan has a Stop of a code already.
func stops(p *plan.Plan, code string) bool {
	return slices.ContainsFunc(p.Checks, func(c plan.Check) bool { return c.Severity == plan.Stop && c.Code == code })
}

// Cases lists what the price of a plan rests on: what was not measured, or looked at by
// eye only, in the order of what most often turns out otherwise. What was measured, or
// does not matter at this site, makes no case.
func Cases(s *survey.Survey, p *plan.Plan, rules *practice.Practice) []Case {
	var all []Case
	add := func(key string, what text.Text, change func(*survey.Survey)) {
		all = append(all, Case{Key: key, What: what, change: change})
	}
	g := &s.Ground
	soil := survey.FieldOf(survey.GroundSoil).Chosen(s)
	if d := &g.DepthToFirm; !sure(d) && soil != survey.SoilRock {
		depth := 0.0
		if soil != survey.SoilFirm {
			if depth, _ = survey.FieldOf(survey.GroundDepthToFirm).Assumed(s, rules); d.Known() {
				depth = d.Size
			}
		}
		depth = max(depth, rules.StripDepth) + deeper
		if depth <= survey.FieldOf(survey.GroundDepthToFirm).High {
			add("firm", text.Say("Firm ground lies {0} deeper than it would be dug", text.MM(deeper)), func(s *survey.Survey) {
				if soil == survey.SoilFirm {
					s.Ground.Soil = survey.SoilSoft
				}
				s.Ground.DepthToFirm = survey.Measured(depth, survey.ByEstimate)
			})
		}
		if soil == survey.SoilFirm && (g.Class == "" || g.Class == survey.ClassUnknown) {
			add("rock", text.Say("There is rock where it is dug"), func(s *survey.Survey) { s.Ground.Soil = survey.SoilRock })
		}
	}
	if g.Soil == "" {
		add("soft", text.Say("The ground beside the drive is soft"), func(s *survey.Survey) { s.Ground.Soil = survey.SoilSoft })
	}
	if g.Soil == "" || g.Soil == survey.SoilSoft {
		add("wet", text.Say("Water stands in the ground"), func(s *survey.Survey) { s.Ground.Soil = survey.SoilWet })
	}
	if at, ok := p.Part(plan.PartRunBackStrip, 1); ok && len(s.RunBack.Obstructions) < survey.MaxObstructions &&
		!slices.ContainsFunc(s.RunBack.Obstructions, func(o survey.Obstruction) bool { return o.Kind == survey.ObstructionService }) {
		low, high := at.Ring.Bounds()
		along := (low.X+high.X)/2 - p.Opening
		if field := survey.FieldOf(survey.ObstructionAlong.At(0)); along >= field.Low && along <= field.High {
			add("service", text.Say("A buried service crosses where it is dug"), func(s *survey.Survey) {
				by := func(v float64) survey.Value { return survey.Measured(v, survey.ByEstimate) }
				s.RunBack.Obstructions = append(s.RunBack.Obstructions, survey.Obstruction{Kind: survey.ObstructionService,
					Along: by(along), Offset: by(0), Length: by(50), Width: by(1000)})
			})
		}
	}
	// Choices that are assumed where nobody made them, each with the one tried beside it.
	for _, c := range [...]struct {
		path, other string
		what        text.Text
		mends       plan.Question
	}{
		{survey.DriveVehicle, survey.VehicleLorry, text.Say("A lorry crosses the drive, and the strip is made for it"), plan.QuestionStrengthStrip},
		{survey.DriveConcreteSound, survey.No, text.Say("The concrete of the drive does not carry the track"), ""},
		{survey.DrivePaverBase, survey.PaverOnConcrete, text.Say("The pavers lie on concrete"), ""},
		{survey.GroundExpansive, survey.Yes, text.Say("The ground is clay that swells"), ""},
		{survey.GateGuide, survey.GuideBasePlate, text.Say("The guide post stands on a base plate"), ""},
		{survey.GateMotor, survey.MotorWired, text.Say("The motor is wired in"), ""},
		{survey.GateHardStop, survey.No, text.Say("No hard stop is built"), ""},
	} {
		if assumed(p, c.path) {
			add(c.path, c.what, func(s *survey.Survey) { _ = survey.FieldOf(survey.Path(c.path)).SetWords(s, c.other) })
			all[len(all)-1].mends = c.mends
		}
	}
	for _, m := range [...]struct {
		path string
		more float64
		what text.Text
	}{
		{survey.OpeningWidth, wider, text.Say("The opening is {0} wider", text.MM(wider))},
		{survey.GateHeight, wider, text.Say("The leaf is {0} higher", text.MM(wider))},
	} {
		f := survey.FieldOf(survey.Path(m.path))
		if was, ok := f.Assumed(s, rules); ok && assumed(p, m.path) {
			add(m.path, m.what, func(s *survey.Survey) { _ = f.SetValue(s, survey.Measured(was+m.more, survey.ByEstimate)) })
		}
	}
	return all
}

// sure reports whether a value was measured and not judged by eye.
func sure(v *survey.Value) bool { return v.Known() && v.How != survey.ByEstimate }

// assumed reports whether something stands in for a field in a plan.
func assumed(p *plan.Plan, path string) bool {
	return slices.ContainsFunc(p.Assumed, func(a survey.Assumption) bool { return a.Path == path && !a.Unknown })
}
