package api

import (
	"net/http"

	"pegpour/storage/yard"
	"pegpour/web/backups"
)

// schedule answers how the back-ups are that the server makes by itself.
type schedule struct{ of *backups.Schedule }

func (h *schedule) state(w http.ResponseWriter, r *http.Request, _ yard.Device) error {
	state, err := h.of.State()
	if err != nil {
		return err
	}
	return answer(w, r, http.StatusOK, state)
}

// ShowBackUps has the API tell of a schedule of back-ups. Without it there is none.
func (a *API) ShowBackUps(s *backups.Schedule) { a.schedule.of = s }
