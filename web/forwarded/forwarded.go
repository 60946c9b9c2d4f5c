// Package forwarded finds out from which machine a request came that proxies passed on.
//
// Only proxies that were named are believed. Each adds at the right end of its header
// from whom it took the request (RFC 7239, and X-Forwarded-For as proxies have it), so
// the list is read from there, as far as the named proxies go: what stands left of
// them the machine that asks has written itself.
//
// A proxy mostly writes one of the two headers and passes on the other as it came.
// Where both are there and do not agree, neither is believed.
package forwarded

import (
	"fmt"
	"net"
	"net/http"
	"net/netip"
	"strings"
)

// maxHops bounds how many entries of a header are read.
const maxHops = 32

// Proxies are the networks whose machines are believed.
type Proxies []netip.Prefix

// Parse reads networks and addresses, with commas between: "10.0.0.0/8, ::1".
func Parse(text string) (Proxies, error) {
	var all Proxies
	for one := range strings.SplitSeq(text, ",") {
		if one = strings.TrimSpace(one); one == "" {
			continue
		}
		if a, err := netip.ParseAddr(one); err == nil && a.Zone() == "" {
			a = a.Unmap()
			all = append(all, netip.PrefixFrom(a, a.BitLen()))
			continue
		}
		p, err := netip.ParsePrefix(one)
		if err != nil {
			return nil, fmt.Errorf("%q is no network, such as 10.0.0.0/8, and no address", one)
		}
		all = append(all, p.Masked())
	}
	return all, nil
}

func (p Proxies) has(a netip.Addr) bool {
	a = a.Unmap().WithZone("")
	for _, network := range p {
		if network.Contains(a) {
			return true
		}
	}
	return false
}

// Handler gives next the requests with RemoteAddr as the machine's that asks, and
// with X-Forwarded-Proto as the nearest named proxy has it; where no named proxy
// passed the request on, that header is taken away.
func (p Proxies) Handler(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		host, port, err := net.SplitHostPort(r.RemoteAddr)
		at, bad := netip.ParseAddr(host)
		near := err == nil && bad == nil && p.has(at)
		proto := r.Header.Values(protoHeader)
		if near || len(proto) > 0 {
			r = r.Clone(r.Context())
			r.Header.Del(protoHeader)
		}
		if near {
			if from := p.client(at, r.Header); from != at {
				r.RemoteAddr = net.JoinHostPort(from.String(), port)
			}
			if len(proto) == 1 && strings.EqualFold(strings.TrimSpace(proto[0]), "https") {
				r.Header.Set(protoHeader, "https")
			}
		}
		next.ServeHTTP(w, r)
	})
}

const protoHeader = "X-Forwarded-Proto"

// Encrypted reports whether a request that passed Handler came encrypted: to this
// server, or to a proxy that was named.
func Encrypted(r *http.Request) bool {
	return r.TLS != nil || r.Header.Get(protoHeader) == "https"
}

// client is the machine from which the proxy at an address took a request; the
// proxy itself where it does not say, or not so that it can be believed.
func (p Proxies) client(proxy netip.Addr, h http.Header) netip.Addr {
	one, hasOne := p.last(proxy, forwardedFor(h.Values("Forwarded")))
	other, hasOther := p.last(proxy, strings.Split(strings.Join(h.Values("X-Forwarded-For"), ","), ","))
	switch {
	case hasOne && hasOther && one != other:
		return proxy
	case hasOne:
		return one
	}
	return other
}

// last reads hops from the right: the first that is no named proxy, or the last that
// can be read. given is false where there are none.
func (p Proxies) last(proxy netip.Addr, hops []string) (from netip.Addr, given bool) {
	from = proxy
	for n := len(hops) - 1; n >= 0 && n >= len(hops)-maxHops && p.has(from); n-- {
		if strings.TrimSpace(hops[n]) != "" {
			given = true
		}
		a, ok := node(hops[n])
		if !ok {
			break
		}
		from = a
	}
	return from, given
}

// node reads an address with or without a port: 192.0.2.1, 192.0.2.1:80, 2001:db8::1,
// [2001:db8::1]:80.
func node(text string) (netip.Addr, bool) {
	text = strings.Trim(strings.TrimSpace(text), `"`)
	if ap, err := netip.ParseAddrPort(text); err == nil {
		return ap.Addr().Unmap().WithZone(""), true
	}
	if inner, found := strings.CutPrefix(text, "["); found {
		text, _ = strings.CutSuffix(inner, "]")
	}
	a, err := netip.ParseAddr(text)
	return a.Unmap().WithZone(""), err == nil
}

// forwardedFor lists the for= of each element of Forwarded, "" where one has none. A
// quoted text with a comma in it is no address: cut in two it is none either.
func forwardedFor(values []string) []string {
	var hops []string
	for element := range strings.SplitSeq(strings.Join(values, ","), ",") {
		hop := ""
		for pair := range strings.SplitSeq(element, ";") {
			name, value, _ := strings.Cut(pair, "=")
			if strings.EqualFold(strings.TrimSpace(name), "for") {
				hop = value
			}
		}
		if strings.TrimSpace(element) != "" && hop == "" {
			hop = "unknown"
		}
		hops = append(hops, hop)
	}
	return hops
}
