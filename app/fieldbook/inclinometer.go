package fieldbook

import (
	"errors"
	"math"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"pegpour/app/editing"
	"pegpour/app/element"
	"pegpour/app/language"
	"pegpour/app/ui"
	"pegpour/app/window"
	"pegpour/engine/ground"
	"pegpour/engine/survey"
	"pegpour/engine/text"
	"pegpour/storage"
)

// slopeScreen reads a slope with the phone laid down: once each way round, so
// that the error of its own zero falls out.
type slopeScreen struct {
	app.Compo
	w *editing.Site

	field string
	state slopeState
	// values of the sensor since the reading began, rad; live is the last one.
	values  []float64
	live    float64
	began   float64 // of the reading, milliseconds of the page
	shown   float64 // when the screen was last drawn anew
	first   ground.Tilt
	read    bool // first holds a reading
	second  *ground.Tilt
	refused string

	listener app.Func
	ticker   app.Func
	ticking  app.Value
}

type slopeState string

const (
	slopeReady   slopeState = ""
	slopeAsking  slopeState = "asking"  // waits for the permission
	slopeReading slopeState = "reading" // gathers values
	slopeNone    slopeState = "none"    // no sensor, or no permission
)

// How long a reading takes, and how long the phone rests before it counts, ms.
const (
	slopeRests  = 700
	slopeTakes  = 2500
	slopeWaits  = 2500 // for the first value, before the sensor counts as missing
	slopeRedraw = 200
	slopeTick   = 40 // between two looks at what the sensor said last
)

// NewSlopeScreen returns the screen.
func NewSlopeScreen(w *editing.Site) app.Composer { return &slopeScreen{w: w} }

// slopeFields are the slopes that a phone can read; those after the first
// slopesAlways only where the site asks for them, as one may read ground in one way.
var slopeFields = []string{survey.GroundLevelsAlong, survey.GroundLevelsOut, survey.GroundLevelsBankAlong,
	survey.GroundLevelsFallAlong, survey.GroundLevelsSlabAlong}

const slopesAlways = 2

// OnNav implements app.Navigator.
func (s *slopeScreen) OnNav(ctx app.Context) {
	s.reset() // what was read is of where it was read
	s.w.Follow(ctx, func(ctx app.Context) {
		s.field = ctx.Page().URL().Query().Get("field")
		if f, ok := survey.FieldAt(s.field); !ok || f.Dimension != text.Grade {
			s.field = slopeFields[0]
		}
	})
}

// OnDismount implements app.Dismounter.
func (s *slopeScreen) OnDismount() {
	s.stopListening()
	s.w.Leave()
}

// Render implements app.Composer.
func (s *slopeScreen) Render() app.UI {
	w := s.w
	f, ok := survey.FieldAt(s.field)
	if w.Doc == nil || !ok {
		return ui.SiteFrame(w, "more")
	}
	return ui.SiteFrame(w, "more tool",
		element.Box("label", "setting whole", app.Text(w.Say("Slope")),
			app.Select().Aria("label", w.Say("Which slope")).OnChange(func(ctx app.Context, e app.Event) {
				s.field = e.Get("target").Get("value").String()
				s.reset()
			}).Body(app.Range(slopeFields).Slice(func(i int) app.UI {
				o, _ := survey.FieldAt(slopeFields[i])
				if i >= slopesAlways && !o.Needed(&w.Doc.Survey) {
					return app.Text("")
				}
				return app.Option().Value(o.Path).Selected(o.Path == s.field).Text(w.SayName(o.Name))
			}))),
		s.reader(),
		s.result(f),
		element.Box("section", "question",
			element.Known("h2", "asked", "", "", w.SayWith("Or type it: {0}", w.SayName(f.Name))),
			element.Text("p", "help",
				language.Sentences(w.Say(f.Help), w.Say("2.5 is percent; 1:40 or 1.4° will do as well."))),
			ui.NumberBox(w, f, s.leave, s.leave)),
	)
}

func (s *slopeScreen) leave(ctx app.Context) {
	ctx.Navigate("/site/" + s.w.Doc.ID + "/measure?field=" + s.field)
}

func (s *slopeScreen) reset() {
	s.read, s.second, s.refused, s.values = false, nil, "", nil
}

// reader is the phone's part: what to do now, and the live angle.
func (s *slopeScreen) reader() app.UI {
	words, button := s.w.Say(
		"Lay the phone on its back on a straight edge along the fence, its top end towards the run-back."),
		s.w.Say("Read the slope")
	if s.field == survey.GroundLevelsOut {
		words = s.w.Say("Lay the phone on its back on a straight edge square to the fence, its top end into the property.")
	}
	if s.read && s.second == nil {
		words, button = s.w.Say(
			"Now turn it end for end on the same spot and read again: the error of the phone's own zero then falls out."),
			s.w.Say("Read it turned round")
	}
	if s.read && s.second != nil {
		words, button = s.w.Say("Both ways round were read."), s.w.Say("Read it all again")
	}
	body := []app.UI{element.Text("p", "help", words)}
	switch s.state {
	case slopeAsking:
		body = append(body, element.Known("p", "slope-live", "value", "", s.w.Say("Allow the phone's motion sensor…")))
	case slopeReading:
		body = append(body,
			element.Known("p", "slope-live", "value", "", degreesWords(s.w.Speaker, s.live)),
			element.Text("p", "quiet", s.w.Say("Hands off until it is done.")))
	case slopeNone:
		body = append(body,
			element.Known("p", "slope-none", "error", "",
				s.w.Say("This phone gives no slope: it has no sensor, or it was not allowed. Type the slope instead.")))
	}
	if s.refused != "" {
		body = append(body, element.Known("p", "slope-refused", "error", "alert", s.refused))
	}
	body = append(body, app.Button().Type("button").Class("primary").DataSet("do", "read-slope").
		Disabled(s.state == slopeReading || s.state == slopeAsking).Text(button).
		OnClick(func(ctx app.Context, _ app.Event) { s.begin(ctx) }))
	return element.Box("section", "told", body...)
}

// tiltWords says why a reading was refused.
func tiltWords(l *language.Speaker, err error) string {
	var refused *ground.TiltError
	if !errors.As(err, &refused) {
		return l.ErrorWords(err)
	}
	return l.SayWith("{0}.", l.Say(string(refused.Fault)))
}

func degreesWords(l *language.Speaker, rad float64) string {
	return l.Decimal(rad*180/math.Pi, 2) + "°"
}

// result shows what was read and takes it into the survey.
func (s *slopeScreen) result(f survey.Field) app.UI {
	if !s.read {
		return app.Text("")
	}
	w := s.w
	slope, err := ground.SlopeOf(s.first, s.second, w.Practice)
	if err != nil {
		return element.Status("p", "error", "alert", tiltWords(w.Speaker, err))
	}
	if f.Path == survey.GroundLevelsFallAlong { // asked without a sign
		slope.Grade, slope.Angle = -slope.Grade, -slope.Angle
	}
	use := w.Say("Use this slope")
	if s.second == nil {
		use = w.Say("Use it without turning")
	}
	return element.Box("section", "told",
		element.Known("p", "slope-value", "value voice-measured", "",
			w.Write(text.Arg{Value: slope.Grade, Dimension: text.Grade})+" ("+degreesWords(w.Speaker, slope.Angle)+")"),
		element.Known("p", "slope-sure", "", "", w.SayWith("Sure to ± {0}; scatter {1}; {2}", w.Size(slope.Sigma, text.Grade),
			degreesWords(w.Speaker, math.Max(s.first.Spread, s.spreadOfSecond())),
			w.SayCount(s.first.Count, "one value", "{0} values"))),
		app.If(slope.Turned,
			element.Text("p", "", w.SayWith("The phone's own zero is off by {0}; it has been taken out.", degreesWords(w.Speaker, slope.Bias)))),
		app.If(!slope.Turned, element.Text("p", "quiet", w.Say("Read one way round only: the phone's own zero is still in it."))),
		element.Doing("primary", "use-slope", use, func(ctx app.Context, _ app.Event) {
			e, err := storage.SetValue(w.Doc, f.Path, survey.Value{Size: slope.Grade, How: survey.ByPhone, Sigma: slope.Sigma})
			s.reset()
			w.Commit(ctx, e, err)
			takeSlopes(w, ctx)
		}, f.Path, slope.Grade, slope.Sigma),
	)
}

// takeSlopes lets the plan use a slope, where nothing else was said of the
// ground yet.
func takeSlopes(w *editing.Site, ctx app.Context) {
	for _, answer := range [][2]string{{survey.GroundShape, survey.GroundSlopes},
		{survey.GroundLevelsTaken, survey.LevelsBySlopes}} {
		if f, ok := survey.FieldAt(answer[0]); ok && f.Words(&w.Doc.Survey) == "" {
			e, err := storage.SetWords(w.Doc, f.Path, answer[1])
			w.Commit(ctx, e, err)
		}
	}
}

func (s *slopeScreen) spreadOfSecond() float64 {
	if s.second == nil {
		return 0
	}
	return s.second.Spread
}

// begin asks for the sensor, from within the tap as iPhones want it, and starts
// a reading.
func (s *slopeScreen) begin(ctx app.Context) {
	if s.second != nil {
		s.reset()
	}
	s.refused, s.values, s.state = "", nil, slopeAsking
	sensor := app.Window().Get("DeviceOrientationEvent")
	if !sensor.Truthy() {
		s.state = slopeNone
		return
	}
	if !sensor.Get("requestPermission").Truthy() {
		s.listen()
		return
	}
	answered := func(state slopeState) {
		s.w.Dispatch(func(app.Context) {
			if s.state = state; state == slopeAsking {
				s.listen()
			}
		})
	}
	window.Await(sensor.Call("requestPermission"), func(answer app.Value) {
		if answer != nil && answer.String() == "granted" {
			answered(slopeAsking)
		} else {
			answered(slopeNone)
		}
	}, func(app.Value) { answered(slopeNone) })
}

// listen gathers the sensor's values; after a while without any there is none.
func (s *slopeScreen) listen() {
	s.stopListening()
	s.began = pageTime()
	s.listener = app.FuncOf(func(_ app.Value, args []app.Value) any {
		if len(args) == 0 || args[0].Get("beta").Type() != app.TypeNumber {
			return nil
		}
		s.receive(args[0].Get("beta").Float() * math.Pi / 180)
		return nil
	})
	app.Window().Call("addEventListener", "deviceorientation", s.listener)
	var late app.Func
	late = app.FuncOf(func(app.Value, []app.Value) any {
		late.Release()
		s.w.Dispatch(func(app.Context) {
			if s.state == slopeAsking {
				s.stopListening()
				s.state = slopeNone
			}
		})
		return nil
	})
	app.Window().Call("setTimeout", late, slopeWaits)
}

// receive takes one value. Browsers keep quiet while the angle changes by less
// than about a tenth of a degree, so that what was said last is looked at by the
// clock and not by the event.
func (s *slopeScreen) receive(beta float64) {
	if s.listener == nil {
		return
	}
	s.live = beta
	if s.state != slopeAsking {
		return
	}
	s.state, s.began = slopeReading, pageTime()
	s.ticker = app.FuncOf(func(app.Value, []app.Value) any {
		s.tick()
		return nil
	})
	s.ticking = app.Window().Call("setInterval", s.ticker, slopeTick)
}

// tick adds what the sensor said last to the reading.
func (s *slopeScreen) tick() {
	now := pageTime()
	if s.listener == nil || s.state != slopeReading {
		return
	}
	if now-s.began > slopeRests {
		s.values = append(s.values, s.live)
	}
	finished := now-s.began > slopeRests+slopeTakes && len(s.values) >= ground.TiltLeast
	if finished {
		s.stopListening()
	}
	if finished || now-s.shown > slopeRedraw {
		s.shown = now
		s.w.Dispatch(func(app.Context) {
			if finished {
				s.finish()
			}
		})
	}
}

// finish makes a reading of the values.
func (s *slopeScreen) finish() {
	s.state = slopeReady
	t, err := ground.AverageTilt(s.values, s.w.Practice)
	var refused *ground.TiltError
	if errors.As(err, &refused) {
		s.refused = tiltWords(s.w.Speaker, err)
		if refused.Spread > 0 {
			s.refused = language.Sentences(s.refused, s.w.SayWith("Scatter {0}.", degreesWords(s.w.Speaker, refused.Spread)))
		}
		return
	}
	if !s.read {
		s.first, s.read = t, true
		return
	}
	if _, err := ground.SlopeOf(s.first, &t, s.w.Practice); err != nil {
		s.refused = tiltWords(s.w.Speaker, err)
		return
	}
	s.second = &t
}

func (s *slopeScreen) stopListening() {
	if s.listener == nil {
		return
	}
	app.Window().Call("removeEventListener", "deviceorientation", s.listener)
	s.listener.Release()
	s.listener = nil
	if s.ticker != nil {
		app.Window().Call("clearInterval", s.ticking)
		s.ticker.Release()
		s.ticker = nil
	}
}

// pageTime is the page's own clock, ms.
func pageTime() float64 { return app.Window().Get("performance").Call("now").Float() }
