package e2e

import (
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/pegs"
	"pegpour/engine/practice"
)

// tapsKept counts taps through all programs of a tab, a signature as one.
const tapsKept = `
	addEventListener("click", (e) => e.isTrusted && (sessionStorage.taps = 1 + Number(sessionStorage.taps || 0)), true);
`

// From nothing to a site that is measured, priced, signed and pegged, on a small phone: the
// shop's rates are typed once, and nobody is asked for a name twice. The next site has its
// price at once.
func TestPricedSignedPegged(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	p := LaunchBrowser(t).NewPage(t)
	size(p, smallWidth, smallHeight)
	p.BeforeScripts(tapsKept)
	p.Go(s.URL + "/")
	p.WaitRunning()
	last := 0
	count := func(what string, most int) {
		t.Helper()
		settled(p)
		n, err := strconv.Atoi(p.Eval(`sessionStorage.taps`))
		require.NoError(t, err)
		t.Logf("%s: %d taps", what, n-last)
		require.LessOrEqual(t, n-last, most, what)
		last = n
	}
	begin := func(name, client string) {
		p.Tap(`[data-do="new-site"]`)
		p.Wait(`document.querySelector("#asked")`)
		p.Type("#entry", name)
		p.Type(`#entry-site\.client`, client)
	}
	begin("Lane 12", "R. Abel")
	require.Empty(t, p.Value(`#entry-site\.measuredBy`))
	p.Type(`#entry-site\.measuredBy`, "Anna")
	walkOnSquareSite(p)
	count("measured", 32)

	settle(p)
	count("what says stop is settled", 4)

	p.Tap(`a.tab[href$="/more"]`)
	p.Tap(`a.tile[href$="/quote"]`)
	p.Wait(says(".bar-mind", "No price for"))
	p.Tap(`main a[href$="/rates"]`)
	p.Wait(`document.querySelector('[data-group="lacks"]')`)
	p.Tap(`[data-group="lacks"] input`)
	rates := []string{"62.5", "8.4", "60", "28", "4.2", "6", "3.1", "1", "690", "21", "240", "55"}
	require.Equal(t, strconv.Itoa(len(rates)), p.Eval(`document.querySelectorAll('[data-group="lacks"] input').length`))
	above := p.Eval(`document.querySelector('[data-group="lacks"]').offsetHeight`)
	for i, rate := range rates {
		p.Wait(`document.activeElement === document.querySelectorAll('[data-group="lacks"] input')[` + strconv.Itoa(i) + `]`)
		p.do(chromedp.KeyEvent(rate + "\r"))
	}
	p.Wait(says(`[data-group="lacks"] summary`, "11 of 11") + ` || ` + says(`[data-group="lacks"] summary`, "12 of 12"))
	require.Equal(t, above, p.Eval(`document.querySelector('[data-group="lacks"]').offsetHeight`), "no row moves under a thumb")
	p.Screenshot("first rates typed")
	p.Tap(`[data-group="lacks"] + a[href$="/quote"]`)
	sign := func() {
		t.Helper()
		p.Wait(`document.querySelector("#quote-total") && !document.querySelector(".bar-mind, .bar-stop")`)
		p.Tap(`[data-do="take"]`)
		p.Wait(`document.querySelector("#quote-owner")`)
		client := p.Value("#quote-owner")
		p.Wait(`document.querySelector("#sign-quote").clientWidth > 250`)
		signOn(p, "sign-quote")
		p.Wait(`!document.querySelector('[data-do="accept"]').disabled`)
		p.Tap(`[data-do="accept"]`)
		p.Wait(says("#quote-signed", client+" accepted"))
	}
	sign()
	require.Contains(t, p.Text("#quote-signed"), "R. Abel accepted")
	count("priced and signed", 8)

	p.Tap(`a.tab[href$="/more"]`)
	p.Tap(`.next-step a`)
	p.Tap(`[data-do="next-tape"]`)
	tapes := 0
	for ; tapes < 60; tapes++ {
		p.Wait(`document.querySelector("#asked") || document.querySelector("#pegs-say")`)
		if p.Eval(`!document.querySelector("#asked")`) == "true" {
			break
		}
		asked := p.Text("#asked")
		ends, _, _ := strings.Cut(asked, ":")
		from, to, found := strings.Cut(ends, " – ")
		require.True(t, found, asked)
		enter(p, tapeAsPlanned(t, strings.TrimSpace(from), strings.TrimSpace(to)))
		p.Wait(`!document.querySelector("#asked") || document.querySelector("#asked").innerText !== ` + quote(asked))
	}
	t.Logf("%d tapes", tapes)
	verdicts := strings.Fields(p.Eval(`[...document.querySelectorAll("[data-verdict]")].map((e) => e.dataset.is).join(" ")`))
	require.Len(t, verdicts, 7)
	for _, is := range verdicts {
		require.Contains(t, []pegs.Verdict{pegs.Within, pegs.Unsure}, pegs.Verdict(is))
	}
	count("pegged, beside what a laser types", 4)
	p.Tap(`a.tab[href$="/more"]`)
	p.Wait(says(".how-far", "pegs stand"))
	p.Show("/")
	p.Wait(`document.querySelector(".sites")`)
	last, _ = strconv.Atoi(p.Eval(`sessionStorage.taps`))

	begin("Mill Lane 3", "A. Sample")
	require.Equal(t, "Anna", p.Value(`#entry-site\.measuredBy`), "who measures is asked once")
	walkOnSquareSite(p)
	count("the next one measured", 29)
	settle(p)
	p.Tap(`a.tab[href$="/more"]`)
	p.Tap(`a.tile[href$="/quote"]`)
	sign()
	require.Contains(t, p.Text("#quote-signed"), "A. Sample accepted")
	count("settled, priced and signed", 9)
	require.Empty(t, p.Faults())
}

// settle tries what the watch-outs offer against a stop, from the end of the walk, and
// does it.
func settle(p *Page) {
	p.t.Helper()
	p.Tap(`.question a[href$="/watch"]`)
	p.Tap(`.watch-stop [data-remedy]`)
	p.Tap(`[data-do="apply-remedy"]`)
	p.Wait(`document.querySelector(".watch") && !document.querySelector(".watch-stop")`)
}

// tapeAsPlanned is what a tape reads at the square site where its pegs stand as planned.
func tapeAsPlanned(t *testing.T, from, to string) string {
	t.Helper()
	square := job(4000, 5600)
	square.Gate.Guide = "gate post"
	rules := practice.DefaultPractice()
	made, err := engine.Design(square, rules)
	require.NoError(t, err)
	return tapeBetween(t, pegs.Marks(&made, &rules), made.Opening, from, to)
}
