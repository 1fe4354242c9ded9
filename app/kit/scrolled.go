package kit

import "github.com/maxence-charriere/go-app/v9/pkg/app"

// scrolled remembers how far each list was scrolled. The framework keeps the same element for the next page, so without
// this a card would open in its middle, and who comes back to a list would have to look for the row again.
type scrolled map[Addr]int

// move notes how far a page is scrolled, and lets the next one begin at its top; a list begins where it was left. Call it
// before the next page is drawn.
func (s scrolled) move(ctx app.Context, from, to Addr) {
	if from.Card, to.Card = "", ""; from == to {
		return
	}
	if el, ok := scroller(); ok && from.Record == "" {
		s[from] = el.Get("scrollTop").Int()
	}
	ctx.Defer(func(app.Context) {
		if el, ok := scroller(); ok {
			el.Set("scrollTop", s[to])
		}
	})
}

// scroller is the part of the page that scrolls; a page may lie hidden under another one.
func scroller() (el app.Value, ok bool) {
	el = app.Window().Get("document").Call("querySelector", ":not([hidden]) > .page .scroll")
	return el, el.Truthy()
}
