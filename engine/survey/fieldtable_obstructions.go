package survey

import (
	"pegpour/engine/practice"
	"pegpour/engine/text"
)

// What stands in the way, one entry a thing.
const (
	RunBackObstructions          = "runBack.obstructions"
	ObstructionKind     ListPath = RunBackObstructions + ".*.kind"
	ObstructionName     ListPath = RunBackObstructions + ".*.name"
	ObstructionAlong    ListPath = RunBackObstructions + ".*.along"
	ObstructionOffset   ListPath = RunBackObstructions + ".*.offset"
	ObstructionLength   ListPath = RunBackObstructions + ".*.length"
	ObstructionWidth    ListPath = RunBackObstructions + ".*.width"
)

var obstructionList = list{
	path: RunBackObstructions, most: MaxObstructions, group: GroupObstacles,
	count: func(s *Survey) int { return len(s.RunBack.Obstructions) },
	fields: []Field{
		{column: ObstructionKind, Name: "What is in the way", Dimension: text.Choice,
			Options: []Option{{ObstructionOther, "Something else"}, {ObstructionTree, "Tree"}, {ObstructionPit, "Pit or drain"},
				{ObstructionTap, "Tap"},
				{ObstructionService, "Buried service"}, {ObstructionTank, "Tank"}, {ObstructionWall, "Wall or building"}},
			entryText: ofObstruction(func(o *Obstruction) *string { return &o.Kind })},
		{column: ObstructionSide, Name: "Taped from the post on which side", Dimension: text.Choice,
			Options: []Option{{OnRunBackSide, "Run-back post"}, {OnLatchSide, "Latch post"}}, askedIf: Paired,
			entryText: ofObstruction(func(o *Obstruction) *string { return &o.Side })},
		{column: ObstructionName, Name: "Note", Dimension: text.Words,
			entryText: ofObstruction(func(o *Obstruction) *string { return &o.Name })},
		{column: ObstructionAlong, Name: "From the run-back post to its near side", Low: -20000, High: 30000,
			Help:    "Along the fence from the inner face of the run-back post; minus is back into the opening.",
			standIn: fixed(0), entryNumber: ofObstruction(func(o *Obstruction) *Value { return &o.Along })},
		{column: ObstructionOffset, Name: "From the back of the fence to its near side", Low: -5000, High: 30000,
			Help:    "Square into the property.",
			standIn: fixed(0), entryNumber: ofObstruction(func(o *Obstruction) *Value { return &o.Offset })},
		{column: ObstructionLength, Name: "Its length along the fence", Low: 1, High: 30000,
			standIn: usualObstruction, entryNumber: ofObstruction(func(o *Obstruction) *Value { return &o.Length })},
		{column: ObstructionWidth, Name: "Its width out from the fence", Low: 1, High: 30000,
			standIn: usualObstruction, entryNumber: ofObstruction(func(o *Obstruction) *Value { return &o.Width })},
	},
}

// usualObstruction is the side of a thing in the way that was not measured.
func usualObstruction(_ *Survey, p *practice.Practice) (float64, bool) {
	return p.ObstructionSize, true
}

func ofObstruction[Part any](part func(*Obstruction) *Part) func(*Survey, int) *Part {
	return entryOf(func(s *Survey) []Obstruction { return s.RunBack.Obstructions }, part)
}
