package link

import (
	"context"
	"errors"
	"fmt"
	"net"
	"net/netip"
	"strings"

	"example.org/ringout/protocol"
)

// A ResolveError names a host name that has no address.
type ResolveError struct {
	Host string
	Err  error // the resolver's own words
}

// Error is one sentence for the builder.
func (e *ResolveError) Error() string {
	host := protocol.Printable(e.Host)
	var dns *net.DNSError
	if errors.As(e.Err, &dns) && dns.IsNotFound {
		return fmt.Sprintf("host %q is not known here: check the spelling, or give its address as numbers", host)
	}
	return fmt.Sprintf("host %q gives no address (%s): give it as numbers, or try again when the network is there", host, plain(e.Err))
}

// Unwrap gives the resolver's error.
func (e *ResolveError) Unwrap() error { return e.Err }

// Resolve turns a host name or address into an address, IPv4 before IPv6, for
// forms that check it before sending. The error is a *ResolveError.
func Resolve(ctx context.Context, host string) (netip.Addr, error) {
	return resolve(ctx, host, nil)
}

func resolve(ctx context.Context, host string, lookup func(context.Context, string) ([]netip.Addr, error)) (netip.Addr, error) {
	if a, err := netip.ParseAddr(strings.Trim(host, "[]")); err == nil {
		return a.Unmap(), nil
	}
	if lookup == nil {
		lookup = func(ctx context.Context, host string) ([]netip.Addr, error) {
			return net.DefaultResolver.LookupNetIP(ctx, "ip", host)
		}
	}
	all, err := lookup(ctx, host)
	if err == nil && len(all) == 0 {
		err = &net.DNSError{Err: "no address", Name: host, IsNotFound: true}
	}
	if err != nil {
		return netip.Addr{}, &ResolveError{host, err}
	}
	for _, a := range all {
		if a.Unmap().Is4() {
			return a.Unmap(), nil
		}
	}
	return all[0], nil
}

// plain is the innermost text of a system error, without addresses and calls.
func plain(err error) string {
	if err == nil {
		return "for a reason the system did not give"
	}
	for {
		inner := errors.Unwrap(err)
		if inner == nil {
			return protocol.Printable(err.Error())
		}
		err = inner
	}
}
