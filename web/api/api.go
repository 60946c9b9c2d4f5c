package api

import (
	"io"
	"net"
	"net/http"
	"strings"
	"time"

	"pegpour/engine/refusal"
	"pegpour/storage"
	"pegpour/storage/yard"
)

// API answers every address below /api/. It keeps no state but the limits, so
// that several may serve one database.
type API struct {
	yard    *yard.Yard
	limits  *limits
	journal journal
	routes  []route
	mux     *http.ServeMux
}

// New returns the API of a yard. log takes what went wrong inside.
func New(y *yard.Yard, now func() time.Time, log io.Writer) *API {
	a := &API{yard: y, limits: newLimits(now), journal: journal{y, log}, mux: http.NewServeMux()}
	a.routes = routes(y, now, a.limits, a.journal)
	for _, to := range a.routes {
		a.mux.HandleFunc(to.method+" "+to.path, func(w http.ResponseWriter, r *http.Request) { a.admit(w, r, to) })
	}
	a.mux.HandleFunc("/api/", a.nowhere)
	return a
}

func (a *API) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	w.Header().Set("Cache-Control", "private, no-cache")
	if ok, wait := a.limits.byAddress.allow(addressOf(r)); !ok {
		slowDown(w, wait)
		return
	}
	if r.Header.Get("Content-Encoding") != "" {
		refuseFor(w, http.StatusUnsupportedMediaType, wrongType, refusal.Say("bodies are taken as they are, not packed"))
		return
	}
	a.mux.ServeHTTP(w, r)
}

// addressOf is the address of the machine that asks.
func addressOf(r *http.Request) string {
	host, _, err := net.SplitHostPort(r.RemoteAddr)
	if err != nil {
		return r.RemoteAddr
	}
	return host
}

// nowhere answers for addresses that are none, and for methods that an address
// does not have.
func (a *API) nowhere(w http.ResponseWriter, r *http.Request) {
	var allowed []string
	for _, method := range []string{"GET", "HEAD", "PUT", "POST", "DELETE"} {
		probe := r.Clone(r.Context())
		probe.Method = method
		if _, pattern := a.mux.Handler(probe); pattern != "/api/" && pattern != "" {
			allowed = append(allowed, method)
		}
	}
	if len(allowed) == 0 {
		refuse(w, http.StatusNotFound, notKnown)
		return
	}
	w.Header().Set("Allow", strings.Join(allowed, ", "))
	refuse(w, http.StatusMethodNotAllowed, notAllowed)
}

// admit finds out who asks and whether that device may, and has the route
// answer.
func (a *API) admit(w http.ResponseWriter, r *http.Request, to route) {
	var d yard.Device
	if to.role != anyone {
		if a.limits.byFailure.empty(addressOf(r)) {
			slowDown(w, failureWait)
			return
		}
		token, _ := strings.CutPrefix(r.Header.Get("Authorization"), "Bearer ")
		var err error
		if d, err = a.yard.Device(r.Context(), token); err != nil {
			if err == yard.ErrRefused {
				a.limits.byFailure.allow(addressOf(r))
			}
			a.fail(w, r, err)
			return
		}
		if ok, wait := a.limits.byDevice.allow(d.ID); !ok {
			slowDown(w, wait)
			return
		}
		if to.role == yard.Office && d.Role != yard.Office {
			a.journal.note(r, d, "refused", r.Method+" "+to.path)
			refuse(w, http.StatusForbidden, wrongRole)
			return
		}
	}
	if site := r.PathValue("site"); site != "" && !siteID(site) {
		refuse(w, http.StatusNotFound, notKnown)
		return
	}
	if err := to.answer(w, r, d); err != nil {
		a.fail(w, r, err)
	}
}

// siteID reports whether a site may be called so.
func siteID(id string) bool {
	forbidden := func(r rune) bool { return r <= ' ' || r == '/' || r == 0x7f }
	return len(id) <= 64 && id != storage.ShopID && strings.IndexFunc(id, forbidden) < 0
}
