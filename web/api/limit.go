package api

import (
	"math"
	"net/http"
	"strconv"
	"sync"
	"time"
)

// failureWait is what somebody is told to wait whose codes or tokens were tried
// in vain too often.
const failureWait = 5 * time.Second

// limits hold up who asks too often.
type limits struct {
	byDevice, byAddress *limiter
	byFailure           *limiter // by address: codes and tokens tried in vain
}

func newLimits(now func() time.Time) *limits {
	return &limits{
		byDevice:  newLimiter(100, 400, now),
		byAddress: newLimiter(500, 2000, now),
		byFailure: newLimiter(0.2, 20, now),
	}
}

// slowDown refuses a request until a while has passed.
func slowDown(w http.ResponseWriter, wait time.Duration) {
	w.Header().Set("Retry-After", strconv.Itoa(int(math.Ceil(wait.Seconds()))+1))
	refuse(w, http.StatusTooManyRequests, tooMany)
}

// limiter lets through, for each key, burst requests at once and rate a second
// in the long run.
type limiter struct {
	rate, burst float64
	now         func() time.Time

	mu      sync.Mutex
	buckets map[string]*bucket
}

type bucket struct {
	left float64
	at   time.Time
}

// maxBuckets bounds what strangers can make the server remember.
const maxBuckets = 10_000

func newLimiter(rate, burst float64, now func() time.Time) *limiter {
	return &limiter{rate: rate, burst: burst, now: now, buckets: map[string]*bucket{}}
}

// allow takes one from the key's bucket. When it is empty, wait says how long
// until there is one again.
func (l *limiter) allow(key string) (ok bool, wait time.Duration) {
	l.mu.Lock()
	defer l.mu.Unlock()
	now := l.now()
	b := l.buckets[key]
	if b == nil {
		if len(l.buckets) >= maxBuckets {
			l.forget(now)
		}
		b = &bucket{l.burst, now}
		l.buckets[key] = b
	}
	l.refill(b, now)
	if b.left >= 1 {
		b.left--
		return true, 0
	}
	return false, time.Duration((1 - b.left) / l.rate * float64(time.Second))
}

// empty reports whether nothing is left for a key, without taking any.
func (l *limiter) empty(key string) bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	b := l.buckets[key]
	if b == nil {
		return false
	}
	l.refill(b, l.now())
	return b.left < 1
}

// refill puts in what came since the last time. A clock that was set back takes
// nothing out, and counts from where it is now.
func (l *limiter) refill(b *bucket, now time.Time) {
	if past := now.Sub(b.at).Seconds(); past > 0 {
		b.left = min(l.burst, b.left+past*l.rate)
	}
	b.at = now
}

// forget drops the buckets that are full again and, if that is not enough, all.
func (l *limiter) forget(now time.Time) {
	for key, b := range l.buckets {
		if b.left+now.Sub(b.at).Seconds()*l.rate >= l.burst {
			delete(l.buckets, key)
		}
	}
	if len(l.buckets) >= maxBuckets {
		clear(l.buckets)
	}
}
