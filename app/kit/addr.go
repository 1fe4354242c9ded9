package kit

import (
	"net/url"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"
)

// Addr is where a person is in the app. It lives in the fragment of the one document, so that every static host,
// the back gesture and a link from a printed tag handle it.
type Addr struct {
	Build  string // id of the build; empty on the pages that need none
	Page   string // name of the page; empty is the list of builds
	Record string // id of a record the page is about
	Mode   string // a part of the page
	Card   string // the key of a number that is explained over the page
	Tag    string // a scanned code; then nothing else is set
}

// Values of an address have these signs only.
const (
	codeSigns = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz"
	wordSigns = codeSigns + " ._-"
	codeLen   = 8
	maxWord   = 64
)

func only(signs, text string) bool { return strings.Trim(text, signs) == "" }

// ParseAddr reads a fragment, which is a stranger's text: what is not of the form that String writes is dropped.
// A bare word of eight signs is a tag.
func ParseAddr(fragment string) Addr {
	fragment = strings.TrimPrefix(fragment, "#")
	if len(fragment) == codeLen && only(codeSigns, fragment) {
		return Addr{Tag: strings.ToUpper(fragment)}
	}
	values, err := url.ParseQuery(fragment)
	if err != nil {
		return Addr{}
	}
	get := func(key string) string {
		if v := values.Get(key); len(v) <= maxWord && only(wordSigns, v) {
			return v
		}
		return ""
	}
	a := Addr{Build: get("b"), Page: get("p"), Record: get("r"), Mode: get("m"), Card: get("c"), Tag: get("t")}
	if a.Tag != "" {
		return Addr{Tag: a.Tag}
	}
	return a
}

// String returns the fragment of the address, without the #.
func (a Addr) String() string {
	if a.Tag != "" {
		return a.Tag
	}
	var b strings.Builder
	for _, p := range []struct{ key, value string }{{"b", a.Build}, {"p", a.Page}, {"r", a.Record}, {"m", a.Mode}, {"c", a.Card}} {
		if p.value == "" {
			continue
		}
		if b.Len() > 0 {
			b.WriteByte('&')
		}
		b.WriteString(p.key + "=" + url.QueryEscape(p.value))
	}
	return b.String()
}

// On returns the address of another page of the same build.
func (a Addr) On(page string) Addr { return Addr{Build: a.Build, Page: page} }

// With returns the address of a record on the same page.
func (a Addr) With(record string) Addr { a.Record = record; return a }

// In returns the address of a part of the same page.
func (a Addr) In(mode string) Addr { a.Mode = mode; return a }

// Explaining returns the address of the same page with a number explained over it.
func (a Addr) Explaining(card string) Addr { a.Card = card; return a }

// Go shows the page at an address.
func Go(ctx app.Context, to Addr) {
	u := *ctx.Page().URL()
	u.Fragment = to.String()
	if u.RawQuery == "" {
		// The framework follows a new fragment at once. Its own navigation waits for a frame first, and draws the page that is left
		// once more in it.
		app.Window().Get("location").Set("hash", "#"+u.EscapedFragment())
		return
	}
	u.RawQuery = ""
	// Through the dispatcher, not ctx.NavigateTo: that is dropped when the tapped button is gone from the page by then.
	ctx.Dispatcher().Dispatch(app.Dispatch{Mode: app.Update, Function: func(ctx app.Context) { ctx.NavigateTo(&u) }})
}

// To is a handler that shows the page at an address. In a list, give the address as the scope too.
func To(to Addr) app.EventHandler {
	return func(ctx app.Context, _ app.Event) { Go(ctx, to) }
}
