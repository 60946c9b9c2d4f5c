// Package ground finds how the ground lies and what has to be built because it is
// not level: levels from a book, a string line or slopes, the driveway's edges, the
// one straight grade of the track, a surface through the readings, the level of the
// motor pad, and the cavity and wall in ground that rises. It knows where the
// strip, the pad and the pinion are to stand, and nothing of the leaf.
//
// The frame is the engine's. Lengths and levels mm, levels above the datum of the
// site, slopes rise over run, volumes mm³. What was not read near is marked as
// extrapolated. What a formula refuses comes back as a refusal or an error.
//
// # The ground is a surface less its trend
//
// The model triangulates what is left of the readings when the drive's own grade
// and cross-fall are taken off. Beyond the readings the rest is held and the trend
// runs on, where a surface of the levels themselves would level out at its rim and
// lose the cross-fall. It would change if sites were levelled all round.
package ground
