package wind

import "pegpour/engine/refusal"

// ArgumentError says which value was refused, what was given and what is
// allowed. Every function here returns it, and only it, for values it cannot
// use.
type ArgumentError = refusal.ArgumentError
