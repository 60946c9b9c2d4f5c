// Package quote prices a plan: hours of each task and what is bought, margin, tax and
// rounding; what the price rests on; and what changed since somebody signed it.
//
// # Money is counted, not measured
//
// An [Amount] is whole cents and a [Decimal] whole millionths, so that a total is the
// sum of its lines to the cent on every machine and with a pocket calculator. What was
// measured is a float64 until it is written down: an amount is rounded once to the
// places in which it is printed (cubic metres, square metres and metres to three,
// kilograms to one, hours to two), and the line is worked out from what is printed.
// Every rounding is to the nearest, halves away from nothing.
//
//	hours = amount × hours of one unit, to 0.01 h
//	cost  = amount × rate, or hours × rate of an hour, to the cent
//	price = cost + cost × margin, to the cent
//	net   = sum of the prices, to the multiple that the shop asks for
//	tax   = net × tax, to the cent
//	total = net + tax
//
// The margin goes onto each line and not onto their sum, so that the lines which the
// owner sees add up to what he pays.
//
// # One list of prices
//
// What is bought is the price basis of the plan ([plan.CostLine]). A task that has a
// price for what is done (digging, edge form, saw cut) is priced by it and not again
// by its hours; the hours are still counted, for the shop plans its days by them. What
// has no price is named, and the total says that it is without it.
//
// # What the price rests on is designed again
//
// A [Case] is one thing that was not measured, with another value. The difference is
// that of two whole quotes, of two whole designs, never a sum of parts: a wider strip
// that needs another bag and another load of spoil has both in it. It would change if
// a design took so long that a phone could not make a dozen of them.
package quote
