package window

import "github.com/maxence-charriere/go-app/v9/pkg/app"

// Here calls found with where this device is, latitude and longitude in degrees of WGS 84,
// or failed with the browser's reason. It asks the person first, and needs no network.
func Here(found func(latitude, longitude float64), failed func(string)) {
	where := app.Window().Get("navigator").Get("geolocation")
	if !where.Truthy() {
		failed("")
		return
	}
	var done []app.Func
	call := func(f func(app.Value)) app.Func {
		then := app.FuncOf(func(_ app.Value, a []app.Value) any {
			f(a[0])
			for _, f := range done {
				f.Release()
			}
			return nil
		})
		done = append(done, then)
		return then
	}
	where.Call("getCurrentPosition", call(func(p app.Value) {
		at := p.Get("coords")
		found(at.Get("latitude").Float(), at.Get("longitude").Float())
	}), call(func(e app.Value) { failed(e.Get("message").String()) }),
		map[string]any{"enableHighAccuracy": true, "timeout": 30000, "maximumAge": 60000})
}
