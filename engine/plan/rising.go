package plan

import (
	"pegpour/engine/geom"
	"pegpour/engine/text"
)

// Rising is the cavity dug into ground that rises off the edge of the drive, and
// the wall that holds the ground back.
type Rising struct {
	// Width inside, from the back of the fence to the wall; End is the chainage
	// of the end wall's inner face, mm.
	Width float64 `json:"width"`
	Start float64 `json:"start"`
	End   float64 `json:"end"`
	// Formation is how far the bottom under the strip lies below the grade, mm.
	Formation float64       `json:"formation"`
	Cavity    geom.Polygon  `json:"cavity"`
	Walls     geom.Polygon  `json:"walls"`
	Wall      []WallSection `json:"wall,omitempty"`
	EndWall   []WallSection `json:"endWall,omitempty"`
	// WallLength along its middle, side and end together, WallFace its area
	// from the strip's level to its top, Drain the pipe behind it.
	WallLength float64 `json:"wallLength"`
	WallFace   float64 `json:"wallFace"`
	Drain      float64 `json:"drain"`
	// Base is the width of the wall's base, BaseDig what is dug for the base or
	// for post holes below the strip's level, mm³. The wall itself is not in the concrete to order.
	Base    float64 `json:"base,omitempty"`
	BaseDig float64 `json:"baseDig"`
	// Highest is the greatest height of earth held back, at chainage HighestAt;
	// Tallest the greatest height of the wall itself.
	Highest   float64 `json:"highest"`
	HighestAt float64 `json:"highestAt"`
	Tallest   float64 `json:"tallest"`
	// Thickness of the wall, mm; OfPosts says that it is of sleepers between
	// posts, at the chainages of Posts along the side.
	Thickness float64   `json:"thickness"`
	OfPosts   bool      `json:"ofPosts,omitempty"`
	Posts     []float64 `json:"posts,omitempty"`
	// Sections of the cut, and the volume by two methods, mm³: Prismoidal from
	// the sections, of which Core lies over the cavity and the wall and the rest
	// in the batters; SurfaceCore the core as the difference of two surfaces.
	Sections    []CutSection `json:"sections,omitempty"`
	Prismoidal  float64      `json:"prismoidal"`
	Core        float64      `json:"core"`
	SurfaceCore float64      `json:"surfaceCore"`
	EndBatter   float64      `json:"endBatter"`
	// Extrapolated is set where the cut reaches beyond the readings.
	Extrapolated bool           `json:"extrapolated,omitempty"`
	Stability    *WallStability `json:"stability,omitempty"`
}

// WallSection is the wall at one place, levels and heights in mm.
type WallSection struct {
	Chainage float64 `json:"chainage"`
	Offset   float64 `json:"offset"`
	Ground   float64 `json:"ground"` // behind it
	Top      float64 `json:"top"`
	Strip    float64 `json:"strip"`  // the finished surface in front
	Height   float64 `json:"height"` // Top − Strip
	Held     float64 `json:"held"`   // Ground − Strip, not below 0
}

// CutSection is one section across the cut.
type CutSection struct {
	Chainage float64 `json:"chainage"`
	Core     float64 `json:"core"`   // mm²
	Batter   float64 `json:"batter"` // mm²
	// Middle marks a section half-way between two breaks.
	Middle bool `json:"middle,omitempty"`
}

// LeastHeld is the least height of ground that counts as held back, mm: below it
// there is nothing for a wall to hold.
const LeastHeld = 1

// WallStability is the first pass at the highest section, per metre of wall.
type WallStability struct {
	Chainage  float64 `json:"chainage"`
	Held      float64 `json:"held"`      // height of earth, mm
	Backslope float64 `json:"backslope"` // of the ground behind, rad
	Surcharge float64 `json:"surcharge"` // MPa
	Base      float64 `json:"base"`      // width, mm
	Ka        float64 `json:"ka"`
	Thrust    float64 `json:"thrust"` // N for each mm of wall
	Sliding   float64 `json:"sliding"`
	Turning   float64 `json:"turning"`
	// Eccentricity of the resultant from the middle of the base, and the sixth
	// of the base within which it must lie, mm.
	Eccentricity float64 `json:"eccentricity"`
	Sixth        float64 `json:"third"`
	Bearing      float64 `json:"bearing"` // greatest, MPa
	Allowed      float64 `json:"allowed"` // MPa
	// PostDepth is how deep a post stands below the strip's surface, mm, and
	// PostForce and PostMoment what pushes it there, N and N·mm; walls of posts only.
	PostDepth  float64 `json:"postDepth,omitempty"`
	PostForce  float64 `json:"postForce,omitempty"`
	PostMoment float64 `json:"postMoment,omitempty"`
	// PostBending is the most that a post is bent, N·mm; PostUse and SleeperUse are
	// the parts that post and lowest sleeper take of what they may.
	PostBending float64 `json:"postBending,omitempty"`
	PostUse     float64 `json:"postUse,omitempty"`
	SleeperUse  float64 `json:"sleeperUse,omitempty"`
	// BaseDown is how far the top of the base lies below the strip's surface, so
	// that it stands on firm ground, mm. StemMoment and StemShear act at the foot
	// of the stem, N·mm and N for each mm of wall; StemUse is the part that they
	// take of what it may bear. Walls on a base only.
	BaseDown   float64 `json:"baseDown,omitempty"`
	StemMoment float64 `json:"stemMoment,omitempty"`
	StemShear  float64 `json:"stemShear,omitempty"`
	StemUse    float64 `json:"stemUse,omitempty"`
	// Blocked is the least factor of safety with water to the top behind the wall,
	// whether it is drained or not; 0 where water lifts it or tips it over.
	Blocked float64 `json:"blocked,omitempty"`
	Drained bool    `json:"drained"`
	// Soil is the class taken; Presumed says whether a code lets its strength
	// be presumed without a soils investigation.
	Soil     text.Name `json:"soil"`
	Presumed bool      `json:"presumed"`
	Stands   bool      `json:"stands"`
	// Steep is set where the ground behind climbs as steeply as it can stand,
	// so that no formula holds.
	Steep bool `json:"steep,omitempty"`
}
