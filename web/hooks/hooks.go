// Package hooks tells other programs of the yard's changes at their addresses, in the
// form of Standard Webhooks: https://github.com/standard-webhooks/standard-webhooks.
//
// # What is to be told is written down first
//
// Deliveries stand in the yard's database. A server that is killed tells them when it
// comes back, and of two servers one has each. What was sent while the answer was lost is
// sent again under the same identity: the other side tells by that.
package hooks

import (
	"context"
	"crypto/hmac"
	"crypto/sha256"
	"encoding/base64"
	"fmt"
	"io"
	"net/http"
	"strconv"
	"strings"
	"sync"
	"time"

	"pegpour/storage/yard"
)

// The time that one try may take, and for which nobody else tries it.
const (
	tryTime  = 15 * time.Second
	holdTime = time.Minute
	atOnce   = 8
)

// Sign signs a message: HMAC-SHA256 of identity, time and body, under a secret of the
// form whsec_ and base64.
func Sign(secret, id string, at time.Time, body string) (string, error) {
	key, err := base64.StdEncoding.DecodeString(strings.TrimPrefix(secret, "whsec_"))
	if err != nil {
		return "", err
	}
	mac := hmac.New(sha256.New, key)
	fmt.Fprintf(mac, "%s.%d.%s", id, at.Unix(), body)
	return "v1," + base64.StdEncoding.EncodeToString(mac.Sum(nil)), nil
}

// Teller sends what is due.
type Teller struct {
	Yard   *yard.Yard
	Now    func() time.Time
	Client *http.Client // nil: one that follows nobody to another address
}

func (t Teller) client() *http.Client {
	if t.Client != nil {
		return t.Client
	}
	return &http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
}

// Once writes down what is new and sends what is due; more: there was as much as is sent
// at once.
func (t Teller) Once(ctx context.Context) (more bool, err error) {
	if err := t.Yard.FanOut(ctx); err != nil {
		return false, err
	}
	due, err := t.Yard.ClaimDeliveries(ctx, atOnce, holdTime)
	if err != nil {
		return false, err
	}
	var all sync.WaitGroup
	failed := make([]error, len(due))
	for i, d := range due {
		all.Go(func() {
			arrived, gone, said, wait := t.send(ctx, d)
			failed[i] = t.Yard.Delivered(context.WithoutCancel(ctx), d.Delivery, arrived, gone, said, wait)
		})
	}
	all.Wait()
	for _, err := range failed {
		if err != nil {
			return false, err
		}
	}
	return len(due) == atOnce, nil
}

// send sends one; said is what came of it.
func (t Teller) send(ctx context.Context, d yard.Sending) (arrived, gone bool, said string, wait time.Duration) {
	ctx, stop := context.WithTimeout(ctx, tryTime)
	defer stop()
	now := t.Now()
	signature, err := Sign(d.Secret, d.ID, now, d.Body)
	if err != nil {
		return false, false, err.Error(), 0
	}
	r, err := http.NewRequestWithContext(ctx, http.MethodPost, d.URL, strings.NewReader(d.Body))
	if err != nil {
		return false, false, err.Error(), 0
	}
	r.Header.Set("Content-Type", "application/json")
	r.Header.Set("User-Agent", "pegpour")
	r.Header.Set("Webhook-Id", d.ID)
	r.Header.Set("Webhook-Timestamp", strconv.FormatInt(now.Unix(), 10))
	r.Header.Set("Webhook-Signature", signature)
	answer, err := t.client().Do(r)
	if err != nil {
		return false, false, err.Error(), 0
	}
	defer answer.Body.Close()
	_, _ = io.CopyN(io.Discard, answer.Body, 64<<10) // what it says is nobody's concern
	if seconds, bad := strconv.Atoi(answer.Header.Get("Retry-After")); bad == nil && seconds > 0 {
		wait = min(time.Duration(seconds)*time.Second, 24*time.Hour)
	}
	return answer.StatusCode >= 200 && answer.StatusCode < 300, answer.StatusCode == http.StatusGone, answer.Status, wait
}

// Run sends until the context ends; log takes what goes wrong with the yard.
func (t Teller) Run(ctx context.Context, every time.Duration, log func(error)) {
	for ctx.Err() == nil {
		more, err := t.Once(ctx)
		if err != nil && ctx.Err() == nil {
			log(err)
		}
		if more && err == nil {
			continue
		}
		select {
		case <-ctx.Done():
		case <-time.After(every):
		}
	}
}
