//go:build js && wasm

package launch

import (
	"maps"
	"strconv"
	"strings"
	"syscall/js"

	"pegpour/storage"
)

// journal keeps what waits in localStorage, a key for each run of a page. Where the
// browser has none, or no room in it, it keeps nothing.
type journal struct {
	own   string
	taken map[string]string // texts of earlier runs, or other tabs, by their keys
}

const (
	journalPrefix = "pegpour-waiting-"
	heldKey       = "pegpour-held"
)

func newJournal() *journal {
	return &journal{own: journalPrefix + storage.NewID(), taken: map[string]string{}}
}

// try runs do on localStorage; the browser may throw at each use.
func try(do func(local js.Value)) {
	defer func() { _ = recover() }()
	do(js.Global().Get("Reflect").Call("get", js.Global(), "localStorage")) // Get would not survive a throw
}

// Write implements editing.Journal.
func (j *journal) Write(text string) {
	try(func(local js.Value) {
		if text == "" {
			local.Call("removeItem", j.own)
		} else {
			local.Call("setItem", j.own, text)
		}
	})
}

// Take implements editing.Journal.
func (j *journal) Take() map[string]string {
	try(func(local js.Value) {
		for i := range local.Get("length").Int() {
			if key := local.Call("key", i).String(); strings.HasPrefix(key, journalPrefix) && key != j.own {
				j.taken[key] = local.Call("getItem", key).String()
			}
		}
	})
	return maps.Clone(j.taken)
}

// Text implements editing.Journal.
func (j *journal) Text(key string) (text string, known bool) {
	try(func(local js.Value) {
		if v := local.Call("getItem", key); v.Type() == js.TypeString {
			text = v.String()
		}
		known = true
	})
	return text, known
}

// Done implements editing.Journal.
func (j *journal) Done() {
	for key, text := range j.taken {
		try(func(local js.Value) {
			if local.Call("getItem", key).String() == text {
				local.Call("removeItem", key)
			}
		})
	}
	clear(j.taken)
}

// Hold implements editing.Journal.
func (j *journal) Hold(sites int) {
	try(func(local js.Value) { local.Call("setItem", heldKey, sites) })
}

// Held implements editing.Journal.
func (j *journal) Held() (sites int) {
	try(func(local js.Value) { sites, _ = strconv.Atoi(local.Call("getItem", heldKey).String()) })
	return sites
}
