// Package handover judges the tests before a gate is handed over.
//
// # The order keeps people whole
//
// The stops are pushed by hand before there is power, for a leaf that runs off its
// track falls. Then the leaf is left to itself with the motor released, for one that
// rolls away is a moving mass that nobody switches off. Only then comes power, and
// first the force at the edges. A test is closed while one before it failed or is
// not done: no result of it would say that the gate is safe.
//
// # What is near its limit is not judged
//
// A gauge has an uncertainty (a rule). A reading passes where reading and
// uncertainty stay under the limit, fails where the reading less its uncertainty is
// above it, and cannot be judged between. Nothing is rounded to the kind side.
//
// The force limit of 400 N is applied to each gap up to half a metre. The standard
// allows more at wider ones; that figure is from memory only, so a reading there is
// not judged and the person is asked for one at a smaller gap.
package handover
