package api

import (
	"net/http"

	"pegpour/engine/refusal"
	"pegpour/storage/yard"
)

// webhooks says which other programs are told of changes, and what came of it.
type webhooks struct {
	yard    *yard.Yard
	journal journal
}

func (h webhooks) list(w http.ResponseWriter, r *http.Request, _ yard.Device) error {
	all, err := h.yard.Webhooks(r.Context())
	if err != nil {
		return err
	}
	return answer(w, r, http.StatusOK, struct {
		Webhooks []yard.Webhook `json:"webhooks"`
	}{all})
}

func (h webhooks) add(w http.ResponseWriter, r *http.Request, d yard.Device) error {
	var form struct {
		URL   string
		Kinds []string
	}
	if err := readForm(w, r, &form); err != nil {
		return err
	}
	made, secret, err := h.yard.AddWebhook(r.Context(), d.ID, form.URL, form.Kinds)
	if err != nil {
		return err
	}
	h.journal.note(r, d, "added a webhook", made.URL)
	w.Header().Set("Cache-Control", "no-store")
	return answer(w, r, http.StatusCreated, struct {
		Webhook yard.Webhook `json:"webhook"`
		Secret  string       `json:"secret"`
	}{made, secret})
}

func (h webhooks) change(w http.ResponseWriter, r *http.Request, d yard.Device) error {
	var form struct{ Paused *bool }
	if err := readForm(w, r, &form); err != nil {
		return err
	}
	if form.Paused == nil {
		return &yard.InvalidError{Reason: refusal.Say("the body is not the JSON object it should be")}
	}
	changed, err := h.yard.PauseWebhook(r.Context(), r.PathValue("webhook"), *form.Paused)
	if err != nil {
		return err
	}
	h.journal.note(r, d, map[bool]string{true: "paused a webhook", false: "went on with a webhook"}[*form.Paused], changed.URL)
	return answer(w, r, http.StatusOK, changed)
}

func (h webhooks) drop(w http.ResponseWriter, r *http.Request, d yard.Device) error {
	if err := h.yard.DropWebhook(r.Context(), r.PathValue("webhook")); err != nil {
		return err
	}
	h.journal.note(r, d, "deleted a webhook", r.PathValue("webhook"))
	w.WriteHeader(http.StatusNoContent)
	return nil
}

func (h webhooks) deliveries(w http.ResponseWriter, r *http.Request, _ yard.Device) error {
	before, limit, err := readPage(r, "before")
	if err != nil {
		return err
	}
	all, err := h.yard.Deliveries(r.Context(), r.PathValue("webhook"), r.URL.Query().Get("state"), before, limit)
	if err != nil {
		return err
	}
	next := int64(0)
	if n := len(all); n > 0 {
		next = all[n-1].Turn
	}
	return answer(w, r, http.StatusOK, struct {
		Deliveries []yard.Delivery `json:"deliveries"`
		Next       int64           `json:"next"`
	}{all, next})
}

func (h webhooks) again(w http.ResponseWriter, r *http.Request, d yard.Device) error {
	sent, err := h.yard.Again(r.Context(), r.PathValue("delivery"))
	if err != nil {
		return err
	}
	h.journal.note(r, d, "sent a delivery again", sent.ID)
	return answer(w, r, http.StatusOK, sent)
}
