package storage

import (
	"context"
	"maps"
	"slices"
	"strings"
	"sync"
	"time"
)

// Memory is a Backend that forgets everything at the end, for tests. It can be
// told to fail. The zero Memory is ready for use.
type Memory struct {
	Listeners

	mu     sync.RWMutex
	tables map[Table]map[string][]byte

	faultMu  sync.Mutex
	calls    int
	failAt   int
	failWith error
	answered bool // the failing commit is kept all the same
	closed   bool
}

// NewMemory returns a Store in memory. Its clock starts at 2026-01-01T00:00:00Z
// and goes on a second with each reading.
func NewMemory() Store { return NewStore(&Memory{}, SteppingClock()) }

// SteppingClock returns a clock for tests that goes on a second with each
// reading, from 2026-01-01T00:00:00Z.
func SteppingClock() func() string {
	var mu sync.Mutex
	at := time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC)
	return func() string {
		mu.Lock()
		defer mu.Unlock()
		s := at.Format(time.RFC3339)
		at = at.Add(time.Second)
		return s
	}
}

// FailAt makes the nth call from now (1 is the next) fail with err; reading,
// writing and committing each count. 0 stops failing. With answered, a commit
// that fails is kept all the same, as when its answer got lost.
func (m *Memory) FailAt(n int, err error, answered bool) {
	m.faultMu.Lock()
	defer m.faultMu.Unlock()
	m.calls, m.failAt, m.failWith, m.answered = 0, n, err, answered
}

// Calls returns how many calls were made since FailAt.
func (m *Memory) Calls() int {
	m.faultMu.Lock()
	defer m.faultMu.Unlock()
	return m.calls
}

func (m *Memory) fault() error {
	m.faultMu.Lock()
	defer m.faultMu.Unlock()
	m.calls++
	if m.closed {
		return ErrClosed
	}
	if m.calls == m.failAt {
		return m.failWith
	}
	return nil
}

// View implements Backend.
func (m *Memory) View(ctx context.Context, do func(Tx) error) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	m.mu.RLock()
	defer m.mu.RUnlock()
	return do(&memoryTx{m: m})
}

// Update implements Backend.
func (m *Memory) Update(ctx context.Context, do func(Tx) error) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	tx := &memoryTx{m: m, changed: map[Table]map[string][]byte{}}
	if err := do(tx); err != nil {
		return err
	}
	err := m.fault()
	if err != nil && !m.answered {
		return err
	}
	for t, records := range tx.changed {
		if m.tables == nil {
			m.tables = map[Table]map[string][]byte{}
		}
		if m.tables[t] == nil {
			m.tables[t] = map[string][]byte{}
		}
		for key, value := range records {
			if value == nil {
				delete(m.tables[t], key)
			} else {
				m.tables[t][key] = value
			}
		}
	}
	return err
}

// Announce implements Backend.
func (m *Memory) Announce(id string) { m.Tell(id) }

// Watch implements Backend.
func (m *Memory) Watch(changed func(id string)) (stop func()) { return m.Add(changed) }

// Persist implements Backend: memory never persists.
func (m *Memory) Persist(context.Context) (bool, error) { return false, nil }

// Estimate implements Backend.
func (m *Memory) Estimate(context.Context) (Estimate, error) {
	m.mu.RLock()
	defer m.mu.RUnlock()
	var e Estimate
	for _, table := range m.tables {
		for key, value := range table {
			e.Used += int64(len(key) + len(value))
		}
	}
	return e, nil
}

// Close implements Backend.
func (m *Memory) Close() error {
	m.faultMu.Lock()
	defer m.faultMu.Unlock()
	m.closed = true
	return nil
}

type memoryTx struct {
	m       *Memory
	changed map[Table]map[string][]byte // nil value: deleted; nil map: read only
}

func (x *memoryTx) Get(t Table, key string) ([]byte, error) {
	if err := x.m.fault(); err != nil {
		return nil, err
	}
	if value, ok := x.changed[t][key]; ok {
		return slices.Clone(value), nil
	}
	return slices.Clone(x.m.tables[t][key]), nil
}

func (x *memoryTx) Put(t Table, key string, value []byte) error {
	return x.change(t, key, append([]byte{}, value...))
}

func (x *memoryTx) Delete(t Table, key string) error { return x.change(t, key, nil) }

func (x *memoryTx) change(t Table, key string, value []byte) error {
	if err := x.m.fault(); err != nil {
		return err
	}
	if x.changed[t] == nil {
		x.changed[t] = map[string][]byte{}
	}
	x.changed[t][key] = value
	return nil
}

func (x *memoryTx) All(t Table, prefix string) ([]Record, error) {
	keys, err := x.Keys(t, prefix)
	if err != nil {
		return nil, err
	}
	all := make([]Record, len(keys))
	for i, key := range keys {
		value, ok := x.changed[t][key]
		if !ok {
			value = x.m.tables[t][key]
		}
		all[i] = Record{key, slices.Clone(value)}
	}
	return all, nil
}

func (x *memoryTx) Values(t Table, prefix string) ([][]byte, error) {
	records, err := x.All(t, prefix)
	values := make([][]byte, len(records))
	for i := range records {
		values[i] = records[i].Value
	}
	return values, err
}

func (x *memoryTx) Keys(t Table, prefix string) ([]string, error) {
	if err := x.m.fault(); err != nil {
		return nil, err
	}
	var keys []string
	for key := range x.m.tables[t] {
		if _, over := x.changed[t][key]; !over && strings.HasPrefix(key, prefix) {
			keys = append(keys, key)
		}
	}
	for key, value := range maps.All(x.changed[t]) {
		if value != nil && strings.HasPrefix(key, prefix) {
			keys = append(keys, key)
		}
	}
	slices.Sort(keys)
	return keys, nil
}
