// Package health says how the server is: alive, ready, and in figures.
//
// # Alive and ready are two questions
//
// A server whose database is away is alive: starting it anew would mend nothing. It is
// not ready: a balancer sends nobody there until it is again.
package health

import (
	"context"
	"encoding/json"
	"net/http"
	"time"
)

// probeTime is how long one part may take to say that it is well.
const probeTime = 3 * time.Second

// Probe asks one part of the server.
type Probe struct {
	Name string
	// Ask returns what is worth saying of a part that is well, or why it is not.
	Ask func(ctx context.Context) (string, error)
}

// Part is what a probe said.
type Part struct {
	Name  string `json:"name"`
	Ready bool   `json:"ready"`
	Words string `json:"words"`
}

// Ready asks every part at once.
func Ready(ctx context.Context, probes []Probe) (all bool, parts []Part) {
	ctx, cancel := context.WithTimeout(ctx, probeTime)
	defer cancel()
	parts = make([]Part, len(probes))
	answered := make(chan struct{})
	for i, p := range probes {
		go func() {
			words, err := p.Ask(ctx)
			if err != nil {
				words = err.Error()
			}
			parts[i] = Part{p.Name, err == nil, words}
			answered <- struct{}{}
		}()
	}
	all = true
	for range probes {
		<-answered
	}
	for _, p := range parts {
		all = all && p.Ready
	}
	return all, parts
}

// Alive answers that the server runs.
func Alive(w http.ResponseWriter, _ *http.Request) {
	write(w, http.StatusOK, map[string]bool{"alive": true})
}

// Readiness answers 200 when every part is well, else 503, with words for each part.
func Readiness(probes func() []Probe) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		ready, parts := Ready(r.Context(), probes())
		status := http.StatusOK
		if !ready {
			status = http.StatusServiceUnavailable
			w.Header().Set("Retry-After", "5")
		}
		write(w, status, struct {
			Ready bool   `json:"ready"`
			Parts []Part `json:"parts"`
		}{ready, parts})
	}
}

func write(w http.ResponseWriter, status int, body any) {
	text, err := json.MarshalIndent(body, "", " ")
	if err != nil {
		http.Error(w, "The server failed.", http.StatusInternalServerError)
		return
	}
	h := w.Header()
	h.Set("Content-Type", "application/json")
	h.Set("Cache-Control", "no-store")
	w.WriteHeader(status)
	_, _ = w.Write(append(text, '\n'))
}
