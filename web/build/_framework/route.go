package app

import (
	"reflect"
	"strings"
	"sync"
)

// The framework's route.go with the same functions, and without the regular
// expressions of the standard library and the tables of Unicode that these
// need. Of patterns it knows those that addresses are made of; at any other it
// stops the program as it starts.

var (
	routes = makeRouter()
)

// Route set the type of component to be mounted when a page is navigated to the
// given path.
func Route(path string, c Composer) {
	RouteFunc(path, newZeroComponentFunc(c))
}

// RouteWithRegexp set the type of component to be mounted when a page is
// navigated to a path that matches the given pattern.
func RouteWithRegexp(pattern string, c Composer) {
	RouteWithRegexpFunc(pattern, newZeroComponentFunc(c))
}

// RouteFunc set a function that creates the component to be mounted when a page
// is navigated to the given path.
func RouteFunc(path string, newComponent func() Composer) {
	routes.route(path, newComponent)
}

// RouteWithRegexpFunc set a function that creates the component to be mounted
// when a page is navigated to a path that matches the given pattern.
func RouteWithRegexpFunc(pattern string, newComponent func() Composer) {
	routes.routeWithPattern(pattern, newComponent)
}

func newZeroComponentFunc(c Composer) func() Composer {
	componentType := reflect.TypeOf(c)

	return func() Composer {
		return reflect.New(componentType.Elem()).Interface().(Composer)
	}
}

type router struct {
	mu       sync.RWMutex
	routes   map[string]func() Composer
	patterns []patternRoute
}

type patternRoute struct {
	pattern      routePattern
	newComponent func() Composer
}

func makeRouter() router {
	return router{
		routes: make(map[string]func() Composer),
	}
}

func (r *router) route(path string, newComponent func() Composer) {
	r.mu.Lock()
	defer r.mu.Unlock()

	r.routes[path] = newComponent
}

func (r *router) routeWithPattern(pattern string, newComponent func() Composer) {
	r.mu.Lock()
	defer r.mu.Unlock()

	r.patterns = append(r.patterns, patternRoute{
		pattern:      parseRoutePattern(pattern),
		newComponent: newComponent,
	})
}

func (r *router) createComponent(path string) (Composer, bool) {
	r.mu.RLock()
	defer r.mu.RUnlock()

	if newComponent, isRouted := r.routes[path]; isRouted {
		return newComponent(), true
	}
	for _, p := range r.patterns {
		if p.pattern.match(path) {
			return p.newComponent(), true
		}
	}
	return nil, false
}

// routePattern is a pattern of addresses: "^", then letters that stand for
// themselves and [^/]+ for one step of the address, then "$" for the end of
// the address or ".*" for whatever follows.
type routePattern struct {
	parts []string // what stands between the steps
	open  bool     // whether anything may follow
}

const oneStep = "[^/]+"

func parseRoutePattern(pattern string) routePattern {
	rest, anchored := strings.CutPrefix(pattern, "^")
	body, closed := strings.CutSuffix(rest, "$")
	body, open := strings.CutSuffix(body, ".*")
	parts := strings.Split(body, oneStep)
	for i, part := range parts {
		// A step ends where the next "/" stands, so one must follow it.
		if strings.ContainsAny(part, `\.+*?()|[]{}^$`) || i > 0 && part != "" && part[0] != '/' {
			anchored = false
		}
	}
	if !anchored || open == closed || open && len(parts) > 1 && parts[len(parts)-1] == "" {
		panic("app: the address pattern " + pattern + " is none of those that this program knows: ^, plain letters, " + oneStep + "/, and $ or .* at the end")
	}
	return routePattern{parts: parts, open: open}
}

func (p routePattern) match(path string) bool {
	rest, found := strings.CutPrefix(path, p.parts[0])
	if !found {
		return false
	}
	for _, part := range p.parts[1:] {
		end := strings.IndexByte(rest, '/')
		if end < 0 {
			end = len(rest)
		}
		if end == 0 {
			return false
		}
		if rest, found = strings.CutPrefix(rest[end:], part); !found {
			return false
		}
	}
	return p.open || rest == ""
}
