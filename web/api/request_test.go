package api

import (
	"bytes"
	"net/http/httptest"
	"testing"
)

func FuzzForms(f *testing.F) {
	f.Add([]byte(`{"code":"ABCDE-FGHJK","name":"x"}`))
	f.Add([]byte(`{"code":1}`))
	x := newFixture(f)
	f.Fuzz(func(t *testing.T, body []byte) {
		*x.api.limits = *newLimits(x.clock)
		r := httptest.NewRequest("POST", "/api/v1/pair", bytes.NewReader(body))
		r.Header.Set("Content-Type", "application/json")
		w := httptest.NewRecorder()
		x.api.ServeHTTP(w, r)
		if w.Code != 401 && w.Code != 413 && w.Code != 422 {
			t.Errorf("%d %s", w.Code, w.Body)
		}
	})
}
