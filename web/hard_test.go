package main

import (
	"bytes"
	"context"
	"crypto/ecdsa"
	"crypto/elliptic"
	crand "crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"database/sql"
	"encoding/json"
	"encoding/pem"
	"errors"
	"fmt"
	"math/big"
	"math/rand/v2"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"pegpour/storage"
	"pegpour/storage/replication"
	"pegpour/storage/replication/nethttp"
	"pegpour/storage/yard"
	"pegpour/storage/yard/yardtest"
	"pegpour/web/api/apitest"
)

// signer signs the certificates of a server that renews them.
type signer struct {
	t      testing.TB
	key    *ecdsa.PrivateKey
	cert   *x509.Certificate
	pool   *x509.CertPool
	serial int64
	folder string
}

func newSigner(t testing.TB) *signer {
	t.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P256(), crand.Reader)
	require.NoError(t, err)
	c := &x509.Certificate{
		SerialNumber: big.NewInt(1), Subject: pkix.Name{CommonName: "authority"}, IsCA: true, BasicConstraintsValid: true,
		NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(time.Hour), KeyUsage: x509.KeyUsageCertSign,
	}
	der, err := x509.CreateCertificate(crand.Reader, c, c, &key.PublicKey, key)
	require.NoError(t, err)
	a := &signer{t: t, key: key, pool: x509.NewCertPool(), serial: 1, folder: t.TempDir()}
	a.cert, err = x509.ParseCertificate(der)
	require.NoError(t, err)
	a.pool.AddCert(a.cert)
	return a
}

func (a *signer) files() (cert, key string) {
	return filepath.Join(a.folder, "c.pem"), filepath.Join(a.folder, "k.pem")
}

// renew writes a new certificate and its key in the place of those there are, the one a
// while after the other, as whoever renews them may.
func (a *signer) renew(between time.Duration) {
	a.t.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P256(), crand.Reader)
	require.NoError(a.t, err)
	a.serial++
	c := &x509.Certificate{
		SerialNumber: big.NewInt(a.serial), Subject: pkix.Name{CommonName: "yard"}, IPAddresses: []net.IP{net.IPv4(127, 0, 0, 1)},
		NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(time.Hour),
	}
	der, err := x509.CreateCertificate(crand.Reader, c, a.cert, &key.PublicKey, a.key)
	require.NoError(a.t, err)
	keyDER, err := x509.MarshalECPrivateKey(key)
	require.NoError(a.t, err)
	certFile, keyFile := a.files()
	require.NoError(a.t, os.WriteFile(certFile, pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: der}), 0o600))
	time.Sleep(between)
	require.NoError(a.t, os.WriteFile(keyFile, pem.EncodeToMemory(&pem.Block{Type: "EC PRIVATE KEY", Bytes: keyDER}), 0o600))
}

// hardPhone is a phone with its store and the program's own client; its line leads to
// either server.
type hardPhone struct {
	name   string
	store  storage.Store
	client *replication.Client
	random *rand.Rand
	w      *hardWorld
	wrote  map[string][]string // notes by site
	rule   float64             // what it set a rule to last, 0 for nothing
	tasks  chan func()         // what its person does beside
}

// hardWorld is one of real processes: two servers on PostgreSQL with a standby.
type hardWorld struct {
	mu      sync.Mutex
	servers [2]*server
	through *http.Client

	acknowledged map[string][]byte // by path
	serials      map[int64]bool    // of certificates that were seen
	taken        atomic.Int64      // how many were acknowledged
	quiet        atomic.Bool
}

func (w *hardWorld) server(n int) *server {
	w.mu.Lock()
	defer w.mu.Unlock()
	return w.servers[n%2]
}

// Send implements replication.Transport.
func (p *hardPhone) Send(ctx context.Context, r replication.Request) (replication.Response, error) {
	ctx, done := context.WithTimeout(ctx, 20*time.Second)
	defer done()
	address := p.w.server(p.random.IntN(2)).address
	answer, err := nethttp.Transport{Address: address, Client: p.w.through}.Send(ctx, r)
	if err == nil && r.Method == http.MethodPut && strings.Contains(r.Path, "/revisions/") && (answer.Status == 200 || answer.Status == 201) {
		path, _, _ := strings.Cut(r.Path, "?")
		p.w.mu.Lock()
		p.w.acknowledged[path] = bytes.Clone(r.Body)
		p.w.mu.Unlock()
		p.w.taken.Add(1)
	}
	return answer, err
}

func (p *hardPhone) edit(t *testing.T, site string) {
	token := fmt.Sprintf("%s-%d", p.name, p.random.Uint64())
	c := storage.Change{Path: "/notes/@" + token, After: json.RawMessage(`{"id":"` + token + `","text":"` + token + `"}`)}
	if _, err := p.store.Commit(t.Context(), site, storage.Edit{Changes: []storage.Change{c}}, ""); err != nil {
		if !errors.Is(err, storage.ErrNotFound) { // else it is another crew's for a while, or deleted
			t.Error(err)
		}
		if site == shared { // who opens what was deleted brings it back: nobody does
			_ = p.client.Fetch(t.Context(), site)
		}
		return
	}
	p.wrote[site] = append(p.wrote[site], token)
}

// fate has a person keep as a site of its own what the yard deleted with something in it
// that it never had, and returns whether there was any.
func (p *hardPhone) fate(t *testing.T) (busy bool) {
	s, err := p.client.Status(t.Context())
	if err != nil {
		t.Error(err)
		return false
	}
	for id, one := range s.Sites {
		if one.State == replication.Gone && !one.Away {
			if _, err := p.client.KeepOwn(t.Context(), id); err != nil {
				t.Error(err)
			}
			busy = true
		}
	}
	return busy
}

// has has the phone's person do something, and waits until it is done.
func (p *hardPhone) has(do func()) {
	done := make(chan struct{})
	p.tasks <- func() { defer close(done); do() }
	<-done
}

// setRule has a person of an office set a rule of the shop.
func (p *hardPhone) setRule(t *testing.T, value float64) {
	shop, err := p.store.Shop(t.Context())
	if err == nil {
		var e storage.Edit
		if e, err = storage.SetShopRule(shop.Shop, hardRule, value, ""); err == nil {
			_, err = p.store.CommitShop(t.Context(), e)
		}
	}
	if err != nil {
		t.Error(err)
	}
	p.rule = value
}

// hardRule is the rule that offices change, doomed the site that is deleted everywhere and
// shared the one that is now one crew's and now everybody's.
const hardRule, doomed, shared = "strip.width", "site3", "site1"

// TestWorldHard has phones write to two servers on one PostgreSQL, over https, while what
// stands beneath them fails: the database is stopped, loses its power, is full, is lost for
// good and its standby takes its place; a server is killed; the certificate changes; and
// while sites change crews and are deleted everywhere, and offices change rules.
// Nothing that was acknowledged is lost, and all are equal after quiet. PEGPOUR_HARD is how
// many rounds of faults there are, PEGPOUR_FROM where the drawing begins.
func TestWorldHard(t *testing.T) {
	ctx := t.Context()
	rounds := apitest.Setting("PEGPOUR_HARD", 1)
	random := rand.New(rand.NewPCG(uint64(apitest.Setting("PEGPOUR_FROM", 0)), 9))
	primary := yardtest.NewServer(t)
	database := primary.Database(t)
	standby := primary.NewStandby(t)
	address := yardtest.Either(database, primary, standby)
	y, err := yard.Open(ctx, address, yard.Options{})
	require.NoError(t, err)
	authority := newSigner(t)
	authority.renew(0)
	cert, key := authority.files()
	w := &hardWorld{acknowledged: map[string][]byte{}, serials: map[int64]bool{}}
	w.through = &http.Client{Transport: &http.Transport{
		MaxIdleConnsPerHost: 8, IdleConnTimeout: 2 * time.Second,
		TLSClientConfig: &tls.Config{RootCAs: authority.pool, VerifyConnection: func(c tls.ConnectionState) error {
			w.mu.Lock()
			defer w.mu.Unlock()
			w.serials[c.PeerCertificates[0].SerialNumber.Int64()] = true
			return nil
		}},
	}}
	logs := []*locked{}
	start := func(n int) {
		s := startServer(t, "-database", address, "-cert", cert, "-key", key)
		w.mu.Lock()
		w.servers[n] = s
		logs = append(logs, s.log)
		w.mu.Unlock()
	}
	start(0)
	start(1)
	sites := []string{"site0", shared, "site2", doomed}
	var phones []*hardPhone
	for n := range 6 {
		p := &hardPhone{name: fmt.Sprint("p", n), random: rand.New(rand.NewPCG(uint64(n), random.Uint64())), w: w, wrote: map[string][]string{},
			tasks: make(chan func(), 10)}
		p.store = storage.NewStore(&storage.Memory{}, func() string { return storage.WriteTime(time.Now()) })
		p.client = replication.NewClient(p.store, p, replication.Options{Now: time.Now, Random: p.random.Float64, PieceBytes: 1 << 16})
		who := yard.CodeFor{Role: yard.Crew, Crew: []string{"North", "South"}[n%2]}
		if n > 3 {
			who = yard.CodeFor{Role: yard.Office}
		}
		code, _, err := y.NewCodeFor(ctx, who)
		require.NoError(t, err)
		require.NoError(t, p.client.Pair(ctx, code, p.name))
		phones = append(phones, p)
	}
	defer func() { _ = y.Close() }()
	step := func(p *hardPhone, most int) (busy bool) {
		p.client.Hurry()
		for range most {
			more, err := p.client.Step(ctx)
			if err != nil {
				if w.quiet.Load() && !strings.Contains(err.Error(), "429") {
					t.Log(p.name, err)
				}
				return true
			}
			if !more {
				return busy
			}
			busy = true
		}
		return busy
	}
	for _, id := range sites {
		d := storage.NewDocument("2026-01-01T00:00:00Z")
		d.ID = id
		_, err := phones[0].store.Create(ctx, d)
		require.NoError(t, err)
	}
	for step(phones[0], 20) {
	}
	for _, p := range phones[1:] {
		for _, id := range sites {
			require.NoError(t, p.client.Fetch(ctx, id))
		}
	}
	stop := make(chan struct{})
	var all sync.WaitGroup
	for _, p := range phones {
		all.Go(func() {
			for {
				select {
				case <-stop:
					return
				case do := <-p.tasks:
					do()
				case <-time.After(time.Duration(20+p.random.IntN(80)) * time.Millisecond):
				}
				p.fate(t)
				p.edit(t, sites[p.random.IntN(len(sites))])
				step(p, 4)
			}
		})
	}
	// working waits until phones get on again; what a fault cost them is over then.
	working := func(after string) {
		t.Helper()
		was := w.taken.Load()
		require.Eventually(t, func() bool { return w.taken.Load() > was+5 }, 90*time.Second, 20*time.Millisecond, after)
	}
	current := primary
	fill := func(statement string) error {
		db, err := sql.Open("pgx", address)
		if err == nil {
			_, err = db.ExecContext(ctx, statement)
			err = errors.Join(err, db.Close())
		}
		return err
	}
	deleted := false
	offices := phones[4:]
	yardDoes := func(do func() error) { // over no line: it is tried until the database is there
		require.Eventually(t, func() bool { return do() == nil }, 60*time.Second, 100*time.Millisecond)
	}
	a := func(most int) { time.Sleep(time.Duration(random.IntN(most)) * time.Millisecond) }
	faults := map[string]func(){
		"the database is stopped and started": func() { current.Stop(); a(1500); require.NoError(t, current.Start()) },
		"the database loses its power":        func() { current.Crash(); a(800); require.NoError(t, current.Start()) },
		"the database is full": func() {
			require.NoError(t, fill(`CREATE FUNCTION no_room() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN
				RAISE EXCEPTION 'could not extend file: No space left on device' USING ERRCODE = '53100'; END $$`))
			require.NoError(t, fill(`CREATE TRIGGER no_room BEFORE INSERT ON revisions FOR EACH ROW EXECUTE FUNCTION no_room()`))
			time.Sleep(time.Second)
			require.NoError(t, fill("DROP FUNCTION no_room() CASCADE"))
		},
		"a server is killed": func() {
			n := random.IntN(2)
			_ = w.server(n).Process.Kill()
			a(500)
			start(n)
		},
		"a rule of the shop changes at both offices": func() {
			for n, p := range offices {
				value := float64(500 + 10*random.IntN(40) + n)
				p.has(func() { p.setRule(t, value) })
			}
		},
		"a site is one crew's, and everybody's again": func() {
			yardDoes(func() error { return y.SetSiteCrews(ctx, shared, []string{"North"}) })
			a(2000)
			yardDoes(func() error { return y.SetSiteCrews(ctx, shared, nil) })
		},
		"a site is deleted everywhere": func() {
			if p := offices[0]; !deleted {
				p.has(func() {
					if _, err := p.client.Delete(ctx, doomed); err != nil && !errors.Is(err, storage.ErrNotFound) {
						t.Error(err)
					}
				})
			}
			deleted = true
		},
		"the certificate is renewed": func() { authority.renew(time.Duration(random.IntN(2500)) * time.Millisecond) },
	}
	names := []string{"the database is stopped and started", "the database loses its power", "the database is full",
		"a server is killed", "the certificate is renewed", "a rule of the shop changes at both offices",
		"a site is one crew's, and everybody's again", "a site is deleted everywhere"}
	working("at the beginning")
	for round := range rounds {
		random.Shuffle(len(names), func(i, j int) { names[i], names[j] = names[j], names[i] })
		for _, name := range names {
			t.Logf("%s (%d were acknowledged)", name, w.taken.Load())
			faults[name]()
			working(name)
		}
		if round == 0 {
			t.Log("the database is lost, and its standby takes its place")
			primary.Crash()
			require.NoError(t, standby.Promote())
			current = standby
			require.NoError(t, fill("ALTER SYSTEM RESET synchronous_standby_names"))
			require.NoError(t, fill("SELECT pg_reload_conf()"))
			working("after the standby took the place")
		}
	}
	time.Sleep(1500 * time.Millisecond) // so that connections are made anew
	working("with the newest certificate")
	w.mu.Lock()
	require.Greater(t, len(w.serials), 1, "nobody saw a new certificate")
	require.True(t, w.serials[authority.serial], "the newest certificate is not served")
	w.mu.Unlock()
	close(stop)
	all.Wait()
	w.quiet.Store(true)
	for round, busy := 0, true; busy; round++ {
		require.Less(t, round, 60, "they never come to rest")
		busy = false
		for _, p := range phones {
			busy = p.fate(t) || busy
			busy = step(p, 200) || busy
		}
		time.Sleep(200 * time.Millisecond)
	}

	inYard := map[string]bool{} // tokens that the yard acknowledged, at whatever site
	note := func(text string) {
		for _, part := range strings.Split(text, `"`) {
			inYard[part] = true
		}
	}
	for path, text := range w.acknowledged {
		note(string(text))
		parts := strings.Split(path, "/")
		if parts[4] == doomed {
			continue
		}
		got, past, err := y.Revision(ctx, parts[4], storage.Revision(parts[6]))
		require.NoError(t, err, path)
		require.Equal(t, string(text), string(got))
		require.False(t, past.Waiting)
	}
	written := 0
	var gone *yard.GoneError
	_, err = y.Site(ctx, doomed)
	require.ErrorAs(t, err, &gone)
	rules, err := y.ShopRules(ctx)
	require.NoError(t, err)
	past, err := y.ShopRulesPast(ctx, 0, 0)
	require.NoError(t, err)
	was := map[float64]bool{}
	for _, one := range past {
		if one.Key == hardRule && one.Value != nil {
			was[*one.Value] = true
		}
	}
	require.NotEmpty(t, was)
	for _, p := range phones {
		for _, token := range p.wrote[doomed] {
			if inYard[token] {
				continue
			}
			heir := false // kept as a site of its own
			in, err := p.store.Sites(ctx)
			require.NoError(t, err)
			for _, one := range in {
				raw, err := p.store.Raw(ctx, one.ID)
				require.NoError(t, err)
				heir = heir || strings.Contains(string(raw), `"`+token+`"`)
			}
			require.True(t, heir, "%s of %s went with the deleted site, which never had it", token, p.name)
		}
		_, err := p.store.Raw(ctx, doomed)
		require.ErrorIs(t, err, storage.ErrNotFound, p.name)
		shop, err := p.store.Shop(ctx)
		require.NoError(t, err)
		require.Equal(t, rules.Rules[hardRule], shop.Shop.Rules[hardRule], p.name)
		aside, err := p.client.RulesAside(ctx)
		require.NoError(t, err)
		stands := was[p.rule] || aside[hardRule] != nil && *aside[hardRule] == p.rule
		require.True(t, stands || p.rule == 0, "the rule that %s set to %v is nowhere", p.name, p.rule)
	}
	for _, id := range sites[:3] {
		heads, err := y.Heads(ctx, id, "")
		require.NoError(t, err)
		require.Len(t, heads, 1, id)
		text, _, err := y.Revision(ctx, id, heads[0].Revision)
		require.NoError(t, err)
		for _, p := range phones {
			raw, err := p.store.Raw(ctx, id)
			if errors.Is(err, storage.ErrNotFound) && id == shared { // it was the other crew's, and nobody opened it since
				require.NoError(t, p.client.Fetch(ctx, id))
				raw, err = p.store.Raw(ctx, id)
			}
			require.NoError(t, err)
			require.Equal(t, string(text), string(raw), "%s of %s", id, p.name)
			for _, token := range p.wrote[id] {
				require.Contains(t, string(text), `"`+token+`"`)
				written++
			}
		}
	}
	found, err := y.Examine(ctx)
	require.NoError(t, err)
	require.True(t, found.Sound(), "%+v", found.Findings)
	for _, log := range logs {
		require.NotContains(t, log.String(), "status=500")
	}
	t.Logf("%d entries on %d phones, %d revisions acknowledged, all there", written, len(phones), len(w.acknowledged))
}
