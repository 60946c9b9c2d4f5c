package e2e

import (
	"context"
	"encoding/json"
	"math"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// touch puts fingers on the places given, moves them there, or lifts them where none is.
func (p *Page) touch(what input.DispatchTouchEventType, at ...spot) {
	p.t.Helper()
	p.touchAt(time.Now(), what, at...)
}

// touchAt is touch at a moment that the page is told.
func (p *Page) touchAt(when time.Time, what input.DispatchTouchEventType, at ...spot) {
	p.t.Helper()
	points := []*input.TouchPoint{}
	for i := range at {
		points = append(points, &input.TouchPoint{X: at[i].X, Y: at[i].Y, ID: new(float64(i))})
	}
	p.do(chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
		_, err := cdp.Call(ctx, target, input.DispatchTouchEvent, input.DispatchTouchEventParams{Type: what, TouchPoints: points,
			Timestamp: input.TimeSinceEpoch(float64(when.UnixMicro()) / 1e6)})
		return err
	}))
}

// Two fingers enlarge the drawing about what lies under them, one moves it, two taps show
// it large and whole again; the page stays where it is and the buttons do as they did.
func TestDrawingUnderTheFingers(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	p := LaunchBrowser(t).Open(t, s.URL+angledSite+"/set-out")
	p.WaitRunning()
	p.Wait(`document.querySelector('#drawing-large [data-id="motor"]') && document.querySelector('#drawing-pad0 [data-id="motor"]')`)
	type box struct{ X, Y, Wide float64 }
	pad := func() (b box) {
		t.Helper()
		p.Wait(`document.querySelector('#drawing-large [data-id="motor"]')`)
		require.NoError(t, json.Unmarshal([]byte(p.Eval(`(() => {
			const r = document.querySelector('#drawing-large [data-id="motor"] path').getBoundingClientRect();
			return JSON.stringify({X: r.x + r.width / 2, Y: r.y + r.height / 2, Wide: r.width});
		})()`)), &b))
		return b
	}
	enlarged := func(yes bool) {
		t.Helper()
		p.Wait(`("enlarged" in document.getElementById("drawing-large").dataset) === ` + map[bool]string{true: "true", false: "false"}[yes])
	}
	whole := pad()
	beside := p.Eval(`document.querySelector('#drawing-pad0 [data-id="motor"] path').getBoundingClientRect().width`)
	assert.Greater(t, number(t, beside), 4*whole.Wide, "the motor is seen large under the whole")

	at := spot{X: whole.X, Y: whole.Y}
	apart := func(by float64) []spot { return []spot{{X: at.X - by, Y: at.Y}, {X: at.X + by, Y: at.Y}} }
	p.touch(input.DispatchTouchEventTypeTouchStart, apart(12)...)
	for by := 14.0; by <= 36; by += 2 {
		p.touch(input.DispatchTouchEventTypeTouchMove, apart(by)...)
	}
	p.touch(input.DispatchTouchEventTypeTouchEnd)
	enlarged(true)
	large := pad()
	assert.InDelta(t, 3, large.Wide/whole.Wide, 0.6)
	assert.Less(t, math.Hypot(large.X-whole.X, large.Y-whole.Y), 40.0, "what lay under the fingers lies there still")
	assert.Equal(t, "0", p.Eval(`String(scrollY + document.querySelector("#content").scrollTop + Math.round((visualViewport.scale - 1) * 100))`))

	p.touch(input.DispatchTouchEventTypeTouchStart, at)
	for by := 4.0; by <= 40; by += 4 {
		p.touch(input.DispatchTouchEventTypeTouchMove, spot{X: at.X - by, Y: at.Y})
	}
	p.touch(input.DispatchTouchEventTypeTouchEnd)
	p.Wait(`Math.abs(document.querySelector('#drawing-large [data-id="motor"] path').getBoundingClientRect().x - ` + p.Eval(`document.querySelector('#drawing-large [data-id="motor"] path').getBoundingClientRect().x`) + `) < 1`)
	moved := pad()
	assert.InDelta(t, -40, moved.X-large.X, 15)

	twice := func() {
		t.Helper()
		when := time.Now()
		for range 2 { // however long this machine takes
			p.touchAt(when, input.DispatchTouchEventTypeTouchStart, at)
			p.touchAt(when.Add(50*time.Millisecond), input.DispatchTouchEventTypeTouchEnd)
			when = when.Add(120 * time.Millisecond)
		}
	}
	twice()
	enlarged(false)
	assert.InDelta(t, whole.Wide, pad().Wide, 1)
	twice()
	enlarged(true)
	assert.InDelta(t, 2.5, pad().Wide/whole.Wide, 0.6)
	p.TapName("Smaller")
	p.TapName("Smaller")
	enlarged(false)
	require.Empty(t, p.Faults())
}
