package practice

import (
	"maps"
	"math"
	"slices"
	"strconv"

	"pegpour/engine/input"
	"pegpour/engine/text"
)

// Practice is how one shop builds: every rule of thumb and every size that a
// practitioner may disagree with, as numbers. The table that names, explains
// and bounds each of them is [Rules]; no number of the trade stands anywhere
// else. Lengths mm, masses kg, volumes mm³, ratios plain.
type Practice struct {
	// Strip under the track.
	StripWidth, StripDepth, StripStopExtra float64
	TrackOffset                            float64
	// Strip where vehicles cross.
	DriveStripWidth, DriveStripDepth, CrownRise float64
	PaverBedding                                float64
	// Motor pad.
	PadAlong, PadOut, PadMargin float64
	// Guide post.
	GuideSetback, GuidePostSize, GuideHoleSize, GuideHoleDepth float64
	GuideHoleBy                                                float64 // 1 by strength, 0 by the trade
	PlateSize, PlateMargin                                     float64
	MotorGap                                                   float64
	BracketOffset, OutletPostSize                              float64
	// Motor.
	MotorLength, MotorWidth, MotorFront, EdgeGap float64
	// Leaf and hardware.
	LeafThickness, OverlapLatch, OverlapRunBack, OpenClearance float64
	WheelInset, EngagementMargin, RollerSpacing, StopAllowance float64
	LeafHeight                                                 float64
	PostSize                                                   float64
	// Ground and concrete.
	ObstructionClearance float64
	// GaugeShare is the uncertainty of a gauge of force over its reading;
	// ServiceMonths is the time between two services.
	GaugeShare, ServiceMonths                         float64
	ConcreteWaste, BagMass, BagYield, MixerBatch      float64
	ReadyMixMinimum                                   float64
	SoftDepth                                         float64
	Swell, TrailerLoad, TrailerPayload                float64
	MeshWidth, MeshSheet, MeshLap, MeshCover          float64
	FixingSpacing                                     float64
	MotorAnchors, PlateAnchors, StopAnchors           float64
	ConduitBeyond, ConduitUpstand                     float64
	SigmaTape, SigmaLaser, SigmaStaff, SigmaString    float64
	SigmaPhone, SigmaPhoneAngle, SigmaNet, SigmaGuess float64
	// Rates; 0 means not given.
	RateBag, RateReadyMix, RateDig, RateSpoil float64
	RateMesh, RateTrack, RateFixing, RateCut  float64
	RateConduit, RateTint, RateForm           float64
	GroundPractice

	LeafPractice
	UncertaintyPractice
	StrengthPractice
	StripPractice
	OptionsPractice
	HangingPractice
	AdvicePractice
	NetworkPractice
	PegPractice
	CastingPractice
	LearnedPractice
	QuotePractice
	PairPractice
}

// PracticePath is what stands before the key of a rule where a rule is named among
// the fields of a survey: PracticePath + RuleStripWidth.
const PracticePath = "practice."

// CommonPractice is the source given for a rule of thumb that stands in no
// publication.
const CommonPractice = "common practice, no published source"

// Rule describes one number of Practice.
type Rule struct {
	Key       string    // stable name in documents, e.g. "strip.width"; a Rule constant
	Group     string    // heading on the Shop rules screen
	Name      text.Name // what it is, in the trade's words
	Dimension text.Dimension
	Default   float64 // below Low where nothing stands in until the shop gives it
	Low, High float64 // allowed range, both ends included
	Why       string
	Source    string
	// Minimum marks a trade minimum: going under it is allowed but is watched.
	Minimum bool

	at func(*Practice) *float64
}

// DefaultPractice returns the practice with every rule at its default.
func DefaultPractice() Practice {
	var p Practice
	for i := range ruleTable {
		*ruleTable[i].at(&p) = ruleTable[i].Default
	}
	return p
}

// Rules returns the whole table in the order in which a screen lists it. The
// caller may keep and change the slice.
func Rules() []Rule { return append([]Rule(nil), ruleTable...) }

// RuleOf is the rule that code names. It panics on a key that is not declared,
// which is a mistake in the program: keys out of documents go through [RuleByKey].
func RuleOf(key string) Rule {
	r, ok := RuleByKey(key)
	if !ok {
		panic("no rule of practice is declared as " + strconv.Quote(key))
	}
	return r
}

// RuleByKey finds the rule of a key out of a document; false where there is none.
func RuleByKey(key string) (Rule, bool) {
	for i := range ruleTable {
		if ruleTable[i].Key == key {
			return ruleTable[i], true
		}
	}
	return Rule{}, false
}

// Of returns the rule's value in p.
func (r Rule) Of(p Practice) float64 { return *r.at(&p) }

// Check returns a FieldError when v may not be used for the rule.
func (r Rule) Check(v float64) *input.FieldError {
	if math.IsNaN(v) || math.IsInf(v, 0) || v < r.Low || v > r.High {
		return &input.FieldError{
			Path: PracticePath + r.Key, Name: r.Name, Dimension: r.Dimension,
			Given: v, Low: r.Low, High: r.High, Reason: input.OutOfRange,
		}
	}
	return nil
}

// retired are the keys of rules that are worked out by now. Documents may hold
// them, with values that nothing reads: the grade from which the track was
// watched is that at which the leaf runs away, the low end of its rolling
// resistance.
var retired = []string{"track.gradeWatch"}

// With returns p with the overrides applied, keyed by rule. Unknown keys and
// values out of range are refused and left out; the error is an [input.Refusals].
// Keys of rules that are no more are passed over.
func (p Practice) With(overrides map[string]float64) (Practice, error) {
	var refused input.Refusals
	for i := range ruleTable {
		r := &ruleTable[i]
		v, given := overrides[r.Key]
		if !given {
			continue
		}
		if e := r.Check(v); e != nil {
			refused = append(refused, *e)
			continue
		}
		*r.at(&p) = v
	}
	if len(overrides) > 0 {
		for _, key := range slices.Sorted(maps.Keys(overrides)) {
			if _, known := RuleByKey(key); !known && !slices.Contains(retired, key) {
				refused = append(refused, *unknownRule(key))
			}
		}
	}
	return p, refused.OrNil()
}

// Set sets the rule of a key; a value out of range or an unknown key is refused and
// leaves p as it was. A key that is no more is passed over.
func (p *Practice) Set(key string, v float64) error {
	for i := range ruleTable {
		if r := &ruleTable[i]; r.Key == key {
			if e := r.Check(v); e != nil {
				return e
			}
			*r.at(p) = v
			return nil
		}
	}
	if slices.Contains(retired, key) {
		return nil
	}
	return unknownRule(key)
}

func unknownRule(key string) *input.FieldError {
	return &input.FieldError{Path: PracticePath + key, Name: text.TypedName(key), Reason: input.UnknownField, Text: key}
}

// ReplaceRefused sets each rule that is out of range to its default, such as all
// those of a practice that was not built from the table, and names them.
func (p *Practice) ReplaceRefused() input.Refusals {
	var refused input.Refusals
	for i := range ruleTable {
		at := ruleTable[i].at(p)
		if *at == ruleTable[i].Default {
			continue // which may be that none was given
		}
		if e := ruleTable[i].Check(*at); e != nil {
			refused = append(refused, *e)
			*at = ruleTable[i].Default
		}
	}
	return refused
}

// Minima visits every rule that is a trade minimum with its value in p.
func (p *Practice) Minima(visit func(r *Rule, v float64)) {
	for i := range ruleTable {
		if r := &ruleTable[i]; r.Minimum {
			visit(r, *r.at(p))
		}
	}
}

// MostOf is the upper end of a rule's range: no remedy goes beyond it.
func MostOf(key string) float64 {
	r, _ := RuleByKey(key)
	return r.High
}
