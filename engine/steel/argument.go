package steel

import "pegpour/engine/refusal"

// ArgumentError says which value was refused, what was given and what is
// allowed. Every function here returns it for values it cannot use; Torsion and
// Plastic refuse a shape with a sentence of their own.
type ArgumentError = refusal.ArgumentError
