package api

import (
	"crypto/rand"
	"crypto/rsa"
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/go-jose/go-jose/v4"
	"github.com/stretchr/testify/require"

	"pegpour/storage/yard"
)

// provider is a provider of identities, in process: who comes is whom says names.
type provider struct {
	*httptest.Server
	t         testing.TB
	key       *rsa.PrivateKey
	says      map[string]any
	nonce     string
	challenge bool
	now       func() time.Time
}

func newProvider(t testing.TB, now func() time.Time) *provider {
	t.Helper()
	key, err := rsa.GenerateKey(rand.Reader, 2048)
	require.NoError(t, err)
	p := &provider{t: t, key: key, now: now}
	mux := http.NewServeMux()
	write := func(w http.ResponseWriter, v any) {
		w.Header().Set("Content-Type", "application/json")
		_ = json.NewEncoder(w).Encode(v)
	}
	mux.HandleFunc("/.well-known/openid-configuration", func(w http.ResponseWriter, _ *http.Request) {
		write(w, map[string]any{"issuer": p.URL, "authorization_endpoint": p.URL + "/auth", "token_endpoint": p.URL + "/token",
			"jwks_uri": p.URL + "/keys", "id_token_signing_alg_values_supported": []string{"RS256"}})
	})
	mux.HandleFunc("/keys", func(w http.ResponseWriter, _ *http.Request) {
		write(w, jose.JSONWebKeySet{Keys: []jose.JSONWebKey{{Key: key.Public(), KeyID: "k", Algorithm: "RS256", Use: "sig"}}})
	})
	mux.HandleFunc("/token", func(w http.ResponseWriter, r *http.Request) {
		p.challenge = r.FormValue("code_verifier") != ""
		if r.FormValue("code") != "good" {
			http.Error(w, "no", http.StatusBadRequest)
			return
		}
		claims := map[string]any{"iss": p.URL, "aud": "pegpour", "exp": time.Now().Add(time.Hour).Unix(), "iat": time.Now().Unix(),
			"nonce": p.nonce}
		for k, v := range p.says {
			claims[k] = v
		}
		text, _ := json.Marshal(claims)
		signer, err := jose.NewSigner(jose.SigningKey{Algorithm: jose.RS256, Key: jose.JSONWebKey{Key: key, KeyID: "k"}}, nil)
		if err == nil {
			var signed *jose.JSONWebSignature
			if signed, err = signer.Sign(text); err == nil {
				raw, _ := signed.CompactSerialize()
				write(w, map[string]any{"access_token": "a", "token_type": "Bearer", "id_token": raw})
			}
		}
		if err != nil {
			http.Error(w, err.Error(), http.StatusInternalServerError)
		}
	})
	p.Server = httptest.NewServer(mux)
	t.Cleanup(p.Close)
	return p
}

// signIn goes to the provider and back; change may alter what the browser brings back.
func (f *fixture) signIn(p *provider, status int, change func(q url.Values) (cookie bool)) string {
	f.t.Helper()
	w := f.want(302, f.ask("", "GET", "/api/v1/sign-in/start", nil))
	to, err := url.Parse(w.Header().Get("Location"))
	require.NoError(f.t, err)
	require.Equal(f.t, "S256", to.Query().Get("code_challenge_method"))
	p.nonce = to.Query().Get("nonce")
	back, err := url.Parse(to.Query().Get("redirect_uri"))
	require.NoError(f.t, err)
	q := url.Values{"state": {to.Query().Get("state")}, "code": {"good"}}
	cookie := w.Header().Get("Set-Cookie")
	require.Contains(f.t, cookie, "HttpOnly; Secure; SameSite=Lax")
	headers := []string{"Cookie: " + strings.Split(cookie, ";")[0]}
	if change != nil && !change(q) {
		headers = nil
	}
	w = f.want(status, f.ask("", "GET", back.Path+"?"+q.Encode(), nil, headers...))
	return w.Header().Get("Location")
}

// signInEveryWay signs in and is refused in every way.
func (f *fixture) signInEveryWay() {
	t := f.t
	p := newProvider(t, f.clock)
	allow, err := ReadAllowed("office=ada@shop.example, crew=@shop.example")
	require.NoError(t, err)
	with := func(issuer string) {
		f.api.AllowSignIn(&SignIn{Name: "Shop", Issuer: issuer, ClientID: "pegpour", ClientSecret: "s", Address: "https://yard.example",
			Allow: allow})
	}
	with("http://127.0.0.1:1")
	f.want(502, f.ask("", "GET", "/api/v1/sign-in/start", nil))
	with(p.URL)
	come := func(link string) yard.Device {
		t.Helper()
		at, code, _ := strings.Cut(link, "#pair=")
		require.Contains(t, []string{"https://yard.example/office", "https://yard.example/sync"}, at)
		d, _, err := f.yard.Pair(t.Context(), code, "browser")
		require.NoError(t, err)
		return d
	}
	p.says = map[string]any{"sub": "1", "name": "Ada Stone", "email": "Ada@shop.example", "email_verified": true}
	d := come(f.signIn(p, 302, nil))
	require.True(t, p.challenge, "what the code is traded for is proved (PKCE)")
	require.Equal(t, yard.Office, d.Role)
	require.Equal(t, "Ada Stone", d.By)
	require.Equal(t, d.Person, come(f.signIn(p, 302, nil)).Person, "the same person as before")
	p.says = map[string]any{"sub": "2", "name": "Ben", "email": "ben@shop.example", "email_verified": true}
	require.Equal(t, yard.Crew, come(f.signIn(p, 302, nil)).Role)
	// Whom the office added by the address of mail.
	u, err := f.yard.AddUser(t.Context(), "Cleo", "cleo@else.example", yard.Reader)
	require.NoError(t, err)
	p.says = map[string]any{"sub": "3", "email": "cleo@else.example", "email_verified": true}
	d = come(f.signIn(p, 302, nil))
	require.Equal(t, u.ID, d.Person)
	require.Equal(t, yard.Reader, d.Role)
	// Who is shut out, who is a stranger, whose address nobody verified.
	out := true
	_, err = f.yard.ChangeUser(t.Context(), u.ID, yard.UserChange{Withdrawn: &out})
	require.NoError(t, err)
	f.signIn(p, 401, nil)
	p.says = map[string]any{"sub": "4", "name": "Eve", "email": "eve@else.example", "email_verified": true}
	f.signIn(p, 401, nil)
	p.says = map[string]any{"sub": "5", "name": "Eve", "email": "ada@shop.example", "email_verified": false}
	f.signIn(p, 401, nil)
	// Another browser, another state, used twice, refused there, a code that is none, an
	// answer to another question or for another program.
	p.says = map[string]any{"sub": "1"}
	f.signIn(p, 401, func(url.Values) bool { return false })
	f.signIn(p, 401, func(q url.Values) bool { q.Set("state", "x"); return true })
	f.signIn(p, 401, func(q url.Values) bool { q.Set("error", "access_denied"); return true })
	f.signIn(p, 502, func(q url.Values) bool { q.Set("code", "bad"); return true })
	f.signIn(p, 502, func(url.Values) bool { p.nonce = "another"; return true })
	p.says["aud"] = "another"
	f.signIn(p, 502, nil)
	p.says = map[string]any{"sub": "1"}
	var again string
	f.signIn(p, 302, func(q url.Values) bool { again = q.Encode(); return true })
	state, _ := url.ParseQuery(again)
	f.want(401, f.ask("", "GET", "/api/v1/sign-in/done?"+again, nil, "Cookie: "+signInCookie+"="+state.Get("state")))
}

func TestWhoMaySignInIsRead(t *testing.T) {
	for _, bad := range []string{"king=@x", "office", "office=ute", "=@x"} {
		_, err := ReadAllowed(bad)
		require.Error(t, err, bad)
	}
}
