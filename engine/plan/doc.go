// Package plan is what to build, as plain data: outlines, leaf, track, footing,
// ground, quantities, figures with their reasons and checks with their remedies.
// It answers questions about itself (which part, which figure, which level where)
// and makes nothing: the stages of the engine fill it, and drawings, tables, sheets
// and screens read it.
//
// The frame is the engine's: chainage along the fence, offset into the property.
// Lengths mm, areas mm², volumes mm³, forces N, stresses MPa, moments N·mm, masses
// kg, angles rad, slopes rise over run, levels mm above the datum of the site, if a
// field says nothing else.
//
// # Parts are found by kind and number
//
// [Plan.Part], [Plan.Piece] and [Plan.Parts] take a [PartKind] and a number. The
// identity of an outline is for what documents and drawings cite: a part that falls
// into pieces gets other identities, and a search by identity would then find
// nothing without a word. It would change if parts had owners of their own.
//
// # Every question is answered
//
// A [Check] answers one [Question] at one field, with severity and margin, also
// where all is in order: who shows it decides what is worth saying, and what asks
// how close a margin is needs no second list. Documents keep the code of the
// answer. What a formula refused is a [Refusal] and never a zero that passes.
package plan
