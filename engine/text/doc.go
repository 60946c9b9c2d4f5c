// Package text holds what the engine says: sentences with figures in them, and
// the dimension of each figure. It knows no language but English and no units but
// the engine's own; screens and sheets write a [Text] in the user's.
//
// # A sentence keeps its figures apart
//
// A [Text] is a format and its arguments, never a finished string, so that any
// language can order them and any screen can choose their units. The format is
// whole sentences: said pieces are never joined. What a person wrote is
// [Typed] and is not looked up. It would change if a language needed more of a
// sentence than the places of its figures.
package text
