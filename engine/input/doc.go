// Package input says why a value was refused that a person or a document gave:
// which field or rule, what was given, what is allowed. It knows neither the
// survey nor the rules; those name themselves in a [FieldError].
//
// # A refused value stops nothing
//
// It counts as not measured, or as the rule's default, and what is made beside it
// is whole: a drawing must not vanish because one size is half typed. [Refusals]
// then names every value that was refused, so that a screen can say so at the
// field. It would change if a value were asked for that nothing can stand in for.
package input
