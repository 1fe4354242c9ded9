package trace

import (
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
)

// later is a part of the page that takes work. It is made when what stands above it is on the screen.
type later struct {
	app.Compo
	Of   string // what it is made of: it is made anew when that changes
	Make func() []app.UI
	Now  bool // it takes no work: it is made at once

	of   string // what rows are made of
	rows []app.UI
}

// laterPause lets the page show before the work begins: a frame. Our choice.
const laterPause = 17 * time.Millisecond

// OnMount begins to wait.
func (x *later) OnMount(ctx app.Context) { x.wait(ctx) }

// OnUpdate begins to wait, if it is made of something else.
func (x *later) OnUpdate(ctx app.Context) { x.wait(ctx) }

func (x *later) wait(ctx app.Context) {
	if x.of == x.Of {
		return
	}
	ctx.After(laterPause, func(app.Context) { x.make() })
}

func (x *later) make() {
	if x.of != x.Of {
		x.of, x.rows = x.Of, x.Make()
	}
}

// Render draws it, as soon as it is there.
func (x *later) Render() app.UI {
	if x.Now {
		x.make()
	}
	if x.of != x.Of {
		return app.Div().Class("later").Body(kit.Lines("Working it out…"))
	}
	return app.Div().Class("later").Body(x.rows...)
}
