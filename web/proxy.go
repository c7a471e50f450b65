package web

import (
	"net/http"
	"net/netip"
	"slices"
	"strings"
)

// client is the address that a request is from, if a proxy that is believed says
// so.
func (s *Server) client(r *http.Request) (from netip.Addr, ok bool) {
	if len(s.Proxies) == 0 {
		return from, false
	}
	peer, err := netip.ParseAddrPort(r.RemoteAddr)
	if err != nil {
		return from, false
	}
	from = forwardedFor(peer.Addr(), r.Header.Values("X-Forwarded-For"), s.Proxies)
	return from, from != peer.Addr()
}

// forwardedFor is the nearest address that is none of the proxies: each proxy adds at
// the end whom it heard from, so what stands before the last one that is not believed
// may be anybody's invention. What is no address ends the search, at the last that
// was one.
func forwardedFor(peer netip.Addr, forwarded []string, proxies []netip.Prefix) netip.Addr {
	at := plain(peer)
	hops := strings.Split(strings.Join(forwarded, ","), ",")
	for _, hop := range slices.Backward(hops) {
		if !believed(at, proxies) {
			break
		}
		next, ok := hopAddr(strings.TrimSpace(hop))
		if !ok {
			break
		}
		at = next
	}
	return at
}

func believed(a netip.Addr, proxies []netip.Prefix) bool {
	return slices.ContainsFunc(proxies, func(p netip.Prefix) bool { return p.Contains(a) })
}

// hopAddr reads an address with or without a port, as some proxies add it.
func hopAddr(text string) (netip.Addr, bool) {
	if a, err := netip.ParseAddr(strings.Trim(text, "[]")); err == nil {
		return plain(a), true
	}
	ap, err := netip.ParseAddrPort(text)
	return plain(ap.Addr()), err == nil
}

// plain is the one way to write an address: IPv4 as such, and without the name of an
// interface.
func plain(a netip.Addr) netip.Addr { return a.Unmap().WithZone("") }
