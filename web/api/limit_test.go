package api

import (
	"encoding/json"
	"fmt"
	"net/http/httptest"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"pegpour/storage/yard"
	"pegpour/web/api/apitest"
)

// from sends a request from an address.
func (f *fixture) from(address, token, method, path string, body []byte) *httptest.ResponseRecorder {
	return f.ask(token, method, path, body, "from: "+address)
}

func TestCodesCannotBeTriedForLong(t *testing.T) {
	f := newFixture(t)
	statuses := map[int]int{}
	for range 100 {
		statuses[f.ask("", "POST", "/api/v1/pair", []byte(`{"code":"AAAAA-AAAAA","name":"x"}`)).Code]++
	}
	require.Equal(t, 20, statuses[401])
	require.Equal(t, 80, statuses[429])
	f.now = f.now.Add(time.Minute)
	f.want(401, f.ask("", "POST", "/api/v1/pair", []byte(`{"code":"AAAAA-AAAAA","name":"x"}`)))

	// Another code each time is charged to the address.
	clear(statuses)
	f.now = f.now.Add(time.Hour)
	for n := range 190 {
		const letters = "ABCDEFGHJKMNPQ"
		code := fmt.Appendf(nil, `{"code":"AAAAA-AAA%c%c","name":"x"}`, letters[n/14], letters[n%14])
		statuses[f.from("192.0.2.3", "", "POST", "/api/v1/pair", code).Code]++
	}
	require.Equal(t, map[int]int{401: 100, 429: 90}, statuses)
	f.now = f.now.Add(time.Hour)
	clear(statuses)
	for n := range 1000 {
		statuses[f.from("192.0.2.4", "token"+strconv.Itoa(n), "GET", "/api/v1/sites", nil).Code]++
	}
	require.Equal(t, map[int]int{401: 100, 429: 900}, statuses)
}

// Whatever is tried from an address, a good token from it is let in, and so is a right
// code.
func TestNobodyIsShutOutForWhatOthersTry(t *testing.T) {
	f := newFixture(t)
	code, _, err := f.yard.NewCode(t.Context(), yard.Crew)
	require.NoError(t, err)
	for n := range 3000 {
		f.from("192.0.2.1", "bad", "GET", "/api/v1/sites", nil)
		f.from("192.0.2.1", "bad"+strconv.Itoa(n), "GET", "/api/v1/sites", nil)
		f.from("192.0.2.1", "", "GET", "/api/v1/sites", nil)
	}
	f.want(429, f.from("192.0.2.1", "bad", "GET", "/api/v1/sites", nil))
	f.want(200, f.from("192.0.2.1", f.crew, "GET", "/api/v1/sites", nil))
	for range 150 {
		f.from("192.0.2.1", "", "POST", "/api/v1/pair", []byte(`{"code":"AAAAA-AAAAA","name":"x"}`))
	}
	f.want(201, f.from("192.0.2.1", "", "POST", "/api/v1/pair", []byte(`{"code":"`+code+`","name":"x"}`)))
}

// After a restore without keys fifty phones behind one address hold tokens that are
// none any more: each is told so, however often the others ask, and is paired anew.
func TestFiftyPhonesAfterARestoreWithoutKeys(t *testing.T) {
	f := newFixture(t)
	for round := range 30 {
		for n := range 50 {
			w := f.from("192.0.2.1", "old"+strconv.Itoa(n), "GET", "/api/v1/changes", nil)
			if round < 20 {
				f.want(401, w)
			}
		}
	}
	for range 50 {
		code, _, err := f.yard.NewCode(t.Context(), yard.Crew)
		require.NoError(t, err)
		f.want(201, f.from("192.0.2.1", "", "POST", "/api/v1/pair", []byte(`{"code":"`+code+`","name":"x"}`)))
	}
}

// Who has an IPv6 address has the 2^64 behind it, and is one.
func TestSixIsCountedByNetwork(t *testing.T) {
	f := newFixture(t)
	for n := range 300 {
		f.from(fmt.Sprintf("2001:db8::%x", n), "bad"+strconv.Itoa(n), "GET", "/api/v1/sites", nil)
	}
	f.want(429, f.from("2001:db8::ffff", "other", "GET", "/api/v1/sites", nil))
	f.want(401, f.from("2001:db8:0:1::1", "other", "GET", "/api/v1/sites", nil))
}

// However many strangers come, who has used up what is his is not forgotten, and what
// is kept stays bounded.
func TestStrangersDoNotEmptyTheLimiter(t *testing.T) {
	now := time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC)
	l := newLimiter(0.01, 2, func() time.Time { return now })
	for _, who := range []string{"a", "b"} {
		for range 3 {
			l.allow(who)
		}
	}
	for n := range 3 * maxBuckets {
		now = now.Add(time.Millisecond)
		l.allow(strconv.Itoa(n))
	}
	require.LessOrEqual(t, len(l.buckets), maxBuckets)
	for _, who := range []string{"a", "b"} {
		ok, wait := l.allow(who)
		require.False(t, ok, who)
		require.Less(t, wait, 100*time.Second)
	}
	// When all are full again, there is room for others.
	now = now.Add(time.Hour)
	ok, _ := l.allow("new")
	require.True(t, ok)
	require.Less(t, len(l.buckets), 10)
}

// Somebody who failed is not shut out for as long as the server's clock was set back.
func TestAClockSetBackShutsNobodyOut(t *testing.T) {
	now := time.Date(2026, 5, 1, 8, 0, 0, 0, time.UTC)
	l := newLimits(func() time.Time { return now }).refused
	l.allow("a")
	now = now.Add(-8 * time.Hour)
	for range 19 {
		ok, _ := l.allow("a")
		require.True(t, ok)
	}
	ok, wait := l.allow("a")
	require.False(t, ok)
	require.LessOrEqual(t, wait, 5*time.Second)
	now = now.Add(-time.Hour)
	ok, _ = l.allow("a")
	require.False(t, ok)
	now = now.Add(5 * time.Second)
	ok, _ = l.allow("a")
	require.True(t, ok)
	now = now.Add(-100 * 365 * 24 * time.Hour)
	ok, _ = l.allow("b")
	require.True(t, ok)
}

// Who is refused over and over writes one line into the audit log, and little of it.
func TestTheLogIsNotFilledByRefusals(t *testing.T) {
	f := newFixture(t)
	for range 300 {
		f.want(403, f.ask(f.crew, "GET", "/api/v1/devices", nil))
		f.now = f.now.Add(time.Second)
	}
	w := f.want(200, f.ask(f.office, "GET", "/api/v1/audit", nil))
	var page struct{ Entries []yard.Entry }
	require.NoError(t, json.Unmarshal(w.Body.Bytes(), &page))
	require.Len(t, page.Entries, 1)
	require.EqualValues(t, 300, page.Entries[0].Times)
	require.Equal(t, "GET /api/v1/devices", page.Entries[0].Subject)
}

// A limit is told before it is met, and in words when it is.
func TestLimitsAreToldBefore(t *testing.T) {
	f := newFixture(t)
	require.NoError(t, f.yard.SetLimits(t.Context(), yard.Limits{DeviceSites: 10}))
	require.NoError(t, f.yard.CountUse(t.Context()))
	for n := range 10 {
		text := apitest.SiteBytes(t, fmt.Sprint("s", n), "One")
		w := f.want(201, f.ask(f.crew, "PUT", apitest.RevisionPath(fmt.Sprint("s", n), text), text))
		require.Equal(t, n > 8, w.Header().Get(nearlyFullHeader) != "", n)
	}
	w := f.want(200, f.ask(f.crew, "GET", "/api/v1/changes", nil))
	require.Equal(t, "device-sites 100", w.Header().Get(nearlyFullHeader))
	text := apitest.SiteBytes(t, "s10", "One")
	w = f.want(507, f.ask(f.crew, "PUT", apitest.RevisionPath("s10", text), text))
	require.Contains(t, w.Body.String(), "no more than 10 sites of one device")
	require.Empty(t, f.ask(f.office, "GET", "/api/v1/changes", nil).Header().Get(nearlyFullHeader))
}
