package yard

import (
	"context"
	"errors"
	"strings"

	"github.com/google/uuid"

	"pegpour/engine/refusal"
)

// User is a named person to whom devices belong.
type User struct {
	ID    string `json:"id"`
	Name  string `json:"name"`
	Email string `json:"email"` // "" for one who does not sign in
	Role  Role   `json:"role"`  // of all devices of the person
	// SignsIn: the person signed in by the provider of identities.
	SignsIn   bool   `json:"signsIn"`
	Created   string `json:"created"`
	Seen      string `json:"seen"`      // when the person signed in last
	Withdrawn string `json:"withdrawn"` // "" while the person may come in
	Devices   int    `json:"devices"`   // that may come in
}

const userColumns = `SELECT id, name, email, role, issuer, created, seen, withdrawn,
	(SELECT COUNT(*) FROM devices WHERE devices.person = people.id AND devices.withdrawn = '') FROM people`

func scanUser(scan func(...any) error) (User, error) {
	var u User
	var issuer string
	err := scan(&u.ID, &u.Name, &u.Email, &u.Role, &issuer, &u.Created, &u.Seen, &u.Withdrawn, &u.Devices)
	u.SignsIn = issuer != ""
	return u, err
}

func checkUserRole(role Role) error {
	if role != Crew && role != Office && role != Reader {
		return invalid("a role is {0}, {1} or {2}", refusal.Typed(string(Crew)), refusal.Typed(string(Office)),
			refusal.Typed(string(Reader)))
	}
	return nil
}

// Users lists the people, by name.
func (y *Yard) Users(ctx context.Context) ([]User, error) {
	all := []User{}
	err := y.view(ctx, func(s session) error {
		all = all[:0]
		return s.rows(userColumns+" ORDER BY name, id", nil, func(scan func(...any) error) error {
			u, err := scanUser(scan)
			all = append(all, u)
			return err
		})
	})
	return all, err
}

func readUser(s session, where string, args ...any) (User, error) {
	u, missing := User{}, ErrNotFound
	err := s.rows(userColumns+" WHERE "+where, args, func(scan func(...any) error) error {
		u, missing = scanUser(scan)
		return missing
	})
	return u, errors.Join(err, missing)
}

// AddUser adds a person. Who has an address of mail and signs in with it later is the
// same person. Errors: *InvalidError.
func (y *Yard) AddUser(ctx context.Context, name, email string, role Role) (User, error) {
	name, email = plain(name), strings.ToLower(plain(email))
	if name == "" {
		return User{}, invalid("a person needs a name")
	}
	if err := checkUserRole(role); err != nil {
		return User{}, err
	}
	var u User
	id := uuid.NewString()
	err := y.update(ctx, func(s session) error {
		if email != "" {
			if _, err := readUser(s, "email = ?", email); !errors.Is(err, ErrNotFound) {
				return errors.Join(err, invalidIf(err == nil, "somebody has this address already"))
			}
		}
		err := s.exec(`INSERT INTO people (id, name, email, role, issuer, subject, created, seen, withdrawn)
			VALUES (?, ?, ?, ?, '', ?, ?, '', '')`, id, name, email, string(role), id, y.time())
		if err == nil {
			u, err = readUser(s, "id = ?", id)
		}
		return err
	})
	return u, err
}

func invalidIf(is bool, words string) error {
	if is {
		return invalid(words)
	}
	return nil
}

// UserChange says what of a person is to be changed; nil leaves it.
type UserChange struct {
	Name *string `json:"name"`
	Role *Role   `json:"role"`
	// Withdrawn shuts the person out with all devices, or lets the person in again.
	Withdrawn *bool `json:"withdrawn"`
}

// ChangeUser changes a person. Errors: ErrNotFound, *InvalidError.
func (y *Yard) ChangeUser(ctx context.Context, id string, change UserChange) (User, error) {
	var u User
	err := y.update(ctx, func(s session) error {
		if _, err := readUser(s, "id = ?", id); err != nil {
			return err
		}
		set := func(column string, value any) error {
			return s.exec("UPDATE people SET "+column+" = ? WHERE id = ?", value, id)
		}
		var err error
		if change.Name != nil {
			if plain(*change.Name) == "" {
				return invalid("a person needs a name")
			}
			err = set("name", plain(*change.Name))
		}
		if change.Role != nil && err == nil {
			if err = checkUserRole(*change.Role); err == nil {
				err = set("role", string(*change.Role))
			}
		}
		if change.Withdrawn != nil && err == nil {
			at := ""
			if *change.Withdrawn {
				at = y.time()
			}
			err = set("withdrawn", at)
		}
		if err == nil {
			u, err = readUser(s, "id = ?", id)
		}
		return err
	})
	return u, err
}

// Identified is what a provider of identities says of somebody.
type Identified struct {
	Issuer, Subject string
	Name, Email     string // Email only where the provider has verified it
}

// SignIn finds the person whom a provider of identities names, adds one who comes for
// the first time with the role given ("" for nobody's), and returns a pairing code for
// a device of that person. Errors: ErrRefused for one who may not come in.
func (y *Yard) SignIn(ctx context.Context, who Identified, role Role) (code string, u User, err error) {
	who.Name, who.Email = plain(who.Name), strings.ToLower(plain(who.Email))
	if who.Name == "" {
		who.Name = who.Email
	}
	id := uuid.NewString()
	err = y.update(ctx, func(s session) error {
		u, err = readUser(s, "issuer = ? AND subject = ?", who.Issuer, who.Subject)
		if errors.Is(err, ErrNotFound) && who.Email != "" {
			// Whom the office added by the address of mail.
			if u, err = readUser(s, "email = ? AND issuer = ''", who.Email); err == nil {
				err = s.exec("UPDATE people SET issuer = ?, subject = ? WHERE id = ?", who.Issuer, who.Subject, u.ID)
			}
		}
		if errors.Is(err, ErrNotFound) && role != "" && who.Name != "" {
			u = User{ID: id}
			err = s.exec(`INSERT INTO people (id, name, email, role, issuer, subject, created, seen, withdrawn)
				VALUES (?, ?, ?, ?, ?, ?, ?, '', '')`, id, who.Name, who.Email, string(role), who.Issuer, who.Subject, y.time())
		}
		if errors.Is(err, ErrNotFound) || err == nil && u.Withdrawn != "" {
			return ErrRefused
		}
		if err != nil {
			return err
		}
		if err := s.exec("UPDATE people SET seen = ? WHERE id = ?", y.time(), u.ID); err != nil {
			return err
		}
		u, err = readUser(s, "id = ?", u.ID)
		return err
	})
	if err != nil {
		return "", u, err
	}
	code, _, err = y.NewCodeFor(ctx, CodeFor{Role: u.Role, Person: u.ID})
	return code, u, err
}

// BeginSignIn keeps what a sign-in that begins is checked by when it ends, on whichever
// server that is.
func (y *Yard) BeginSignIn(ctx context.Context, state, nonce, verifier string) error {
	return y.update(ctx, func(s session) error {
		if err := s.exec("DELETE FROM signins WHERE expires < ?", y.time()); err != nil {
			return err
		}
		return s.exec("INSERT INTO signins (state, nonce, verifier, expires) VALUES (?, ?, ?, ?)", hashed(state), nonce, verifier,
			y.now().Add(CodeLife).UTC().Format(timeForm))
	})
}

// EndSignIn uses it up. Errors: ErrRefused.
func (y *Yard) EndSignIn(ctx context.Context, state string) (nonce, verifier string, err error) {
	err = y.update(ctx, func(s session) error {
		err := s.row("SELECT nonce, verifier FROM signins WHERE state = ? AND expires > ?", []any{hashed(state), y.time()}, &nonce,
			&verifier)
		if errors.Is(err, ErrNotFound) {
			return ErrRefused
		}
		if err != nil {
			return err
		}
		n, err := s.changed("DELETE FROM signins WHERE state = ?", hashed(state))
		if err == nil && n != 1 {
			return ErrRefused
		}
		return err
	})
	return nonce, verifier, err
}
