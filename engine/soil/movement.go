package soil

import "pegpour/engine/refusal"

// LateralStiffness is how hard ground pushes back on a rigid post, as springs
// beside it: N for each mm of its length and each mm that it moves.
//
//	k(z) = Even + Growing·z,  z the depth, mm
type LateralStiffness struct {
	Even    float64 // N/mm², 0 to 1000
	Growing float64 // N/mm³, 0 to 1
}

// Constants of [Class.LateralStiffness].
const (
	plate = 304.8 // mm, the foot that a modulus of subgrade reaction is measured on
	// sandGrows and gravelGrows are the constant of horizontal subgrade reaction of
	// loose and of medium sand above water, N/mm³.
	sandGrows   = 2.2e-3
	gravelGrows = 6.6e-3
)

// LateralStiffness is the low end of what a class has. Clay and rock have the same
// at every depth, sand and gravel more the deeper.
//
//	clay: k = k_s·300 mm/1.5;  sand: k = n_h·z
//
// Source: K. Terzaghi, Evaluation of coefficients of subgrade reaction,
// Géotechnique 5 (1955) (memory).
func (c *Class) LateralStiffness() LateralStiffness {
	switch c.Key {
	case "sand":
		return LateralStiffness{Growing: sandGrows}
	case "gravel":
		return LateralStiffness{Growing: gravelGrows}
	}
	return LateralStiffness{Even: c.SubgradeModulus.Low * plate / 1.5}
}

// Movement is how a rigid post moves in the ground under a push.
type Movement struct {
	AtGround float64 // mm, along the push
	Turn     float64 // rad, its lean
}

// Movement finds how a rigid post of a depth (mm) moves when it is pushed at its
// Height by its Force: its lean is what the springs beside it give in balance.
//
//	P = ∫ k(z)(y − θz) dz,  −P·h = ∫ k(z)(y − θz)·z dz,  z from 0 to d
//
// Width, Lateral and Factor are not looked at. Refused: a depth outside 50 to
// [MaxEmbedment] mm, ground without stiffness.
//
// Source: statics; for an even and for a growing stiffness the closed forms of
// B. B. Broms, Lateral resistance of piles (1964) (memory), which the test has.
func (p EmbeddedPost) Movement(k LateralStiffness, depth float64) (Movement, error) {
	if err := refusal.First(
		refusal.Allow("sideways force", p.Force, 0, 1e6, "N"),
		refusal.Allow("height of the force", p.Height, 0, 20000, "mm"),
		refusal.Allow("embedment", depth, 50, MaxEmbedment, "mm"),
		refusal.Allow("lateral stiffness", k.Even, 0, 1000, "N/mm²"),
		refusal.Allow("growth of lateral stiffness", k.Growing, 0, 1, "N/mm³"),
		refusal.Allow("lateral stiffness at the foot", k.Even+k.Growing*depth, 1e-6, 1e5, "N/mm²"),
	); err != nil {
		return Movement{}, err
	}
	d := depth
	whole := k.Even*d + k.Growing*d*d/2
	first := k.Even*d*d/2 + k.Growing*d*d*d/3
	second := k.Even*d*d*d/3 + k.Growing*d*d*d*d/4
	// P = whole·y − first·θ;  −P·h = first·y − second·θ
	det := first*first - whole*second
	return Movement{AtGround: p.Force * (-second - first*p.Height) / det,
		Turn: p.Force * (-whole*p.Height - first) / det}, nil
}
