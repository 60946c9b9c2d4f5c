package e2e

import (
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine"
	"pegpour/engine/enginetest"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/storage"
)

// finishedJobs is a back-up of a device with so many finished jobs, which used so much
// more concrete than is drawn.
func finishedJobs(t *testing.T, wastes ...float64) string {
	t.Helper()
	store := storage.NewMemory()
	noted := func(v float64) survey.Value { return survey.Measured(v, survey.ByEstimate) }
	sites := []survey.Survey{enginetest.SquareSite(), enginetest.AngledSite(), enginetest.RisingSite(200, 0.02)}
	for i, waste := range wastes {
		d := storage.NewDocument(storage.WriteTime(time.Date(2026, 5, 1+i%28, 8, 0, 0, 0, time.UTC)))
		d.Survey = sites[i%len(sites)].Clone()
		d.Survey.Site.Name = "Lane " + strconv.Itoa(i+1)
		made, err := engine.Design(d.Survey, practice.DefaultPractice())
		require.NoError(t, err)
		q := &made.Quantities
		b := &d.Survey.Build
		b.Poured.Opening = noted(d.Survey.Opening.Width.Size)
		b.Casting.Pour.Delivered = noted(q.Concrete * (1 + waste) / 1e9)
		b.HandOver.Loads, b.HandOver.Hours, b.HandOver.HoursDig = noted(float64(q.Loads+i%2)), noted(28+float64(i)), noted(4*q.DigBank/1e9)
		if i%2 == 0 {
			b.HandOver.Spoil = noted(q.DigBank * (1.3 + float64(i)/100) / 1e9)
		}
		_, err = store.Create(t.Context(), d)
		require.NoError(t, err)
	}
	file := filepath.Join(t.TempDir(), "jobs.pegpour-backup")
	out, err := os.Create(file)
	require.NoError(t, err)
	require.NoError(t, store.BackUp(t.Context(), out))
	require.NoError(t, out.Close())
	return file
}

// lesson is an expression that what is learned of concrete says words.
func lesson(words string) string {
	return says(`[data-lesson="0"]`, strings.ReplaceAll(words, " %", "\u00a0%"))
}

// What finished jobs used is found from the shop's rules, says what to record while
// there are none, offers the waste of seven jobs with its spread, and with no signal sets
// it as the screen of rules does.
func TestWhatWasLearned(t *testing.T) {
	t.Parallel()
	s := StartServer(t, requireServer(t), realBundle)
	b := LaunchBrowser(t).Keeping()
	p := b.Open(t, s.URL+"/learned")
	size(p, smallWidth, smallHeight)
	p.WaitRunning()
	p.Wait(says("#learned-empty", "The pour"))
	p.Screenshot("learned-empty")

	goTo(p, "/safe", "#restore-file")
	p.chooseFile("#restore-file", finishedJobs(t, 0.10, 0.12, 0.09, 0.48, 0.11, 0.13, 0.10))
	p.Wait(`document.querySelector('[data-outcome="new"][data-count="7"]')`)
	p.Eval(`document.documentElement.style.scrollBehavior = "auto"`)
	p.Tap(`[data-do="restore"]`)
	p.Wait(`document.querySelector('#restore-report[data-done="true"]')`)
	p.WaitKept()
	s.Kill()

	goTo(p, "/rules", `a[href="/learned"]`)
	tapAfar(p, `a[href="/learned"]`)
	p.Wait(lesson("16 % more concrete than drawn, over 7 jobs between 9 % and 48 %."))
	p.Wait(lesson("Lane 4 stands apart at 48 %"))
	p.Screenshot("learned")
	assert.Equal(t, "360", p.Eval("document.documentElement.scrollWidth"))

	// The odd job is looked at and left out by hand.
	p.Eval(`[...document.querySelectorAll("[data-job]")].find((e) => e.innerText.includes("Lane 4")).click()`)
	p.Wait(`document.querySelector('[data-use="0"]')`)
	p.Eval(`document.querySelector(".test-here").scrollIntoView({block: "start", behavior: "instant"})`)
	p.Screenshot("learned-job")
	assert.Equal(t, "360", p.Eval("document.documentElement.scrollWidth"))
	tapAfar(p, `[data-do^="leave-out"]`)
	p.Wait(lesson("11 % more concrete than drawn, over 6 jobs between 9 % and 13 %."))
	settled(p)

	// Nothing is set before it is taken.
	tapAfar(p, `[data-do="take-0"]`)
	p.Wait(lesson("The rule of the shop is 11 % by now."))
	settled(p)
	p.Eval(`document.querySelector('[data-lesson="0"]').scrollIntoView({block: "start", behavior: "instant"})`)
	p.Screenshot("learned-taken")
	goTo(p, "/rules", `#rule-concrete\.waste`)
	assert.Equal(t, "0.11", p.Value(`#rule-concrete\.waste`))
	goTo(p, "/learned", `[data-lesson="0"]`)
	p.Wait(lesson("over 6 jobs"))
	assert.Empty(t, p.Faults())
}
