package yard

import (
	"context"
	"errors"
	"path/filepath"
	"sync"
	"time"

	"pegpour/engine/refusal"
	"pegpour/storage"
)

// Limits are how much a yard takes, in all and of one device; 0 is without end. They are
// for the day on which a program or a person goes wrong, and far above what a crew sends.
// JSON names are those of the HTTP API.
type Limits struct {
	YardMegabytes   int `json:"yardMegabytes"`
	DeviceMegabytes int `json:"deviceMegabytes"`
	YardSites       int `json:"yardSites"`
	DeviceSites     int `json:"deviceSites"`
}

// What holds until an office sets it, and the most that can be set.
var defaultLimits = Limits{YardMegabytes: 1_000_000, DeviceMegabytes: 50_000, YardSites: 200_000, DeviceSites: 20_000}

// MaxLimit is the greatest limit beside none.
const MaxLimit = 1_000_000_000

// names are the rules that keep the limits.
func (l *Limits) names() map[string]*int {
	return map[string]*int{"limit-yard-megabytes": &l.YardMegabytes, "limit-device-megabytes": &l.DeviceMegabytes,
		"limit-yard-sites": &l.YardSites, "limit-device-sites": &l.DeviceSites}
}

// What can be full.
const (
	FullYard        = "yard-megabytes"
	FullYardSites   = "yard-sites"
	FullDevice      = "device-megabytes"
	FullDeviceSites = "device-sites"
	FullParts       = "device-parts"
	FullDisk        = "yard-disk" // the limit is how many megabytes are to stay free
)

// The limits of photos that were begun and are not whole. What is not gone on with is let
// go after a time.
const (
	MaxParts  = 64 // of a device
	partsLife = 7 * 24 * time.Hour
)

// nearlyFull is from which share of a limit on it is told, in percent.
const nearlyFull = 90

// QuotaError refuses what goes beyond one of the limits.
type QuotaError struct {
	What  string // one of the constants
	Limit int
}

// Error says what to do.
func (e *QuotaError) Error() string { return e.Refusal().String() }

// Refusal is the sentence.
func (e *QuotaError) Refusal() refusal.Message {
	most := refusal.Count(e.Limit)
	switch e.What {
	case FullYard:
		return refusal.Say("the yard takes no more than {0} megabytes: the office can allow more, or delete sites", most)
	case FullYardSites:
		return refusal.Say("the yard takes no more than {0} sites: the office can allow more, or delete some", most)
	case FullDevice:
		return refusal.Say("the yard takes no more than {0} megabytes of one device: the office can allow more", most)
	case FullDeviceSites:
		return refusal.Say("the yard takes no more than {0} sites of one device: the office can allow more", most)
	case FullDisk:
		return refusal.Say("less than {0} megabytes are free on the yard's disk: whoever runs the yard has to make room", most)
	}
	return refusal.Say("{0} photos of this device are begun and not whole: finish those first", most)
}

// used is what is kept of one device, or of all.
type used struct {
	bytes, sites int64
}

// quota knows how much is kept, as this server counted it last and took since. Counting
// goes through the whole yard and is done rarely, not with each upload: several servers
// may together take what one of them takes in a day too much.
type quota struct {
	mu      sync.Mutex
	counted time.Time // zero until it was
	read    time.Time // when limits was
	limits  Limits
	all     used
	devices map[string]used
}

// How often all is counted anew, and the limits are read that another server may have
// set.
const (
	countEvery = 24 * time.Hour
	readEvery  = time.Minute
)

// Limits reads the limits.
func (y *Yard) Limits(ctx context.Context) (Limits, error) {
	l := defaultLimits
	names := l.names()
	err := y.view(ctx, func(s session) error {
		return s.rows("SELECT name, value FROM rules", nil, func(scan func(...any) error) error {
			var name string
			var value int
			err := scan(&name, &value)
			if to := names[name]; to != nil {
				*to = value
			}
			return err
		})
	})
	if err == nil {
		y.quota.mu.Lock()
		y.quota.limits, y.quota.read = l, y.now()
		y.quota.mu.Unlock()
	}
	return l, err
}

// SetLimits sets all limits. Errors: *InvalidError.
func (y *Yard) SetLimits(ctx context.Context, l Limits) error {
	for _, value := range l.names() {
		if *value < 0 || *value > MaxLimit {
			return invalid("a limit is a number from 0, which is none, to {0}", refusal.Count(MaxLimit))
		}
	}
	err := y.update(ctx, func(s session) error {
		for name, value := range l.names() {
			if err := s.exec("INSERT INTO rules (name, value) VALUES (?, ?) ON CONFLICT (name) DO UPDATE SET value = excluded.value",
				name, *value); err != nil {
				return err
			}
		}
		return nil
	})
	if err == nil {
		_, err = y.Limits(ctx)
	}
	return err
}

// CountUse counts how much is kept of each device: documents and photos, these as large as
// they were said to be, and sites by whose device began them. Until it is called nothing
// is refused; Sweep does so once a day.
func (y *Yard) CountUse(ctx context.Context) error {
	var all used
	devices := map[string]used{}
	err := y.view(ctx, func(s session) error {
		for _, query := range []string{
			"SELECT device, COALESCE(SUM(LENGTH(text)), 0), 0 FROM revisions GROUP BY device",
			"SELECT device, COALESCE(SUM(size), 0), 0 FROM photos GROUP BY device",
			`SELECT r.device, 0, COUNT(DISTINCT r.site) FROM sites JOIN revisions r ON r.site = sites.id
				AND r.turn = (SELECT MIN(turn) FROM revisions WHERE site = sites.id) GROUP BY r.device`,
		} {
			if err := s.rows(query, nil, func(scan func(...any) error) error {
				var device string
				var more used
				err := scan(&device, &more.bytes, &more.sites)
				u := devices[device]
				devices[device] = used{u.bytes + more.bytes, u.sites + more.sites}
				all = used{all.bytes + more.bytes, all.sites + more.sites}
				return err
			}); err != nil {
				return err
			}
		}
		return nil
	})
	if err == nil {
		_, err = y.Limits(ctx)
	}
	if err != nil {
		return err
	}
	y.quota.mu.Lock()
	defer y.quota.mu.Unlock()
	y.quota.counted, y.quota.all, y.quota.devices = y.now(), all, devices
	return nil
}

// recount is CountUse where it is time, or much went.
func (y *Yard) recount(ctx context.Context, went bool) error {
	y.quota.mu.Lock()
	since := y.now().Sub(y.quota.counted)
	due := y.quota.counted.IsZero() || went || since >= countEvery || since < 0
	y.quota.mu.Unlock()
	if !due {
		return nil
	}
	return y.CountUse(ctx)
}

// full says which limit is met when a device sends so much more; nil for none.
func (q *quota) full(device string, more used) *QuotaError {
	q.mu.Lock()
	defer q.mu.Unlock()
	if q.counted.IsZero() {
		return nil
	}
	for what, m := range q.measures(device) {
		if m.limit > 0 && m.used+m.of(more) > m.limit {
			return &QuotaError{what, int(m.limit / m.unit)}
		}
	}
	return nil
}

// measure is one limit and how much of it is used.
type measure struct {
	used, limit, unit int64
	of                func(used) int64
}

const megabyte = 1_000_000

func (q *quota) measures(device string) map[string]measure {
	bytes := func(u used) int64 { return u.bytes }
	sites := func(u used) int64 { return u.sites }
	one := q.devices[device]
	return map[string]measure{
		FullYard:        {q.all.bytes, int64(q.limits.YardMegabytes) * megabyte, megabyte, bytes},
		FullYardSites:   {q.all.sites, int64(q.limits.YardSites), 1, sites},
		FullDevice:      {one.bytes, int64(q.limits.DeviceMegabytes) * megabyte, megabyte, bytes},
		FullDeviceSites: {one.sites, int64(q.limits.DeviceSites), 1, sites},
	}
}

// took counts what a device sent.
func (q *quota) took(device string, more used) {
	q.mu.Lock()
	defer q.mu.Unlock()
	if q.counted.IsZero() {
		return
	}
	u := q.devices[device]
	q.devices[device] = used{u.bytes + more.bytes, u.sites + more.sites}
	q.all = used{q.all.bytes + more.bytes, q.all.sites + more.sites}
}

// Nearly says which limit a device is nearest to, from nine tenths of it on, and how near
// in percent; "" for none.
func (y *Yard) Nearly(device string) (what string, percent int) {
	q := &y.quota
	q.mu.Lock()
	defer q.mu.Unlock()
	if q.counted.IsZero() {
		return "", 0
	}
	for w, m := range q.measures(device) {
		if m.limit == 0 {
			continue
		}
		if p := int(min(100, m.used*100/m.limit)); p >= nearlyFull && (p > percent || p == percent && w < what) {
			what, percent = w, p
		}
	}
	return what, percent
}

// DeviceUse is how much is kept of a device.
type DeviceUse struct {
	Device    string `json:"device"`
	Megabytes int64  `json:"megabytes"`
	Sites     int64  `json:"sites"`
}

// Use says how much is kept, in all under the device "", and of each device; as it was
// counted last, and nothing before it was.
func (y *Yard) Use() []DeviceUse {
	q := &y.quota
	q.mu.Lock()
	defer q.mu.Unlock()
	all := []DeviceUse{}
	if q.counted.IsZero() {
		return all
	}
	all = append(all, DeviceUse{"", q.all.bytes / megabyte, q.all.sites})
	for device, u := range q.devices {
		all = append(all, DeviceUse{device, u.bytes / megabyte, u.sites})
	}
	return all
}

// readLimits reads the limits again where it is time.
func (y *Yard) readLimits(ctx context.Context) error {
	y.quota.mu.Lock()
	since := y.now().Sub(y.quota.read)
	due := !y.quota.counted.IsZero() && (since >= readEvery || since < 0)
	y.quota.mu.Unlock()
	if !due {
		return nil
	}
	_, err := y.Limits(ctx)
	return err
}

// roomForRevision refuses a revision for which there is no room. One that is here already
// needs none, and a site that is here is not one more.
func (y *Yard) roomForRevision(ctx context.Context, device, site, name string, bytes int) error {
	if err := y.readLimits(ctx); err != nil {
		return err
	}
	disk := y.diskFull(false)
	full := y.quota.full(device, used{bytes: int64(bytes), sites: 1})
	if full == nil && disk == nil {
		return nil
	}
	return y.view(ctx, func(s session) error {
		err := s.row("SELECT 1 FROM revisions WHERE name = ?", []any{name}, new(int))
		if !errors.Is(err, ErrNotFound) {
			return err
		}
		if disk != nil {
			return disk
		}
		err = s.row("SELECT 1 FROM sites WHERE id = ?", []any{site}, new(int))
		if err == nil { // only the bytes are more
			if full = y.quota.full(device, used{bytes: int64(bytes)}); full == nil {
				return nil
			}
		} else if !errors.Is(err, ErrNotFound) {
			return err
		}
		return full
	})
}

// diskFull refuses what comes when the disk has little room, before it has none: what
// people measured and photographed waits on their phones then, and the yard can still do
// what makes room. Photos, which are large, are refused first, documents at a quarter of
// that.
func (y *Yard) diskFull(photo bool) error {
	least, folders := y.leastRoom/4, []string{}
	if !y.postgres {
		folders = append(folders, filepath.Dir(y.file))
	}
	if photo {
		least = y.leastRoom
		if y.objects != nil && y.objects.folder != "" {
			folders = append(folders, y.objects.folder)
		}
	}
	for _, folder := range folders {
		if free := y.room(folder); least > 0 && free >= 0 && free < least {
			return &QuotaError{FullDisk, int(least >> 20)}
		}
	}
	return nil
}

// begins is 1 for a revision that is likely to have begun a site, and 0 for others; what
// is counted anew is exact.
func begins(heads []storage.Revision, name storage.Revision, parents []storage.Revision) int64 {
	if len(parents) == 0 && len(heads) == 1 && heads[0] == name {
		return 1
	}
	return 0
}

// roomForPhoto refuses the beginning of a photo for which there is no room, or which is one
// too many of those that are not whole. begun: there was nothing of it.
func (y *Yard) roomForPhoto(ctx context.Context, device, id string, start, size int64) (begun bool, err error) {
	disk := y.diskFull(true)
	if start > 0 {
		return false, disk
	}
	if err := y.readLimits(ctx); err != nil {
		return false, err
	}
	full := y.quota.full(device, used{bytes: size})
	err = y.view(ctx, func(s session) error {
		err := s.row("SELECT 1 FROM photos WHERE id = ?", []any{id}, new(int))
		if !errors.Is(err, ErrNotFound) {
			return err
		}
		if disk != nil {
			return disk
		}
		begun = true
		parts := 0
		if err := s.row("SELECT COUNT(*) FROM photos WHERE device = ? AND complete = 0 AND have > 0", []any{device},
			&parts); err != nil {
			return err
		}
		if parts >= MaxParts {
			return &QuotaError{FullParts, MaxParts}
		}
		if full != nil {
			return full
		}
		return nil
	})
	return begun, err
}

// dropParts lets go of photos that were begun and not gone on with, and says how many.
func (y *Yard) dropParts(ctx context.Context) (n int, err error) {
	limit := y.now().Add(-partsLife).UTC().Format(timeForm)
	err = y.update(ctx, func(s session) error {
		old, err := s.texts("SELECT id FROM photos WHERE complete = 0 AND have > 0 AND received <= ?", limit)
		if err != nil {
			return err
		}
		n = len(old)
		return dropPhotos(s, old)
	})
	return n, err
}
