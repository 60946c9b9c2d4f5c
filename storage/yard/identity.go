package yard

import (
	"context"

	"github.com/google/uuid"
)

// Identity says which yard this is, for devices that have to know whether what
// they sent before is here.
type Identity struct {
	// Yard is the same for a yard and all that was restored from its back-ups.
	Yard string `json:"yard"`
	// Generation is new with each restore: what came after the back-up is gone.
	Generation string `json:"generation"`
}

// Identity returns who this yard is.
func (y *Yard) Identity(ctx context.Context) (Identity, error) {
	var who Identity
	err := y.view(ctx, func(s session) error {
		return s.row(`SELECT y.value, g.value FROM identity y, identity g
			WHERE y.name = 'yard' AND g.name = 'generation'`, nil, &who.Yard, &who.Generation)
	})
	return who, err
}

// becomeSomebody gives a yard that has none an identity.
func (y *Yard) becomeSomebody(s session) error {
	if err := s.exec("INSERT INTO identity (name, value) VALUES ('yard', ?)", uuid.NewString()); err != nil {
		return err
	}
	return s.exec("INSERT INTO identity (name, value) VALUES ('generation', ?)", uuid.NewString())
}

// renew begins a new generation.
func renew(s session) error {
	return s.exec("UPDATE identity SET value = ? WHERE name = 'generation'", uuid.NewString())
}
