package e2e

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// A quote is priced by the shop's rates, tried for what it rests on, signed with a
// finger on the screen, and says what changed afterwards.
func TestQuote(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	p := LaunchBrowser(t).Open(t, s.URL+"/rules")
	p.WaitRunning()
	rate := func(key, words, value string) {
		p.Wait(`document.querySelector("#search")`)
		p.Eval(fill("#search", words))
		field := `document.getElementById("rule-` + key + `")`
		p.Wait(`document.querySelectorAll(".rule-entry input").length === 1 && ` + field)
		p.Eval(field + `.select()`)
		p.Type("#rule-"+strings.ReplaceAll(key, ".", `\.`), value)
		p.Eval(field + `.blur()`)
		p.Wait(`document.querySelector(".rule-entry button")`)
	}
	rate("rate.hour", "one hour of one person", "62.5")
	rate("rate.motor", "one motor with its controls", "690")
	rate("quote.tax", "tax on top", "19")
	p.Wait(`document.documentElement.dataset.unsaved === "0"`)

	p.Show(angledSite + "/more")
	p.Tap(`a.tile[href$="/quote"]`)
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

	p.Show("/rules")
	rate("rate.motor", "one motor with its controls", "720")
	p.Wait(`document.documentElement.dataset.unsaved === "0"`)
	p.Show(angledSite + "/quote")
	p.Wait(says(".signing", "Something changed since it was signed"))
	p.Wait(says(".signing", "690.00 → 720.00"))
	p.Wait(says(".signing", "+ 35.70")) // 30 and its tax
	p.Screenshot("quote-changed")
	assert.Empty(t, p.Faults())
}
