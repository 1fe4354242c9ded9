package tag

import (
	"fmt"
	"net/netip"
	"net/url"
	"strings"
)

// Address is where the app is served, as it is written before the code of a link tag.
type Address struct {
	base     string // with scheme and host in lower case and the slash at the end
	Warnings []Warning
}

// Warning is a reason why phones may not open a link, found by looking at the address alone.
type Warning struct {
	Kind   WarningKind
	Detail string // the part of the address that is meant
}

// WarningKind is what is wrong with an address.
type WarningKind string

// The kinds of warning.
const (
	Loopback  WarningKind = "loopback"   // this machine itself: on a phone it means the phone
	Private   WarningKind = "private"    // reached only from inside one home or workshop network
	LinkLocal WarningKind = "link-local" // reached only on one cable or radio cell
	PlainHTTP WarningKind = "plain http" // no camera and no offline use, and browsers warn
	Long      WarningKind = "long"       // the square grows past what fits on a small tag
)

// MaxAddress is how many signs an address may have.
//
// Source: our choice; 80 signs and a code need version 6 at level M, more than twice the modules of version 3.
const MaxAddress = 80

// comfortable is the longest address whose link still fits version 3 at level M in byte mode: 42 less "#" and the
// code.
//
// Source: ISO/IEC 18004, table 7.
const comfortable = 42 - 1 - CodeLength

// ParseAddress reads the address of the app. Query, fragment and user name are refused; a missing slash at the end
// is added, because an address without it is outside of what the app's own worker serves offline.
func ParseAddress(text string) (Address, error) {
	text = strings.TrimSpace(text)
	bad := func(cause string) (Address, error) {
		return Address{}, fmt.Errorf("tag: address %q: %s", Clean(text, 60), cause)
	}
	if text == "" {
		return Address{}, fmt.Errorf("tag: the address is empty")
	}
	if Clean(text, len(text)) != text {
		return bad("signs that cannot be seen do not belong in it")
	}
	u, err := url.Parse(strings.TrimSuffix(text, "#"))
	if err != nil {
		return bad("not a web address")
	}
	scheme := strings.ToLower(u.Scheme)
	switch {
	case scheme != "https" && scheme != "http":
		return bad("it must begin with https://")
	case u.Hostname() == "":
		return bad("it has no host name")
	case u.User != nil:
		return bad("a user name or password does not belong on a tag")
	case u.RawQuery != "" || u.ForceQuery:
		return bad("a query (?…) does not belong in it")
	case u.Fragment != "":
		return bad("a fragment (#…) does not belong in it, the code goes there")
	}
	path := strings.TrimSuffix(u.EscapedPath(), "index.html")
	if !strings.HasSuffix(path, "/") {
		path += "/"
	}
	a := Address{base: scheme + "://" + strings.ToLower(u.Host) + path}
	for _, c := range []byte(a.base) {
		if c <= ' ' || c > '~' {
			return bad("only the signs of web addresses; write a host name in other letters in its xn-- form")
		}
	}
	if len(a.base) > MaxAddress {
		return bad(fmt.Sprintf("%d signs, at most %d fit on a tag", len(a.base), MaxAddress))
	}
	a.Warnings = warnings(scheme, strings.ToLower(u.Hostname()), a.base)
	return a, nil
}

// String returns the address with scheme and host in lower case.
func (a Address) String() string { return a.base }

// Link returns the text of a link tag. Scheme and host are written in upper case where that makes a smaller
// square, because they do not distinguish case and upper case is packed tighter; the path is kept as it is.
//
// Source: RFC 3986 section 6.2.2.1 (case of scheme and host); ISO/IEC 18004 section 7.4.4 (alphanumeric mode).
func (a Address) Link(code string) string {
	plain := a.base + "#" + code
	host := strings.Index(a.base, "://") + len("://")
	path := host + strings.IndexByte(a.base[host:], '/')
	upper := strings.ToUpper(a.base[:path]) + a.base[path:] + "#" + code
	if bits(upper, 1) < bits(plain, 1) {
		return upper
	}
	return plain
}

func warnings(scheme, host, base string) []Warning {
	var out []Warning
	if kind := reach(host); kind != "" {
		out = append(out, Warning{kind, host})
	}
	if scheme == "http" {
		out = append(out, Warning{PlainHTTP, "http://"})
	}
	if len(base) > comfortable {
		out = append(out, Warning{Long, fmt.Sprintf("%d signs, up to %d make a small square", len(base), comfortable)})
	}
	return out
}

// cgnat is the range that providers share out behind one address.
//
// Source: RFC 6598.
func cgnat() netip.Prefix { return netip.PrefixFrom(netip.AddrFrom4([4]byte{100, 64}), 10) }

// reach says from where a host can be reached, "" for everywhere.
//
// Source: RFC 6890 (special-purpose addresses), RFC 6761 and RFC 6762 (localhost, .local), RFC 8375 (home.arpa).
func reach(host string) WarningKind {
	host = strings.TrimSuffix(host, ".")
	if ip, err := netip.ParseAddr(strings.Trim(host, "[]")); err == nil {
		ip = ip.Unmap()
		switch {
		case ip.IsLoopback() || ip.IsUnspecified():
			return Loopback
		case ip.IsLinkLocalUnicast():
			return LinkLocal
		case ip.IsPrivate() || cgnat().Contains(ip):
			return Private
		}
		return ""
	}
	if host == "localhost" || strings.HasSuffix(host, ".localhost") {
		return Loopback
	}
	if strings.HasSuffix(host, ".local") {
		return LinkLocal
	}
	if !strings.Contains(host, ".") {
		return Private
	}
	for _, end := range []string{".lan", ".home", ".internal", ".home.arpa", ".intranet"} {
		if strings.HasSuffix(host, end) {
			return Private
		}
	}
	return ""
}
