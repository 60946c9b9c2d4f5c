package e2e

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"pegpour/app/words/gather"
)

// speakPseudo makes the page speak the language for tests: whatever file of
// German it asks for, this one comes.
const speakPseudo = `
Object.defineProperty(navigator, "languages", { get: () => ["de-AT", "en"] });
{
  const fetched = window.fetch.bind(window);
  window.fetch = (address, ...rest) =>
    String(address).includes("/a/words-de.") ? Promise.resolve(new Response(PSEUDO)) : fetched(address, ...rest);
}`

// plainWords lists what stands on the page, or is read out, in plain letters
// outside the marks of the language for tests. What is marked as English (names
// in published sources), by its own name (the languages) or as typed by somebody
// is passed over.
const plainWords = `(() => {
  const known = new Set(["Pegpour", "MPa", "kPa", "ABCDE", "FGHJK", "desk"]);
  const found = new Set();
  const look = (text, where) => {
    // Where a demo is marked as one, how its name begins is left off, and the
    // mark with it.
    const cut = ["h1.title named-demo", "span.site-name named-demo"].includes(where);
    let depth = cut && text.trimEnd().endsWith("⟧") && !text.includes("⟦") ? 1 : 0, bare = "";
    for (const c of text) {
      if (c === "⟦") depth++;
      else if (c === "⟧") depth--;
      else if (depth === 0) bare += c;
    }
    for (const word of bare.match(/[A-Za-zÄÖÜäöü]{3,}/g) || [])
      if (!known.has(word)) found.add(word + " <" + where + ">");
  };
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT | NodeFilter.SHOW_ELEMENT);
  for (let n = walk.currentNode; n; n = walk.nextNode()) {
    const element = n.nodeType === Node.TEXT_NODE ? n.parentElement : n;
    const passedOver = "body [lang], [translate=no], script, style, noscript, aside[hidden], #app-wasm-loader";
    if (element.closest(passedOver)) continue;
    if (n.nodeType === Node.TEXT_NODE) {
      look(n.data, element.localName + "." + (element.getAttribute("class") || ""));
      continue;
    }
    for (const name of ["aria-label", "title", "placeholder", "alt", "aria-valuetext", "aria-description"])
      if (n.hasAttribute(name)) look(n.getAttribute(name), n.localName + " " + name);
  }
  return JSON.stringify([...found]);
})()`

// Nothing on the main screens is hard-wired: in a language that no person
// speaks, no plain word is left. The page follows its direction.
func TestNoWordIsHardWired(t *testing.T) {
	t.Parallel()
	report, err := gather.Gather("../..")
	require.NoError(t, err)
	pseudo, err := json.Marshal(string(gather.Pseudo(report)))
	require.NoError(t, err)
	server := StartServer(t, serverBinary, realBundle)
	p := LaunchBrowser(t).NewPage(t)
	p.BeforeScripts("const PSEUDO = " + string(pseudo) + ";" + speakPseudo)
	p.Go(server.URL + "/")
	p.WaitRunning()
	p.Wait(`document.querySelectorAll(".site-link").length > 5 && document.querySelectorAll(".thumb svg").length > 5`)
	require.Equal(t, "qps rtl", p.Eval(`document.documentElement.lang + " " + document.documentElement.dir`))
	require.Equal(t, "[]", p.Eval(plainWords), "the list")
	p.Eval(`document.querySelector("h1").append("hard-wired")`)
	require.Equal(t, `["hard <h1.title>","wired <h1.title>"]`, p.Eval(plainWords), "the search finds what was put there")
	const falling, rising = "00000000-0000-4000-8000-000000000007", "00000000-0000-4000-8000-000000000006"
	for _, screen := range []struct{ path, there string }{
		{"/rules", ".rules"},
		{"/settings", "select"},
		{"/site/" + rising + "/measure", "#asked"},
		{"/site/" + rising + "/measure?field=opening.width", ".keypad"},
		{"/site/" + rising + "/set-out", ".figures"},
		{"/site/" + rising + "/pour", ".big"},
		{"/site/" + rising + "/watch", ".sure"},
		{"/site/" + falling + "/watch", ".sure"},
		{"/site/" + rising + "/more", ".tile"},
		{"/site/" + rising + "/figures", ".figure-link"},
		{"/site/" + rising + "/ways", ".way-card"},
		{"/site/" + rising + "/level-run", ".book"},
		{"/site/" + rising + "/slope", "#asked"},
		{"/site/" + rising + "/network", "#sketch"},
		{"/site/" + rising + "/photos", ".wide"},
		{"/site/" + rising + "/owner", "#owner-view canvas"},
		{"/site/" + rising + "/pack", ".pack"},
		{"/site/" + rising + "/pour-day", ".stage"},
		{"/site/" + rising + "/sources", ".figure"},
		{"/site/" + rising + "/show", "[data-do=start-row]"},
		{"/show", "[data-do=start-row]"},
		{"/take", "[data-do=open-camera]"},
		{"/nowhere", ".empty"},
		{"/site/00000000-0000-4000-8000-00000000ffff/measure", `[data-do="load-again"]`}, // not on this phone
	} {
		p.Go(server.URL + screen.path)
		p.WaitRunning()
		p.Wait("document.querySelector(" + quote(screen.there) + ")")
		if plain := p.Eval(plainWords); plain != "[]" {
			t.Errorf("%s: %s", screen.path, plain)
		}
		if wide := p.Eval(`document.documentElement.scrollWidth - document.documentElement.clientWidth`); wide != "0" {
			t.Errorf("%s is %s pixels wider than the phone", screen.path, wide)
		}
	}
	noPicture := filepath.Join(t.TempDir(), "1")
	require.NoError(t, os.WriteFile(noPicture, []byte("1"), 0o644))
	open(p, server.URL+"/site/"+rising+"/photos", "#photo-choose")
	p.chooseFile("#photo-choose", noPicture)
	p.Wait(`document.querySelector(".error[role=alert]")`)
	require.Equal(t, "[]", p.Eval(plainWords), "a photo that is none")
}

// The language is chosen at once, numbers follow, and it stays.
func TestLanguageChangesAtOnce(t *testing.T) {
	t.Parallel()
	server := StartServer(t, serverBinary, realBundle)
	p := LaunchBrowser(t).Open(t, server.URL+"/")
	p.Wait(`document.querySelectorAll(".site-link").length > 5`)
	p.Go(server.URL + "/settings")
	p.Wait(`document.querySelector("#setting-language")`)
	require.Equal(t, "Settings", p.Text("h1"))
	choose := func(code string) {
		setSelect(p, "#setting-language", code)
	}
	p.Eval(`window.stillHere = true`)
	choose("de")
	p.Wait(`document.querySelector("h1").innerText === "Einstellungen"`)
	require.Equal(t, "true de ltr",
		p.Eval(`window.stillHere + " " + document.documentElement.lang + " " + document.documentElement.dir`))
	const site = "/site/00000000-0000-4000-8000-000000000001"
	p.Wait(`document.documentElement.dataset.unsaved === "0"`)
	p.Go(server.URL + site + "/pour")
	p.WaitRunning()
	require.Equal(t, "0,106 m³", figure(p, "concrete.order"))
	p.Go(server.URL + site + "/measure?field=opening.width")
	p.WaitRunning()
	p.Wait(`document.querySelector(".keypad")`)
	require.Equal(t, ",", p.Text(`[data-key="."]`))
	keysWhole(t, p)
	for _, c := range []struct{ typed, mm string }{{"3,25 m", "3250"}, {"3.26 m", "3260"}} {
		p.Eval(fill("#entry", c.typed))
		p.Wait(`document.querySelector("#entry-says").innerText.startsWith("Gelesen als ` + c.mm + `\u00a0mm")`)
	}
	p.Go(server.URL + "/settings")
	p.Wait(`document.querySelector("#setting-language")`)
	choose("en")
	p.Wait(`document.querySelector("h1").innerText === "Settings"`)
	p.Wait(`document.documentElement.dataset.unsaved === "0"`)
	p.Go(server.URL + site + "/measure?field=opening.width")
	p.WaitRunning()
	p.Wait(`document.querySelector(".keypad")`)
	require.Equal(t, "Next", p.Text(`[data-key="next"]`))
	keysWhole(t, p)
	require.Empty(t, p.Faults())
}

// keysWhole wants the words of the keypad whole, each in one line on its key,
// on the smallest phone at every size of text up to twice the usual one.
func keysWhole(t *testing.T, p *Page) {
	t.Helper()
	load(p)
	size(p, smallWidth, smallHeight)
	for _, text := range []int64{16, 18, 20, 22, 24, 28, 32} {
		fontSize(p, text)
		p.Wait(`getComputedStyle(document.body).fontSize === "` + strconv.FormatInt(text, 10) + `px"`)
		audited(t, p, p.Text(`[data-key="next"]`)+" at "+strconv.FormatInt(text, 10)+" px", "audit.keys()")
	}
	asUsual(p)
}
