package world

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"strconv"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"

	"pegpour/storage"
	"pegpour/storage/replication"
	"pegpour/web/api/apitest"
)

// Fifty devices, of which five have each site, edit and send over a line that fails;
// PEGPOUR_OPERATIONS is how many edits. After quiet all are equal, and the last that
// each device wrote of its own is there.
func TestFiftyDevices(t *testing.T) {
	operations := apitest.Setting("PEGPOUR_OPERATIONS", 5000)
	const devices, together = 50, 5
	sites := max(50, operations/2000)
	folder, err := os.MkdirTemp("", "pegpour-fifty-")
	require.NoError(t, err)
	defer os.RemoveAll(folder)
	begun := time.Now()
	synctest.Test(t, func(t *testing.T) {
		ctx, random := context.Background(), rand.New(rand.NewPCG(1, 50))
		w := &world{folder: folder, counts: map[kind]int{}, readBefore: map[string]places{}}
		w.newHouse(0)
		defer w.houses[0].stop()
		for range devices {
			w.add()
		}
		has := map[*phone][]string{}
		written := map[*phone]map[string]string{}
		for i := range sites {
			d := storage.NewDocument("2026-01-01T00:00:00Z")
			d.ID = fmt.Sprintf("site%05d", i)
			for n := range together {
				p := w.phones[(i+n*11)%devices]
				if n == 0 {
					_, err := p.store.Create(ctx, d)
					require.NoError(t, err)
					_, err = p.client.Step(ctx)
					require.NoError(t, err)
				} else {
					require.NoError(t, p.client.Fetch(ctx, d.ID))
				}
				p.disk.noUndo = true
				has[p] = append(has[p], d.ID)
				written[p] = map[string]string{}
			}
			time.Sleep(time.Second)
		}
		settled, steps := 0, 0
		chosen := map[string]bool{} // sites at which somebody chose in this round
		send := func(p *phone, most int) (busy bool) {
			for range most {
				time.Sleep(50 * time.Millisecond) // as a line takes, and no faster than a yard allows
				more, err := p.client.Step(ctx)
				steps++
				if err != nil {
					require.False(t, w.quiet, "with a good line: %v", err)
					return true
				}
				if !more {
					break
				}
				busy = true
			}
			s, err := p.client.Status(ctx)
			require.NoError(t, err)
			if s.Conflicts == 0 {
				return busy
			}
			for _, id := range has[p] {
				conflicts, err := p.client.Conflicts(ctx, id)
				require.NoError(t, err)
				if w.quiet && chosen[id] {
					continue // two who choose at once never agree
				}
				if chosen[id] = len(conflicts) > 0; chosen[id] && p.client.Settle(ctx, id, later(conflicts)) == nil {
					settled++
					busy = true
				}
			}
			return busy
		}
		for n := range operations {
			p := w.phones[random.IntN(devices)]
			part := n / 1000 % len(has[p]) // people work at a few sites at a time
			id := has[p][(part+random.IntN(3))%len(has[p])]
			token := fmt.Sprintf("%se%d", p.name, n)
			c := storage.Change{Path: "/notes/@" + p.name, After: json.RawMessage(`{"id":"` + p.name + `","text":"` + token + `"}`)}
			if n%500 == 0 {
				c = storage.Change{Path: "/survey/site/name", After: json.RawMessage(strconv.Quote(token))}
			} else {
				written[p][id] = token
			}
			_, err := p.store.Commit(ctx, id, storage.Edit{Changes: []storage.Change{c}}, "")
			require.NoError(t, err)
			if n%4 == 0 {
				q := w.phones[random.IntN(devices)]
				if random.IntN(4) == 0 {
					q.line = append(q.line, event{[]kind{cut, loseAnswer, double, half, busy}[random.IntN(5)], q.n, n})
				}
				if n%200 == 0 {
					send(q, 40)
					time.Sleep(5 * time.Second)
				}
			}
		}
		w.quiet = true
		for round, busy := 0, true; busy; round++ {
			require.Less(t, round, 100, "they never come to rest")
			time.Sleep(2 * time.Minute)
			busy = false
			clear(chosen)
			for _, p := range w.phones {
				p.client.Hurry()
				busy = send(p, 2000) || busy
			}
		}
		revisions := 0
		for i := range sites {
			id := fmt.Sprintf("site%05d", i)
			heads := w.houses[0].heads(id)
			require.Len(t, heads, 1, id)
			text, _, err := w.houses[0].yard.Revision(ctx, id, heads[0])
			require.NoError(t, err)
			stands := w.placesOf(text)
			for n := range together {
				p := w.phones[(i+n*11)%devices]
				raw, err := p.plain().Raw(ctx, id)
				require.NoError(t, err)
				require.True(t, bytes.Equal(raw, text), "%s of %s", id, p.name)
				require.Equal(t, written[p][id], stands["/notes/@"+p.name], "%s of %s", id, p.name)
			}
			revisions += len(w.houses[0].history(id))
		}
		for _, p := range w.phones {
			s, err := p.client.Status(ctx)
			require.NoError(t, err)
			for id, one := range s.Sites {
				require.Equal(t, replication.InYard, one.State, "%s of %s", id, p.name)
			}
		}
		t.Logf("%d edits on %d devices at %d sites: %d steps, %d revisions in the yard, %d conflicts settled; %v",
			operations, devices, sites, steps, revisions, settled, w.counts)
	})
	t.Log("in", time.Since(begun).Round(time.Second))
}

// later chooses what was written later. Where histories crossed, what only one device
// writes can be put to a person too, who knows which came last.
func later(conflicts []storage.Conflict) map[string]bool {
	number := func(raw json.RawMessage) int {
		token := tokenForm.FindString(string(raw))
		n, _ := strconv.Atoi(token[strings.IndexByte(token, 'e')+1:])
		return n
	}
	theirs := map[string]bool{}
	for _, c := range conflicts {
		theirs[c.Path] = number(c.Theirs) > number(c.Ours)
	}
	return theirs
}
