package storage

import (
	"cmp"
	"context"
	"maps"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"
)

// noted is a Backend that keeps in memory what sync looks at again and again: the lines
// of the list, which photos are here, and small records of the exchange. A look then
// costs what changed since the last one, not what is there.
//
// Each keeper leaves a stamp with every change of its own, in the same transaction.
// What is in memory counts as long as the stamps on the disk are those it was read
// under; the changes of this keeper are made in memory too. A tab of an older program
// leaves no stamp: what it tells of its changes, and time, make an end of what is in
// memory.
type noted struct {
	Backend
	tab string

	mu     sync.Mutex
	stamps int            // given out so far
	told   map[string]int // own changes that were told and not heard of yet, by site
	memory *inMemory      // nil: nothing counts
}

// stampKey begins the key, in TableExchange, of a keeper's last stamp.
const stampKey = "stamp/"

// stampsKept is how many keepers' stamps may lie there before those of others go.
const stampsKept = 16

// notedFor is how long what is in memory counts at most.
const notedFor = 15 * time.Minute

// inMemory is one state of the store. What was given out of it is not written to any
// more, but copied first.
type inMemory struct {
	read    time.Time
	stamps  []Record
	sites   []*InventorySite // by identity
	photos  map[string]bool
	records map[string]map[string][]byte // by the start of their keys
	given   map[string]bool              // what was given out: "sites", "photos", the starts of keys
}

func newNoted(b Backend) *noted {
	n := &noted{Backend: b, tab: NewID(), told: map[string]int{}}
	b.Watch(n.heard)
	return n
}

// heard lets go of what is in memory when somebody else tells of a change.
func (n *noted) heard(id string) {
	n.mu.Lock()
	defer n.mu.Unlock()
	if n.told[id] > 1 {
		n.told[id]--
		return
	}
	if n.told[id] == 1 {
		delete(n.told, id)
		return
	}
	n.memory = nil
}

// Announce implements Backend.
func (n *noted) Announce(id string) {
	n.mu.Lock()
	n.told[id]++
	n.mu.Unlock()
	n.Backend.Announce(id)
}

// Update implements Backend.
func (n *noted) Update(ctx context.Context, do func(Tx) error) error {
	tx := &notedTx{n: n}
	err := n.Backend.Update(ctx, func(inner Tx) error {
		tx.Tx = inner
		return do(tx)
	})
	n.mu.Lock()
	defer n.mu.Unlock()
	// One that failed but was kept all the same left a stamp that memory does not have.
	if err == nil && tx.stamp > 0 && n.memory != nil && !n.memory.apply(stampKey+n.tab, tx.stamp, tx.changes) {
		n.memory = nil
	}
	return err
}

// notedTx takes note of the changes that a transaction makes.
type notedTx struct {
	Tx
	n       *noted
	stamp   int // 0: nothing changed that is kept in memory
	changes []notedChange
}

type notedChange struct {
	table Table
	key   string
	value []byte // nil: deleted
}

func (x *notedTx) note(t Table, key string, value []byte) error {
	if t != TableSummaries && t != TablePhotoInfo && t != TableExchange {
		return nil
	}
	x.changes = append(x.changes, notedChange{t, key, value})
	if x.stamp > 0 {
		return nil
	}
	x.n.mu.Lock()
	x.n.stamps++
	x.stamp = x.n.stamps
	x.n.mu.Unlock()
	if x.stamp == 1 {
		others, err := x.Keys(TableExchange, stampKey)
		if err != nil {
			return err
		}
		for i := 0; len(others) > stampsKept && i < len(others); i++ {
			if err := x.Tx.Delete(TableExchange, others[i]); err != nil {
				return err
			}
		}
	}
	return x.Tx.Put(TableExchange, stampKey+x.n.tab, []byte(strconv.Itoa(x.stamp)))
}

// Put implements Tx.
func (x *notedTx) Put(t Table, key string, value []byte) error {
	if err := x.note(t, key, append([]byte{}, value...)); err != nil {
		return err
	}
	return x.Tx.Put(t, key, value)
}

// Delete implements Tx.
func (x *notedTx) Delete(t Table, key string) error {
	if err := x.note(t, key, nil); err != nil {
		return err
	}
	return x.Tx.Delete(t, key)
}

// apply makes the changes of a transaction that left a stamp; false where that is not
// possible.
func (m *inMemory) apply(key string, stamp int, changes []notedChange) bool {
	at, found := slices.BinarySearchFunc(m.stamps, key, func(r Record, key string) int { return cmp.Compare(r.Key, key) })
	was := "0"
	if found {
		was = string(m.stamps[at].Value)
	}
	if was != strconv.Itoa(stamp-1) {
		return false
	}
	if stamp == 1 && len(m.stamps) > stampsKept {
		return false // the others' stamps went
	}
	stamped := Record{key, []byte(strconv.Itoa(stamp))}
	if found {
		m.stamps[at] = stamped
	} else {
		m.stamps = slices.Insert(m.stamps, at, stamped)
	}
	for _, c := range changes {
		switch c.table {
		case TableSummaries:
			if !m.site(c) {
				return false
			}
		case TablePhotoInfo:
			m.photos = own(m, "photos", m.photos)
			if m.photos[c.key] = true; c.value == nil {
				delete(m.photos, c.key)
			}
		case TableExchange:
			for start, records := range m.records {
				if !strings.HasPrefix(c.key, start) {
					continue
				}
				records = own(m, start, records)
				m.records[start] = records
				if records[c.key] = c.value; c.value == nil {
					delete(records, c.key)
				}
			}
		}
	}
	return true
}

// own is a map that was not given out.
func own[V any](m *inMemory, name string, of map[string]V) map[string]V {
	if !m.given[name] {
		return of
	}
	delete(m.given, name)
	return maps.Clone(of)
}

func (m *inMemory) site(c notedChange) bool {
	if m.given["sites"] {
		delete(m.given, "sites")
		m.sites = slices.Clone(m.sites)
	}
	at, found := slices.BinarySearchFunc(m.sites, c.key, func(s *InventorySite, id string) int { return cmp.Compare(s.ID, id) })
	if c.value == nil {
		if found {
			m.sites = slices.Delete(m.sites, at, at+1)
		}
		return true
	}
	l, ok := readLineOf(c.value)
	if !ok || l.ID != c.key {
		return false
	}
	site := InventorySite(l)
	if found {
		m.sites[at] = &site
	} else {
		m.sites = slices.Insert(m.sites, at, &site)
	}
	return true
}

// inventory is Store.Inventory.
func (n *noted) inventory(ctx context.Context, now time.Time, starts []string) (Inventory, error) {
	var in Inventory
	err := n.View(ctx, func(tx Tx) error {
		stamps, err := tx.All(TableExchange, stampKey)
		if err != nil {
			return err
		}
		n.mu.Lock()
		m := n.memory
		// Without any stamp a store that was thrown away and made anew looks the same.
		counts := m != nil && len(stamps) > 0 && now.Sub(m.read).Abs() < notedFor &&
			slices.EqualFunc(m.stamps, stamps, equalRecords)
		if counts && m.holds(starts) {
			in = m.give(starts)
			n.mu.Unlock()
			return nil
		}
		known := slices.Clone(starts)
		if counts {
			known = slices.AppendSeq(known, maps.Keys(m.records))
		}
		n.mu.Unlock()
		if m, err = readInventory(tx, known); err != nil {
			return err
		}
		m.read, m.stamps = now, stamps
		n.mu.Lock()
		defer n.mu.Unlock()
		in = m.give(starts)
		n.memory = m
		return nil
	})
	return in, err
}

func equalRecords(a, b Record) bool { return a.Key == b.Key && string(a.Value) == string(b.Value) }

func readInventory(tx Tx, starts []string) (*inMemory, error) {
	m := &inMemory{photos: map[string]bool{}, records: map[string]map[string][]byte{}, given: map[string]bool{}}
	lines, err := tx.All(TableSummaries, "")
	if err != nil {
		return nil, err
	}
	m.sites = make([]*InventorySite, len(lines))
	for i, r := range lines {
		l, err := readLineAt(tx, r.Key, r.Value)
		if err != nil {
			return nil, err
		}
		site := InventorySite(l)
		m.sites[i] = &site
	}
	slices.SortFunc(m.sites, func(a, b *InventorySite) int { return cmp.Compare(a.ID, b.ID) })
	photos, err := tx.Keys(TablePhotoInfo, "")
	if err != nil {
		return nil, err
	}
	for _, id := range photos {
		m.photos[id] = true
	}
	for _, start := range starts {
		records, err := tx.All(TableExchange, start)
		if err != nil {
			return nil, err
		}
		m.records[start] = make(map[string][]byte, len(records))
		for _, r := range records {
			m.records[start][r.Key] = r.Value
		}
	}
	return m, nil
}

func (m *inMemory) holds(starts []string) bool {
	for _, s := range starts {
		if m.records[s] == nil {
			return false
		}
	}
	return true
}

func (m *inMemory) give(starts []string) Inventory {
	in := Inventory{Sites: m.sites, Photos: m.photos, records: make(map[string]map[string][]byte, len(starts))}
	m.given["sites"], m.given["photos"] = true, true
	for _, s := range starts {
		m.given[s], in.records[s] = true, m.records[s]
	}
	return in
}
