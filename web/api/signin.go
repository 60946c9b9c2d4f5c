package api

import (
	"context"
	"crypto/subtle"
	"net/http"
	"slices"
	"strings"
	"sync"

	"github.com/coreos/go-oidc/v3/oidc"
	"golang.org/x/oauth2"

	"pegpour/engine/refusal"
	"pegpour/storage/yard"
	"pegpour/web/pairing"
)

// SignIn is how people sign in at a provider of identities (OpenID Connect), beside
// pairing by a code.
type SignIn struct {
	Name         string // of the provider, for the button
	Issuer       string // its address
	ClientID     string
	ClientSecret string
	Address      string // of this yard, as browsers reach it
	// Allow gives the role of one who comes for the first time, by the address of mail
	// ("ute@shop.example") or its part from the @ on ("@shop.example"). Who is not in it
	// comes in only if the office added that address.
	Allow map[string]yard.Role

	mu       sync.Mutex
	provider *oidc.Provider
}

// roleOf is the role of one who comes for the first time, "" for nobody's.
func (s *SignIn) roleOf(email string) yard.Role {
	email = strings.ToLower(email)
	if role := s.Allow[email]; role != "" {
		return role
	}
	if at := strings.LastIndexByte(email, '@'); at >= 0 {
		return s.Allow[email[at:]]
	}
	return ""
}

// reach finds the provider. One that is down is asked again the next time.
func (s *SignIn) reach(ctx context.Context) (*oidc.Provider, *oauth2.Config, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.provider == nil {
		p, err := oidc.NewProvider(context.WithoutCancel(ctx), s.Issuer)
		if err != nil {
			return nil, nil, err
		}
		s.provider = p
	}
	return s.provider, &oauth2.Config{ClientID: s.ClientID, ClientSecret: s.ClientSecret, Endpoint: s.provider.Endpoint(),
		RedirectURL: strings.TrimSuffix(s.Address, "/") + signInPath + "/done",
		Scopes:      []string{oidc.ScopeOpenID, "email", "profile"}}, nil
}

const (
	signInPath   = "/api/v1/sign-in"
	signInCookie = "pegpour_sign_in"
)

// signIns lets people in whom a provider of identities names.
type signIns struct {
	yard    *yard.Yard
	journal journal
	with    *SignIn // nil: there is no provider
}

func (h *signIns) show(w http.ResponseWriter, r *http.Request, _ yard.Device) error {
	name := ""
	if h.with != nil {
		name = h.with.Name
	}
	return answer(w, r, http.StatusOK, struct {
		Name string `json:"name"` // "" where there is no provider
	}{name})
}

// start sends the browser to the provider. The browser that comes back is held to be
// this one by a cookie.
func (h *signIns) start(w http.ResponseWriter, r *http.Request, _ yard.Device) error {
	if h.with == nil {
		return yard.ErrNotFound
	}
	_, config, err := h.with.reach(r.Context())
	if err != nil {
		h.journal.of(r).Error("nobody can sign in", "error", err)
		refuse(w, http.StatusBadGateway, noProvider)
		return nil
	}
	state, nonce, verifier := oauth2.GenerateVerifier(), oauth2.GenerateVerifier(), oauth2.GenerateVerifier()
	if err := h.yard.BeginSignIn(r.Context(), state, nonce, verifier); err != nil {
		return err
	}
	http.SetCookie(w, &http.Cookie{Name: signInCookie, Value: state, Path: signInPath, HttpOnly: true,
		MaxAge: int(yard.CodeLife.Seconds()), SameSite: http.SameSiteLaxMode, Secure: strings.HasPrefix(h.with.Address, "https:")})
	w.Header().Set("Cache-Control", "no-store")
	http.Redirect(w, r, config.AuthCodeURL(state, oidc.Nonce(nonce), oauth2.S256ChallengeOption(verifier)), http.StatusFound)
	return nil
}

// done takes what the provider says and sends the browser on with a code that pairs it.
func (h *signIns) done(w http.ResponseWriter, r *http.Request, _ yard.Device) error {
	if h.with == nil {
		return yard.ErrNotFound
	}
	w.Header().Set("Cache-Control", "no-store")
	state := r.URL.Query().Get("state")
	cookie, err := r.Cookie(signInCookie)
	if err != nil || subtle.ConstantTimeCompare([]byte(cookie.Value), []byte(state)) != 1 {
		return yard.ErrRefused
	}
	http.SetCookie(w, &http.Cookie{Name: signInCookie, Path: signInPath, MaxAge: -1, HttpOnly: true})
	nonce, verifier, err := h.yard.EndSignIn(r.Context(), state)
	if err != nil {
		return err
	}
	if r.URL.Query().Get("error") != "" {
		return yard.ErrRefused // the person said no there
	}
	provider, config, err := h.with.reach(r.Context())
	var who yard.Identified
	if err == nil {
		who, err = identified(r.Context(), provider, config, r.URL.Query().Get("code"), nonce, verifier)
	}
	if err != nil {
		h.journal.of(r).Error("nobody can sign in", "error", err)
		refuse(w, http.StatusBadGateway, noProvider)
		return nil
	}
	code, u, err := h.yard.SignIn(r.Context(), who, h.with.roleOf(who.Email))
	if err != nil {
		h.journal.refuse(r, yard.Device{}, "sign-in refused", "")
		return err
	}
	h.journal.note(r, yard.Device{}, "signed in", u.ID)
	http.Redirect(w, r, pairing.Link(h.with.Address, u.Role, code), http.StatusFound)
	return nil
}

// identified trades the provider's code for what it says of the person.
func identified(ctx context.Context, provider *oidc.Provider, config *oauth2.Config, code, nonce, verifier string) (
	yard.Identified, error) {
	token, err := config.Exchange(ctx, code, oauth2.VerifierOption(verifier))
	if err != nil {
		return yard.Identified{}, err
	}
	raw, _ := token.Extra("id_token").(string)
	id, err := provider.Verifier(&oidc.Config{ClientID: config.ClientID}).Verify(ctx, raw)
	if err != nil {
		return yard.Identified{}, err
	}
	if id.Nonce != nonce {
		return yard.Identified{}, refusal.Error("the provider's answer is to another question")
	}
	var says struct {
		Name     string
		Email    string
		Verified bool `json:"email_verified"`
	}
	if err := id.Claims(&says); err != nil {
		return yard.Identified{}, err
	}
	who := yard.Identified{Issuer: id.Issuer, Subject: id.Subject, Name: says.Name}
	if says.Verified {
		who.Email = says.Email
	}
	return who, nil
}

// ReadAllowed reads who may sign in: "office=ute@shop.example crew=@shop.example".
func ReadAllowed(text string) (map[string]yard.Role, error) {
	out := map[string]yard.Role{}
	for _, part := range strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == ',' }) {
		role, whom, _ := strings.Cut(part, "=")
		if !slices.Contains([]yard.Role{yard.Office, yard.Crew, yard.Reader}, yard.Role(role)) || !strings.Contains(whom, "@") {
			return nil, refusal.Error("who may sign in is written as office=ute@shop.example or crew=@shop.example")
		}
		out[strings.ToLower(whom)] = yard.Role(role)
	}
	return out, nil
}
