// Package concrete gives volumes of concrete in the shapes a gate footing is
// poured in, and what must be bought, mixed, bent, boxed and carted away for
// them.
//
// Lengths are mm, areas mm², volumes mm³ and masses kg unless a name says
// otherwise. Every function refuses what is not finite or out of its range with
// a *ArgumentError. Counts of bags, batches and loads are rounded up, with a
// billionth of one left out of account, so that exactly three bags are three.
//
// Figures of the trade stand as named constants with their sources; shops
// override them in the engine's practice, nothing here reads one by itself.
package concrete
