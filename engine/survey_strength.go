package engine

// ClassUnknown says that nobody looked at what the firm ground is made of.
const ClassUnknown = "unknown"

// strengthFields are what only the strength of the layout asks for.
var strengthFields = []Field{
	{Path: "ground.class", Group: GroupGround, Name: "What the firm ground is", Dimension: Choice,
		Help: "Rub a handful: sand is gritty and falls apart, clay rolls into a thread.",
		Options: []Option{{ClassUnknown, "Not looked at"}, {"clay", "Clay or silt"}, {"sand", "Sand, or gravel with silt or clay in it"},
			{"gravel", "Clean gravel"}, {"soft-rock", "Layered or soft rock"}, {"rock", "Sound rock"},
			{"fill", "Fill, nobody knows how placed"}},
		needed: func(s *Survey) bool { return s.Ground.Soil != "" },
		words:  func(s *Survey) *string { return &s.Ground.Class }},
}

// soilClass reads the class of the firm ground where a soil was given.
func (r *resolver) soilClass() {
	if !r.in.soilKnown {
		return
	}
	if c := r.choice("ground.class"); c != ClassUnknown {
		r.in.soilClass = c
	}
}
