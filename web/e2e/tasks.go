package e2e

import (
	"context"
	"encoding/json"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/tracing"
	"github.com/chromedp/chromedp"
)

// tasks hears what the browser's pages do, task by task. A task takes as long as its
// thread was at work, which other programs on the machine do not lengthen.
type tasks struct {
	p      *Page
	pieces chan []traced
	ended  chan struct{}
}

// traced is an event of the browser's trace.
type traced struct {
	Name        string
	Pid, Tid    int
	Microsecond float64 `json:"tdur"`
	Args        struct{ Name string }
}

// newTasks listens to the trace of a page's browser.
func newTasks(p *Page) *tasks {
	p.t.Helper()
	t := &tasks{p: p, pieces: make(chan []traced, 10000), ended: make(chan struct{}, 1)}
	if err := chromedp.Listen(p.ctx, func(event any) {
		switch e := event.(type) {
		case *tracing.EventDataCollected:
			var piece []traced
			for _, text := range e.Value {
				var one traced
				if json.Unmarshal(text, &one) == nil {
					piece = append(piece, one)
				}
			}
			t.pieces <- piece
		case *tracing.EventTracingComplete:
			t.ended <- struct{}{}
		}
	}); err != nil {
		p.t.Fatal(err)
	}
	return t
}

// begin begins the trace.
func (t *tasks) begin() {
	t.p.t.Helper()
	t.p.do(chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
		_, err := cdp.Call(ctx, target, tracing.Start, tracing.StartParams{TraceConfig: &tracing.TraceConfig{
			IncludedCategories: []string{"disabled-by-default-devtools.timeline"}, ExcludedCategories: []string{"*"}}})
		return err
	}))
}

// end ends the trace and returns the longest task of a page's main thread and the sum of
// all, in ms.
func (t *tasks) end(b testing.TB) (longest, all float64) {
	b.Helper()
	t.p.do(chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
		_, err := cdp.Call(ctx, target, tracing.End, cdp.Empty{})
		return err
	}))
	select {
	case <-t.ended:
	case <-time.After(patience):
		b.Fatal("the trace did not end")
	}
	var events []traced
	for len(t.pieces) > 0 {
		events = append(events, <-t.pieces...)
	}
	type thread struct{ pid, tid int }
	main := map[thread]bool{}
	for _, e := range events {
		if e.Name == "thread_name" && e.Args.Name == "CrRendererMain" {
			main[thread{e.Pid, e.Tid}] = true
		}
	}
	for _, e := range events {
		if e.Name == "RunTask" && main[thread{e.Pid, e.Tid}] {
			longest = max(longest, e.Microsecond/1000)
			all += e.Microsecond / 1000
		}
	}
	if len(main) == 0 || all == 0 {
		b.Fatal("the trace has no tasks")
	}
	return longest, all
}
