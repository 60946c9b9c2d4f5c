package engine

// NetworkPractice is the steel tape that the crew carries.
type NetworkPractice struct {
	TapeWarmth, TapeExpansion, TapePull, TapeWeight float64
}

// networkRules are what the corrections of a taped distance need.
var networkRules = []Rule{
	{Key: "tape.warmth", Group: "Taping", Name: "Temperature at which the tape is true, °C", Dimension: Ratio, Default: 20, Low: -20, High: 60,
		Why: "Stands on the tape.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.TapeWarmth }},
	{Key: "tape.expansion", Group: "Taping", Name: "Expansion of the tape, millionths for each °C", Dimension: Ratio, Default: 11.6, Low: 0, High: 100,
		Why: "Steel: 1.16 mm in 10 m for 10 degrees.", Source: "Ghilani and Wolf, Elementary Surveying, distance by taping (memory)", at: func(p *Practice) *float64 { return &p.TapeExpansion }},
	{Key: "tape.pull", Group: "Taping", Name: "Pull on the tape", Dimension: Force, Default: 50, Low: 10, High: 300,
		Why: "The pull at which the tape is true; pull as much.", Source: CommonPractice, at: func(p *Practice) *float64 { return &p.TapePull }},
	{Key: "tape.weight", Group: "Taping", Name: "Weight of a metre of tape", Dimension: Force, Default: 0.2, Low: 0, High: 3,
		Why: "Steel, 13 by 0.2 mm: what hangs free sags and reads long.", Source: "worked out from section and density", at: func(p *Practice) *float64 { return &p.TapeWeight }},
}
