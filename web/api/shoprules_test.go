package api

import (
	"bytes"
	"context"
	"net/http/httptest"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"pegpour/app/papers/order"
	"pegpour/app/papers/press"
	"pegpour/engine/sheets"
	"pegpour/storage"
	"pegpour/storage/replication"
	"pegpour/storage/yard"
)

// setRule changes a rule of the shop on a device.
func (p *phoneAt) setRule(key string, v float64) {
	p.t.Helper()
	shop, err := p.store.Shop(p.t.Context())
	require.NoError(p.t, err)
	e, err := storage.SetShopRule(shop.Shop, key, v, "")
	require.NoError(p.t, err)
	_, err = p.store.CommitShop(p.t.Context(), e)
	require.NoError(p.t, err)
}

func (p *phoneAt) clearRule(key string) {
	p.t.Helper()
	shop, err := p.store.Shop(p.t.Context())
	require.NoError(p.t, err)
	e, err := storage.ClearShopRule(shop.Shop, key)
	require.NoError(p.t, err)
	_, err = p.store.CommitShop(p.t.Context(), e)
	require.NoError(p.t, err)
}

func (p *phoneAt) shop() *storage.Shop {
	p.t.Helper()
	shop, err := p.store.Shop(p.t.Context())
	require.NoError(p.t, err)
	return shop.Shop
}

func (p *phoneAt) aside() map[string]*float64 {
	p.t.Helper()
	all, err := p.client.RulesAside(p.t.Context())
	require.NoError(p.t, err)
	return all
}

// bare is a phone without a site.
func bare(t *testing.T, to *yardAt) *phoneAt {
	t.Helper()
	p := &phoneAt{t: t, store: storage.NewMemory(), line: &movable{to: to}}
	p.restart()
	p.pair()
	return p
}

func TestTheShopsRulesAreTheYards(t *testing.T) {
	y := serveYard(t, t.TempDir())
	a, b := bare(t, y), bare(t, y)
	a.setRule("strip.width", 700)
	a.sync()
	b.sync()
	require.Equal(t, map[string]float64{"strip.width": 700}, b.shop().Rules, "the first rules come from the phone that has any")
	require.NotZero(t, b.shop().Yard)

	// Both change rules while there is no signal: they merge one by one.
	a.setRule("strip.width", 800)
	b.setRule("strip.depth", 400)
	b.clearRule("strip.width")
	a.sync()
	b.sync()
	a.sync()
	want := map[string]float64{"strip.width": 800, "strip.depth": 400}
	require.Equal(t, want, a.shop().Rules)
	require.Equal(t, want, b.shop().Rules, "the first to reach the yard stands")
	require.Contains(t, b.aside(), "strip.width")
	require.Nil(t, b.aside()["strip.width"], "it was the default there")
	require.NoError(t, b.client.DropRuleAside(t.Context(), "strip.width"))
	require.Empty(t, b.aside())

	past, err := y.yard.ShopRulesPast(t.Context(), 0, 10)
	require.NoError(t, err)
	require.Len(t, past, 3)
	require.Equal(t, "strip.depth", past[0].Key)
	require.Equal(t, 700.0, *past[1].Before)
	require.Equal(t, 800.0, *past[1].Value)
	require.NotEmpty(t, past[1].By)
	last, err := y.yard.ShopRulesPast(t.Context(), past[0].Revision, 1)
	require.NoError(t, err)
	require.Equal(t, past[1:2], last, "page by page")

	// A phone that had rules of its own keeps them beside the yard's.
	c := &phoneAt{t: t, store: storage.NewMemory(), line: &movable{to: y}}
	c.restart()
	c.setRule("strip.width", 650)
	c.pair()
	c.sync()
	require.Equal(t, want, c.shop().Rules)
	require.Equal(t, 650.0, *c.aside()["strip.width"])

	// Who leaves the yard keeps its rules as its own.
	require.NoError(t, c.client.Unpair(t.Context()))
	require.Equal(t, want, c.shop().Rules)
	require.Zero(t, c.shop().Yard)
}

// An answer that is lost changes nothing twice and loses nothing.
func TestARuleWhoseAnswerIsLostIsSentAgain(t *testing.T) {
	y := serveYard(t, t.TempDir())
	a := bare(t, y)
	a.setRule("strip.width", 700)
	a.sync()
	a.setRule("strip.width", 720)
	from, to := 700.0, 720.0
	_, refused, err := y.yard.SetShopRules(t.Context(), yard.Device{}, []yard.RuleChange{{Key: "strip.width", From: &from, To: &to}})
	require.NoError(t, err) // as if its answer had been lost
	require.Empty(t, refused)
	a.sync()
	require.Equal(t, 720.0, a.shop().Rules["strip.width"])
	require.Empty(t, a.aside())
	past, err := y.yard.ShopRulesPast(t.Context(), 0, 10)
	require.NoError(t, err)
	require.Len(t, past, 2)
	// What is out of range is kept from the yard, and beside.
	bad := -5.0
	_, refused, err = y.yard.SetShopRules(t.Context(), yard.Device{}, []yard.RuleChange{{Key: "strip.width", From: &to, To: &bad}})
	require.NoError(t, err)
	require.Equal(t, []string{"strip.width"}, refused)
}

// A yard that was put back to before a change has the phone keep it beside.
func TestRulesOfARestoredYard(t *testing.T) {
	y := serveYard(t, t.TempDir())
	a := bare(t, y)
	a.setRule("strip.width", 700)
	a.sync()
	file := y.backUp()
	a.setRule("strip.width", 750)
	a.sync()
	a.line.to = restored(t, file)
	a.sync()
	require.Equal(t, 700.0, a.shop().Rules["strip.width"])
	require.Equal(t, 750.0, *a.aside()["strip.width"], "nothing that was changed is lost")
}

// sheetOf is a site's sheet as a device prints it.
func sheetOf(t *testing.T, p *phoneAt, id string) []byte {
	t.Helper()
	loaded, err := p.store.Load(t.Context(), id)
	require.NoError(t, err)
	text, err := storage.Encode(loaded.Document)
	require.NoError(t, err)
	made, err := press.Print(order.Order{Document: text, Rules: p.shop().Rules, For: string(sheets.ForLabourer), Date: "2026-05-01"})
	require.NoError(t, err)
	return made
}

// The office and the phone print the same bytes of a site whose rules changed on the
// way, and a site keeps the rules it was begun under until a person takes the new ones.
func TestOfficeAndPhonePrintTheSame(t *testing.T) {
	y := serveYard(t, t.TempDir())
	phone, office := bare(t, y), bare(t, y)
	office.setRule("strip.width", 700)
	office.sync()
	phone.sync()

	text, err := os.ReadFile("../../testdata/documents/site-v1.json")
	require.NoError(t, err)
	d, err := storage.Decode(text)
	require.NoError(t, err)
	d.ID = storage.NewID()
	d.Demo = false
	d.ShopRules = phone.shop().ForSite()
	d.Survey.Site.MeasuredBy = "Ute"
	_, err = phone.store.Create(t.Context(), d)
	require.NoError(t, err)
	phone.sync()
	require.NoError(t, office.client.Fetch(t.Context(), d.ID))
	office.sync()
	before := sheetOf(t, phone, d.ID)
	require.Equal(t, before, sheetOf(t, office, d.ID))

	office.setRule("strip.width", 900)
	office.sync()
	require.Equal(t, before, sheetOf(t, phone, d.ID), "the phone has not heard yet")
	require.Equal(t, before, sheetOf(t, office, d.ID), "a site does not change by itself")
	phone.sync()
	require.Equal(t, before, sheetOf(t, phone, d.ID))
	loaded, err := phone.store.Load(t.Context(), d.ID)
	require.NoError(t, err)
	require.Equal(t, []string{"strip.width"}, phone.shop().Behind(loaded.Document))

	// A person has the site follow.
	e, err := storage.TakeShopRules(loaded.Document, phone.shop())
	require.NoError(t, err)
	_, err = phone.store.Commit(t.Context(), d.ID, e, loaded.Revision)
	require.NoError(t, err)
	phone.sync()
	office.sync()
	after := sheetOf(t, phone, d.ID)
	require.NotEqual(t, before, after)
	require.Equal(t, after, sheetOf(t, office, d.ID))
}

// A key is renewed without anybody noticing, also where the answer with the new one is
// lost; it ends when a device was not seen for long.
func TestKeysAreRenewedAndEnd(t *testing.T) {
	f := newFixture(t)
	next := func(token string) string {
		t.Helper()
		return f.want(200, f.ask(token, "GET", "/api/v1/changes", nil)).Header().Get("Pegpour-Next-Key")
	}
	require.Empty(t, next(f.crew), "it is young")
	f.now = f.now.AddDate(0, 0, 31)
	lost := next(f.crew)
	require.NotEmpty(t, lost)
	again := next(f.crew)
	require.Equal(t, lost, again, "two that ask at once are told the same")
	f.want(200, f.ask(f.crew, "GET", "/api/v1/device", nil)) // the answer was lost: the old one is good
	f.want(200, f.ask(again, "GET", "/api/v1/device", nil))
	f.want(200, f.ask(f.crew, "GET", "/api/v1/device", nil)) // a request that was under way
	require.Empty(t, next(f.crew), "the next one is in use")
	f.now = f.now.Add(11 * time.Minute)
	f.want(401, f.ask(f.crew, "GET", "/api/v1/device", nil))
	f.want(200, f.ask(again, "GET", "/api/v1/device", nil))
	require.Empty(t, next(again))
	f.now = f.now.AddDate(0, 0, 179)
	last := next(again)
	require.NotEmpty(t, last)
	f.want(200, f.ask(last, "GET", "/api/v1/device", nil))
	f.now = f.now.AddDate(0, 0, 181)
	f.want(401, f.ask(last, "GET", "/api/v1/device", nil))
	f.want(401, f.ask(f.office, "GET", "/api/v1/device", nil))
}

// A phone takes the new key over by itself.
func TestAPhoneTakesItsNewKey(t *testing.T) {
	f := newFixture(t)
	store := storage.NewMemory()
	line := lineTo{f}
	client := replication.NewClient(store, line, replication.Options{Now: f.clock, Random: func() float64 { return 0.5 }})
	code, _, err := f.yard.NewCode(t.Context(), yard.Crew)
	require.NoError(t, err)
	require.NoError(t, client.Pair(t.Context(), code, "Phone"))
	step := func() {
		t.Helper()
		for more := true; more; {
			var err error
			more, err = client.Step(t.Context())
			require.NoError(t, err)
		}
	}
	key := func() string {
		text, err := store.Exchanged(t.Context(), "pairing")
		require.NoError(t, err)
		return string(text)
	}
	step()
	first := key()
	for range 10 {
		f.now = f.now.AddDate(0, 0, 40)
		step()
		step()
	}
	require.NotEqual(t, first, key())
	d, err := client.Paired(t.Context())
	require.NoError(t, err)
	require.Equal(t, "Phone", d.Name)
}

// lineTo carries requests straight to a fixture's API.
type lineTo struct{ f *fixture }

func (l lineTo) Send(_ context.Context, r replication.Request) (replication.Response, error) {
	q := httptest.NewRequest(r.Method, r.Path, bytes.NewReader(r.Body))
	for name, value := range r.Header {
		q.Header.Set(name, value)
	}
	w := httptest.NewRecorder()
	l.f.api.ServeHTTP(w, q)
	out := replication.Response{Status: w.Code, Header: map[string]string{}, Body: w.Body.Bytes()}
	for name := range w.Header() {
		out.Header[strings.ToLower(name)] = w.Header().Get(name)
	}
	return out, nil
}
