package api

import (
	"crypto/sha256"
	"hash/maphash"
	"math"
	"net"
	"net/http"
	"net/netip"
	"strconv"
	"sync"
	"time"

	"golang.org/x/time/rate"
)

// limits hold up who asks too often.
type limits struct {
	byDevice  *limiter
	strangers *limiter // by address: what needs no pairing, and addresses that are none
	failures  *limiter // by address: tokens and codes that were refused, each once
	refused   *limiter // by token or code: the same one tried again
}

func newLimits(now func() time.Time) *limits {
	c := &steady{now: now}
	return &limits{
		byDevice:  newLimiter(100, 400, c.time),
		strangers: newLimiter(50, 200, c.time),
		failures:  newLimiter(1, 100, c.time),
		refused:   newLimiter(0.2, 20, c.time),
	}
}

// failed charges a token or code that was refused: to itself when it was before, else
// to the network it came from, which is trying others. What is right is charged
// nothing, so that nobody is shut out by what others try beside him. wait, when ok is
// false, says when to ask again.
func (l *limits) failed(r *http.Request, credential string) (ok bool, wait time.Duration) {
	from := networkOf(r)
	if credential == "" {
		return l.failures.allow(from)
	}
	sum := sha256.Sum256([]byte(credential)) // what is kept of it is short, and lets nobody in
	credential = string(sum[:])
	if !l.refused.known(credential) {
		if ok, wait = l.failures.allow(from); !ok {
			return false, wait
		}
	}
	return l.refused.allow(credential)
}

// slowDown refuses a request until a while has passed.
func slowDown(w http.ResponseWriter, wait time.Duration) {
	w.Header().Set("Retry-After", strconv.Itoa(int(math.Ceil(wait.Seconds()))+1))
	refuse(w, http.StatusTooManyRequests, tooMany)
}

// addressOf is the address of the machine that asks; package forwarded has seen to it
// that it is not a proxy's.
func addressOf(r *http.Request) string {
	host, _, err := net.SplitHostPort(r.RemoteAddr)
	if err != nil {
		return r.RemoteAddr
	}
	return host
}

// networkOf is what requests are counted by: the address, of IPv6 its first 64 bits,
// since whoever has one address there has all behind them.
func networkOf(r *http.Request) string {
	host := addressOf(r)
	a, err := netip.ParseAddr(host)
	if a = a.Unmap(); err != nil || a.Is4() {
		return host
	}
	network, err := a.WithZone("").Prefix(64)
	if err != nil {
		return host
	}
	return network.String()
}

// steady is a clock that never goes back: what the other one was put back by is left
// out.
type steady struct {
	now func() time.Time

	mu           sync.Mutex
	before, told time.Time
}

func (c *steady) time() time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	now := c.now()
	if c.told.IsZero() {
		c.told = now
	} else if past := now.Sub(c.before); past > 0 {
		c.told = c.told.Add(past)
	}
	c.before = now
	return c.told
}

// The bounds of what strangers can make the server remember. maxBuckets are counted
// one by one. Those who come when so many are there share the spare buckets, so that
// nobody who is there is forgotten before his bucket is full again.
const (
	maxBuckets   = 10_000
	spareBuckets = 1_024
	lookEvery    = time.Second // how often full buckets are looked for, when there is no more room
)

// limiter lets through, for each key, burst requests at once and rate a second
// in the long run.
type limiter struct {
	rate  rate.Limit
	burst int
	now   func() time.Time
	seed  maphash.Seed

	mu      sync.Mutex
	buckets map[string]*rate.Limiter
	spare   [spareBuckets]*rate.Limiter
	looked  time.Time
}

func newLimiter(perSecond float64, burst int, now func() time.Time) *limiter {
	return &limiter{rate: rate.Limit(perSecond), burst: burst, now: now, seed: maphash.MakeSeed(),
		buckets: map[string]*rate.Limiter{}}
}

// allow takes one from the key's bucket. When it is empty, wait says how long
// until there is one again.
func (l *limiter) allow(key string) (ok bool, wait time.Duration) {
	l.mu.Lock()
	defer l.mu.Unlock()
	now := l.now()
	taken := l.bucket(key, now).ReserveN(now, 1)
	if wait = taken.DelayFrom(now); wait > 0 {
		taken.CancelAt(now)
	}
	return wait == 0, wait
}

// known reports whether something was taken from a bucket of the key's own, and it is
// not full again.
func (l *limiter) known(key string) bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	b := l.buckets[key]
	return b != nil && b.TokensAt(l.now()) < float64(l.burst)
}

func (l *limiter) bucket(key string, now time.Time) *rate.Limiter {
	b := l.buckets[key]
	if b == nil && len(l.buckets) >= maxBuckets {
		l.dropFull(now)
	}
	switch {
	case b != nil:
	case len(l.buckets) < maxBuckets:
		b = rate.NewLimiter(l.rate, l.burst)
		l.buckets[key] = b
	default:
		at := &l.spare[maphash.String(l.seed, key)%spareBuckets]
		if *at == nil {
			*at = rate.NewLimiter(l.rate, l.burst)
		}
		b = *at
	}
	return b
}

// dropFull forgets those whose buckets are full again: they are as if they had never
// asked.
func (l *limiter) dropFull(now time.Time) {
	if now.Sub(l.looked) < lookEvery {
		return
	}
	l.looked = now
	for key, b := range l.buckets {
		if b.TokensAt(now) >= float64(l.burst) {
			delete(l.buckets, key)
		}
	}
}
