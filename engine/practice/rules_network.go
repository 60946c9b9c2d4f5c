package practice

import (
	"pegpour/engine/text"
)

// NetworkPractice is the steel tape that the crew carries.
type NetworkPractice struct {
	TapeTemperature, TapeExpansion, TapePull, TapeWeight float64

	// PhoneShake is the scatter beyond which a slope read with the phone is refused.
	PhoneShake float64
	// PhotoPointing is how well a spot is pointed at in a picture, its pixels.
	PhotoPointing float64
	// PhotoFocal is the focal length of a lens that the photo's file does not tell,
	// as on film 36 mm wide, mm; PhotoFocalSpread its standard uncertainty as a share
	// of it, and PhotoFocalRead that of one which the file tells.
	PhotoFocal       float64
	PhotoFocalSpread float64
	PhotoFocalRead   float64
}

// The keys of these rules, as documents hold them.
const (
	RuleTapeTemperature = "tape.warmth"
	RuleTapeExpansion   = "tape.expansion"
	RuleTapePull        = "tape.pull"
	RuleTapeWeight      = "tape.weight"
	RulePhoneShake      = "phone.shake"
	RulePhotoPointing   = "photo.pointing"
	RulePhotoFocal      = "photo.focal"
	RulePhotoFocalGuess = "photo.focalSpread"
	RulePhotoFocalRead  = "photo.focalRead"
)

// networkRules are what the corrections of a taped distance need.
var networkRules = []Rule{
	{Key: RuleTapeTemperature, Group: "Taping", Name: "Temperature at which the tape is true, °C", Dimension: text.Ratio,
		Default: 20, Low: -20, High: 60,
		Why: "Stands on the tape.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.TapeTemperature }},
	{Key: RuleTapeExpansion, Group: "Taping", Name: "Expansion of the tape, millionths for each °C",
		Dimension: text.Ratio, Default: 11.6, Low: 0, High: 100,
		Why:    "Steel: 1.16 mm in 10 m for 10 degrees.",
		Source: "Ghilani and Wolf, Elementary Surveying, distance by taping (memory)",
		at:     func(p *Practice) *float64 { return &p.TapeExpansion }},
	{Key: RuleTapePull, Group: "Taping", Name: "Pull on the tape", Dimension: text.Force, Default: 50, Low: 10, High: 300,
		Why: "The pull at which the tape is true; pull as much.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.TapePull }},
	{Key: RuleTapeWeight, Group: "Taping", Name: "Weight of a metre of tape", Dimension: text.Force, Default: 0.2, Low: 0,
		High: 3,
		Why:  "Steel, 13 by 0.2 mm: what hangs free sags and reads long.", Source: "worked out from section and density",
		at: func(p *Practice) *float64 { return &p.TapeWeight }},
	{Key: RulePhoneShake, Group: "Taping", Name: "Phone at rest scatters by less than", Dimension: text.AngleOf,
		Default: 0.0034907, Low: 0.0001, High: 0.1,
		Why:    "0.2 degrees: a phone that lies still scatters by a tenth of that, one in the hand by more.",
		Source: CommonPractice, at: func(p *Practice) *float64 { return &p.PhoneShake }},
	{Key: RulePhotoPointing, Group: "Taping", Name: "Pointing at a spot of a photo, standard uncertainty in pixels",
		Dimension: text.Ratio, Default: 4, Low: 0.1, High: 100,
		Why: "A finger under the magnifier, in a picture 2048 wide.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.PhotoPointing }},
	{Key: RulePhotoFocal, Group: "Taping", Name: "Focal length in mm, as on 35 mm film, of a photo whose file does not tell it",
		Dimension: text.Ratio, Default: 26, Low: 8, High: 600,
		Why:    "The main lens of most phones. Post tops in a photo ask for it.",
		Source: CommonPractice, at: func(p *Practice) *float64 { return &p.PhotoFocal }},
	{Key: RulePhotoFocalGuess, Group: "Taping", Name: "That focal length, standard uncertainty as a share of it",
		Dimension: text.Ratio, Default: 0.2, Low: 0.01, High: 1,
		Why: "Main lenses run from 23 to 28 mm; pictures are cut, too.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.PhotoFocalSpread }},
	{Key: RulePhotoFocalRead, Group: "Taping", Name: "Focal length that a photo's file tells, standard uncertainty as a share of it",
		Dimension: text.Ratio, Default: 0.05, Low: 0.001, High: 1,
		Why: "Written in whole millimetres, and for the sensor's own shape.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.PhotoFocalRead }},
}
