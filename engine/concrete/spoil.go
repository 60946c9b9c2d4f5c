package concrete

import (
	"pegpour/engine/refusal"
)

// Ground is what is dug, for its swell.
type Ground struct {
	Name  string
	Swell float64 // increase of volume when dug, as a share of the bank volume
}

// Grounds are swells in print for ground a gate footing is dug in.
//
// Source: Swell Factors for Various Soils, projectengineer.net (read); sources
// differ widely (gravel 5 to 15 %, clay 30 to 40 %), so that the shop's own
// figure should replace them.
func Grounds() []Ground {
	return []Ground{
		{"clay", 0.40}, {"clay and gravel", 0.40}, {"earth, loam", 0.25}, {"gravel", 0.12}, {"sand", 0.12},
		{"hardpan", 0.50}, {"sandstone", 0.54}, {"shale and soft rock", 0.65}, {"limestone", 0.67},
	}
}

// Loose is the volume of dug ground in a heap or a trailer, mm³.
//
//	bank·(1 + swell)
//
// swell is 0 to 1.5.
func Loose(bank, swell float64) (float64, error) {
	if err := refusal.First(volume("bank volume", bank), refusal.Allow("swell", swell, 0, 1.5, "")); err != nil {
		return 0, err
	}
	return bank * (1 + swell), nil
}

// Loads is how many trailer loads carry a loose volume, rounded up: by the tray's
// volume and by what the trailer may carry (payload, kg), whichever asks for
// more. mass is the mass of all that is carted, kg: dug ground weighs the same
// loose as in the bank. A payload of 0 leaves the mass out.
func Loads(loose, tray, mass, payload float64) (int, error) {
	err := refusal.First(volume("loose volume", loose), positiveVolume("volume of the tray", tray),
		refusal.Allow("mass carted", mass, 0, mostMass, "kg"), refusal.Allow("payload", payload, 0, mostMass, "kg"))
	if err != nil {
		return 0, err
	}
	loads := loose / tray
	if payload > 0 {
		loads = max(loads, mass/payload)
	}
	return count("loads", loads)
}
