package e2e

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// listens is a SpeechRecognition of our own, put before the page's scripts: it understands
// English, in the state that the test gives it, and hears what the test says. What is
// started without processLocally would send sound away, and is a fault. The names are those
// of the Web Speech API.
const listens = `
	window.SpeechRecognition = class extends EventTarget {
		static available({ langs, processLocally }) {
			if (!processLocally) console.error("asked for speech that is understood elsewhere");
			return Promise.resolve(/^en/.test(langs[0]) ? this.is ?? "available" : "unavailable");
		}
		static install({ langs, processLocally }) {
			if (!processLocally) console.error("asked for words to understand speech elsewhere");
			return new Promise((done) => (window.installed = (well) => {
				if (well) this.is = "available";
				done(well);
			}));
		}
		get processLocally() { return this.locally || false; }
		set processLocally(to) { this.locally = to; }
		start() {
			if (!this.locally) console.error("sound may go to a network");
			if (window.startThrows) throw new Error("not now");
			(window.heardBy ??= []).push(this);
			this.onstart();
		}
		stop() { this.says("two metres"); }
		abort() { this.aborted = true; }
		says(words) { this.onresult({ results: [[{ transcript: words }]] }); this.onend(); }
		fails(error) { this.onerror({ error }); this.onend(); }
	};
	window.webkitSpeechRecognition = undefined;
`

// canSpeak is whether the microphone is on the screen.
const canSpeak = `(document.querySelector("[data-do=speak]")?.getClientRects().length > 0)`

// hears presses the microphone and has the phone hear something.
func hears(p *Page, what string) {
	p.t.Helper()
	p.Tap(`[data-do="speak"]`)
	p.Wait(says("#entry-says", "Listening"))
	require.Equal(p.t, "true", p.Eval(`document.querySelector("[data-do=speak]").ariaPressed`))
	p.Eval(`window.heardBy.at(-1).` + what)
	p.Wait(`!document.querySelector("[data-do=speak]").ariaPressed`)
}

// A number is spoken where the phone understands speech by itself: what was heard stands in
// the entry as if it was typed, and is kept by going on.
func TestNumbersAreSpoken(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	b := LaunchBrowser(t)
	p := b.NewPage(t)
	p.BeforeScripts(listens)
	p.Go(s.URL + "/")
	p.WaitRunning()
	p.Wait(visits[0].until)
	site := newSite(p, s)
	open(p, site+"/measure?field=opening.width", "#entry")
	p.Wait(canSpeak)
	hears(p, `says("three thousand four hundred and fifty")`)
	p.Wait(`document.querySelector("#entry").value === "3450"`)
	p.Wait(says("#entry-says", "Heard “three thousand four hundred and fifty”: 3450"))
	require.Equal(t, "true", p.Eval(`document.activeElement.id === "entry"`), "one types on where it stands")
	require.Equal(t, "0", p.Eval(`document.querySelectorAll(".kept-yes").length`))

	// Nothing is kept until it is passed.
	open(p, site+"/figures", ".figure-link")
	require.NotContains(t, p.Text("main"), "3450")
	open(p, site+"/measure?field=opening.width", "#entry")
	require.Equal(t, "", p.Value("#entry"))
	p.Wait(canSpeak)
	hears(p, `says("three thousand four hundred and fifty")`)
	p.Tap(`[data-key="next"]`)
	p.Wait(`document.querySelector("#entry")?.dataset.entry !== "opening.width"`)
	settled(p)
	open(p, site+"/figures", ".figure-link")
	require.Contains(t, p.Text("main"), "3450")

	// What is heard is typed on, or erased, like digits.
	open(p, site+"/measure?field=opening.width", "#entry")
	p.Wait(canSpeak)
	hears(p, `says("3 4 5")`)
	p.Tap(`[data-key="1"]`)
	p.Wait(`document.querySelector("#entry").value === "3451"`)
	settled(p)
	hears(p, `says("four metres fifty")`)
	p.Tap(`[data-key="back"]`)
	p.Wait(`document.querySelector("#entry")?.dataset.entry !== "opening.width"`)
	open(p, site+"/measure?field=opening.width", "#entry")
	require.Equal(t, "3451", p.Value("#entry"), "who goes back has not taken it")
	p.Wait(canSpeak)

	// What is not sure is refused, and what stood there stands.
	for what, want := range map[string]string{
		`says("good morning everybody")`: "Heard “good morning everybody”: this is no number",
		`says("two metres five")`:        "Heard “two metres five”, which can mean two numbers",
		`says("two point five")`:         "Heard “two point five”: say the unit too",
		`says("twelve degrees")`:         "another unit is used here",
		`fails("no-speech")`:             "Nothing was heard",
		`fails("not-allowed")`:           "This page may not listen: allow it the microphone",
		`fails("audio-capture")`:         "No microphone answers",
		`fails("network")`:               "This phone cannot listen now",
		`onend()`:                        "Nothing was heard",
		`onnomatch()`:                    "Nothing was heard",
	} {
		hears(p, what)
		p.Wait(says("#entry-says", want))
		require.Equal(t, "3451", p.Value("#entry"), what)
		require.Contains(t, p.Eval(`document.querySelector("#entry-says").className`), "error", what)
	}
	p.Eval(`(document.querySelector("#entry").focus(), document.querySelector("#entry").setSelectionRange(4, 4))`)
	p.Tap(`[data-key="erase"]`)
	p.Wait(`document.querySelector("#entry").value === "345" && ` + says("#entry-says", "345"))
	p.Tap(`[data-key="1"]`)
	settled(p)

	// The microphone and what is said of it are for everyone.
	hears(p, `says("two metres five")`)
	forEveryone(t, p)
	asUsual(p)

	// Listening ends when the page is hidden, when one types or goes on, and in time.
	p.Tap(`[data-do="speak"]`)
	p.Wait(says("#entry-says", "Listening"))
	p.Eval(`(() => {
		Object.defineProperty(document, "hidden", { configurable: true, get: () => true });
		document.dispatchEvent(new Event("visibilitychange"));
		delete document.hidden;
	})()`)
	p.Wait(says("#entry-says", "Listening was interrupted"))
	require.Equal(t, "true", p.Eval(`heardBy.at(-1).aborted`))
	p.Eval(`heardBy.at(-1).says("nine hundred")`) // what comes late is not taken
	require.Equal(t, "3451", p.Value("#entry"))
	p.Tap(`[data-do="speak"]`)
	p.Wait(says("#entry-says", "Listening"))
	p.Tap(`[data-key="0"]`)
	p.Wait(`document.querySelector("#entry").value === "34510" && !` + says("#entry-says", "Listening"))
	p.Eval(`heardBy.at(-1).says("nine hundred")`)
	require.Equal(t, "34510", p.Value("#entry"))
	p.Tap(`[data-key="erase"]`)
	settled(p)
	p.Tap(`[data-do="speak"]`)
	p.Wait(says("#entry-says", "Listening"))
	p.Tap(`[data-do="speak"]`) // done speaking
	p.Wait(`document.querySelector("#entry").value === "2000"`)
	p.Eval(`window.startThrows = true`)
	p.Tap(`[data-do="speak"]`)
	p.Wait(says("#entry-says", "This phone cannot listen now"))
	p.Eval(`window.startThrows = false`)

	// Where the words were taken away meanwhile the microphone goes.
	p.Tap(`[data-do="speak"]`)
	p.Wait(says("#entry-says", "Listening"))
	p.Eval(`(SpeechRecognition.is = "unavailable", heardBy.at(-1).fails("language-not-supported"))`)
	p.Wait(says("#entry-says", "does not understand this language any more"))
	p.Wait(`!` + canSpeak)
	require.Empty(t, p.Faults())
}

// There is no microphone where sound would leave the phone, or nothing is understood; what
// can be loaded is offered in the settings, with signal.
func TestWhereNumbersAreNotSpoken(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	b := LaunchBrowser(t)
	for name, script := range map[string]string{
		"nothing of it":          `window.SpeechRecognition = window.webkitSpeechRecognition = undefined`,
		"understood elsewhere":   listens + `; delete SpeechRecognition.prototype.processLocally`,
		"nothing tells where":    listens + `; delete SpeechRecognition.available`,
		"it does not stay local": listens + `; Object.defineProperty(SpeechRecognition.prototype, "processLocally", { get: () => false, set() {} })`,
	} {
		p := b.NewPage(t)
		p.BeforeScripts(script)
		p.Go(s.URL + at("{angled}/measure?field=opening.width"))
		p.WaitRunning()
		p.Wait(`document.querySelector("#entry")`)
		if name == "it does not stay local" {
			p.Wait(canSpeak)
			p.Tap(`[data-do="speak"]`)
			require.Equal(t, "true", p.Eval(`!window.heardBy`), "nobody is listened to")
		} else {
			p.Eval(`new Promise((then) => setTimeout(() => requestIdleCallback(then), 200))`) // it is asked when idle
			require.Equal(t, "false undefined", p.Eval(`(`+canSpeak+` || false) + " " + document.documentElement.dataset.voice`), name)
		}
		require.Empty(t, p.Faults(), name)
		p.Close()
	}

	p := b.NewPage(t)
	p.BeforeScripts(listens + `; SpeechRecognition.is = "downloadable"`)
	p.Go(s.URL + "/settings")
	p.WaitRunning()
	const offered = `document.querySelector("[data-do=load-speech]")?.getClientRects().length > 0`
	p.Wait(offered)
	p.Eval(`(() => {
		Object.defineProperty(navigator, "onLine", { configurable: true, get: () => false });
		dispatchEvent(new Event("offline"));
	})()`)
	p.Wait(`document.documentElement.dataset.voice === undefined && !(` + offered + `)`)
	p.Eval(`(() => { delete navigator.onLine; dispatchEvent(new Event("online")); })()`)
	p.Wait(offered)
	p.Tap(`[data-do="load-speech"]`)
	p.Wait(says(".speaking", "are being loaded"))
	p.Eval(`installed(false)`)
	p.Wait(says(".speaking", "could not be loaded") + " && " + offered)
	p.Tap(`[data-do="load-speech"]`)
	p.Wait(says(".speaking", "are being loaded"))
	p.Eval(`installed(true)`)
	p.Wait(says(".speaking", "Numbers can be spoken"))
	const there = `document.documentElement.dataset.voice === "ready"`
	for name, available := range map[string]string{
		"no words":             `() => Promise.resolve("unavailable")`,
		"words are on the way": `() => Promise.resolve("downloading")`,
		"the state is refused": `() => Promise.reject(new Error("no"))`,
		"another language":     `({ langs }) => Promise.resolve(/^fr/.test(langs[0]) ? "available" : "unavailable")`,
	} {
		p.Eval(`(() => {
			window.was ??= SpeechRecognition.available;
			SpeechRecognition.available = ` + available + `;
			dispatchEvent(new Event("online"));
		})()`)
		p.Wait(`document.documentElement.dataset.voice === undefined`)
		p.Eval(`(() => { SpeechRecognition.available = was; dispatchEvent(new Event("online")); })()`)
		p.Wait(there)
		require.Empty(t, p.Faults(), name)
	}
	setSelect(p, "#setting-language", "de") // which it does not understand
	p.Wait(`document.documentElement.lang === "de" && document.documentElement.dataset.voice === undefined`)
	require.Empty(t, p.Faults())
}

// A browser that ends the page when it is asked what it understands is not asked again; one
// whose page was left meanwhile is.
func TestTheQuestionThatEndsThePageIsAskedOnce(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	b := LaunchBrowser(t)
	p := b.NewPage(t)
	p.BeforeScripts(listens + `
		SpeechRecognition.available = () => {
			localStorage.asked = Number(localStorage.asked || 0) + 1;
			return new Promise(() => {});
		};
		// A page that is ended hears nothing of it.
		addEventListener("pagehide", (event) => window.isEnded && event.stopImmediatePropagation());`)
	asked := func() float64 {
		open(p, s.URL+at("{angled}/measure?field=opening.width"), "#entry")
		return number(t, p.Eval(`new Promise((then) => setTimeout(() => requestIdleCallback(() => then(localStorage.asked || 0)), 300))`))
	}
	first := asked()
	p.Go("about:blank")
	second := asked()
	require.Positive(t, first)
	require.Greater(t, second, first)
	p.Eval(`window.isEnded = true`)
	p.Go("about:blank")
	require.Equal(t, second, asked())
	require.Equal(t, "false", p.Eval(canSpeak))
}
