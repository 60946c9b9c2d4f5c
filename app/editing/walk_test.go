package editing

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/survey"
)

// walkBench has an empty site in hand.
func walkBench(t *testing.T) *bench {
	t.Helper()
	b := openBench(t)
	b.Doc.Survey = survey.Survey{}
	b.Design()
	return b
}

func TestTheWalkGoesOnAndBack(t *testing.T) {
	b := walkBench(t)
	steps := b.Steps()
	b.Ask(steps[0])
	for i := 1; i < len(steps); i++ {
		b.Step(b.Stage, 1)
		require.Equal(t, steps[i], b.Asked)
		at, of := b.Place()
		assert.Equal(t, i+1, at)
		assert.Equal(t, len(steps), of)
	}
	assert.Equal(t, StepDone, b.Asked)
	b.Step(b.Stage, 1)
	assert.Equal(t, StepDone, b.Asked, "there is nothing behind the end")
	for range steps {
		b.Step(b.Stage, -1)
	}
	assert.Equal(t, steps[0], b.Asked, "nor before the beginning")
}

func TestAFigureOutsideTheWalkGoesOnToWhatIsOpen(t *testing.T) {
	b := walkBench(t)
	b.Ask(survey.SitePhone)
	require.NotContains(t, b.Steps(), survey.SitePhone)
	b.Step(b.Stage, 1)
	assert.Equal(t, b.FirstOpen(), b.Asked)
}

// The colour stops nothing: the walk never asks for it, and choosing one is undone as any
// other answer.
func TestTheColourIsChosenOutsideTheWalk(t *testing.T) {
	b := openBench(t)
	steps := slices.Clone(b.Steps())
	require.NotContains(t, steps, survey.GateColour)
	assert.NotContains(t, openQuestions(&b.Doc.Survey), survey.GateColour)
	b.Answer(b.Stage, survey.FieldOf(survey.GateColour), survey.ColourGreen)
	assert.Equal(t, survey.ColourGreen, b.Plan().Leaf.Colour)
	assert.Equal(t, steps, b.Steps())
	b.saved()
	assert.Equal(t, survey.ColourGreen, b.stored().Survey.Gate.Colour)
	b.Undo()
	b.saved()
	assert.Empty(t, b.Plan().Leaf.Colour)
}

func TestAnAnswerBringsUpItsQuestions(t *testing.T) {
	b := walkBench(t)
	given, ok := survey.FieldAt(survey.DriveRunBackEdgeGiven)
	require.True(t, ok)
	b.Answer(b.Stage, given, survey.EdgePoints)
	assert.Equal(t, 2, b.EdgePoints(survey.DriveRunBackEdge), "an edge has two points at least")
	assert.Contains(t, b.Steps(), string(survey.RunBackEdgePointAlong.At(0)))
	assert.True(t, b.AddPoint(b.Stage, survey.DriveRunBackEdge))
	b.RemovePoint(b.Stage, survey.DriveRunBackEdge, 2)
	assert.Equal(t, 2, b.EdgePoints(survey.DriveRunBackEdge))
	b.Answer(b.Stage, given, survey.EdgePoints)
	assert.Equal(t, 2, b.EdgePoints(survey.DriveRunBackEdge), "answered again it asks for no more")
	b.saved()
	assert.Len(t, b.stored().Survey.Drive.RunBackEdge.Points, 2)
}

func TestPlacesUnderAStringAreAskedInARow(t *testing.T) {
	b := walkBench(t)
	shape := survey.FieldOf(survey.GroundShape)
	taken := survey.FieldOf(survey.GroundLevelsTaken)
	b.Answer(b.Stage, shape, survey.GroundSlopes)
	b.Answer(b.Stage, taken, survey.LevelsByString)
	require.Len(t, b.Doc.Survey.Ground.Levels.Drops, leastDrops)
	steps := b.Steps()
	assert.Contains(t, steps, StepDrops)
	assert.True(t, b.Known(StepDrops))
	assert.True(t, b.AddDrop(b.Stage))
	assert.Len(t, b.Doc.Survey.Ground.Levels.Drops, leastDrops+1)

	b.typed(StepDrops+".0.offset", "300")
	f, _ := survey.FieldAt(StepDrops + ".1.offset")
	v, ok := b.GuessOf(f)
	assert.True(t, ok, "the next place is offered the offset of the one before")
	assert.Equal(t, 300.0, v.Size)
	b.typed(f.Path, "500")
	_, ok = b.GuessOf(f)
	assert.False(t, ok, "not once it has one of its own")
	first, _ := survey.FieldAt(StepDrops + ".0.offset")
	_, ok = b.GuessOf(first)
	assert.False(t, ok, "nothing stands before the first")
	b.saved()
}

func TestObstructionsComeAndGo(t *testing.T) {
	b := walkBench(t)
	assert.False(t, b.Known(StepObstructions))
	b.Tick(b.Stage, TickNothing, true)
	assert.True(t, b.Known(StepObstructions), "somebody looked and found nothing")
	b.AddObstruction(b.Stage)
	assert.Equal(t, string(survey.ObstructionKind.At(0)), b.Asked)
	assert.Equal(t, survey.GroupObstacles, b.GroupOf(b.Asked))
	assert.Contains(t, b.Steps(), b.Asked)
	b.RemoveObstruction(b.Stage, 0)
	b.saved()
	assert.Empty(t, b.stored().Survey.RunBack.Obstructions)
}

func TestPartsOfTheSiteAreCounted(t *testing.T) {
	b := walkBench(t)
	counts := b.GroupCounts()
	all := 0
	for _, n := range counts {
		all += n.Needed
		assert.LessOrEqual(t, n.Known, n.Needed)
	}
	before := counts[survey.GroupOpening]
	assert.Zero(t, before.Known)
	b.typed(survey.OpeningWidth, "4200")
	after := b.GroupCounts()[survey.GroupOpening]
	assert.Equal(t, 1, after.Known)
	assert.Equal(t, before.Needed, after.Needed)
	assert.NotEqual(t, survey.OpeningWidth, b.FirstOpenIn(survey.GroupOpening))
	assert.Equal(t, survey.GroupOpening, b.GroupOf(b.FirstOpenIn(survey.GroupOpening)))
	b.typed(survey.OpeningWidth, "42x")
	assert.Zero(t, b.GroupCounts()[survey.GroupOpening].Known, "a draft is no answer")
	b.saved()
}

func TestTheWayOfMeasuringStays(t *testing.T) {
	b := walkBench(t)
	width := survey.FieldOf(survey.OpeningWidth)
	depth := survey.FieldOf(survey.RunBackDepth)
	b.typed(width.Path, "4200")
	assert.Equal(t, survey.ByTape, b.Method(width))
	b.SetMethod(b.Stage, width, NextMethod(width, survey.ByTape))
	assert.Equal(t, survey.ByLaser, b.Doc.Survey.Opening.Width.How)
	b.typed(depth.Path, "")
	assert.Equal(t, survey.ByLaser, b.How, "the next value is taken the same way")
	assert.Equal(t, survey.ByString, NextMethod(width, survey.ByLaser))
	slope := survey.FieldOf(survey.GroundLevelsAlong)
	assert.Equal(t, survey.ByStaff, b.Method(slope), "no laser gives a slope")
	assert.Equal(t, survey.ByPhone, NextMethod(slope, survey.ByTape))
	cell, _ := survey.FieldAt(LevelBook + "0.back")
	assert.Equal(t, survey.ByStaff, b.Method(cell))
	row, column, ok := BookCell(LevelBook + "12.along")
	assert.True(t, ok)
	assert.Equal(t, 12, row)
	assert.Equal(t, "along", column)
	for _, path := range []string{"", survey.OpeningWidth, LevelBook, LevelBook + "x.along", LevelBook + "3"} {
		_, _, ok = BookCell(path)
		assert.False(t, ok, path)
	}
	b.saved()
}

// A reading of the list at the end leads back to the list, by way of what its answer
// asks anew.
func TestAReadingOfTheListAtTheEndGoesBackToIt(t *testing.T) {
	b := walkBench(t)
	for _, by := range []int{1, -1} {
		b.Ask(StepDone)
		b.AskFromEnd(survey.OpeningWidth)
		b.Step(b.Stage, by)
		assert.Equal(t, StepDone, b.Asked)
	}
	b.Step(b.Stage, -1)
	assert.NotEqual(t, StepDone, b.Asked, "from the list one goes back as ever")

	given, _ := survey.FieldAt(survey.DriveRunBackEdgeGiven)
	b.Ask(StepDone)
	b.AskFromEnd(given.Path)
	b.Answer(b.Stage, given, survey.EdgePoints)
	b.Step(b.Stage, 1)
	assert.Equal(t, string(survey.RunBackEdgePointAlong.At(0)), b.Asked, "what the answer asks comes first")
	along, _ := survey.FieldAt(b.Asked)
	b.Type(b.Stage, along, "100")
	b.Step(b.Stage, 1)
	assert.NotEqual(t, StepDone, b.Asked)
	b.Ask(survey.OpeningWidth) // gone to otherwise
	b.Step(b.Stage, 1)
	assert.NotEqual(t, StepDone, b.Asked)
}

// One may go on from a value that is refused, and the list at the end names it.
func TestARefusedValueStandsAtTheEnd(t *testing.T) {
	b := walkBench(t)
	assert.Empty(t, b.Refused())
	width := survey.FieldOf(survey.OpeningWidth)
	for _, typed := range []string{"45o0", "400"} {
		b.Ask(width.Path)
		b.Type(b.Stage, width, typed)
		b.Step(b.Stage, 1)
		require.Len(t, b.Refused(), 1, typed)
		assert.Equal(t, width.Path, b.Refused()[0])
	}
	b.Type(b.Stage, width, "4000")
	assert.Empty(t, b.Refused())
}

// Behind the last point of an edge the walk asks for another one.
func TestAnotherPointIsAskedFor(t *testing.T) {
	b := walkBench(t)
	for _, edge := range []survey.EdgePaths{survey.RunBackEdgePaths, survey.LatchEdgePaths} {
		list := string(edge.Points)
		assert.NotContains(t, b.Steps(), list)
		given, _ := survey.FieldAt(string(edge.Given))
		b.Answer(b.Stage, given, survey.EdgePoints)
		b.Ask(string(edge.PointOffset.At(1)))
		b.Step(b.Stage, 1)
		assert.Equal(t, list, b.Asked)
		assert.True(t, b.Known(list))
		assert.Equal(t, survey.GroupDrive, b.GroupOf(list))
		b.Step(b.Stage, 1)
		assert.NotContains(t, b.Asked, list, "one may go on")
	}
}

// What an answer brings up comes next: also where the walk has passed its place, or would
// come to it only past all that is known.
func TestWhatAnAnswerBringsUpComesNext(t *testing.T) {
	b := walkBench(t)
	for _, answer := range [][2]string{{survey.GateLatchStop, survey.No}, {survey.GroundShape, survey.GroundLevel},
		{survey.GateMotor, survey.MotorPlugIn}} {
		b.Answer(b.Stage, survey.FieldOf(survey.Path(answer[0])), answer[1])
	}
	require.NotContains(t, b.Steps(), survey.OpeningPostMade)
	b.Ask(survey.GateGuide)
	b.Answer(b.Stage, survey.FieldOf(survey.GateGuide), survey.GuideOnPost)
	b.Step(b.Stage, 1)
	assert.Equal(t, survey.OpeningPostMade, b.Asked, "the walk had passed it")
	b.Step(b.Stage, -1)
	assert.Equal(t, survey.GateGuide, b.Asked)
	b.Step(b.Stage, 1)
	b.Answer(b.Stage, survey.FieldOf(survey.OpeningPostMade), survey.PostSteel)
	at := b.Steps()
	b.Step(b.Stage, 1)
	assert.Greater(t, indexOf(at, b.Asked), indexOf(at, survey.GateGuide), "and then it goes on")

	// In a fresh walk questions keep the order in which one walks the site.
	b = walkBench(t)
	b.Ask(survey.GroundShape)
	b.Answer(b.Stage, survey.FieldOf(survey.GroundShape), survey.GroundFalls)
	b.Step(b.Stage, 1)
	assert.Equal(t, survey.GroundLevelsTaken, b.Asked)
	assert.Greater(t, indexOf(b.Steps(), survey.GateFootingBar), indexOf(b.Steps(), survey.GateMotor))
}

func indexOf(steps []string, step string) int { return slices.Index(steps, step) }

// Three readings of a place follow one another as a tape goes, the offset of the
// place before is carried over by going on, and the string's level is asked.
func TestPlacesUnderTheStringAreAskedAsATapeGoes(t *testing.T) {
	b := walkBench(t)
	shape, _ := survey.FieldAt(survey.GroundShape)
	b.Answer(b.Stage, shape, survey.GroundSlopes)
	taken, _ := survey.FieldAt(survey.GroundLevelsTaken)
	b.Answer(b.Stage, taken, survey.LevelsByString)
	steps := b.Steps()
	var places []string
	for _, step := range steps {
		if DropOf(step) >= 0 {
			places = append(places, step)
		}
	}
	require.Len(t, places, 9)
	for i := range 3 {
		assert.Equal(t, []string{string(survey.DropAlong.At(i)), string(survey.DropOffset.At(i)), string(survey.DropDown.At(i))},
			places[3*i:3*i+3])
	}
	b.asking.leftOut = map[string]bool{survey.GroundLevelsString: true}
	b.Ask(places[0])
	assert.Contains(t, b.Steps(), survey.GroundLevelsString, "it is asked, or chosen to be zero")
	for i, typed := range []string{"0", "300", "500", "2000"} {
		f, _ := survey.FieldAt(places[i])
		b.Type(b.Stage, f, typed)
		b.Step(b.Stage, 1)
	}
	require.Equal(t, string(survey.DropDown.At(1)), b.Asked, "the offset of the place before is not asked again")
	b.Step(b.Stage, -1)
	require.Equal(t, string(survey.DropOffset.At(1)), b.Asked, "but one may go back to it")
	offset, _ := survey.FieldAt(b.Asked)
	assert.Equal(t, "300", b.Placeholder(offset))
	assert.Contains(t, b.EntrySays(offset, ""), "300\u00a0mm. Next takes it.")
	b.Step(b.Stage, -1)
	assert.False(t, offset.Value(&b.Doc.Survey).Known(), "going back takes nothing")
	b.Ask(offset.Path)
	b.Step(b.Stage, 1)
	assert.Equal(t, 300.0, offset.Value(&b.Doc.Survey).Size)
	assert.Equal(t, string(survey.DropDown.At(1)), b.Asked)
}

// On ground that slopes on, where a place lies is guessed, shown as a guess, and
// stands as one by eye once its drop is typed; never as taped.
func TestPlacesUnderTheStringAreGuessed(t *testing.T) {
	b := walkBench(t)
	b.typed(survey.OpeningWidth, "4100")
	b.Answer(b.Stage, survey.FieldOf(survey.GroundShape), survey.GroundSlopes)
	b.Answer(b.Stage, survey.FieldOf(survey.GroundLevelsTaken), survey.LevelsByString)
	drops := func() []survey.StringDrop { return b.Doc.Survey.Ground.Levels.Drops }
	at := func(p survey.ListPath, i int) survey.Field { f, _ := survey.FieldAt(string(p.At(i))); return f }
	b.typed(string(survey.DropAlong.At(0)), "0")
	b.typed(string(survey.DropOffset.At(0)), "100")
	b.typed(string(survey.DropDown.At(0)), "500")
	b.Step(b.Stage, 1)
	require.Equal(t, string(survey.DropDown.At(1)), b.Asked, "where it lies is guessed")
	assert.Equal(t, "~ 2100", b.Placeholder(at(survey.DropAlong, 1)))
	b.Step(b.Stage, 1)
	assert.False(t, drops()[1].Along.Known(), "passed by, nothing is taken")
	b.typed(string(survey.DropDown.At(1)), "520")
	assert.Equal(t, survey.Measured(2100, survey.ByEstimate), drops()[1].Along)
	assert.Equal(t, 100.0, drops()[1].Offset.Size)
	assert.Equal(t, survey.ByTape, drops()[1].Offset.How, "the string stands where it was")
	b.typed(string(survey.DropAlong.At(1)), "2000")
	assert.Equal(t, survey.ByTape, drops()[1].Along.How, "a guess typed anew is read")
	b.typed(string(survey.DropDown.At(2)), "540")
	assert.Equal(t, 4100.0, drops()[2].Along.Size)
	b.Step(b.Stage, 1)
	require.Equal(t, StepDrops, b.Asked)
	require.True(t, b.AddDrop(b.Stage))
	b.Ask(string(survey.DropAlong.At(3)))
	b.PassGuesses()
	require.Equal(t, string(survey.DropOffset.At(3)), b.Asked, "another row has another offset")
	assert.Equal(t, "~ 0", b.Placeholder(at(survey.DropAlong, 3)))
	b.typed(b.Asked, "1600")
	b.typed(string(survey.DropDown.At(3)), "470")
	require.True(t, b.AddDrop(b.Stage))
	assert.Equal(t, "~ 4100", b.Placeholder(at(survey.DropAlong, 4)))
	assert.Equal(t, "1600", b.Placeholder(at(survey.DropOffset, 4)))
	b.Answer(b.Stage, survey.FieldOf(survey.GroundShape), survey.GroundRises)
	_, guessed := b.GuessOf(at(survey.DropAlong, 4))
	assert.False(t, guessed, "ground that bends is taken where it bends")
	for _, path := range []survey.ListPath{survey.DropAlong, survey.DropOffset, survey.DropDown} {
		b.Ask(string(path.At(40)))
		_, guessed = b.GuessOf(at(path, 40))
		assert.False(t, guessed, "there is no such place")
		b.takePlace(b.Stage, at(path, 40))
		assert.Len(t, b.GuessedDrops(), 5)
		b.Step(b.Stage, 1)
	}
	b.saved()
}

// The rest of a part of the site may stay as it is assumed, where nothing of it has to
// be looked at.
func TestTheRestOfAPartStaysAssumed(t *testing.T) {
	b := walkBench(t)
	for step, want := range map[string]int{survey.DriveSurface: 0, survey.RunBackRoom: 0, survey.GroundShape: 0,
		survey.GateGuide: 0, survey.SiteName: 0} {
		b.Ask(step)
		open, _ := b.RestOfPart()
		assert.Equal(t, want, open, step)
	}
	b.Ask(survey.GateCladding)
	open, behind := b.RestOfPart()
	assert.Greater(t, open, 4)
	assert.Equal(t, StepObstructions, behind)
	b.typed(survey.GateHeight, "1600")
	b.Ask(survey.GateCladding)
	less, _ := b.RestOfPart()
	assert.Equal(t, open-1, less, "what is known is not left")
	b.saved()
}

// Asked for out of turn, how the ground lies brings up its readings in the order of the
// walk: nothing comes between the string and the places under it.
func TestReadingsFollowAnAnswerOutOfTurn(t *testing.T) {
	b := walkBench(t)
	b.Ask(survey.GroundShape)
	b.Answer(b.Stage, survey.FieldOf(survey.GroundShape), survey.GroundSlopes)
	b.Step(b.Stage, 1)
	require.Equal(t, survey.GroundLevelsTaken, b.Asked)
	b.Answer(b.Stage, survey.FieldOf(survey.GroundLevelsTaken), survey.LevelsByString)
	b.Step(b.Stage, 1)
	require.Equal(t, survey.GroundLevelsString, b.Asked)
	b.Step(b.Stage, 1)
	require.Equal(t, string(survey.DropAlong.At(0)), b.Asked)
	b.saved()
}
