package yard

import (
	"context"
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"errors"
	"strings"
	"time"

	"github.com/google/uuid"

	"pegpour/engine/refusal"
)

// Role is what a device may do.
type Role string

// The roles: a crew measures and sends; the office also manages devices, marks
// quotes, reads the log and takes back-ups.
const (
	Crew   Role = "crew"
	Office Role = "office"
)

// CodeLife is how long a pairing code can be used.
const CodeLife = 10 * time.Minute

// Device is a phone or computer that may come in.
type Device struct {
	ID        string `json:"id"`
	Name      string `json:"name"`
	Role      Role   `json:"role"`
	Created   string `json:"created"`
	Seen      string `json:"seen"`
	Withdrawn string `json:"withdrawn"` // "" while it may come in
}

// ErrRefused: the code or token is unknown, used up, too old or withdrawn. It
// does not say which.
var ErrRefused = errors.New("refused: pair this device anew")

// codeLetters leaves out what is mistaken for something else when read aloud
// or from a dirty screen: I, L, O, U, 0 and 1.
const codeLetters = "23456789ABCDEFGHJKMNPQRSTVWXYZ"

const codeLength = 10 // 30^10 is 49 bits

// NewCode returns a pairing code that can be used once, until expires.
func (y *Yard) NewCode(ctx context.Context, role Role) (code string, expires time.Time, err error) {
	if role != Crew && role != Office {
		return "", expires, invalid("a role is {0} or {1}", refusal.Typed(string(Crew)), refusal.Typed(string(Office)))
	}
	var b strings.Builder
	random := make([]byte, 1)
	for b.Len() < codeLength {
		if _, err := rand.Read(random); err != nil {
			return "", expires, err
		}
		if n := int(random[0]); n < 240 { // a multiple of 30: no letter is likelier
			b.WriteByte(codeLetters[n%len(codeLetters)])
		}
	}
	code = b.String()
	expires = y.now().Add(CodeLife).UTC()
	err = y.update(ctx, func(s session) error {
		if err := s.exec("DELETE FROM codes WHERE expires < ?", y.now().Add(-24*time.Hour).UTC().
			Format(timeForm)); err != nil {
			return err
		}
		return s.exec("INSERT INTO codes (hash, role, expires, used) VALUES (?, ?, ?, '')", hashed(code), string(role),
			expires.Format(timeForm))
	})
	return code[:5] + "-" + code[5:], expires, err
}

// cleanCode takes a code as it was typed.
func cleanCode(typed string) string {
	return strings.Map(func(r rune) rune {
		if strings.ContainsRune(codeLetters, r) {
			return r
		}
		return -1
	}, strings.ToUpper(typed))
}

func hashed(secret string) string {
	sum := sha256.Sum256([]byte(secret))
	return hex.EncodeToString(sum[:])
}

// Pair uses up a code and returns a new device with its token, which is kept
// nowhere else. Errors: ErrRefused, *InvalidError.
func (y *Yard) Pair(ctx context.Context, code, name string) (Device, string, error) {
	if name = plain(name); name == "" {
		return Device{}, "", invalid("the device needs a name")
	}
	secret := make([]byte, 32)
	if _, err := rand.Read(secret); err != nil {
		return Device{}, "", err
	}
	token := base64.RawURLEncoding.EncodeToString(secret)
	d := Device{ID: uuid.NewString(), Name: name}
	err := y.update(ctx, func(s session) error {
		now := y.time()
		n, err := s.changed("UPDATE codes SET used = ? WHERE hash = ? AND used = '' AND expires > ?", now,
			hashed(cleanCode(code)), now)
		if err != nil {
			return err
		}
		if n != 1 {
			return ErrRefused
		}
		if err := s.row("SELECT role FROM codes WHERE hash = ?", []any{hashed(cleanCode(code))}, &d.Role); err != nil {
			return err
		}
		d.Created, d.Seen = now, now
		return s.exec("INSERT INTO devices (id, name, role, token, created, seen, withdrawn) VALUES (?, ?, ?, ?, ?, ?, '')",
			d.ID, d.Name, string(d.Role), hashed(token), now, now)
	})
	if err != nil {
		return Device{}, "", err
	}
	return d, token, nil
}

// seenEvery is how exactly it is kept when a device was last seen.
const seenEvery = 10 * time.Minute

// Device returns the device of a token. Errors: ErrRefused.
func (y *Yard) Device(ctx context.Context, token string) (Device, error) {
	var d Device
	err := y.view(ctx, func(s session) error {
		return s.row("SELECT id, name, role, created, seen, withdrawn FROM devices WHERE token = ? AND withdrawn = ''",
			[]any{hashed(token)},
			&d.ID, &d.Name, &d.Role, &d.Created, &d.Seen, &d.Withdrawn)
	})
	if errors.Is(err, ErrNotFound) {
		return Device{}, ErrRefused
	}
	if err != nil {
		return Device{}, err
	}
	seen, bad := time.Parse(timeForm, d.Seen)
	if since := y.now().Sub(seen); bad != nil || since > seenEvery || since < -seenEvery {
		// That it cannot be noted, as on a full disk, shuts nobody out: what is
		// here can still be read.
		_ = y.update(ctx, func(s session) error {
			return s.exec("UPDATE devices SET seen = ? WHERE id = ?", y.time(), d.ID)
		})
	}
	return d, nil
}

// Devices lists all, withdrawn ones too, the latest first.
func (y *Yard) Devices(ctx context.Context) ([]Device, error) {
	all := []Device{}
	err := y.view(ctx, func(s session) error {
		return s.rows("SELECT id, name, role, created, seen, withdrawn FROM devices ORDER BY created DESC, id", nil,
			func(scan func(...any) error) error {
				var d Device
				err := scan(&d.ID, &d.Name, &d.Role, &d.Created, &d.Seen, &d.Withdrawn)
				all = append(all, d)
				return err
			})
	})
	return all, err
}

// Withdraw shuts a device out from now on. Errors: ErrNotFound.
func (y *Yard) Withdraw(ctx context.Context, id string) error {
	return y.update(ctx, func(s session) error {
		var n int
		if err := s.row("SELECT 1 FROM devices WHERE id = ?", []any{id}, &n); err != nil {
			return err
		}
		return s.exec("UPDATE devices SET withdrawn = ? WHERE id = ? AND withdrawn = ''", y.time(), id)
	})
}

// ForgetDevice deletes what is kept of a device that was withdrawn: its name, when it
// came and was last seen, and in the audit log its name and the addresses it came from.
// What stays is its identity, a random number, beside what it sent and did. Errors:
// ErrNotFound, *InvalidError for one that may still come in.
func (y *Yard) ForgetDevice(ctx context.Context, id string) error {
	return y.update(ctx, func(s session) error {
		var withdrawn string
		if err := s.row("SELECT withdrawn FROM devices WHERE id = ? FOR UPDATE", []any{id}, &withdrawn); err != nil {
			return err
		}
		if withdrawn == "" {
			return invalid("this device may still come in: shut it out first")
		}
		if err := s.exec("DELETE FROM devices WHERE id = ?", id); err != nil {
			return err
		}
		return s.exec(`UPDATE audit SET address = '', subject = CASE
			WHEN action = 'paired' AND subject LIKE 'office %' THEN 'office' WHEN action = 'paired' THEN 'crew'
			WHEN action = 'left' THEN '' ELSE subject END WHERE device = ?`, id)
	})
}

// Entry is a line of the audit log: who did what. It never holds a token or a
// code.
type Entry struct {
	Number  int64  `json:"number"`
	At      string `json:"at"`
	Device  string `json:"device"`
	Address string `json:"address"`
	Action  string `json:"action"`
	Subject string `json:"subject"`
}

// Note adds to the audit log.
func (y *Yard) Note(ctx context.Context, e Entry) error {
	return y.update(ctx, func(s session) error {
		return s.exec("INSERT INTO audit (at, device, address, action, subject) VALUES (?, ?, ?, ?, ?)",
			y.time(), e.Device, plain(e.Address), plain(e.Action), plain(e.Subject))
	})
}

// Audit lists the log, the latest first; before is the number of the last one
// seen, 0 to begin.
func (y *Yard) Audit(ctx context.Context, before int64, limit int) ([]Entry, error) {
	query, args := "SELECT number, at, device, address, action, subject FROM audit", []any(nil)
	if before > 0 {
		query, args = query+" WHERE number < ?", []any{before}
	}
	all := []Entry{}
	err := y.view(ctx, func(s session) error {
		return s.rows(query+" ORDER BY number DESC LIMIT "+itoa(page(limit)), args, func(scan func(...any) error) error {
			var e Entry
			err := scan(&e.Number, &e.At, &e.Device, &e.Address, &e.Action, &e.Subject)
			all = append(all, e)
			return err
		})
	})
	return all, err
}
