package e2e

import (
	"context"
	"testing"

	"github.com/chromedp/cdproto/browser"
	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// The place of a site is taken from the phone or typed, is refused in words where it is
// none, and is kept.
func TestPlaceOnTheMap(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	p := LaunchBrowser(t).Open(t, s.URL+angledSite+"/measure?field=site.name")
	p.WaitRunning()
	const entry = `#entry-site\.place`
	p.Wait(`document.querySelector("` + `#entry-site\\.place` + `")`)
	p.do(chromedp.Func(func(ctx context.Context, target *chromedp.Target) error {
		if _, err := cdp.Call(ctx, target, browser.SetPermission, browser.SetPermissionParams{
			Permission: &browser.PermissionDescriptor{Name: "geolocation"}, Setting: browser.PermissionSettingGranted}); err != nil {
			return err
		}
		_, err := cdp.Call(ctx, target, emulation.SetGeolocationOverride,
			emulation.SetGeolocationOverrideParams{Latitude: new(-33.8688), Longitude: new(151.2093), Accuracy: new(5.0)})
		return err
	}))
	tapAfar(p, `[data-do="here"]`)
	p.Wait(`document.querySelector("` + `#entry-site\\.place` + `").value === "-33.86880, 151.20930"`)
	settled(p)
	p.Eval(`(() => { const e = document.querySelector("` + `#entry-site\\.place` + `"); e.value = "by the mill"; e.dispatchEvent(new Event("change", {bubbles: true})); })()`)
	p.Wait(`document.body.innerText.includes("latitude and longitude in degrees")`)
	require.Equal(t, "by the mill", p.Value(entry), "what was typed stands")
	p.Reload()
	p.WaitRunning()
	p.Wait(`document.querySelector("` + `#entry-site\\.place` + `").value === "by the mill" && document.body.innerText.includes("latitude and longitude in degrees")`)
	p.Eval(`(() => { const e = document.querySelector("` + `#entry-site\\.place` + `"); e.value = "51.5 -0.12"; e.dispatchEvent(new Event("change", {bubbles: true})); })()`)
	p.Wait(`!document.body.innerText.includes("latitude and longitude in degrees")`)
	require.Empty(t, p.Faults())
}
