package bundle

import (
	"net/http"
	"slices"
	"strings"
)

// pages are the addresses of the app; * stands for the identity of a site. A screen's
// route is in app/routes.go, app/building/routes.go, app/quoting/routes.go,
// app/shoprules/routes.go, app/passing/routes.go or app/office/routes.go as well: TestPagesAreTheRoutes holds
// the two against each other.
var pages = []string{
	"/", "/rules", "/rates", "/learned", "/show", "/take", "/settings", "/sync", "/safe",
	"/site/*/measure", "/site/*/set-out", "/site/*/pour", "/site/*/watch", "/site/*/loads", "/site/*/figures",
	"/site/*/rules", "/site/*/rates", "/site/*/network", "/site/*/level-run", "/site/*/slope", "/site/*/photos", "/site/*/overlay",
	"/site/*/owner", "/site/*/pack", "/site/*/pour-day", "/site/*/ways", "/site/*/quote", "/site/*/sources", "/site/*/more", "/site/*/past",
	"/site/*/show",
	"/site/*/versions",
	"/site/*/build/boards", "/site/*/build/pegs",
	"/site/*/build/forms", "/site/*/build/pour", "/site/*/build/poured", "/site/*/build/hand-over",
	"/office", "/office/devices", "/office/deleted", "/office/people", "/office/rules", "/office/health",
	"/office/site/*",
}

// isPage reports whether an address is one of the app's.
func isPage(path string) bool {
	parts := strings.Split(path, "/")
	return slices.ContainsFunc(pages, func(page string) bool {
		of := strings.Split(page, "/")
		return len(of) == len(parts) && match(of, parts)
	})
}

func match(page, parts []string) bool {
	for i, p := range page {
		if p != parts[i] && (p != "*" || parts[i] == "") {
			return false
		}
	}
	return true
}

// opensPage reports whether a person's browser opens an address, as told from a program
// that asks for it.
func opensPage(r *http.Request) bool {
	return strings.Contains(strings.Join(r.Header.Values("Accept"), ","), "text/html")
}
