package concrete

import (
	"math"

	"pegpour/engine/refusal"
)

// Published yields of packaged concrete, as kg of dry mix for a cubic metre of
// concrete in place.
const (
	// MetricBagDensity is 108 bags of 20 kg to the cubic metre.
	//
	// Source: a cement maker's guide to packaged concrete (read; testdata, case
	// bag-20kg). The safer of the two: more bags for the same hole.
	MetricBagDensity = 2160
	// ImperialBagDensity is 0.15 ft³ for every 20 lb, 133 1/3 lb/ft³.
	//
	// Source: yields printed on bags in the United States: 40 lb 0.30, 60 lb 0.45,
	// 80 lb 0.60 ft³ (read; cases bag-40lb, bag-60lb, bag-80lb).
	ImperialBagDensity = 0.45359237 / (0.3048 * 0.3048 * 0.3048) * 20 / 0.15
)

// Order is the volume to order or mix: what is in place and the waste, mm³.
//
//	V·(1 + w)
//
// w is the waste as a share of the volume in place, 0 to 1; uneven ground takes
// more than forms do.
func Order(inPlace, w float64) (float64, error) {
	if err := refusal.First(volume("volume", inPlace), refusal.Allow("waste", w, 0, 1, "")); err != nil {
		return 0, err
	}
	return inPlace * (1 + w), nil
}

// BagYield is the concrete that one bag of dry mix makes, mm³.
//
//	m/ρ
//
// m is the mass of the bag (1 to 2000 kg: a sack or a bulk bag), ρ the dry mix in
// a cubic metre in place (1500 to 2600 kg/m³), MetricBagDensity where the bag
// does not say.
func BagYield(m, density float64) (float64, error) {
	if err := refusal.First(refusal.Allow("mass of a bag", m, 1, 2000, "kg"),
		refusal.Allow("dry mix per cubic metre", density, 1500, 2600, "kg/m³")); err != nil {
		return 0, err
	}
	return m / density * 1e9, nil
}

// Bags is how many bags of the yield given make the volume ordered, rounded up.
func Bags(order, yield float64) (int, error) {
	if err := refusal.First(volume("volume to order", order), positiveVolume("yield of a bag", yield)); err != nil {
		return 0, err
	}
	return count("bags", order/yield)
}

// Batches is how many mixer loads make the volume ordered, rounded up. batch is
// what the mixer turns out, not its drum: commonly two thirds of the drum.
func Batches(order, batch float64) (int, error) {
	if err := refusal.First(volume("volume to order", order), positiveVolume("batch of the mixer", batch)); err != nil {
		return 0, err
	}
	return count("batches", order/batch)
}

// Delivery is an order of ready-mixed concrete against a plant's terms.
type Delivery struct {
	Billed float64 // what is paid for, mm³
	Over   float64 // what is paid for and not needed, mm³
	Short  bool    // the order is less than the plant's minimum load
}

// ReadyMix is what a plant delivers for an order: rounded up to its step and at
// least its minimum. minimum may be 0; step is how finely it measures (0.2 m³ is
// common practice, no published source), 0 for no rounding. Nothing ordered is
// nothing billed.
func ReadyMix(order, minimum, step float64) (Delivery, error) {
	if err := refusal.First(volume("volume to order", order), volume("least load", minimum),
		volume("step of the order", step)); err != nil {
		return Delivery{}, err
	}
	if order == 0 {
		return Delivery{}, nil
	}
	billed := order
	if step >= leastPart {
		steps, err := count("steps of the order", order/step)
		if err != nil {
			return Delivery{}, err
		}
		billed = max(order, float64(float64(steps)*step))
	}
	billed = max(billed, minimum)
	return Delivery{Billed: billed, Over: billed - order, Short: order < minimum}, nil
}

// Supply is what an order costs each way, in the shop's currency.
type Supply struct {
	ByBags, ByTruck float64
	// TruckFrom is the order from which the truck costs no more than bags, mm³:
	// an estimate without the rounding to whole bags and steps. It is infinite
	// when bags are always cheaper.
	TruckFrom float64
}

// CompareSupply costs an order by bags (perBag each, its yield, labour per bag
// included where it counts) and by truck (perCubicMetre, a charge for each
// delivery, least load). Prices from 0 to a million.
func CompareSupply(order, yield, perBag float64, truck Delivery, perCubicMetre, charge,
	minimum float64) (Supply, error) {
	price := func(name string, p float64) refusal.Allowed { return refusal.Allow(name, p, 0, 1e6, "") }
	if err := refusal.First(price("price of a bag", perBag), price("price of a cubic metre", perCubicMetre),
		price("charge for delivery", charge), volume("volume billed", truck.Billed), volume("least load",
			minimum)); err != nil {
		return Supply{}, err
	}
	bags, err := Bags(order, yield)
	if err != nil {
		return Supply{}, err
	}
	s := Supply{ByBags: float64(bags) * perBag}
	if truck.Billed > 0 {
		s.ByTruck = float64(truck.Billed/1e9*perCubicMetre) + charge
	}
	// Below the least load the truck costs the same whatever is ordered; above
	// it, its line and the bags' line cross where the charge is made up.
	bag := perBag / yield // per mm³
	metre := perCubicMetre / 1e9
	switch least := float64(minimum*metre) + charge; {
	case least == 0:
		s.TruckFrom = 0
	case bag > 0 && least/bag <= minimum:
		s.TruckFrom = least / bag
	case bag > metre:
		s.TruckFrom = charge / (bag - metre)
	default:
		s.TruckFrom = math.Inf(1)
	}
	return s, nil
}
