package kit

import (
	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/calc/harness"
	"loomwright/calc/unit"
)

// Num is a number that tells how it comes about: a tap opens its card. at is the page it stands on, key names its figure.
func Num(at Addr, text, key string) app.UI {
	to := at.Explaining(key)
	return app.Button().Type("button").Class("fig").Aria("haspopup", "dialog").OnClick(To(to), to).Text(text)
}

// NumIn is Num in other letters: the big number of a page, or the number of a row with a word under it.
func NumIn(at Addr, class, text, below, key string) app.UI {
	to := at.Explaining(key)
	body := []app.UI{app.Text(text)}
	if below != "" {
		body = append(body, app.Small().Text(below))
	}
	return app.Button().Type("button").Class("fig "+class).Aria("haspopup", "dialog").OnClick(To(to), to).Body(body...)
}

// NumBox is Num around more than a text: a number with words beside it, a line of a sum, a sentence with numbers in it.
func NumBox(at Addr, class, key string, body ...app.UI) app.UI {
	to := at.Explaining(key)
	return app.Button().Type("button").Class(class).Aria("haspopup", "dialog").OnClick(To(to), to).Body(body...)
}

// Split is a row beside its number: the row leads to the record, the number to its card.
func Split(row, number app.UI) app.UI { return app.Div().Class("split").Body(row, number) }

// Card explains a number over the page it stands on: how it comes about in words, what went in and where that is from, and
// the source. Going back closes it.
type Card struct {
	app.Compo
	Shell *Shell
	At    Addr // of the page, with the key
	Rev   int
}

// card is the card that the address names, or nil.
func (s *Shell) card() app.UI {
	if s.at.Card == "" {
		return nil
	}
	return &Card{Shell: s, At: s.at, Rev: s.S.Rev()}
}

// turn keeps what was tapped for a card, and gives it the focus again when the card is closed.
func (s *Shell) turn(ctx app.Context, to Addr) {
	was, is := s.at.Card != "", to.Card != ""
	switch {
	case is && !was:
		s.under = s.moved
		s.opener = app.Window().Get("document").Get("activeElement")
	case was && !is && s.opener != nil:
		from, opener := s.at, s.opener
		s.opener = nil
		if from.Card = ""; from == to {
			ctx.Defer(func(app.Context) {
				if opener.Truthy() && opener.Get("isConnected").Bool() {
					opener.Call("focus")
				}
			})
		}
	}
}

// OnMount lays the card over the page: what is under it can neither be tapped nor read out meanwhile.
func (c *Card) OnMount(ctx app.Context) { ctx.JSSrc().Call("showModal") }

// OnUpdate begins another card at its top.
func (c *Card) OnUpdate(ctx app.Context) {
	ctx.Defer(func(ctx app.Context) {
		if el := ctx.JSSrc(); el.Truthy() {
			el.Get("firstElementChild").Set("scrollTop", 0)
			el.Call("querySelector", "h2").Call("focus")
		}
	})
}

// close goes back to what is under the card. Where the app was opened with it, there is nothing to go back to.
func (c *Card) close(app.Context, app.Event) {
	if c.Shell.under {
		app.Window().Get("history").Call("back")
		return
	}
	at := c.At
	at.Card = ""
	app.Window().Get("location").Call("replace", "#"+at.String())
}

func (c *Card) onCancel(ctx app.Context, e app.Event) {
	e.PreventDefault()
	c.close(ctx, e)
}

// onBeside closes the card with a tap beside it.
func (c *Card) onBeside(ctx app.Context, e app.Event) {
	if e.Get("target").Equal(ctx.JSSrc()) {
		c.close(ctx, e)
	}
}

func (c *Card) figure() unit.Figure {
	if p, _ := c.Shell.page(); p.Figure != nil {
		if f := p.Figure(c.At.Card); f.What != "" {
			return f
		}
	}
	if c.Shell.Figure != nil {
		return c.Shell.Figure(c.At.Card)
	}
	return unit.Figure{}
}

// Render draws it.
func (c *Card) Render() app.UI {
	f := c.figure()
	if f.What == "" {
		f = unit.Figure{What: "This number is not there any more", Note: "What it was worked out from was changed or deleted."}
	}
	body := []app.UI{
		app.H2().ID("card-what").TabIndex(-1).Attr("autofocus", true).Text(f.What),
		app.P().Class("big").Text(f.Value),
	}
	if f.Formula != "" {
		body = append(body, app.P().Class("lede").Text(capitalised(f.Formula)+"."))
	}
	if f.Note != "" {
		body = append(body, Note("warn", f.Note, ""))
	}
	if len(f.Terms) > 0 {
		rows := make([]app.UI, len(f.Terms))
		for i, t := range f.Terms {
			rows[i] = c.term(t)
		}
		body = append(body, Section("What went in", ""), app.Div().Class("terms").Body(rows...))
	}
	if f.Source != "" {
		body = append(body, app.P().Class("source").Text("Source: "+f.Source+"."))
	}
	if f.Of != "" {
		if to, word := SourceOf(c.Shell.S.B(), c.At, harness.Kind(f.Of), f.ID); word != "" {
			body = append(body, Plain(word, To(to), to))
		}
	}
	return app.Dialog().Class("card").Aria("labelledby", "card-what").On("cancel", c.onCancel).OnClick(c.onBeside).Body(
		app.Div().Class("cardbody stack").Body(body...),
		app.Button().Type("button").Class("act").OnClick(c.close).Text("Close"),
	)
}

// term is a line of the account. One that comes from somewhere leads there.
func (c *Card) term(t unit.Term) app.UI {
	why := t.Formula
	if t.Source != "" {
		if why != "" {
			why += "; "
		}
		why += t.Source
	}
	to, word := c.At.Explaining(t.Card), "How "+t.Name+" comes about"
	if t.Card == "" {
		to, word = SourceOf(c.Shell.S.B(), c.At, harness.Kind(t.Of), t.ID)
	}
	name := app.Span().Body(app.Text(t.Name), app.Small().Text(why))
	if word == "" {
		return app.Div().Class("term").Body(name, app.Span().Text(t.String()))
	}
	return app.Button().Type("button").Class("term").OnClick(To(to), to).Title(word).Body(name, app.Span().Text(t.String()+" ›"))
}

func capitalised(s string) string {
	if s == "" || s[0] < 'a' || s[0] > 'z' {
		return s
	}
	return string(s[0]-'a'+'A') + s[1:]
}
