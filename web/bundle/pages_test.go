package bundle

import (
	"net/http"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Every route of the two programs is an address at which the page is served, and no
// other is.
func TestPagesAreTheRoutes(t *testing.T) {
	var routes []string
	for _, file := range []string{"../../app/routes.go", "../../app/office/routes.go", "../../app/building/routes.go",
		"../../app/quoting/routes.go", "../../app/shoprules/routes.go", "../../app/passing/routes.go"} {
		source, err := os.ReadFile(file)
		require.NoError(t, err)
		for _, m := range regexp.MustCompile(`RouteFunc\("([^"]*)"|RouteWithRegexpFunc\("\^([^"]*)\$"|\tsite\("([^"]*)"|\tpage\("([^"]*)"`).
			FindAllStringSubmatch(string(source), -1) {
			switch route := m[1] + m[2]; {
			case m[3] != "":
				routes = append(routes, "/site/*/"+m[3])
			case m[4] != "":
				routes = append(routes, "/"+m[4])
			default:
				routes = append(routes, strings.ReplaceAll(route, "[^/]+", "*"))
			}
		}
		if file == "../../app/routes.go" || strings.Contains(file, "office") { // the phone's says it for these too
			require.Contains(t, string(source), `RouteWithRegexpFunc("^/.*"`, "who is lost is told so")
		}
	}
	require.Greater(t, len(routes), 20)
	slices.Sort(routes)
	want := slices.Clone(pages)
	slices.Sort(want)
	require.Equal(t, routes, want)
}

// A person who is lost sees the app say so, and programs on the way know it too.
func TestLost(t *testing.T) {
	r := ask(t, http.MethodGet, "/no-such-place", "Accept", "text/html,application/xhtml+xml,*/*;q=0.8")
	require.Equal(t, 404, r.StatusCode)
	require.Equal(t, "page.1.html", body(t, r))
	require.Equal(t, "no-store", r.Header.Get("Cache-Control"))
	r = ask(t, http.MethodGet, "/no-such-place", "Accept", "text/html", "If-None-Match", "*")
	require.Equal(t, 404, r.StatusCode)
	r = ask(t, http.MethodGet, "/a/none.html", "Accept", "text/html")
	require.Equal(t, "Nothing is kept at this address.\n", body(t, r))
}
