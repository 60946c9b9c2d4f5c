package survey

// Shapes of the ground in the run-back.
const (
	GroundLevel  = "level"
	GroundSlopes = "slopes" // carries on with the slope of the drive
	GroundRises  = "rises"  // stands higher than the drive beyond its edge
	GroundFalls  = "falls"  // drops away beyond the edge of the drive
)

// Levels are what was read on site to find how the ground lies. One way of
// taking them is used; readings of the other ways are kept and not used.
type Levels struct {
	// Taken is LevelsByString, LevelsByStaff or LevelsBySlopes.
	Taken string `json:"taken,omitempty"`
	// Start is the level of the first point of the book above the datum, mm.
	Start Value `json:"start,omitzero"`
	// Close is the level that the last point of the book is known to have, mm;
	// not measured where the page was not closed.
	Close Value `json:"close,omitzero"`
	// Book is the page of staff readings.
	Book []BookRow `json:"book,omitempty"`
	// String is the level of the string line above the datum, mm.
	String Value `json:"string,omitzero"`
	// Drops are taped from the string down to the ground.
	Drops []StringDrop `json:"drops,omitempty"`
	// Along is the slope of the drive along the fence, rise over run, positive
	// where it climbs towards the run-back; Out the slope from the fence
	// inwards, positive where it climbs into the property.
	Along Value `json:"along,omitzero"`
	Out   Value `json:"out,omitzero"`
	// BankStep is how much higher the ground stands just beyond the edge of the
	// drive, mm; BankAlong its slope from there along the fence, rise over run.
	BankStep  Value `json:"bankStep,omitzero"`
	BankAlong Value `json:"bankAlong,omitzero"`
	// FallStep is how much lower the ground lies just beyond the edge of the drive
	// where it falls off it, mm; FallAlong its fall from there along the fence, fall over
	// run. They take the place of BankStep and BankAlong, which have signs, unless those
	// were read as falling.
	FallStep  Value `json:"fallStep,omitzero"`
	FallAlong Value `json:"fallAlong,omitzero"`
	// SlabStep and SlabAlong are the same of the slab that is there already.
	SlabStep  Value `json:"slabStep,omitzero"`
	SlabAlong Value `json:"slabAlong,omitzero"`
}

// Ways of taking levels.
const (
	LevelsByString = "string"
	LevelsByStaff  = "staff"
	LevelsBySlopes = "slopes"
)

// What a reading was taken on.
const (
	OnGround = "ground" // the drive or the ground beside it
	OnSlab   = "slab"   // the slab that is there already in the run-back
)

// BookRow is one row of the level book. The first holds the backsight on the
// point of known level; a row with foresight and backsight is a change point.
type BookRow struct {
	Station      string `json:"station,omitempty"`
	Back         Value  `json:"back,omitzero"`         // mm
	Intermediate Value  `json:"intermediate,omitzero"` // mm
	Fore         Value  `json:"fore,omitzero"`         // mm
	// Along and Offset place the staff: chainage from the latch post and offset
	// from the back of the fence, mm. A row without Along carries levels and is
	// no point of the ground.
	Along  Value  `json:"along,omitzero"`
	Offset Value  `json:"offset,omitzero"`
	On     string `json:"on,omitempty"`
}

// StringDrop is how far the ground lies under the string line at one place.
type StringDrop struct {
	Name string `json:"name,omitempty"`
	// Down from the string to the ground, mm; minus where the ground stands higher.
	Down   Value  `json:"down,omitzero"`
	Along  Value  `json:"along,omitzero"`  // chainage from the latch post, mm
	Offset Value  `json:"offset,omitzero"` // from the back of the fence, mm
	On     string `json:"on,omitempty"`
}

// MaxReadings is the most rows or drops a survey may hold.
const MaxReadings = 100

// Cavity is what is chosen for the cavity dug into rising ground.
type Cavity struct {
	// Drain says whether water behind the wall is led away.
	Drain string `json:"drain,omitempty"`
	// Wall is WallOnBase or WallOfPosts.
	Wall string `json:"wall,omitempty"`
	// Load is what stands or drives on the ground behind the wall.
	Load string `json:"load,omitempty"`
}

// Kinds of retaining wall.
const (
	WallOnBase  = "base"  // blocks, filled, on a base whose heel reaches under the ground
	WallOfPosts = "posts" // sleepers between posts cast into holes
)

// Loads behind a wall.
const (
	LoadGarden   = "garden"
	LoadVehicles = "vehicles"
	LoadBuilding = "building"
)
