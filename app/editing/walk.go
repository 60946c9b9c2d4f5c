package editing

import (
	"slices"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/engine/survey"
	"pegpour/engine/text"
	"pegpour/storage"
)

// Steps of the walk that are not one field.
const (
	StepObstructions = survey.RunBackObstructions
	StepDone         = "done"
)

// TickNothing says that someone looked and nothing is in the way.
const TickNothing = "nothing in the way"

// Steps are the questions this site needs, in the order one walks it.
func (s *Site) Steps() []string {
	if s.walk == nil {
		s.walk = s.findSteps()
	}
	return s.walk
}

func (s *Site) findSteps() []string {
	taken := s.Survey()
	var steps, inTheWay []string
	for _, f := range survey.Fields(&taken) {
		switch {
		case f.Group == survey.GroupObstacles && f.Needed(&taken):
			inTheWay = append(inTheWay, f.Path)
		case f.Group == survey.GroupNetwork || !f.Needed(&taken):
		case f.Path == survey.OpeningSeenFrom: // asked with the way it runs
		case f.Path == survey.GateLeaves && !f.Answered(&taken): // in All figures, and a way to build
		case f.Path == survey.GateColour: // on the owner's view and in All figures
		case f.Dimension == text.Words && f.Path != survey.SiteName: // in All figures
		default:
			steps = append(steps, f.Path)
		}
	}
	steps = append(append(steps, StepObstructions), inTheWay...)
	steps = slices.DeleteFunc(steps, s.isLeftOut)
	steps = s.withPlaces(steps, StepDrops, s.survey.Ground.Levels.Taken == survey.LevelsByString)
	steps = s.withPlaces(steps, survey.DriveRunBackEdgePoints, s.survey.Drive.RunBackEdge.Given == survey.EdgePoints)
	steps = s.withPlaces(steps, survey.DriveLatchEdgePoints, s.survey.Drive.LatchEdge.Given == survey.EdgePoints)
	return append(s.bringNext(steps), StepDone)
}

// noteOffered keeps which questions there are before the one that is asked is answered.
func (s *Site) noteOffered() {
	if s.Doc != nil {
		s.offered = s.Steps()
	}
}

// noteBrought notes which open questions the last answer brought up that the walk would
// only come to later, past what is known, or not at all: they come next.
func (s *Site) noteBrought() {
	steps := s.Steps()
	at := slices.Index(steps, s.Asked)
	if at < 0 || s.offered == nil {
		return
	}
	passes := true  // nothing that was open lies between the answer and the question
	behind := false // but something that is known does
	for i := range steps {
		step := steps[(at+1+i)%len(steps)]
		if step == StepDone {
			passes = true // what follows lies behind
			continue
		}
		if s.Known(step) {
			behind = true
			continue
		}
		if slices.Contains(s.offered, step) || step == s.Asked {
			passes = false
		} else if passes && behind || slices.Index(steps, step) < at {
			if s.brought == nil {
				s.brought = map[string]string{}
			}
			s.brought[step] = s.Asked
		}
	}
	s.walk = nil
}

// bringNext puts questions behind the answers that brought them up.
func (s *Site) bringNext(steps []string) []string {
	for _, step := range slices.Backward(slices.Clone(steps)) {
		after, ok := s.brought[step]
		if ok && slices.Contains(steps, after) {
			steps = slices.DeleteFunc(steps, func(other string) bool { return other == step })
			steps = slices.Insert(steps, slices.Index(steps, after)+1, step)
		}
	}
	return steps
}

// Known reports whether a step has an answer.
func (s *Site) Known(step string) bool {
	switch step {
	case StepObstructions:
		return len(s.Doc.Survey.RunBack.Obstructions) > 0 || s.Doc.Ticks[TickNothing]
	case StepDone:
		return false
	case survey.OpeningHand:
		return s.Doc.Survey.Opening.Hand != "" && s.Doc.Survey.Opening.SeenFrom != ""
	case StepDrops:
		return len(s.Doc.Survey.Ground.Levels.Drops) >= leastDrops
	case survey.DriveRunBackEdgePoints, survey.DriveLatchEdgePoints:
		return s.EdgePoints(strings.TrimSuffix(step, ".points")) >= leastPoints
	}
	f, ok := survey.FieldAt(step)
	if !ok {
		return false
	}
	if _, drafted := s.drafts[step]; drafted {
		return false
	}
	_, taped := s.Outlines().Network.Give(step)
	return taped || f.Answered(&s.Doc.Survey)
}

// Ask asks a field, or a step.
func (s *Site) Ask(step string) {
	s.Asked, s.typing, s.walk, s.fromEnd, s.heard = step, "", nil, nil, heard{}
	s.noteOffered()
}

// AskFromEnd asks a field of the list at the end, to which the next step goes back.
func (s *Site) AskFromEnd(field string) {
	steps := s.Steps()
	s.Ask(field)
	s.fromEnd = steps
}

// Refused are the questions of this site at which something stands that cannot be
// used: one may go on, but is told at the end.
func (s *Site) Refused() []string {
	var refused []string
	for _, step := range s.Steps() {
		if _, drafted := s.drafts[step]; drafted {
			refused = append(refused, step)
		}
	}
	return refused
}

// FirstOpen is the first question without an answer.
func (s *Site) FirstOpen() string {
	for _, step := range s.Steps() {
		if !s.Known(step) {
			return step
		}
	}
	return StepDone
}

// GroupOf is the part of the site that a step belongs to.
func (s *Site) GroupOf(step string) string {
	switch step {
	case StepObstructions:
		return survey.GroupObstacles
	case StepDone:
		return ""
	case StepDrops:
		return survey.GroupGround
	case survey.DriveRunBackEdgePoints, survey.DriveLatchEdgePoints:
		return survey.GroupDrive
	}
	if f, ok := survey.FieldAt(step); ok {
		return f.Group
	}
	return ""
}

// FirstOpenIn is the first open question of a part of the site, or its first one.
func (s *Site) FirstOpenIn(group string) string {
	first := ""
	for _, step := range s.Steps() {
		if s.GroupOf(step) != group {
			continue
		}
		if first == "" {
			first = step
		}
		if !s.Known(step) {
			return step
		}
	}
	return first
}

// GroupCount is how many questions of a part of the site have an answer, of how
// many.
type GroupCount struct{ Known, Needed int }

// GroupCounts counts the questions of each part of the site.
func (s *Site) GroupCounts() map[string]GroupCount {
	counts := map[string]GroupCount{}
	for _, step := range s.Steps() {
		group := s.GroupOf(step)
		if group == survey.GroupObstacles {
			if f, ok := survey.FieldAt(step); ok && f.Dimension == text.Words {
				continue // a note is never missing
			}
		}
		n := counts[group]
		n.Needed++
		if s.Known(step) {
			n.Known++
		}
		counts[group] = n
	}
	return counts
}

// mustLook are questions that nobody passes by with the rest of a part of the site.
var mustLook = []string{survey.OpeningHand, survey.OpeningSeenFrom, survey.DriveSurface, survey.DriveConcreteSound,
	survey.DrivePaverBase, survey.DriveRunBackEdgeGiven, survey.DriveRunBackEdgeAlong, survey.DriveRunBackEdgeAngle,
	survey.GroundSoil, survey.GroundDepthToFirm, survey.GroundShape, survey.GateGuide, survey.GateHardStop, survey.GateMotor}

// RestOfPart is how many open questions of this part of the site there are from the one that
// is asked on, typed or not, where all may stay as assumed, and the step behind them; 0 where one of
// them has to be looked at.
func (s *Site) RestOfPart() (open int, behind string) {
	steps, part, taken := s.Steps(), s.GroupOf(s.Asked), s.Survey()
	for i := slices.Index(steps, s.Asked); i >= 0 && i < len(steps); i++ {
		step := steps[i]
		if s.GroupOf(step) != part {
			return open, step
		}
		if step != s.Asked && s.Known(step) {
			continue
		}
		f, _ := survey.FieldAt(step)
		if _, stands := f.Assumed(&taken, &s.Practice); !stands && f.Dimension != text.Choice ||
			slices.Contains(mustLook, step) || strings.HasPrefix(step, "ground.levels.") {
			break
		}
		open++
	}
	return 0, ""
}

// Place is where in the walk the question stands, from one.
func (s *Site) Place() (at, of int) {
	steps := s.Steps()
	return slices.Index(steps, s.Asked) + 1, len(steps)
}

// Step goes on by so many questions, or back. It looks first whether the last answer
// made one matter that is left out. From a reading of the list at the end it goes back
// there, by way of what the answer asks anew.
func (s *Site) Step(ctx app.Context, by int) {
	if f, ok := survey.FieldAt(s.Asked); ok && by > 0 {
		s.takeGuess(ctx, f, "")
	}
	s.second, s.heard = second{}, heard{}
	s.recheckLeftOut()
	if by > 0 {
		s.noteBrought()
	}
	steps := s.Steps()
	if s.fromEnd != nil {
		from, asked := s.fromEnd, s.Asked
		s.Ask(StepDone)
		for _, step := range steps {
			if by > 0 && step != asked && !s.Known(step) && !slices.Contains(from, step) {
				s.Asked, s.fromEnd = step, from
				break
			}
		}
	} else if at := slices.Index(steps, s.Asked); at >= 0 {
		s.Asked = steps[min(max(at+by, 0), len(steps)-1)]
		if by > 0 {
			s.PassGuesses()
		}
	} else {
		s.Asked = s.FirstOpen() // a figure that the walk leaves out
	}
	s.typing, s.walk = "", nil // what was asked may be left out from now on
	s.noteOffered()
	s.Refresh(ctx)
}

// Answer answers a choice, and makes room for what it asks next.
func (s *Site) Answer(ctx app.Context, f survey.Field, value string) {
	e, err := storage.SetWords(s.Doc, f.Path, value)
	s.Commit(ctx, e, err)
	if value == survey.EdgePoints {
		edge := f.Path[:len(f.Path)-len(".given")]
		for s.EdgePoints(edge) < leastPoints {
			if !s.AddPoint(ctx, edge) {
				break
			}
		}
	}
	if value == survey.LevelsByString {
		s.addFirstDrops(ctx)
	}
}

// EdgePoints is by how many taped points an edge is given.
func (s *Site) EdgePoints(edge string) int {
	if edge == survey.DriveLatchEdge {
		return len(s.Doc.Survey.Drive.LatchEdge.Points)
	}
	return len(s.Doc.Survey.Drive.RunBackEdge.Points)
}

// AddPoint adds a taped point to an edge; false when there is no room for more.
func (s *Site) AddPoint(ctx app.Context, edge string) bool {
	before := s.EdgePoints(edge)
	e, err := storage.AddEdgePoint(s.Doc, edge, survey.EdgePoint{})
	s.Commit(ctx, e, err)
	return s.EdgePoints(edge) > before
}

// RemovePoint takes a taped point of an edge away.
func (s *Site) RemovePoint(ctx app.Context, edge string, i int) {
	e, err := storage.RemoveEdgePoint(s.Doc, edge, i)
	s.Commit(ctx, e, err)
}

// AddObstruction adds something that stands in the way, and asks what it is.
func (s *Site) AddObstruction(ctx app.Context) {
	e, err := storage.AddObstruction(s.Doc, survey.Obstruction{})
	s.Commit(ctx, e, err)
	if n := len(s.Doc.Survey.RunBack.Obstructions); n > 0 {
		s.Asked = string(survey.ObstructionKind.At(n - 1))
	}
	s.Refresh(ctx)
}

// RemoveObstruction takes something in the way away.
func (s *Site) RemoveObstruction(ctx app.Context, i int) {
	e, err := storage.RemoveObstruction(s.Doc, i)
	s.Commit(ctx, e, err)
}
