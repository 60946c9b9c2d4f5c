package api

import (
	"fmt"
	"net/http"

	"pegpour/storage/yard"
)

// nearlyFullHeader tells a device which limit it comes near to, and how near in percent,
// such as "device-megabytes 93".
const nearlyFullHeader = "Pegpour-Nearly-Full"

// tellNearly tells a device of a limit before it is met.
func tellNearly(w http.ResponseWriter, y *yard.Yard, d yard.Device) {
	if what, percent := y.Nearly(d.ID); what != "" {
		w.Header().Set(nearlyFullHeader, fmt.Sprint(what, " ", percent))
	}
}

// quotas shows and sets how much the yard takes.
type quotas struct {
	yard    *yard.Yard
	journal journal
}

func (h quotas) show(w http.ResponseWriter, r *http.Request, _ yard.Device) error {
	limits, err := h.yard.Limits(r.Context())
	if err != nil {
		return err
	}
	return h.answer(w, r, limits)
}

func (h quotas) answer(w http.ResponseWriter, r *http.Request, limits yard.Limits) error {
	return answer(w, r, http.StatusOK, struct {
		yard.Limits
		Use []yard.DeviceUse `json:"use"`
	}{limits, h.yard.Use()})
}

// set sets the limits that the form names.
func (h quotas) set(w http.ResponseWriter, r *http.Request, d yard.Device) error {
	limits, err := h.yard.Limits(r.Context())
	if err == nil {
		err = readForm(w, r, &limits)
	}
	if err == nil {
		err = h.yard.SetLimits(r.Context(), limits)
	}
	if err != nil {
		return err
	}
	h.journal.note(r, d, "set limits", "")
	return h.answer(w, r, limits)
}
