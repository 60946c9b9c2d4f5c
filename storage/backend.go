package storage

import (
	"context"
	"sync"
)

// Backend is a small transactional table store on which NewStore builds a
// Store: a map of keys to bytes for each Table, keys in byte order.
type Backend interface {
	// View runs do on one unchanging state.
	View(ctx context.Context, do func(Tx) error) error
	// Update runs do on a state that nobody else changes meanwhile, and keeps
	// all its changes or, when do or the keeping fails, none. It returns when
	// they are on disk. do must use the Tx only: it must not wait for anything
	// else.
	Update(ctx context.Context, do func(Tx) error) error
	// Announce tells other users of the same data that a record changed.
	Announce(id string)
	Watch(changed func(id string)) (stop func())
	Persist(ctx context.Context) (bool, error)
	Estimate(ctx context.Context) (Estimate, error)
	Close() error
}

// Table is one of the tables of a Backend.
type Table string

// The tables. A site's list entries have the key id + "/" + eight digits.
const (
	TableDocuments Table = "documents" // canonical document, by identity
	TableHeads     Table = "heads"     // where history and undo stand, by identity
	TableSummaries Table = "summaries" // line of the list of sites, by identity
	TableEdits     Table = "edits"     // edits that can be undone and redone
	TableHistory   Table = "history"   // steps
	TablePhotos    Table = "photos"    // bytes of photos, by their SHA-256
	TablePhotoInfo Table = "photoinfo" // media type and size, by SHA-256
	TableExchange  Table = "exchange"  // what sync knows of the yard; see Exchange
)

// ExchangedSite begins the key, in TableExchange, of what sync knows of a site of which
// something was sent, or came.
const ExchangedSite = "site/"

// ExchangedShop is the key, in TableExchange, of the revision of the shop's document.
const ExchangedShop = "shop-stands"

// ExchangedDeletion begins the key, in TableExchange, of the record that a site was
// deleted, which stays when the site goes; PhotoAway that of a photo of which the yard
// has the bytes and this device gave up its own.
const (
	ExchangedDeletion = "gone/"
	PhotoAway         = "away/"
)

// Tables lists every table.
func Tables() []Table {
	return []Table{TableDocuments, TableHeads, TableSummaries, TableEdits, TableHistory, TablePhotos, TablePhotoInfo,
		TableExchange}
}

// Record is one entry of a table.
type Record struct {
	Key   string
	Value []byte
}

// Tx is a running transaction.
type Tx interface {
	// Get returns nil when there is no such key.
	Get(t Table, key string) ([]byte, error)
	Put(t Table, key string, value []byte) error
	Delete(t Table, key string) error
	// All returns the records whose keys start with prefix, in order.
	All(t Table, prefix string) ([]Record, error)
	// Values is All without the keys.
	Values(t Table, prefix string) ([][]byte, error)
	// Keys is All without the values.
	Keys(t Table, prefix string) ([]string, error)
}

// Listeners is a set of functions to call when a record changes. The zero
// Listeners is ready for use.
type Listeners struct {
	mu   sync.Mutex
	next int
	all  map[int]func(string)
}

// Add adds a function; stop takes it out again.
func (l *Listeners) Add(f func(id string)) (stop func()) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.all == nil {
		l.all = map[int]func(string){}
	}
	n := l.next
	l.next++
	l.all[n] = f
	return func() {
		l.mu.Lock()
		defer l.mu.Unlock()
		delete(l.all, n)
	}
}

// Tell calls each function on a goroutine of its own.
func (l *Listeners) Tell(id string) {
	l.mu.Lock()
	defer l.mu.Unlock()
	for _, f := range l.all {
		go f(id)
	}
}
