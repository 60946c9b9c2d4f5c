package building

import (
	"math"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/engine/casting"
)

// timeOf is the moment at which a clock on site shows a day and a time. Only the
// browser knows when summer time begins and ends here.
func timeOf(words string) (time.Time, bool) {
	t, err := time.ParseInLocation(casting.Clock, words, time.Local)
	if err != nil {
		return time.Time{}, false
	}
	if app.IsClient {
		ms := app.Window().Get("Date").New(t.Year(), int(t.Month())-1, t.Day(), t.Hour(), t.Minute()).Call("getTime").Float()
		return time.UnixMilli(int64(ms)), true
	}
	return t, true
}

// wallOf is what a clock on site shows at a moment.
func wallOf(t time.Time) string {
	if app.IsClient {
		d := app.Window().Get("Date").New(float64(t.UnixMilli()))
		get := func(part string) int { return d.Call(part).Int() }
		t = time.Date(get("getFullYear"), time.Month(get("getMonth")+1), get("getDate"), get("getHours"), get("getMinutes"), 0, 0,
			time.UTC)
	}
	return t.Format(casting.Clock)
}

// after is the moment so many hours after another, on the next full quarter of an hour:
// nobody sets an anchor to the minute.
func after(t time.Time, hours float64) time.Time {
	const quarter = 15 * time.Minute
	at := t.Add(time.Duration(math.Ceil(hours * float64(time.Hour))))
	if cut := at.Truncate(quarter); cut.Before(at) {
		return cut.Add(quarter)
	}
	return at
}
