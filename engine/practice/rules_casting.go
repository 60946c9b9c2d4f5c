package practice

import (
	"pegpour/engine/text"
)

// The keys of the rules of forms, of the pour and of what was poured.
const (
	RuleCastForms      = "cast.forms"
	RuleCastDepth      = "cast.depth"
	RuleCureNormal     = "cure.cementN"
	RuleCureRapid      = "cure.cementR"
	RuleCureSlow       = "cure.cementS"
	RuleCureAnchors    = "cure.anchors"
	RuleCureHang       = "cure.hang"
	RuleCureReadEvery  = "cure.readEvery"
	RulePouredPackMost = "poured.packMost"
	RulePouredPackStep = "poured.packStep"
	RulePouredGrind    = "poured.grindMost"
)

// CastingPractice is what forms, a pour and what was poured are judged by.
type CastingPractice struct {
	FormsWithin, DepthWithin            float64 // mm
	CementNormal, CementRapid           float64 // coefficients s
	CementSlow                          float64
	CureAnchors, CureHang               float64 // shares of the strength that the design took
	CureReadEvery                       float64 // h
	PackMost, PackStep, PouredGrindMost float64 // mm
}

var castingRules = []Rule{
	{Key: RuleCastForms, Group: "Pour", Name: "Top of a form, off the planned level at most", Dimension: text.Length,
		Default: 3, Low: 0.5, High: 50,
		Why: "What packers under the track take up without a thought.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.FormsWithin }},
	{Key: RuleCastDepth, Group: "Pour", Name: "Dug less deep than planned, by at most", Dimension: text.Length,
		Default: 5, Low: 0, High: 100,
		Why: "The ground is no plane; less concrete than planned is no strip of the plan.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.DepthWithin }},
	{Key: RuleCureNormal, Group: "Pour", Name: "Cement of class N: coefficient s of its strength by age",
		Dimension: text.Ratio, Default: 0.25, Low: 0.05, High: 1,
		Why: "Most bags, and where the class is not known.", Source: "EN 1992-1-1, 3.1.2(6)",
		at: func(p *Practice) *float64 { return &p.CementNormal }},
	{Key: RuleCureRapid, Group: "Pour", Name: "Cement of class R: coefficient s of its strength by age",
		Dimension: text.Ratio, Default: 0.2, Low: 0.05, High: 1,
		Why: "42.5 R, 52.5 N and 52.5 R.", Source: "EN 1992-1-1, 3.1.2(6)",
		at: func(p *Practice) *float64 { return &p.CementRapid }},
	{Key: RuleCureSlow, Group: "Pour", Name: "Cement of class S: coefficient s of its strength by age",
		Dimension: text.Ratio, Default: 0.38, Low: 0.05, High: 1,
		Why: "32.5 N, and mixes with much slag or ash.", Source: "EN 1992-1-1, 3.1.2(6)",
		at: func(p *Practice) *float64 { return &p.CementSlow }},
	{Key: RuleCureAnchors, Group: "Pour", Name: "Anchors are set at a share of the strength that their design took",
		Dimension: text.Fraction, Default: 1, Low: 0.3, High: 1,
		Why: "Their design counts on all of it; drilling sooner tears the edge.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.CureAnchors }},
	{Key: RuleCureHang, Group: "Pour", Name: "Track is laid and the leaf hung at a share of that strength",
		Dimension: text.Fraction, Default: 0.5, Low: 0.3, High: 1,
		Why: "The wheels press little; half carries them.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.CureHang }},
	{Key: RuleCureReadEvery, Group: "Pour", Name: "Hours between two temperatures at most", Dimension: text.Ratio,
		Default: 24, Low: 1, High: 240,
		Why: "A night between two readings goes unseen; more is a guess.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.CureReadEvery }},
	{Key: RulePouredPackMost, Group: "Pour", Name: "Track packed up by at most", Dimension: text.Length, Default: 20, Low: 0,
		High: 200,
		Why:  "A stack of packers under a fixing; more wants a bed of grout.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.PackMost }},
	{Key: RulePouredPackStep, Group: "Pour", Name: "Thinnest packer", Dimension: text.Length, Default: 1, Low: 0.1, High: 10,
		Why: "Heights of the schedule are told in it.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.PackStep }},
	{Key: RulePouredGrind, Group: "Pour", Name: "Ground off the concrete by at most", Dimension: text.Length, Default: 3,
		Low: 0, High: 50,
		Why: "More takes the cover off the mesh.", Source: CommonPractice,
		at: func(p *Practice) *float64 { return &p.PouredGrindMost }},
}
