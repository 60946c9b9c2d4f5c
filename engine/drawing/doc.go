// Package drawing makes scenes of a plan: the set-out, the leaf, sections along
// and across, the tape network, a level run, the owner's views, and the plan laid
// over a photo. It says what is an outline, what is a dimension and where each
// figure comes from; the room draw finds the place on the sheet and the weight of
// the line. It computes nothing that is built.
//
// Scenes are in the engine's frame, mm. The hand is for the sheet to mirror.
// Options give the words of the user's language and the writing of figures in the
// user's units.
//
// # A drawing is made of what the plan holds
//
// Scenes read a plan and never a survey's sizes or the rules, but for the few that
// show the rules themselves: what is drawn is then what is built. The set-out plan
// needs outlines alone and not figures, so that it follows the keys of who types.
// It would change if a drawing had to show what no plan holds.
package drawing
