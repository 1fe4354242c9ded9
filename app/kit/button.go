package kit

import "github.com/maxence-charriere/go-app/v9/pkg/app"

// The framework tells handlers apart by their code and their scope, and children by their position. So whatever a
// handler closes over goes into its scope: every button here takes one, and adds its own label to it.

// Act is the one next action of a screen.
func Act(label string, do app.EventHandler, scope ...any) app.UI {
	return app.Button().Type("button").Class("act").OnClick(do, with(scope, label)...).Text(label)
}

// Half is Act over the lower half of the screen, for a hand that holds something: where it says that something is good.
func Half(label string, do app.EventHandler, scope ...any) app.UI {
	return app.Button().Type("button").Class("act half").OnClick(do, with(scope, label)...).Text(label)
}

// ActIf is Act that cannot be used yet: why says what is missing, and stands in its place.
func ActIf(ready bool, label, why string, do app.EventHandler, scope ...any) app.UI {
	if ready {
		return Act(label, do, scope...)
	}
	return app.Button().Type("button").Class("act bare").Disabled(true).OnClick(do, with(scope, why)...).Text(why)
}

// Plain is any other action.
func Plain(label string, do app.EventHandler, scope ...any) app.UI {
	return app.Button().Type("button").Class("plain").OnClick(do, with(scope, label)...).Text(label)
}

// Danger is an action that takes something away.
func Danger(label string, do app.EventHandler, scope ...any) app.UI {
	return app.Button().Type("button").Class("plain danger").OnClick(do, with(scope, label)...).Text(label)
}

// Choice is one of several answers, with a small word under it.
func Choice(label, under string, chosen bool, do app.EventHandler, scope ...any) app.UI {
	return app.Button().Type("button").Class("plain").Aria("pressed", chosen).OnClick(do, with(scope, label)...).Body(
		app.Text(label),
		smallUnder(under),
	)
}

func smallUnder(text string) app.UI {
	if text == "" {
		return nil
	}
	return app.Small().Text(text)
}

// Chips lays buttons side by side, wrapping.
func Chips(buttons ...app.UI) app.UI { return app.Div().Class("chips").Body(buttons...) }

// Even lays buttons side by side in equal widths.
func Even(buttons ...app.UI) app.UI { return app.Div().Class("chips even").Body(buttons...) }

// Row is one line of a list: a short code, a name with a line under it, a number with a line under it.
func Row(code, name, under, number, below string, do app.EventHandler, scope ...any) app.UI {
	return app.Button().Type("button").Class("row").OnClick(do, with(scope, code+name)...).Body(
		app.Span().Text(code),
		app.Span().Body(app.B().Text(name), app.Small().Text(under)),
		app.Span().Body(app.Text(number), app.Small().Text(below)),
	)
}

// Section is the line above a group, with a word at its right end.
func Section(title, right string) app.UI {
	return app.H2().Class("section").Body(app.Span().Text(title), app.Span().Class("small").Text(right))
}

// Note is a sentence that matters; tone is "", "good", "warn" or "bad", and the words say it too.
func Note(tone, strong, rest string) app.UI {
	return app.Div().Class("note "+tone).Body(app.B().Text(strong), app.Text(" "+rest))
}

// Lines is plain text in small type, one paragraph a line.
func Lines(lines ...string) app.UI {
	return app.Div().Class("small").Body(app.Range(lines).Slice(func(i int) app.UI {
		return app.P().Text(lines[i])
	}))
}

func with(scope []any, more any) []any {
	return append(append(make([]any, 0, len(scope)+1), scope...), more)
}
