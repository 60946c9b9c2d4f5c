package e2e

import (
	"go/ast"
	"go/parser"
	"go/token"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// visit is one state of a screen in which it has to be usable by everyone.
type visit struct {
	name    string
	address string // after the server's; {name} is a demo site, see demoSites
	until   string // an expression that holds when the screen is there
	then    string // a script that brings it to the state; may be ""
	after   string // holds when the state is there; may be ""
}

// demoSites are the identities of the sites that every device starts with.
var demoSites = map[string]string{
	"{square}": "/site/00000000-0000-4000-8000-000000000001",
	"{angled}": "/site/00000000-0000-4000-8000-000000000002",
	"{pavers}": "/site/00000000-0000-4000-8000-000000000003",
	"{rising}": "/site/00000000-0000-4000-8000-000000000006",
	"{steep}":  steepBank,
	"{varied}": "/site/00000000-0000-4000-8000-000000000071",
}

func at(address string) string {
	for name, site := range demoSites {
		address = strings.Replace(address, name, site, 1)
	}
	return address
}

const (
	drawnSmall = `document.querySelector("#drawing-small svg")`
	drawnLarge = `document.querySelector("#drawing-large svg")`
)

// press is a script that presses the control with the name.
func press(name string) string {
	return `[...document.querySelectorAll("button, summary, a")]
		.find((e) => (e.getAttribute("aria-label") || e.innerText).trim() === ` + quote(name) + `).click()`
}

func asking(field string) visit {
	return visit{
		name: "measure " + field, address: "{angled}/measure?field=" + field,
		until: `document.querySelector("#asked") && ` + drawnSmall,
	}
}

// visits has every screen, in each state that looks unlike the others.
var visits = []visit{
	{name: "sites", address: "/", until: `document.querySelectorAll(".thumb svg").length >= 4`},
	{name: "sites, one put away", address: "/", until: `document.querySelectorAll(".thumb svg").length >= 4`,
		then: `document.querySelector(".site .icon").click()`, after: `document.querySelector(".bar")`},
	{name: "shop rules", address: "/rules", until: `document.querySelector(".rules")`},
	{name: "shop rules, opened", address: "/rules", until: `document.querySelector(".rules")`,
		then:  `document.querySelectorAll("details").forEach((d) => { d.open = true })`,
		after: `document.querySelectorAll("details:not(:has(.rule))").length === 0`},
	{name: "shop rules, sought", address: "/rules", until: `document.querySelector(".rules")`,
		then: fill("#search", "motor"), after: `document.querySelector(".rules[open]")`},
	{name: "rates", address: "/rates", until: `document.querySelector(".rate")`},
	{name: "rates, one refused", address: "/rates", until: `document.querySelector(".rate")`,
		then:  fill(`#rule-quote\.tax`, "200") + `; document.getElementById("rule-quote.tax").dispatchEvent(new Event("change", {bubbles: true}))`,
		after: `document.querySelector(".rate .error")`},
	{name: "rates, from a site", address: "{angled}/rates", until: `document.querySelector('[data-group="lacks"]')`},
	{name: "site rules, one tried", address: "{square}/rules", until: `document.querySelector(".rules")`,
		then: `new MutationObserver((_, me) => {
			if (!document.getElementById("rule-strip.depth")) return;
			me.disconnect();
			` + fill(`#rule-strip\.depth`, "160") + `
		}).observe(document.body, {childList: true, subtree: true});
		document.querySelector("[data-group]").open = true`,
		after: `document.querySelector(".rule-effect .pair")`},
	{name: "what was learned", address: "/learned", until: `document.querySelector("#learned-empty")`},
	{name: "settings", address: "/settings", until: `document.querySelector("select")`},
	{name: "site rules", address: "{angled}/rules", until: `document.querySelector(".rules")`},
	asking("site.name"), asking("opening.width"), asking("opening.hand"), asking("drive.surface"),
	asking("drive.runBackEdge.angle"), asking("runBack.room"), asking("gate.motor"),
	{name: "measure, a slope", address: "{rising}/measure?field=ground.levels.along",
		until: `document.querySelector("#asked")`},
	{name: "measure, not read", address: "{pavers}/measure?field=runBack.room",
		until: `document.querySelector("#entry") && ` + drawnSmall,
		then:  `document.querySelector("#entry").focus(); ` + fill("#entry", "12 parsecs"),
		after: says("#entry-says", "Not read")},
	{name: "past states", address: "{angled}/past", until: `document.querySelector(".past .chip")`},
	{name: "a past state", address: "{angled}/past?step=1",
		until: drawnLarge + ` && document.querySelector("[data-do=take-back]")`},
	{name: "set-out", address: "{angled}/set-out", until: drawnLarge},
	{name: "set-out, pad", address: "{angled}/set-out", until: drawnLarge, then: press("Pad and post")},
	{name: "set-out, long section", address: "{rising}/set-out",
		until: drawnLarge,
		then:  press("Long section"),
		after: `document.querySelector(".table td")`},
	{name: "set-out, leaf", address: "{rising}/set-out", until: drawnLarge, then: press("Leaf")},
	{name: "set-out, pegs", address: "{rising}/set-out",
		until: drawnLarge,
		then:  press("Pegs"),
		after: `document.querySelector(".pegs")`},
	{name: "pour", address: "{pavers}/pour", until: `document.querySelector(".bigs")`},
	{name: "pour, opened", address: "{pavers}/pour",
		until: `document.querySelector(".bigs")`,
		then:  `document.querySelectorAll("details").forEach((d) => { d.open = true })`},
	{name: "watch", address: "{steep}/watch",
		until: `document.querySelector("[data-sure]") && document.querySelector("[data-remedy]")`},
	{name: "watch, a remedy tried", address: "{steep}/watch",
		until: `document.querySelector("[data-remedy]") && document.querySelector("[data-sure]")`,
		then:  `document.querySelector("[data-remedy]").click()`, after: `document.querySelector(".trial")`},
	{name: "load cases", address: "{rising}/loads", until: `document.querySelector(".load-case")`},
	{name: "ways", address: "{rising}/ways", until: `document.querySelector(".way-card .thumb svg")`},
	{name: "figures", address: "{angled}/figures", until: `document.querySelector(".figure-link")`},
	{name: "network", address: "{angled}/network", until: `document.querySelector("main button")`},
	{name: "network begun", address: "{pavers}/network",
		until: `document.querySelector('[data-do="two-posts"]')`,
		then:  `document.querySelector('[data-do="two-posts"]').click()`,
		after: `document.querySelector("#entry")`},
	{name: "pegs as set", address: "{angled}/build/pegs", until: `document.querySelector('[data-do="next-tape"]')`},
	{name: "pegs as set, a tape", address: "{pavers}/build/pegs",
		until: `document.querySelector('[data-do="next-tape"]')`,
		then:  `document.querySelector('[data-do="next-tape"]').click()`,
		after: `document.querySelector("#entry")`},
	{name: "strings and boards", address: "{angled}/build/boards", until: `document.querySelector("[data-corner]")`},
	{name: "level run", address: "{angled}/level-run", until: `document.querySelector("main button")`},
	{name: "slope", address: "{angled}/slope", until: `document.querySelector("main button")`},
	{name: "level run begun", address: "{pavers}/level-run", // not after the other level run, whose button it has
		until: `document.querySelector('[data-do="begin"]')`,
		then:  `document.querySelector('[data-do="begin"]').click()`,
		after: `document.querySelector("#entry")`},
	{name: "photos", address: "{angled}/photos", until: `document.querySelector("main h2, main button, main label")`},
	{name: "overlay", address: "{angled}/overlay", until: `document.querySelector("main h2, main p, main button")`},
	{name: "owner", address: "{rising}/owner", until: `document.querySelector("main svg")`},
	{name: "pack", address: "{angled}/pack", until: `document.querySelector("main button")`},
	{name: "pour day", address: "{angled}/pour-day", until: `document.querySelector("main input")`},
	{name: "forms and depth", address: "{angled}/build/forms", until: `document.querySelector('[data-do="add-top"]')`},
	{name: "forms, the fixed point in hand", address: "{pavers}/build/forms",
		until: `document.querySelector('[data-do="add-top"]')`,
		then:  `document.querySelector('[data-do="add-top"]').click()`, after: `document.querySelector("#entry")`},
	{name: "the pour", address: "{angled}/build/pour", until: `document.querySelector("#cure")`},
	{name: "as poured", address: "{angled}/build/poured", until: `document.querySelector("#poured-says")`},
	{name: "quote", address: "{angled}/quote", until: `document.querySelector("#quote-total") && !document.querySelector(".rests progress")`},
	{name: "quote, accepted and then varied", address: "{varied}/quote",
		until: `document.querySelector("#quote-signed") && !document.querySelector(".rests progress")`},
	{name: "sources", address: "{steep}/sources?figure=strength.embedment",
		until: `document.querySelectorAll(".source-case").length > 5`},
	{name: "more", address: "{angled}/more", until: `document.querySelector(".tile")`},
	{name: "versions", address: "{angled}/versions",
		until: `document.querySelector("main h2, main p, main li, main button")`},
	{name: "show to another phone", address: "{angled}/show", until: `document.querySelector("[data-do=start-row]")`},
	{name: "show to another phone, the row", address: "{angled}/show", until: `document.querySelector("[data-do=start-row]")`,
		then: `document.querySelector("[data-do=start-row]").click()`, after: `document.querySelector("#row-picture").dataset.number > 0`},
	{name: "show the shop's rules", address: "/show", until: `document.querySelector("[data-do=start-row]")`},
	{name: "take from another phone", address: "/take", until: `document.querySelector("[data-do=open-camera]")`},
	{name: "take, no camera", address: "/take", until: `document.querySelector("[data-do=open-camera]")`,
		then: `document.querySelector("[data-do=open-camera]").click()`, after: `document.querySelector("main .error")`},
	{name: "yard", address: "/sync", until: `document.querySelector("main button, main input")`},
	{name: "keep safe", address: "/safe", until: `document.querySelector("#standing")`},
	{name: "office, not signed in", address: "/office",
		until: `document.querySelector("main input, main button, main p")`},
	{name: "office devices, not signed in", address: "/office/devices",
		until: `document.querySelector("main input, main button, main p")`},
	{name: "office deleted sites, not signed in", address: "/office/deleted",
		until: `document.querySelector("main input, main button, main p")`},
	{name: "office people, not signed in", address: "/office/people",
		until: `document.querySelector("main input, main button, main p")`},
	{name: "office shop rules, not signed in", address: "/office/rules",
		until: `document.querySelector("main input, main button, main p")`},
	{name: "office health, not signed in", address: "/office/health",
		until: `document.querySelector("main input, main button, main p")`},
	{name: "office site, not signed in", address: "/office/site/00000000-0000-4000-8000-000000000001",
		until: `document.querySelector("main input, main button, main p")`},
	{name: "lost", address: "/no-such-place", until: `document.querySelector(".empty")`},
}

// A new screen has to be visited: the routes are read from the app's source.
func TestEveryRouteIsVisited(t *testing.T) {
	t.Parallel()
	for _, route := range slices.Concat(routesOf(t, "../../app/routes.go", 20), routesOf(t, "../../app/office/routes.go", 4),
		routesOf(t, "../../app/shoprules/routes.go", 4)) {
		pattern, err := regexp.Compile(route)
		require.NoError(t, err)
		visited := false
		for _, v := range visits {
			path, _, _ := strings.Cut(at(v.address), "?")
			visited = visited || pattern.MatchString(path)
		}
		if !visited {
			t.Errorf("no visit goes to the route %s: add one to visits", route)
		}
	}
}

// routesOf returns the patterns of all addresses that have a screen in one of the
// programs.
func routesOf(t *testing.T, source string, least int) []string {
	t.Helper()
	file, err := parser.ParseFile(token.NewFileSet(), source, nil, 0)
	require.NoError(t, err)
	var routes []string
	ast.Inspect(file, func(n ast.Node) bool {
		call, ok := n.(*ast.CallExpr)
		if !ok || len(call.Args) < 2 {
			return true
		}
		literal, ok := call.Args[0].(*ast.BasicLit)
		if !ok {
			return true
		}
		path, err := strconv.Unquote(literal.Value)
		require.NoError(t, err)
		switch f := call.Fun.(type) {
		case *ast.Ident: // site(screen, …) and page(screen, …)
			if f.Name == "page" {
				routes = append(routes, "^/"+path+"$")
				return true
			}
			routes = append(routes, "^/site/[^/]+/"+path+"$")
		case *ast.SelectorExpr:
			if f.Sel.Name == "RouteFunc" {
				path = "^" + regexp.QuoteMeta(path) + "$"
			}
			routes = append(routes, path)
		}
		return true
	})
	require.GreaterOrEqual(t, len(routes), least, "the routes were not found in the source")
	return routes
}
