package e2e

import (
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/storage"
	"pegpour/storage/demo"
)

// A quote is priced by the shop's rates, tried for what it rests on, signed with a
// finger on the screen, and says what changed afterwards.
func TestQuote(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	p := LaunchBrowser(t).Open(t, s.URL+angledSite+"/more")
	p.WaitRunning()
	p.Tap(`a.tile[href$="/quote"]`)
	p.Wait(says(".bar-mind", "No price for: Travel"))
	p.Tap(`main a[href$="/rates"]`)
	p.Wait(says(`[data-group="lacks"]`, "One motor with its controls"))
	rate(p, "rate.hour", "62.5")
	rate(p, "rate.motor", "690")
	// What cannot be so is refused by its field and stands there until it is mended.
	rate(p, "quote.tax", "200")
	p.Wait(says(`#rule-quote\.tax-says`, "Read as 200 %; allowed is 0 – 50."))
	p.Wait(`document.documentElement.dataset.unsaved === "0"`)
	p.Reload()
	p.Wait(says(`#rule-quote\.tax-says`, "Read as 200 %; allowed is 0 – 50."))
	assert.Equal(t, "200", p.Value(`#rule-quote\.tax`))
	rate(p, "quote.tax", "19")
	p.Wait(`document.documentElement.dataset.unsaved === "0"`)
	p.Wait(`/^\d/.test(document.querySelector("#rates-total").innerText)`)
	p.Screenshot("rates")
	p.Tap(`main a[href$="/quote"]`)
	p.Wait(`document.querySelector("#quote-total") && !document.querySelector(".rests progress")`)
	p.Screenshot("quote")
	p.Wait(says(".bar-mind", "No price for: Travel"))
	p.Wait(says(".rests", "buried service"))
	p.Tap(`[data-do="take"]`)
	p.Wait(`document.querySelector("#quote-owner")`)
	p.Type("#quote-owner", "R. Abel")
	p.Wait(`document.querySelector("#sign-quote").clientWidth > 250`) // wide enough for a finger
	signOn(p, "sign-quote")
	p.Wait(`!document.querySelector('[data-do="accept"]').disabled`)
	p.Screenshot("quote-sign")
	p.Tap(`[data-do="accept"]`)
	p.Wait(says("#quote-signed", "R. Abel accepted"))
	p.Wait(`document.documentElement.dataset.unsaved === "0"`)
	p.Reload()
	p.Wait(says("#quote-signed", "R. Abel accepted"))
	p.Tap(`[data-pack="quote"]`)
	p.Wait(`document.querySelectorAll("[data-file]").length === 1`)

	// The search of the rules finds a rate as well, by the key of a document.
	p.Show("/rules")
	p.Wait(`document.querySelector("#search")`)
	p.Eval(fill("#search", "rate.motor"))
	p.Wait(`document.querySelectorAll(".rule-value input").length === 1`)
	rate(p, "rate.motor", "720")
	p.Wait(`document.documentElement.dataset.unsaved === "0"`)
	p.Show(angledSite + "/quote")
	p.Wait(says(".signing", "Something changed since it was signed"))
	p.Wait(says(".signing", "690.00 → 720.00"))
	p.Wait(says(".signing", "+ 35.70")) // 30 and its tax
	p.Screenshot("quote-changed")
	assert.Empty(t, p.Faults())
}

// rate sets a rule on the page of rates, or where it was sought.
func rate(p *Page, key, value string) {
	p.t.Helper()
	field := `document.getElementById("rule-` + key + `")`
	p.Wait(field)
	p.Eval(field + `.closest("details").open = true`)
	p.Eval(selectAll("#rule-" + strings.ReplaceAll(key, ".", `\.`)))
	p.do(chromedp.KeyEvent(value))
	p.Eval(field + `.blur()`)
	p.Eval(`new Promise((good) => setTimeout(good, 300))`) // until the change is told
	settled(p)
}

// acceptQuote takes the quote as it stands to sign, and signs it.
func acceptQuote(p *Page, owner string) {
	p.t.Helper()
	p.Tap(`[data-do="take"]`)
	p.Wait(`document.querySelector("#quote-owner")`)
	p.Type("#quote-owner", owner)
	p.Wait(`document.querySelector("#sign-quote").clientWidth > 250`)
	signOn(p, "sign-quote")
	p.Wait(`!document.querySelector('[data-do="accept"]').disabled`)
	p.Tap(`[data-do="accept"]`)
	p.Wait(says("#quote-signed", owner+" accepted"))
	p.Wait(`document.documentElement.dataset.unsaved === "0"`)
}

// A quote is accepted on the phone, the leaf is wanted higher, the variation shows what
// that costs line by line and is signed; the office reads who accepted what, and when.
func TestQuoteIsVariedAndTheOfficeSeesIt(t *testing.T) {
	t.Parallel()
	s := StartYard(t, requireServer(t), realBundle)
	site := demo.Sites()[slices.IndexFunc(demo.Sites(), func(d demo.Site) bool { return d.Accepted != nil })]
	d := storage.NewDocument("2026-05-01T08:00:00Z")
	d.ID, d.Survey, d.Practice = millLane, site.Accepted.Clone(), site.Practice
	d.Survey.Site.Name = "Mill Lane 3"
	s.Device(t, "crew", "Van").Put(d)
	b := LaunchBrowser(t)
	p := b.NewPage(t)
	size(p, 390, 844)
	_, link := s.PairingLink(t, "crew", s.URL)
	pairByLink(p, link, "Anna's phone")
	p.Type("#yard-find", "mill lane")
	p.Tap(`[data-do="find"]`)
	p.Tap(`[data-bring="` + millLane + `"]`)
	p.Wait(`document.querySelector('.found a[href="/site/` + millLane + `/measure"]')`)

	goTo(p, "/site/"+millLane+"/quote", "#quote-total")
	p.Wait(`document.querySelector("#quote-total").innerText === "6000.00"`)
	acceptQuote(p, "A. Sample")
	goTo(p, "/site/"+millLane+"/measure?field=gate.height", `[data-entry="gate.height"]`)
	p.Eval(`document.querySelector("#entry").focus()`)
	p.Eval(fill("#entry", "1800"))
	settled(p)
	goTo(p, "/site/"+millLane+"/quote", "#quote-signed")
	p.Wait(says(".signing", "Something changed since it was signed"))
	p.Wait(says(".signing", "Infill of the leaf"))
	p.Wait(says(".signing", "Together"))
	p.Eval(`document.querySelector(".signing").scrollIntoView({block: "start", behavior: "instant"})`)
	p.Screenshot("quote-variation")
	acceptQuote(p, "A. Sample")
	p.Wait(`!` + says(".signing", "Something changed"))
	total := p.Text("#quote-total")
	require.NotEqual(t, "6000.00", total)
	nothingWaits(p)
	goTo(p, "/site/"+millLane+"/past", ".past .chip")
	assert.Empty(t, p.Faults())

	o := officePage(t, s, LaunchBrowser(t))
	o.Go(s.URL + "/office/site/" + millLane)
	o.WaitRunning()
	o.Wait(says(".office-history", "A. Sample accepted "+total+" on "))
	o.Wait(says(".office-history", "Variation 1"))
	o.Eval(`document.querySelector(".office-history").scrollIntoView({block: "start", behavior: "instant"})`)
	o.Screenshot("quote-office")
	assert.NotContains(t, o.Text(".office-history"), "quote.agreed")
	assert.Empty(t, o.Faults())
}

// The demo whose quote was accepted says what changed since, on the phone of whoever
// looks at it, and its variation can be signed.
func TestTheDemoOfAVariation(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	p := LaunchBrowser(t).Open(t, s.URL+"/site/00000000-0000-4000-8000-000000000071/quote")
	size(p, smallWidth, smallHeight)
	p.WaitRunning()
	p.Wait(says("#quote-signed", "A. Sample accepted 6000.00 on 2026-04-09"))
	p.Wait(says(".signing", "Bags of dry mix"))
	p.Wait(says(".signing", "Difference"))
	p.Wait(`!document.querySelector(".rests progress")`)
	p.Eval(`document.querySelector(".signing").scrollIntoView({block: "start", behavior: "instant"})`)
	p.Screenshot("quote-demo")
	assert.Equal(t, "360", p.Eval("document.documentElement.scrollWidth"))
	p.Eval(`document.documentElement.style.scrollBehavior = "auto"`)
	acceptQuote(p, "A. Sample")
	p.Wait(`!` + says(".signing", "Something changed"))
	assert.Empty(t, p.Faults())
}

// A rule of a site is tried before it is kept: nothing is drawn anew at a key, what it
// changes is shown after a pause, and what was typed is there when one comes back.
func TestARuleIsTriedAtTheSite(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	p := LaunchBrowser(t).Open(t, s.URL+angledSite+"/rules")
	size(p, smallWidth, smallHeight)
	p.WaitRunning()
	p.Wait(`document.querySelector("#search")`)
	p.Eval(fill("#search", "strip.depth"))
	field := `document.getElementById("rule-strip.depth")`
	p.Tap(`#rule-strip\.depth`) // once the list of what was found stands still
	p.Eval(selectAll(`#rule-strip\.depth`))
	p.do(chromedp.KeyEvent("160"))
	p.Wait(says(".rule-effect", "What it changes at this site"))
	p.Wait(says(".rule-effect", "Concrete"))
	assert.Equal(t, "null", p.Eval(`document.querySelector('[data-group="own"]')`))
	p.Eval(field + `.blur()`)
	p.Wait(`document.documentElement.dataset.unsaved === "0"`)
	p.Eval(field + `.scrollIntoView({block: "start", behavior: "instant"})`)
	p.Screenshot("rule-tried")
	assert.Equal(t, "360", p.Eval("document.documentElement.scrollWidth"))

	p.Reload()
	p.Wait(`document.querySelector('[data-group="own"] #rule-strip\\.depth')`)
	assert.Equal(t, "160", p.Value(`#rule-strip\.depth`))
	p.Tap(`[data-do="try-rule"]`)
	p.Wait(says(".rule-effect", "Concrete"))
	p.Tap(`[data-do="keep-rule"]`)
	p.Wait(`!document.querySelector(".rule-effect") && ` + says(`[data-group="own"]`, "Back to 100"))
	assert.Empty(t, p.Faults())
}
