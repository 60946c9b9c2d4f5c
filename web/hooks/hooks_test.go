package hooks

import (
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"strconv"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"pegpour/storage"
	"pegpour/storage/yard"
	"pegpour/storage/yard/yardtest"
)

// The example of the specification, so that any library of Standard Webhooks can check
// what is sent.
func TestSignedAsTheStandardHasIt(t *testing.T) {
	signature, err := Sign("whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw", "msg_p5jXN8AQM9LWM0D4loKWxJek", time.Unix(1614265330, 0),
		`{"test": 2432232314}`)
	require.NoError(t, err)
	require.Equal(t, "v1,g0hM9SsE+OTPJTGt/tmIKtSyZlE3uFJELVlNIOLJ1OE=", signature)
	_, err = Sign("whsec_?", "", time.Time{}, "")
	require.Error(t, err)
}

// receiver is another program.
type receiver struct {
	*httptest.Server
	mu     sync.Mutex
	status int
	got    map[string]int // by identity
	bodies []string
	bad    int
	secret string
	wait   string
}

func receive(t *testing.T) *receiver {
	r := &receiver{status: 204, got: map[string]int{}}
	r.Server = httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, q *http.Request) {
		body, _ := io.ReadAll(q.Body)
		r.mu.Lock()
		defer r.mu.Unlock()
		at, _ := strconv.ParseInt(q.Header.Get("webhook-timestamp"), 10, 64)
		want, err := Sign(r.secret, q.Header.Get("webhook-id"), time.Unix(at, 0), string(body))
		if err != nil || want != q.Header.Get("webhook-signature") {
			r.bad++
		}
		r.got[q.Header.Get("webhook-id")]++
		r.bodies = append(r.bodies, string(body))
		if r.wait != "" {
			w.Header().Set("Retry-After", r.wait)
		}
		w.WriteHeader(r.status)
	}))
	t.Cleanup(r.Close)
	return r
}

func put(t *testing.T, y *yard.Yard, id string) {
	t.Helper()
	d := storage.NewDocument("2026-01-01T00:00:00Z")
	d.ID = id
	text, err := storage.Encode(d)
	require.NoError(t, err)
	_, err = y.PutRevision(t.Context(), "d", id, storage.NameRevision(text), nil, text)
	require.NoError(t, err)
}

func all(t *testing.T, teller Teller) {
	t.Helper()
	for more := true; more; {
		var err error
		more, err = teller.Once(t.Context())
		require.NoError(t, err)
	}
}

func TestWhatChangesIsTold(t *testing.T) {
	now := time.Date(2026, 5, 1, 8, 0, 0, 0, time.UTC)
	clock := func() time.Time { return now }
	y, err := yard.Open(t.Context(), t.TempDir(), yard.Options{Now: clock, NotDurable: true})
	require.NoError(t, err)
	defer y.Close()
	put(t, y, "before")
	r := receive(t)
	hook, secret, err := y.AddWebhook(t.Context(), "", r.URL, nil)
	require.NoError(t, err)
	r.secret = secret
	teller := Teller{Yard: y, Now: clock}
	all(t, teller)
	require.Empty(t, r.bodies, "what was before is in the list of changes")

	put(t, y, "s1")
	_, err = y.SetMark(t.Context(), "", "s1", yard.Poured, nil)
	require.NoError(t, err)
	v := 700.0
	_, _, err = y.SetShopRules(t.Context(), yard.Device{}, []yard.RuleChange{{Key: "strip.width", To: &v}})
	require.NoError(t, err)
	_, err = y.DeleteSite(t.Context(), "", "before")
	require.NoError(t, err)
	all(t, teller)
	all(t, teller)
	require.Len(t, r.bodies, 4, "each once")
	require.Zero(t, r.bad)
	told := fmt.Sprint(r.bodies)
	for _, kind := range yard.Kinds() {
		require.Contains(t, told, kind)
	}

	// It does not answer: tried again, later and later, then given up, and sent again
	// when a person says so.
	r.status, r.bodies = 500, nil
	put(t, y, "s2")
	for range 9 {
		all(t, teller)
		now = now.Add(21 * time.Hour)
	}
	all(t, teller)
	require.Len(t, r.bodies, 10)
	all(t, teller)
	now = now.Add(100 * time.Hour)
	all(t, teller)
	require.Len(t, r.bodies, 10)
	dead, err := y.Deliveries(t.Context(), hook.ID, yard.DeliveryDead, 0, 0)
	require.NoError(t, err)
	require.Len(t, dead, 1)
	require.Contains(t, dead[0].Said, "500")
	require.Equal(t, 10, r.got[dead[0].ID], "always under the same identity")
	r.status = 200
	_, err = y.Again(t.Context(), dead[0].ID)
	require.NoError(t, err)
	all(t, teller)
	require.Len(t, r.bodies, 11)
	hooks, err := y.Webhooks(t.Context())
	require.NoError(t, err)
	require.Zero(t, hooks[0].Dead+hooks[0].Waiting)

	// It asks to be left alone for a time, then for good.
	r.status, r.wait, r.bodies = 503, "3600", nil
	put(t, y, "s3")
	all(t, teller)
	now = now.Add(time.Minute)
	all(t, teller)
	require.Len(t, r.bodies, 1)
	now = now.Add(time.Hour)
	r.status = 410
	all(t, teller)
	require.Len(t, r.bodies, 2)
	now = now.Add(time.Hour)
	all(t, teller)
	require.Len(t, r.bodies, 2, "it is paused")
	put(t, y, "s4")
	r.status = 200
	_, err = y.PauseWebhook(t.Context(), hook.ID, false)
	require.NoError(t, err)
	all(t, teller)
	require.Len(t, r.bodies, 4, "nothing of the pause is lost")

	// An address that is moved is not followed.
	r.status = 307
	put(t, y, "s5")
	all(t, teller)
	waiting, err := y.Deliveries(t.Context(), hook.ID, yard.DeliveryWaits, 0, 0)
	require.NoError(t, err)
	require.Len(t, waiting, 1)
	require.NoError(t, y.DropWebhook(t.Context(), hook.ID))
	require.ErrorIs(t, y.DropWebhook(t.Context(), hook.ID), yard.ErrNotFound)
}

// Two servers on one database tell each thing once.
func TestTwoServersTellOnce(t *testing.T) {
	address := yardtest.Postgres(t)()
	r := receive(t)
	var tellers []Teller
	for range 2 {
		y, err := yard.Open(t.Context(), address, yard.Options{})
		require.NoError(t, err)
		defer y.Close()
		tellers = append(tellers, Teller{Yard: y, Now: time.Now})
	}
	_, secret, err := tellers[0].Yard.AddWebhook(t.Context(), "", r.URL, []string{yard.TellsSite})
	require.NoError(t, err)
	r.secret = secret
	const sites = 30
	for n := range sites {
		put(t, tellers[0].Yard, fmt.Sprint("s", n))
	}
	var both sync.WaitGroup
	for _, teller := range tellers {
		both.Go(func() {
			for range 20 {
				if _, err := teller.Once(t.Context()); err != nil {
					t.Error(err)
				}
			}
		})
	}
	both.Wait()
	require.Len(t, r.bodies, sites)
	require.Zero(t, r.bad)
	for id, n := range r.got {
		require.Equal(t, 1, n, id)
	}
}
