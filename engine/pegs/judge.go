package pegs

import (
	"errors"
	"math"
	"slices"

	"pegpour/engine/geom"
	"pegpour/engine/plan"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/engine/tape"
	"pegpour/engine/text"
)

// farOff is how far behind the fence the point lies to which a tape square to the
// string is taken, mm.
const farOff = 900e3

// farBehind is farOff for peg i: no two far points lie at one place.
func farBehind(i int) float64 { return farOff + 10*float64(i) }

// atString marks the far point of a peg among the pegs of the network.
const atString = "string:"

// Judge holds the pegs as set against a plan. It returns nil where none was taped.
// What cannot be read counts as not taped.
func Judge(s *survey.Survey, p *plan.Plan, rules *practice.Practice) *Report {
	if len(s.Build.Pegs.Tapes) == 0 {
		return nil
	}
	j := judgement{set: &s.Build.Pegs, plan: p, rules: rules, marks: Marks(p, rules), reader: survey.NewReader(s, rules),
		report: &Report{}}
	j.read()
	j.lookAtTapes()
	if len(j.order) > 0 {
		j.adjust()
		j.places()
		j.next()
	}
	return j.report
}

type judgement struct {
	set    *survey.SetPegs
	plan   *plan.Plan
	rules  *practice.Practice
	marks  []Mark
	reader *survey.Reader
	report *Report

	order   []string // keys of the pegs taped, as one walks
	first   map[string]geom.Point
	loose   map[string]bool
	result  *tape.Result
	used    []int           // of the result's tapes: index among the report's
	tied    map[string]bool // pegs of tapes of which one is wrong
	leftOut map[int]bool    // of the report's tapes: those that are most likely wrong
}

// read takes the tapes that have a reading, and the pegs at their ends.
func (j *judgement) read() {
	taped := map[string]bool{}
	for i := range min(len(j.set.Tapes), survey.MaxSetTapes) {
		t := &j.set.Tapes[i]
		length, sigma, ok := j.reader.Reading(survey.SetTapeLength.At(i))
		rise, sigmaRise, _ := j.reader.Reading(survey.SetTapeRise.At(i))
		if !ok || t.From == t.To || !j.isEnd(t.From) || !j.isEnd(t.To) {
			continue // begun and not finished
		}
		row := Tape{Index: i, From: t.From, To: t.To, Length: length.Size, Sigma: sigma, Name: j.tapeName(t.From, t.To)}
		if rise.Size != 0 && math.Abs(rise.Size) < length.Size {
			row.Length = math.Sqrt(length.Size*length.Size - rise.Size*rise.Size)
			row.Sigma = math.Hypot(sigma, sigmaRise*rise.Size/row.Length)
		}
		j.report.Tapes = append(j.report.Tapes, row)
		taped[t.From], taped[t.To] = true, true
	}
	j.first, j.loose = map[string]geom.Point{}, map[string]bool{}
	add := func(key string, at geom.Point) {
		if _, had := j.first[key]; taped[key] && !had && len(j.order) < survey.MaxSetPegs {
			j.order = append(j.order, key)
			j.first[key] = at
			if k := Stored(j.set, key); k >= 0 && j.set.Pegs[k].Along.Known() && j.set.Pegs[k].Offset.Known() {
				j.first[key] = geom.Point{X: j.set.Pegs[k].Along.Size, Y: j.set.Pegs[k].Offset.Size}
			}
		}
	}
	for i := range j.marks {
		add(j.marks[i].Key, j.marks[i].At)
	}
	for i := range j.set.Pegs {
		add(j.set.Pegs[i].Mark, geom.Point{X: j.set.Pegs[i].Along.Size, Y: j.set.Pegs[i].Offset.Size})
	}
}

// isEnd reports whether a key is one at which a tape can end.
func (j *judgement) isEnd(key string) bool {
	return EndName(key) != "" || Find(j.marks, key) != nil || Stored(j.set, key) >= 0
}

func (j *judgement) label(key string) text.Name {
	if name := EndName(key); name != "" {
		return name
	}
	return text.TypedName(Label(j.set, j.marks, key))
}

func (j *judgement) tapeName(from, to string) text.Name {
	return text.Named("{0} – {1}", j.label(from), j.label(to))
}

// place is where an end is thought to stand before the tapes are looked at.
func (j *judgement) place(key string) (geom.Point, bool) {
	if at, ok := EndAt(j.plan, key); ok {
		return at, true
	}
	at, ok := j.first[key]
	return at, ok
}

// wanted is where the plan of now has a peg.
func (j *judgement) wanted(key string) geom.Point {
	if m := Find(j.marks, key); m != nil {
		return m.At
	}
	return j.first[key]
}

// network is the tapes that take part, with the pegs they fix, and first places. Tapes
// in leftOut are not taken.
func (j *judgement) network(leftOut map[int]bool) (net tape.Network, at [][2]float64, used []int) {
	add := func(name string, known bool, p geom.Point) {
		net.Pegs = append(net.Pegs, tape.Peg{Name: name, Known: known, X: p.X, Y: p.Y})
		at = append(at, [2]float64{p.X, p.Y})
	}
	add(survey.SetLatch, true, geom.Point{})
	add(survey.SetRunBack, true, geom.Point{X: j.plan.Opening})
	for _, key := range j.order {
		if !j.loose[key] {
			add(key, false, j.first[key])
		}
	}
	behind := map[string]float64{}
	for k := range j.report.Tapes {
		t := &j.report.Tapes[k]
		if j.loose[t.From] || j.loose[t.To] || leftOut[k] || !t.Words.Empty() && !t.Suspect && !t.Tied {
			continue
		}
		from, to, length := t.From, t.To, t.Length
		if from == survey.SetFence {
			from, to = to, from
		}
		if to == survey.SetFence {
			if to = atString + from; behind[from] == 0 {
				behind[from] = farBehind(len(behind))
				add(to, true, geom.Point{X: j.first[from].X, Y: -behind[from]})
			}
			length += behind[from]
		}
		net.Tapes = append(net.Tapes, tape.Taped{From: from, To: to, Length: length, Sigma: max(t.Sigma, 0.01)})
		used = append(used, k)
	}
	return net, at, used
}

// solve adjusts without some tapes, and sets pegs aside that these do not fix.
func (j *judgement) solve(leftOut map[int]bool, start func(at [][2]float64, net *tape.Network)) (*tape.Result, []int) {
	for range len(j.order) + 1 {
		net, at, used := j.network(leftOut)
		if len(net.Tapes) == 0 {
			for _, key := range j.order {
				j.loose[key] = true
			}
			return nil, nil
		}
		if start != nil {
			start(at, &net)
		}
		result, err := net.AdjustFrom(at)
		if err == nil {
			return result, used
		}
		var loose *tape.UnderDeterminedError
		if !errors.As(err, &loose) || len(loose.Pegs) == 0 {
			j.report.Problem = text.Say("The tapes contradict each other: tape the longest ones again.")
			return nil, nil
		}
		for _, key := range loose.Pegs {
			j.loose[key] = true
		}
	}
	return nil, nil
}

// adjust finds the places of the pegs, and the tapes that are wrong: one after the
// other is left out while the others tell which.
func (j *judgement) adjust() {
	leftOut := map[int]bool{}
	j.tied, j.leftOut = map[string]bool{}, leftOut
	result, used := j.solve(leftOut, nil)
	if !j.report.Problem.Empty() {
		j.lookAtTriangles() // what cannot meet is left out, and the rest tried again
		j.report.Problem, j.loose = text.Text{}, map[string]bool{}
		result, used = j.solve(leftOut, nil)
	}
	if result != nil && misfits(result) {
		if other, otherUsed := j.elsewhere(result, used); other != nil {
			result, used = other, otherUsed
		}
	}
	for result != nil && len(result.Suspects) > 0 {
		if len(result.Suspects) > 1 || result.DegreesOfFreedom < 2 || len(leftOut) >= 3 {
			for _, k := range result.Suspects {
				t := &j.report.Tapes[used[k]]
				t.Tied = true
				j.tied[t.From], j.tied[t.To] = true, true
			}
			break
		}
		k := used[result.Suspects[0]]
		t := &j.report.Tapes[k]
		t.Suspect = true
		leftOut[k] = true
		places := placesOf(result)
		result, used = j.solve(leftOut, func(at [][2]float64, net *tape.Network) {
			for i := range net.Pegs {
				if q, ok := places[net.Pegs[i].Name]; ok && !net.Pegs[i].Known {
					at[i] = q
				}
			}
		})
	}
	j.result, j.used = result, used
	if result == nil {
		j.lookAtTriangles()
		return
	}
	j.report.Spare = result.DegreesOfFreedom
	for i, k := range used {
		t, q := &j.report.Tapes[k], &result.Tapes[i]
		t.Used, t.Residual, t.Checked = true, q.Residual, q.Checked
	}
	j.nameWrongTapes()
	j.lookAtTriangles()
}

func misfits(r *tape.Result) bool { return len(r.Suspects) > 0 }

func placesOf(r *tape.Result) map[string][2]float64 {
	all := map[string][2]float64{}
	for _, p := range r.Pegs {
		all[p.Name] = [2]float64{p.X, p.Y}
	}
	return all
}

// elsewhere tries the pegs of tapes that do not fit on the other side of the fence,
// and in each other's places; nil where nothing fits.
func (j *judgement) elsewhere(r *tape.Result, used []int) (*tape.Result, []int) {
	const most = 24
	var doubted []string
	for i, k := range used {
		if math.Abs(r.Tapes[i].Standardized) <= tape.StandardizedLimit {
			continue
		}
		for _, key := range []string{j.report.Tapes[k].From, j.report.Tapes[k].To} {
			if EndName(key) == "" && !slices.Contains(doubted, key) && len(doubted) < most {
				doubted = append(doubted, key)
			}
		}
	}
	var best *tape.Result
	var bestUsed []int
	try := func(change func(places map[string]geom.Point)) {
		net, at, used := j.network(nil)
		moved := map[string]geom.Point{}
		for _, key := range doubted {
			moved[key] = j.first[key]
		}
		change(moved)
		for i := range net.Pegs {
			if q, ok := moved[net.Pegs[i].Name]; ok {
				at[i] = [2]float64{q.X, q.Y}
			}
		}
		if result, err := net.AdjustFrom(at); err == nil && !misfits(result) &&
			(best == nil || result.UnitDeviation < best.UnitDeviation) {
			best, bestUsed = result, used
		}
	}
	for i, key := range doubted {
		try(func(places map[string]geom.Point) {
			q := places[key]
			places[key] = geom.Point{X: q.X, Y: -max(q.Y, 100)}
		})
		for _, other := range doubted[:i] {
			try(func(places map[string]geom.Point) { places[key], places[other] = places[other], places[key] })
		}
	}
	return best, bestUsed
}
