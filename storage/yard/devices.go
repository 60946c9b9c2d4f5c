package yard

import (
	"cmp"
	"context"
	"crypto/hmac"
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
// quotes, reads the log and takes back-ups; a reader looks at every site and changes
// nothing. A machine is another program: it may what its scope says.
const (
	Crew    Role = "crew"
	Office  Role = "office"
	Reader  Role = "reader"
	Machine Role = "machine"
)

// CodeLife is how long a pairing code can be used. Where the clock is put back
// meanwhile, or another server's is behind, it is up to twice as long: a code that ends
// later than that is none.
const CodeLife = 10 * time.Minute

// Device is a phone or computer that may come in.
type Device struct {
	ID        string `json:"id"`
	Name      string `json:"name"`
	Role      Role   `json:"role"`
	Created   string `json:"created"`
	Seen      string `json:"seen"`
	Withdrawn string `json:"withdrawn"` // "" while it may come in
	Ends      string `json:"ends"`      // when its key ends unless it is seen before
	Person    string `json:"person"`    // identity of whose it is, "" for nobody's
	By        string `json:"by"`        // that person's name
	Crew      string `json:"crew"`      // the crew it belongs to, "" for none
	// Scope is what a machine may, of Scopes.
	Scope []string `json:"scope"`

	issued string // when its key was made, "" for when it was paired
	shares bool   // some site is some crew's only
}

const deviceColumns = `devices.id, devices.name, COALESCE(people.role, devices.role), devices.created, devices.seen,
	devices.withdrawn, devices.person, COALESCE(people.name, ''), devices.crew, devices.scope, devices.issued
	FROM devices LEFT JOIN people ON people.id = devices.person`

func (y *Yard) scanDevice(scan func(...any) error, more ...any) (Device, error) {
	var d Device
	var scope string
	err := scan(append([]any{&d.ID, &d.Name, &d.Role, &d.Created, &d.Seen, &d.Withdrawn, &d.Person, &d.By, &d.Crew, &scope,
		&d.issued}, more...)...)
	d.Scope = strings.Fields(scope)
	if seen, bad := time.Parse(timeForm, d.Seen); bad == nil {
		d.Ends = seen.Add(y.keyLife).Format(timeForm)
	}
	return d, err
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
	return y.NewCodeFor(ctx, CodeFor{Role: role})
}

// CodeFor says what becomes of the device that uses a code up.
type CodeFor struct {
	Role   Role
	Crew   string // the crew it joins, "" for none
	Person string // identity of whose it is, "" for nobody's
}

// NewCodeFor is NewCode for a device of a crew or of a person. Errors: ErrNotFound for a
// person that is not here, *InvalidError.
func (y *Yard) NewCodeFor(ctx context.Context, of CodeFor) (code string, expires time.Time, err error) {
	if of.Role != Crew && of.Role != Office && of.Role != Reader {
		return "", expires, invalid("a role is {0}, {1} or {2}", refusal.Typed(string(Crew)), refusal.Typed(string(Office)),
			refusal.Typed(string(Reader)))
	}
	of.Crew = plain(of.Crew)
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
		if err := y.dropCodes(s); err != nil {
			return err
		}
		if of.Person != "" {
			if err := s.row("SELECT 1 FROM people WHERE id = ? AND withdrawn = ''", []any{of.Person}, new(int)); err != nil {
				return err
			}
		}
		return s.exec("INSERT INTO codes (hash, role, expires, used, person, crew) VALUES (?, ?, ?, '', ?, ?)", hashed(code),
			string(of.Role), expires.Format(timeForm), of.Person, of.Crew)
	})
	return code[:5] + "-" + code[5:], expires, err
}

// live is what the end of a code lies between that can be used.
func (y *Yard) live() (from, to string) {
	now := y.now().UTC()
	return now.Format(timeForm), now.Add(2 * CodeLife).Format(timeForm)
}

// dropCodes drops old codes, and those of a time to which the clock will come a second
// time.
func (y *Yard) dropCodes(s session) error {
	_, to := y.live()
	return s.exec("DELETE FROM codes WHERE expires < ? OR expires > ?",
		y.now().Add(-24*time.Hour).UTC().Format(timeForm), to)
}

// CleanCode takes a code as it was typed: two that it makes equal are the same code.
func CleanCode(typed string) string {
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
// nowhere else. A name that another device has that may come in gets a number behind it.
// Errors: ErrRefused, *InvalidError.
func (y *Yard) Pair(ctx context.Context, code, name string) (Device, string, error) {
	if name = plain(name); name == "" {
		return Device{}, "", invalid("the device needs a name")
	}
	token, err := newToken()
	if err != nil {
		return Device{}, "", err
	}
	d := Device{ID: uuid.NewString(), Name: name, Scope: []string{}}
	hash := hashed(CleanCode(code))
	from, to := y.live()
	const usable = " hash = ? AND used = '' AND expires > ? AND expires <= ?"
	// Who tries codes does not keep others from writing.
	err = y.view(ctx, func(s session) error {
		return s.row("SELECT 1 FROM codes WHERE"+usable, []any{hash, from, to}, new(int))
	})
	if errors.Is(err, ErrNotFound) {
		err = ErrRefused
	}
	if err != nil {
		return Device{}, "", err
	}
	err = y.update(ctx, func(s session) error {
		now := y.time()
		n, err := s.changed("UPDATE codes SET used = ? WHERE"+usable, now, hash, from, to)
		if err != nil {
			return err
		}
		if n != 1 {
			return ErrRefused
		}
		if err := s.row(`SELECT COALESCE(people.role, codes.role), person, COALESCE(people.name, ''), crew FROM codes
			LEFT JOIN people ON people.id = codes.person WHERE hash = ?`, []any{hash},
			&d.Role, &d.Person, &d.By, &d.Crew); err != nil {
			return err
		}
		// One at a time, so that of two that come at once with one name the second sees the first.
		if err := s.exec("UPDATE counters SET value = value WHERE name = 'turn'"); err != nil {
			return err
		}
		taken, err := s.texts("SELECT name FROM devices WHERE withdrawn = ''")
		if err != nil {
			return err
		}
		d.Name = freeName(name, taken)
		d.Created, d.Seen, d.issued, d.Ends = now, now, now, y.now().UTC().Add(y.keyLife).Format(timeForm)
		return s.exec(`INSERT INTO devices (id, name, role, token, created, seen, withdrawn, person, crew, issued)
			VALUES (?, ?, ?, ?, ?, ?, '', ?, ?, ?)`, d.ID, d.Name, string(d.Role), hashed(token), now, now, d.Person, d.Crew, now)
	})
	if err != nil {
		return Device{}, "", err
	}
	return d, token, nil
}

// seenEvery is how exactly it is kept when a device was last seen.
const seenEvery = 10 * time.Minute

// The life of a key to the yard.
const (
	// KeyLife is how long a device may be unseen before its key ends.
	KeyLife = 180 * 24 * time.Hour
	// renewAfter is how old a key becomes before a new one is offered.
	renewAfter = 30 * 24 * time.Hour
	// formerLife is how long a key is taken after the next one was used: requests that
	// are under way still have it.
	formerLife = 10 * time.Minute
)

// newToken returns 256 random bits.
func newToken() (string, error) {
	secret := make([]byte, 32)
	_, err := rand.Read(secret)
	return base64.RawURLEncoding.EncodeToString(secret), err
}

// Device returns the device of a token. Errors: ErrRefused.
func (y *Yard) Device(ctx context.Context, token string) (Device, error) {
	var d Device
	hash, following := hashed(token), false
	err := y.view(ctx, func(s session) error {
		read := func(where string, args ...any) error {
			missing := ErrNotFound
			var shares int
			var gone string
			err := s.rows(`SELECT CASE WHEN EXISTS (SELECT 1 FROM site_crews) THEN 1 ELSE 0 END, COALESCE(people.withdrawn, ''), `+
				deviceColumns+" WHERE devices.withdrawn = '' AND "+where, args, func(scan func(...any) error) error {
				d, missing = y.scanDevice(func(to ...any) error { return scan(append([]any{&shares, &gone}, to...)...) })
				d.shares = shares != 0
				if missing == nil && gone != "" {
					missing = ErrRefused // its person was shut out
				}
				return missing
			})
			return errors.Join(err, missing)
		}
		err := read("devices.token = ?", hash)
		if errors.Is(err, ErrNotFound) {
			if err = read("devices.following = ?", hash); err == nil {
				following = true
			}
		}
		if errors.Is(err, ErrNotFound) {
			err = read("devices.former = ? AND devices.issued > ?", hash, y.now().Add(-formerLife).UTC().Format(timeForm))
		}
		return err
	})
	if errors.Is(err, ErrNotFound) || errors.Is(err, ErrRefused) {
		return Device{}, ErrRefused
	}
	if err != nil {
		return Device{}, err
	}
	seen, bad := time.Parse(timeForm, d.Seen)
	since := y.now().Sub(seen)
	if bad == nil && since > y.keyLife {
		return Device{}, ErrRefused // it ended
	}
	if following {
		// The device has the new key: from now on it is the key. That it cannot be noted
		// shuts nobody out.
		_ = y.update(ctx, func(s session) error {
			return s.exec(`UPDATE devices SET former = token, token = following, following = '', renewal = '', issued = ?
				WHERE id = ? AND following = ?`, y.time(), d.ID, hash)
		})
	}
	if bad != nil || since > seenEvery || since < -seenEvery {
		// That it cannot be noted, as on a full disk, shuts nobody out: what is
		// here can still be read.
		_ = y.update(ctx, func(s session) error {
			return s.exec("UPDATE devices SET seen = ? WHERE id = ?", y.time(), d.ID)
		})
	}
	return d, nil
}

// Renewal returns the key that follows on the token of a device, "" while the token is
// young. Until it is used once the token stays good, so that an answer that is lost
// shuts nobody out; asked again, the yard gives the same one, also where several
// requests ask at once.
func (y *Yard) Renewal(ctx context.Context, d Device, token string) (string, error) {
	issued, err := time.Parse(timeForm, cmp.Or(d.issued, d.Created))
	if err != nil || y.now().Sub(issued) < renewAfter || d.Role == Machine {
		return "", nil
	}
	secret, err := newToken()
	if err != nil {
		return "", err
	}
	next := ""
	err = y.update(ctx, func(s session) error {
		if err := s.exec("UPDATE devices SET renewal = ? WHERE id = ? AND renewal = '' AND token = ?", secret, d.ID,
			hashed(token)); err != nil {
			return err
		}
		var held string
		err := s.row("SELECT renewal FROM devices WHERE id = ? AND token = ?", []any{d.ID, hashed(token)}, &held)
		if errors.Is(err, ErrNotFound) {
			return nil // it came with the next one already
		}
		if err != nil {
			return err
		}
		mac := hmac.New(sha256.New, []byte(held))
		mac.Write([]byte(token))
		next = base64.RawURLEncoding.EncodeToString(mac.Sum(nil))
		return s.exec("UPDATE devices SET following = ? WHERE id = ? AND following <> ?", hashed(next), d.ID, hashed(next))
	})
	return next, err
}

// Devices lists all, withdrawn ones too, the latest first.
func (y *Yard) Devices(ctx context.Context) ([]Device, error) {
	all := []Device{}
	err := y.view(ctx, func(s session) error {
		return s.rows("SELECT "+deviceColumns+" ORDER BY devices.created DESC, devices.id", nil,
			func(scan func(...any) error) error {
				d, err := y.scanDevice(scan)
				all = append(all, d)
				return err
			})
	})
	return all, err
}

// DeviceChange says what of a device is to be changed; nil leaves it.
type DeviceChange struct {
	Crew   *string `json:"crew"`
	Person *string `json:"person"` // identity of whose it is from now on, "" for nobody's
}

// ChangeDevice puts a device into a crew, or says whose it is. Whose it is can be said
// once: what was done with it before would else be another person's. Errors: ErrNotFound,
// *InvalidError.
func (y *Yard) ChangeDevice(ctx context.Context, id string, change DeviceChange) (Device, error) {
	var d Device
	err := y.update(ctx, func(s session) error {
		read := func() error {
			missing := ErrNotFound
			err := s.rows("SELECT "+deviceColumns+" WHERE devices.id = ?", []any{id}, func(scan func(...any) error) error {
				d, missing = y.scanDevice(scan)
				return missing
			})
			return errors.Join(err, missing)
		}
		if err := read(); err != nil {
			return err
		}
		if change.Person != nil && *change.Person != d.Person {
			if d.Person != "" {
				return invalid("this device is somebody's: shut it out and pair it anew")
			}
			if err := s.row("SELECT 1 FROM people WHERE id = ? AND withdrawn = ''", []any{*change.Person}, new(int)); err != nil {
				return err
			}
			if err := s.exec("UPDATE devices SET person = ? WHERE id = ?", *change.Person, id); err != nil {
				return err
			}
		}
		if change.Crew != nil {
			if err := s.exec("UPDATE devices SET crew = ? WHERE id = ?", plain(*change.Crew), id); err != nil {
				return err
			}
		}
		return read()
	})
	return d, err
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
	Person  string `json:"person"` // identity of who did it, "" for a device that is nobody's
	By      string `json:"by"`     // that person's name
	// Times is how often: above 1 for refusals, of which those of an hour that are alike
	// are one line. At is the first.
	Times int64 `json:"times"`
}

// Note adds to the audit log.
func (y *Yard) Note(ctx context.Context, e Entry) error {
	return y.update(ctx, func(s session) error {
		return s.exec(`INSERT INTO audit (at, device, address, action, subject, person) VALUES (?, ?, ?, ?, ?,
			COALESCE((SELECT person FROM devices WHERE id = ?), ''))`,
			y.time(), e.Device, plain(e.Address), plain(e.Action), plain(e.Subject), e.Device)
	})
}

// Audit lists the log, the latest first; before is the number of the last one
// seen, 0 to begin.
func (y *Yard) Audit(ctx context.Context, before int64, limit int) ([]Entry, error) {
	query, args := `SELECT number, at, device, address, action, audit.subject, person, COALESCE(people.name, ''), times
		FROM audit LEFT JOIN people ON people.id = audit.person`, []any(nil)
	if before > 0 {
		query, args = query+" WHERE number < ?", []any{before}
	}
	all := []Entry{}
	err := y.view(ctx, func(s session) error {
		return s.rows(query+" ORDER BY number DESC LIMIT "+itoa(page(limit)), args, func(scan func(...any) error) error {
			var e Entry
			err := scan(&e.Number, &e.At, &e.Device, &e.Address, &e.Action, &e.Subject, &e.Person, &e.By, &e.Times)
			all = append(all, e)
			return err
		})
	})
	return all, err
}
