package demo

import (
	"maps"

	"pegpour/engine/practice"
	"pegpour/engine/survey"
)

// varied is a site whose quote was accepted; then the ground turned out soft and the
// owner wanted the leaf higher, which makes a variation to sign. Its rates are its own,
// so that they are nobody's prices.
func varied() Site {
	then := base("Demo: quote accepted, then varied", "61 Sample Street",
		"The quote was accepted. Then the ground turned out soft and the leaf was wanted higher: see Quote for what that changes.")
	then.Opening.Width = laser(3800)
	then.Drive.Surface, then.Drive.ConcreteSound, then.Drive.Vehicle = survey.SurfaceConcrete, survey.Yes, survey.VehicleCar
	then.RunBack.Room, then.RunBack.Depth = laser(5400), tape(1500)
	then.Ground.Class = "gravel"
	then.Gate.Height, then.Gate.Guide = tape(1600), survey.GuideOnPost
	now := then.Clone()
	now.Ground.Soil, now.Ground.DepthToFirm = survey.SoilSoft, tape(230)
	now.Gate.Height = tape(1800)
	now.Quote.Agreed = []survey.Agreement{{Owner: "A. Sample", On: "2026-04-09T15:40:00Z", Sign: sampleSignature,
		Total: acceptedTotal, Lines: acceptedLines}}
	return Site{ID: "00000000-0000-4000-8000-000000000071", Survey: now, Practice: maps.Clone(sampleRates), Accepted: &then}
}

// sampleRates are of our own invention, in no currency.
var sampleRates = map[string]float64{
	practice.RuleRateHour: 60, practice.RuleHoursTravel: 1.5,
	practice.RuleRateBag: 9, practice.RuleRateReadyMix: 210, practice.RuleRateSpoil: 80, practice.RuleRateMesh: 20,
	practice.RuleRateFrame: 4.5, practice.RuleRateInfill: 45, practice.RuleRateRunning: 400, practice.RuleRateMotor: 700,
	practice.RuleRateRack: 28, practice.RuleRateTrack: 32, practice.RuleRateFixing: 2, practice.RuleRateConduit: 3.5,
	practice.RuleRateFormwork: 6, practice.RuleRateGuidePost: 240,
	practice.RuleQuoteMargin: 0.15, practice.RuleQuoteTax: 0.2, practice.RuleQuoteRound: 5,
}

// What was accepted: as engine/quote writes it for the site as it was then.
const (
	acceptedTotal = "6000.00"
	acceptedLines = "hours.digFirm\tDigging\t0.092\tm³\t25.53\n" +
		"rate.formwork\tEdge form\t8.8\tm\t60.72\n" +
		"hours.mix\tMixing and placing concrete\t0.101\tm³\t55.89\n" +
		"hours.weld\tCutting and welding\t35\t\t966.00\n" +
		"hours.drill\tDrilling and setting fixings and anchors\t22\t\t151.80\n" +
		"hours.hang\tHanging the leaf\t1\t\t276.00\n" +
		"hours.wire\tFitting, wiring and setting the motor\t1\t\t345.00\n" +
		"hours.travel\tTravel\t3\t\t310.50\n" +
		"rate.bag\tBags of dry mix\t12\t\t124.20\n" +
		"rate.spoil\tLoads of spoil\t1\t\t92.00\n" +
		"rate.frame\tFrame and footing metal\t107.1\tkg\t554.24\n" +
		"rate.infill\tInfill of the leaf\t6.24\tm²\t322.92\n" +
		"rate.running\tWheels, rollers, stops and catch\t1\t\t460.00\n" +
		"rate.motor\tMotor\t1\t\t805.00\n" +
		"rate.rack\tRack\t4.01\tm\t129.12\n" +
		"rate.track\tTrack\t7.21\tm\t265.33\n" +
		"rate.fixing\tFixings and anchors\t22\t\t50.60\n" +
		"rate.conduit\tConduit\t0.705\tm\t2.84\n" +
		"rounding\tRounding\t0\t\t2.31\n" +
		"tax\tTax\t0\t\t1000.00"
)

const sampleSignature = "30,70 48,28 62,74 38,58 70,52;84,70 90,40 98,66 112,44 120,68 140,50 152,66 190,48"
