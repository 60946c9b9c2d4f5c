package learned_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/enginetest"
	"pegpour/engine/enginetest/designs"
	"pegpour/engine/learned"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/quote"
	"pegpour/engine/survey"
)

func noted(v float64) survey.Value { return survey.Measured(v, survey.ByEstimate) }

// under is a site designed by the rules given over those of the table.
func under(t *testing.T, s survey.Survey, rules map[string]float64) (plan.Plan, practice.Practice) {
	t.Helper()
	p, err := practice.DefaultPractice().With(rules)
	require.NoError(t, err)
	made, err := engine.Design(s, p)
	require.NoError(t, err)
	return made, p
}

// A plan made with what its own job taught gives what that job used, whatever the rules
// were when it was planned: concrete in bags, by the docket and both, spoil by volume
// and by loads.
func TestALearnedRuleGivesWhatWasUsed(t *testing.T) {
	var taught [3]int
	for i := range 250 {
		r := rand.New(rand.NewPCG(uint64(i), 11))
		s := []func(*rand.Rand) survey.Survey{enginetest.RandomSite, enginetest.RandomGroundSite, enginetest.RandomFallingSite}[i%3](r)
		rules := map[string]float64{practice.RuleConcreteWaste: r.Float64() / 2, practice.RuleDigSwell: 1 + r.Float64(),
			practice.RuleConcreteBagYield: math.Round(5e6 + r.Float64()*2e7), practice.RuleDigTrailerPayload: 30000,
			practice.RuleLearnedLoads: 1, practice.RuleDigTrailerLoad: 0.05e9 + math.Round(r.Float64()*0.3e9)}
		made, p := under(t, s, rules)
		q := &made.Quantities
		used := q.Concrete * (0.95 + 0.6*r.Float64())
		bags := math.Round(used / p.BagYield)
		metres := math.Round(used/1e6) / 1e3
		pour, over := &s.Build.Casting.Pour, &s.Build.HandOver
		switch i % 4 {
		case 0, 1:
			pour.Bags, metres = noted(bags), 0
		case 2:
			pour.Delivered, bags = noted(metres), 0
		default:
			pour.Bags, pour.Delivered = noted(bags), noted(metres/10)
			metres /= 10
		}
		used = bags*p.BagYield + metres*1e9
		loads := math.Round(q.DigBank * (0.95 + r.Float64()) / p.TrailerLoad)
		loose := loads * p.TrailerLoad
		over.Loads = noted(loads)
		if i%2 == 0 {
			loose = q.DigBank * (0.95 + r.Float64())
			over.Spoil = noted(loose / 1e9)
		}

		j := learned.Read(s, &made, p)
		if w := j.Of[learned.Waste]; used > 0 && q.Concrete > 0 {
			require.True(t, w.Judged(), "seed %d", i)
			assert.InDelta(t, used, w.Used.Value, 1e-6*used)
			if w.Value >= 0 && w.Value <= 0.5 {
				taught[0]++
				rules[practice.RuleConcreteWaste] = w.Value
				again, _ := under(t, s, rules)
				assert.InEpsilon(t, used, again.Quantities.Order, 1e-12, "seed %d", i)
				if metres == 0 {
					assert.Equal(t, int(bags), again.Quantities.Bags, "seed %d", i)
				}
			}
		}
		b := j.Of[learned.Bulking]
		if loose < q.DigBank {
			assert.False(t, b.Judged(), "seed %d", i)
		}
		if b.Judged() && b.Value <= 2 {
			rules[practice.RuleDigSwell] = b.Value
			again, _ := under(t, s, rules)
			assert.InEpsilon(t, loose, again.Quantities.DigLoose, 1e-12, "seed %d", i)
			if i%2 == 0 {
				taught[1]++
			} else {
				taught[2]++
				assert.Equal(t, int(loads), again.Quantities.Loads, "seed %d", i)
			}
		}
	}
	for _, n := range taught {
		assert.Greater(t, n, 40, "%v", taught)
	}
}

// A quote by the hours that its own job taught counts the hours that were worked, but
// for its rounding to a thousandth of what is done and a hundredth of an hour.
func TestLearnedHoursGiveTheHoursWorked(t *testing.T) {
	tasks := 0
	for i := range 60 {
		r := rand.New(rand.NewPCG(uint64(i), 12))
		s := enginetest.RandomSite(r)
		made, p := under(t, s, nil)
		h := &s.Build.HandOver
		spent := []*survey.Value{&h.HoursDig, &h.HoursForm, &h.HoursPour, &h.HoursHang, &h.HoursWire}
		for _, v := range spent {
			*v = noted(math.Round(100+r.Float64()*1900) / 100)
		}
		j, rules, worked := learned.Read(s, &made, p), map[string]float64{}, map[string]float64{}
		for topic := learned.DigFirm; topic < learned.All; topic++ {
			u, rule := j.Of[topic], topic.Rule()
			if u.Judged() && practice.RuleOf(rule).Check(u.Value) == nil {
				rules[rule], worked[rule] = u.Value, u.Used.Value
			}
		}
		again, p := under(t, s, rules)
		q, err := quote.Make(&s, &again, &p)
		require.NoError(t, err)
		for _, line := range q.Lines {
			if hours, taught := worked[line.Key]; taught {
				tasks++
				amount := line.Amount.Float()
				assert.InDelta(t, hours, line.Hours.Float(), 0.006+hours*0.0006/amount, "seed %d: %s", i, line.Name)
				assert.InDelta(t, hours, learned.Read(s, &again, p).Of[topicOf(line.Key)].Planned.Value, 0.0051)
			}
		}
	}
	assert.Greater(t, tasks, 200)
}

// topicOf is the topic that sets a rule.
func topicOf(key string) learned.Topic {
	t := learned.Waste
	for t.Rule() != key {
		t++
	}
	return t
}

// By hand: 0.96 m² of strip and pad 100 deep, the trade's own check, less the guide
// post's hole: whatever the plan draws, 1.12 times of it teaches 12 %.
func TestWhatAJobTeaches(t *testing.T) {
	s := enginetest.SquareSite()
	s.Site.Name = "Lane 12"
	p := practice.DefaultPractice()
	made := designs.Of(t, s)
	q := made.Quantities

	none := learned.Read(s, &made, p)
	assert.False(t, none.Recorded())
	for topic := range none.Of {
		if none.Of[topic].Absent {
			continue
		}
		assert.Contains(t, none.Of[topic].Problem.String(), "Cannot be judged", learned.Topic(topic).Name())
		assert.Contains(t, none.Of[topic].Problem.String(), ", under ", "it says where to record it")
	}

	s.Build.Casting.Pour.Delivered = noted(q.Concrete * 1.12 / 1e9)
	h := &s.Build.HandOver
	h.Loads, h.Hours, h.HoursDig, h.HoursHang = noted(float64(q.Loads+1)), noted(30), noted(6), noted(8)
	j := learned.Read(s, &made, p)
	assert.True(t, j.Recorded())
	assert.InDelta(t, 0.12, j.Of[learned.Waste].Value, 1e-12)
	assert.InDelta(t, 1/float64(q.Loads), j.Of[learned.Loads].Value, 1e-12)
	assert.InDelta(t, 6/(q.DigBank/1e9), j.Of[learned.DigFirm].Value, 1e-12)
	assert.InDelta(t, 8/float64(len(made.Leaf.Panels)), j.Of[learned.Hang].Value, 0)
	assert.True(t, j.Of[learned.DigRock].Absent)
	assert.InDelta(t, 30, j.Of[learned.All].Value, 0)
	assert.False(t, j.Of[learned.Wire].Judged())

	// The default trailer is full by weight long before its box is: its loads tell no
	// bulking, however many.
	for _, loads := range []float64{math.Floor(q.SpoilMass / p.TrailerPayload), float64(q.Loads), 40} {
		h.Loads = noted(loads)
		assert.Contains(t, learned.Read(s, &made, p).Of[learned.Bulking].Problem.String(), "full by weight")
	}
	roomy := p
	roomy.TrailerPayload, roomy.TrailerLoad, h.Loads = 30000, q.DigBank*1.2/5, noted(5)
	made, _ = engine.Design(s, roomy)
	assert.Contains(t, learned.Read(s, &made, roomy).Of[learned.Bulking].Problem.String(), "so few loads")
	roomy.TrailerLoad, h.Loads = q.DigBank*1.2/6, noted(6)
	assert.InDelta(t, 1.2, learned.Read(s, &made, roomy).Of[learned.Bulking].Value, 1e-12)
	h.Spoil = noted(q.DigBank * 1.3 / 1e9)
	assert.InDelta(t, 1.3, learned.Read(s, &made, p).Of[learned.Bulking].Value, 1e-12)
	h.Spoil = noted(q.DigBank * 0.5 / 1e9)
	assert.Contains(t, learned.Read(s, &made, p).Of[learned.Bulking].Problem.String(), "stayed on site")

	h.HoursPour = noted(20) // 6 + 8 + 20 of 30
	assert.Contains(t, learned.Read(s, &made, p).Of[learned.All].Problem.String(), "34")

	// What is refused counts as not noted.
	s.Build.Casting.Pour.Delivered = noted(51)
	assert.False(t, learned.Read(s, &made, p).Of[learned.Waste].Judged())

	// Depths are set beside: 10 deeper all over is 10 % of a depth of 100.
	s.Build.Casting.Depths = []survey.DugDepth{{Part: survey.CastRunBack, Along: noted(6000), Depth: noted(110)}}
	dug := learned.Read(s, &made, p).Of[learned.Dug]
	require.True(t, dug.Judged(), dug.Problem)
	strip, ok := made.Part(plan.PartRunBackStrip, 1)
	require.True(t, ok)
	assert.InDelta(t, strip.Area*10/q.Concrete, dug.Value, 1e-9)
}
