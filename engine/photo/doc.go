// Package photo lays a plan over a photo of flat ground: from four or more
// places whose ground position and spot in the picture are both known it finds
// the homography between them, how well it fits, and where it may not be used.
// Where some of them stand above the ground it finds the camera, and by it the
// same. It knows no gates.
//
// Ground coordinates are mm, picture coordinates pixels, U to the right and V
// down. Pure, and never panics on data.
package photo

import (
	"pegpour/engine/refusal"
)

// Limits of what is taken.
const (
	// MinPairs fix a homography; MaxPairs are plenty.
	MinPairs, MaxPairs = 4, 24
	// MaxGround is the greatest ground coordinate either way, mm (1 km).
	MaxGround = 1e6
	// MaxPixel is the greatest picture coordinate either way.
	MaxPixel = 1e5
)

// Pair is one place seen in the picture.
type Pair struct {
	Name string
	X, Y float64 // on the ground, mm
	U, V float64 // in the picture, pixels
}

// Ground is a place on the ground, mm.
type Ground struct{ X, Y float64 }

// Pixel is a spot in the picture.
type Pixel struct{ U, V float64 }

// RangeError refuses one value: which, what was given, what is allowed.
type RangeError = refusal.ListedError

// within refuses v when it is not a number from low to high.
func within(argument string, index int, v, low, high float64) error {
	return refusal.Within(argument, index, v, low, high)
}

// Where says where points lie in line.
type Where string

// The plane they lie in, or none.
const (
	OnGround  Where = "on the ground"
	InPicture Where = "in the picture"
	// InSpace is for marks of which some stand above the ground.
	InSpace Where = "in space"
)

// InLineError refuses points of which no four spread out: each four hold three
// that lie nearly in line, or two in one spot.
type InLineError struct {
	Where Where
	Pairs [3]int // the three nearly in line in the best four there are
	Names [3]string
}

// Error is the refusal in one sentence.
func (e *InLineError) Error() string { return e.Refusal().String() }

// Refusal is the sentence with its values.
func (e *InLineError) Refusal() refusal.Message {
	switch e.Where {
	case InSpace:
		return refusal.Say("{0} lie nearly in line, and all others with them: take a point well off that line",
			refusal.Each(e.Names[:]...))
	case OnGround:
		return refusal.Say("{0} lie nearly in line on the ground: take a point well off that line",
			refusal.Each(e.Names[:]...))
	}
	return refusal.Say("{0} lie nearly in line in the picture: take a point well off that line",
		refusal.Each(e.Names[:]...))
}

// HorizonError says that the horizon, or the camera itself, comes between
// what is asked for and the points that fix the picture.
type HorizonError struct {
	// Pairs are the points that lie beyond; empty for a place asked for.
	Pairs []int
	Names []string
}

// Error is the refusal in one sentence.
func (e *HorizonError) Error() string { return e.Refusal().String() }

// Refusal is the sentence with its values.
func (e *HorizonError) Refusal() refusal.Message {
	if len(e.Names) > 0 {
		return refusal.Say("{0} would lie behind the camera: points taken in the wrong order, or one of them wrong",
			refusal.Each(e.Names...))
	}
	return refusal.Say("beyond the horizon or behind the camera")
}
