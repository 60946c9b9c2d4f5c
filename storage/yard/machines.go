package yard

import (
	"context"
	"slices"
	"strings"

	"github.com/google/uuid"

	"pegpour/engine/refusal"
)

// The scopes of a machine: it reads sites, photos and changes; it sends sites and photos
// and changes the shop's rules; it sets marks; it takes back-ups.
const (
	ScopeRead   = "read"
	ScopeWrite  = "write"
	ScopeMark   = "mark"
	ScopeBackUp = "backup"
)

// Scopes lists them.
func Scopes() []string { return []string{ScopeRead, ScopeWrite, ScopeMark, ScopeBackUp} }

// AddMachine lets another program in and returns its key, which is kept nowhere else. It
// is listed and withdrawn as devices are; its key ends as theirs does, and is not renewed
// by itself. Errors: *InvalidError.
func (y *Yard) AddMachine(ctx context.Context, name string, scope []string) (Device, string, error) {
	if name = plain(name); name == "" {
		return Device{}, "", invalid("the device needs a name")
	}
	if len(scope) == 0 {
		return Device{}, "", invalid("a machine may one or more of: {0}", refusal.Each(Scopes()...))
	}
	for _, sc := range scope {
		if !slices.Contains(Scopes(), sc) {
			return Device{}, "", invalid("a machine may one or more of: {0}", refusal.Each(Scopes()...))
		}
	}
	token, err := newToken()
	if err != nil {
		return Device{}, "", err
	}
	d := Device{ID: uuid.NewString(), Name: name, Role: Machine, Scope: slices.Compact(slices.Sorted(slices.Values(scope)))}
	d.Created = y.time()
	d.Seen, d.Ends = d.Created, y.now().UTC().Add(y.keyLife).Format(timeForm)
	return d, token, y.update(ctx, func(s session) error {
		return s.exec(`INSERT INTO devices (id, name, role, token, created, seen, withdrawn, scope, issued)
			VALUES (?, ?, ?, ?, ?, ?, '', ?, ?)`, d.ID, d.Name, string(d.Role), hashed(token), d.Created, d.Seen,
			strings.Join(d.Scope, " "), d.Created)
	})
}
