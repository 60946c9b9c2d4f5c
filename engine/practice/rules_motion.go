package practice

import (
	"pegpour/engine/text"
)

// MotionPractice is what moves, stops and resists a leaf beyond the plain
// rolling of LeafPractice.
type MotionPractice struct {
	RollingLow, GuideFriction, ReleasedForce float64
	StopHeight, StopLength, StopWidth        float64
}

// RollingEnds are the two ends of the rolling resistance, over weight: the low
// one counts where rolling on hurts, the high one where standing still does. A
// shop that has only one of the two rules of its own may have put it beyond the
// other; then each end is the one that hurts more.
func (p *Practice) RollingEnds() (low, high float64) {
	return min(p.RollingLow, p.Rolling), max(p.RollingLow, p.Rolling)
}

// The keys of these rules, as documents hold them.
const (
	RuleMotionRollingLow    = "motion.rollingLow"
	RuleMotionReleasedForce = "motion.releasedForce"
	RuleGuideFriction       = "guide.friction"
	RuleStopHeight          = "stop.height"
	RuleStopPlateLength     = "stop.plateLength"
	RuleStopPlateWidth      = "stop.plateWidth"
)

var motionRules = []Rule{
	{Key: RuleMotionRollingLow, Group: "Motion", Name: "Rolling resistance over weight, low end", Dimension: text.Ratio,
		Default: 0.005, Low: 0.001, High: 0.2,
		Why:    "Hardened wheels with ball bearings on a clean rail. It decides whether the leaf rolls away by itself, and how fast it meets its stop.",
		Source: "railway wheels on rails roll at 0.002 to 0.003 (engineeringarchives.com, rolling friction, read); twice that for small wheels (memory)",
		at:     func(p *Practice) *float64 { return &p.RollingLow }},
	{Key: RuleMotionReleasedForce, Group: "Motion", Name: "Most force to move the leaf by hand, motor released",
		Dimension: text.Force, Default: 225, Low: 30, High: 500,
		Why:    "In a power cut. Elsewhere than at homes 390 N are allowed.",
		Source: "EN 12453, 5.3.5: 225 N at homes, 390 N elsewhere, as a drive's manual gives it (read)",
		at:     func(p *Practice) *float64 { return &p.ReleasedForce }},
	{Key: RuleGuideFriction, Group: "Motion", Name: "Friction of the guide rollers over the push on them",
		Dimension: text.Ratio, Default: 0.2, Low: 0, High: 0.5,
		Why:    "0.1 for clean rollers, 0.2 for worn ones; wind and a leaning leaf press them on the rail.",
		Source: "memory; a plastic roller of 40 mm on a plain bush has 0.12 by the formula of travel drives",
		at:     func(p *Practice) *float64 { return &p.GuideFriction }},
	{Key: RuleStopHeight, Group: "Strength", Name: "Buffer of the hard stop above the concrete under the track",
		Dimension: text.Length, Default: 100, Low: 20, High: 2500,
		Why:    "It meets the bottom rail. The lower it is under the leaf's centre, the more it lifts the wheel behind.",
		Source: CommonPractice, at: func(p *Practice) *float64 { return &p.StopHeight }},
	{Key: RuleStopPlateLength, Group: "Strength", Name: "Foot of the hard stop, along the fence", Dimension: text.Length,
		Default: 150, Low: 60, High: 1000,
		Why: "An anchor near either end of it.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.StopLength }},
	{Key: RuleStopPlateWidth, Group: "Strength", Name: "Foot of the hard stop, out from the fence",
		Dimension: text.Length, Default: 100, Low: 40, High: 1000,
		Why: "Half of the strip.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.StopWidth }},
}
