package learned

import (
	"math"

	"pegpour/engine/practice"
	"pegpour/engine/text"
)

// Lesson is what all jobs teach of a topic.
type Lesson struct {
	Topic Topic
	// Jobs are those that count, by their places in the list.
	Jobs    []int
	Spread  Spread
	Says    text.Text // what they teach, with its spread; empty where no job counts
	Spreads text.Text // standard deviation and median; empty for fewer than two
	// Odd is the place of a job that stands apart, -1 for none; it counts all the same.
	Odd     int
	OddSays text.Text
	// Offer is the value that may be taken as the rule, Take offers it; where Take is
	// empty Wait says why nothing is offered. A topic without a rule has neither.
	Offer float64
	Take  text.Text
	Wait  text.Text
}

// Learn finds what jobs teach, without those that a person left out. p is the practice
// of the shop by which a rule is offered.
func Learn(jobs []Job, p practice.Practice) [Topics]Lesson {
	var all [Topics]Lesson
	for t := range all {
		all[t] = learn(Topic(t), jobs, &p)
	}
	return all
}

func learn(t Topic, jobs []Job, p *practice.Practice) Lesson {
	l := Lesson{Topic: t, Odd: -1}
	var values []float64
	for i := range jobs {
		if !jobs[i].LeftOut && jobs[i].Of[t].Judged() {
			l.Jobs = append(l.Jobs, i)
			values = append(values, jobs[i].Of[t].Value)
		}
	}
	l.Spread = SpreadOf(values)
	s, of := &l.Spread, &topics[t]
	if s.N > 0 {
		one, many, mean := of.one, of.many, t.Told(s.Mean)
		if mean.Value < 0 {
			one, many, mean.Value = of.oneLess, of.manyLess, -mean.Value
		}
		l.Says = text.Counted(s.N, one, many, mean, t.Told(s.Least), t.Told(s.Most))
	}
	if s.N > 1 {
		deviation := t.Told(s.Deviation)
		if topics[t].share {
			deviation.Value = rounded(s.Deviation, 1000)
		}
		l.Spreads = text.Say("Standard deviation {0}, median {1}.", deviation, t.Told(s.Median))
	}
	if at, _ := Odd(values, p.LearnedOdd); at >= 0 {
		l.Odd = l.Jobs[at]
		l.OddSays = text.Say("{0} stands apart at {1}: by the test of Grubbs chance makes such a job less often than in {2} of cases. Look at what was recorded there; leave it out if it was no usual job.",
			text.Typed(jobs[l.Odd].Name), t.Told(values[at]), text.Arg{Value: p.LearnedOdd, Dimension: text.Fraction})
	}
	if of.rule != "" {
		l.offer(p)
	}
	return l
}

// offer offers the mean as the rule, in whole hundredths, or says why not.
func (l *Lesson) offer(p *practice.Practice) {
	rule := practice.RuleOf(l.Topic.Rule())
	value := l.Topic.Told(l.Spread.Mean)
	short := int(p.LearnedJobs) - l.Spread.N
	switch {
	case short > 0:
		l.Wait = text.Counted(short, "With one more job a rule is offered.", "With {0} more jobs a rule is offered.")
	case rule.Check(value.Value) != nil:
		low, high := value, value
		low.Value, high.Value = rule.Low, rule.High
		l.Wait = text.Say("The rule takes {0} to {1}, and this is beyond it: look at what was recorded.", low, high)
	case math.Abs(rule.Of(*p)-value.Value) < 1e-9:
		l.Wait = text.Say("The rule of the shop is {0} by now.", value)
	default:
		l.Offer, l.Take = value.Value, text.Say(topics[l.Topic].take, value)
	}
}

// rounded is v in whole parts of one.
func rounded(v, parts float64) float64 {
	v = math.Round(v*parts) / parts
	if v == 0 {
		return 0 // never "-0"
	}
	return v
}
