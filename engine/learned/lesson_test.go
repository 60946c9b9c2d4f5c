package learned_test

import (
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"

	"pegpour/engine/learned"
	"pegpour/engine/practice"
	"pegpour/engine/text"
)

// jobs are jobs of which each teaches a waste and nothing else.
func jobs(wastes ...float64) []learned.Job {
	all := make([]learned.Job, len(wastes))
	for i, w := range wastes {
		all[i].Name = "Job " + strconv.Itoa(i+1)
		for t := range all[i].Of {
			all[i].Of[t].Problem = text.Say("Cannot be judged.")
		}
		all[i].Of[learned.Waste] = learned.Use{Value: w}
	}
	return all
}

// A rule is offered from as many jobs as the shop's rule asks for, never sooner, and
// says its spread.
func TestARuleIsOffered(t *testing.T) {
	p := practice.DefaultPractice()
	of := func(all []learned.Job) learned.Lesson { return learned.Learn(all, p)[learned.Waste] }

	nothing := of(nil)
	assert.True(t, nothing.Says.Empty())
	assert.Equal(t, "With 5 more jobs a rule is offered.", nothing.Wait.String())
	one := of(jobs(0.21))
	assert.Equal(t, "21 % more concrete than drawn, on one job.", one.Says.String())
	assert.True(t, one.Spreads.Empty())

	seven := jobs(0.04, 0.21, 0.12, 0.10, 0.13, 0.11, 0.13)
	l := of(seven)
	assert.Equal(t, "12 % more concrete than drawn, over 7 jobs between 4 % and 21 %.", l.Says.String())
	assert.Equal(t, "Standard deviation 5 %, median 12 %.", l.Spreads.String())
	assert.Equal(t, "Take 12 % as the waste", l.Take.String())
	assert.Equal(t, 0.12, l.Offer)
	assert.Equal(t, -1, l.Odd)
	assert.True(t, learned.Learn(seven, p)[learned.Bulking].Take.Empty())

	for i := range 3 {
		seven[i].LeftOut = true
	}
	l = of(seven)
	assert.Equal(t, []int{3, 4, 5, 6}, l.Jobs)
	assert.Equal(t, "With one more job a rule is offered.", l.Wait.String())
	assert.True(t, l.Take.Empty())
	p.LearnedJobs = 4
	assert.Equal(t, "Take 12 % as the waste", of(seven).Take.String())

	p.ConcreteWaste = 0.12
	assert.Equal(t, "The rule of the shop is 12 % by now.", of(seven).Wait.String())
	less := of(jobs(-0.05, -0.1, 0.02, -0.03, -0.02))
	assert.Equal(t, "4 % less concrete than drawn, over 5 jobs; from -10 % to 2 % more.", less.Says.String())
	assert.Contains(t, less.Wait.String(), "The rule takes 0 % to 50 %")
	assert.True(t, less.Take.Empty())
}

// An odd job is named and counts until a person leaves it out.
func TestAnOddJobIsNamed(t *testing.T) {
	p := practice.DefaultPractice()
	all := jobs(0.10, 0.12, 0.11, 0.48, 0.09, 0.13, 0.10)
	l := learned.Learn(all, p)[learned.Waste]
	assert.Equal(t, 3, l.Odd)
	assert.Contains(t, l.OddSays.String(), "Job 4 stands apart at 48 %")
	assert.Equal(t, 7, l.Spread.N, "it counts all the same")
	assert.Equal(t, 0.16, l.Offer)
	all[3].LeftOut = true
	l = learned.Learn(all, p)[learned.Waste]
	assert.Equal(t, -1, l.Odd)
	assert.Equal(t, 0.11, l.Offer)
}
