package api

import (
	"encoding/json"
	"net/http"
	"strconv"

	"pegpour/engine/refusal"
	"pegpour/storage/yard"
)

// shopRules answers with the rules by which the shop builds, and changes them.
type shopRules struct {
	yard    *yard.Yard
	journal journal
}

func (h shopRules) show(w http.ResponseWriter, r *http.Request, _ yard.Device) error {
	now, err := h.yard.ShopRules(r.Context())
	if err != nil {
		return err
	}
	return answer(w, r, http.StatusOK, now)
}

// maxRulesBytes is the most that a request to change rules may have.
const maxRulesBytes = 256 << 10

func (h shopRules) change(w http.ResponseWriter, r *http.Request, d yard.Device) error {
	text, err := readBody(w, r, maxRulesBytes, "application/json")
	if err != nil {
		return err
	}
	var form struct{ Changes []yard.RuleChange }
	if json.Unmarshal(text, &form) != nil {
		return &yard.InvalidError{Reason: refusal.Say("the body is not the JSON object it should be")}
	}
	before, err := h.yard.RulesRevision(r.Context())
	if err != nil {
		return err
	}
	now, refused, err := h.yard.SetShopRules(r.Context(), d, form.Changes)
	if err != nil {
		return err
	}
	if now.Revision != before {
		h.journal.note(r, d, "changed the shop's rules", strconv.FormatInt(now.Revision, 10))
	}
	return answer(w, r, http.StatusOK, struct {
		yard.ShopRules
		Refused []string `json:"refused"`
	}{now, refused})
}

func (h shopRules) past(w http.ResponseWriter, r *http.Request, _ yard.Device) error {
	before, limit, err := readPage(r, "before")
	if err != nil {
		return err
	}
	past, err := h.yard.ShopRulesPast(r.Context(), before, limit)
	if err != nil {
		return err
	}
	next := int64(0)
	if n := len(past); n > 0 {
		next = past[n-1].Revision
	}
	return answer(w, r, http.StatusOK, struct {
		Changes []yard.RulePast `json:"changes"`
		Next    int64           `json:"next"`
	}{past, next})
}
