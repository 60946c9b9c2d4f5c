package api

import (
	"errors"
	"log/slog"
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
	yard     *yard.Yard
	limits   *limits
	journal  journal
	schedule *schedule
	routes   []route
	mux      *http.ServeMux
	signIns  *signIns
}

// New returns the API of a yard. log takes what went wrong inside.
func New(y *yard.Yard, now func() time.Time, log *slog.Logger) *API {
	a := &API{yard: y, limits: newLimits(now), journal: newJournal(y, log, now), schedule: &schedule{}, mux: http.NewServeMux()}
	a.signIns = &signIns{yard: y, journal: a.journal}
	a.routes = append(routes(y, now, a.limits, a.journal, a.signIns),
		route{"GET", "/api/v1/backups", yard.Office, a.schedule.state})
	for _, to := range a.routes {
		a.mux.HandleFunc(to.method+" "+to.path, func(w http.ResponseWriter, r *http.Request) { a.admit(w, r, to) })
	}
	a.mux.HandleFunc("/api/", a.nowhere)
	return a
}

func (a *API) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	w.Header().Set("Cache-Control", "private, no-cache")
	if r.ContentLength != 0 { // until somebody wants it, also the rest of one that nobody wants
		awaitBody(w, formTime)
	}
	switch {
	case !isText(r.URL.Path):
		refuse(w, http.StatusNotFound, notKnown)
		return
	case !queryIsText(r.URL.RawQuery):
		refuseFor(w, http.StatusUnprocessableEntity, invalid, refusal.Say("what stands behind the ? of the address is no text"))
		return
	}
	if r.Header.Get("Content-Encoding") != "" {
		refuseFor(w, http.StatusUnsupportedMediaType, wrongType, refusal.Say("bodies are taken as they are, not packed"))
		return
	}
	a.mux.ServeHTTP(w, r)
}

// nowhere answers for addresses that are none, and for methods that an address
// does not have.
func (a *API) nowhere(w http.ResponseWriter, r *http.Request) {
	if ok, wait := a.limits.strangers.allow(networkOf(r)); !ok {
		slowDown(w, wait)
		return
	}
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
	if to.role == anyone {
		if ok, wait := a.limits.strangers.allow(networkOf(r)); !ok {
			slowDown(w, wait)
			return
		}
	} else {
		token := bearer(r)
		var err error
		if d, err = a.yard.Device(r.Context(), token); err != nil {
			if errors.Is(err, yard.ErrRefused) {
				if ok, wait := a.limits.failed(r, token); !ok {
					slowDown(w, wait)
					return
				}
			}
			a.fail(w, r, err)
			return
		}
		if ok, wait := a.limits.byDevice.allow(d.ID); !ok {
			slowDown(w, wait)
			return
		}
		tellNearly(w, a.yard, d)
		if !may(d, to) {
			a.journal.refuse(r, d, "refused", r.Method+" "+to.path)
			refuse(w, http.StatusForbidden, wrongRole)
			return
		}
	}
	if site := r.PathValue("site"); site != "" && !siteID(site) {
		refuse(w, http.StatusNotFound, notKnown)
		return
	}
	if sees, err := a.yard.Sees(r.Context(), d, r.PathValue("site")); err != nil {
		a.fail(w, r, err)
		return
	} else if !sees {
		refuse(w, http.StatusForbidden, otherCrew)
		return
	}
	if err := to.answer(w, r, d); err != nil {
		a.fail(w, r, err)
	}
}

// AllowSignIn has people sign in at a provider of identities. It is called before the
// API serves.
func (a *API) AllowSignIn(with *SignIn) { a.signIns.with = with }

// bearer is the token of a request, "" when it has none, or two.
func bearer(r *http.Request) string {
	if given := r.Header.Values("Authorization"); len(given) == 1 {
		if scheme, token, _ := strings.Cut(given[0], " "); strings.EqualFold(scheme, "Bearer") {
			return token
		}
	}
	return ""
}

// siteID reports whether a site may be called so.
func siteID(id string) bool {
	forbidden := func(r rune) bool { return r <= ' ' || r == '/' || r == 0x7f }
	return len(id) <= 64 && id != storage.ShopID && strings.IndexFunc(id, forbidden) < 0
}
