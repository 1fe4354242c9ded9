package kit

import "github.com/maxence-charriere/go-app/v9/pkg/app"

// Field is a line of text with its label. The page must keep value equal to what on gets, at every input: the
// framework writes the text back only when its own copy changed.
func Field(label, value, hint string, on app.EventHandler, scope ...any) app.UI {
	return app.Label().Class("field").Body(
		app.Span().Text(label),
		app.Input().Type("text").Value(value).Placeholder(hint).AutoComplete(false).Spellcheck(false).
			Attr("enterkeyhint", "done").
			OnInput(on, with(scope, label)...).OnChange(on, with(scope, label)...),
	)
}

// Area is a field of several lines.
func Area(label, value, hint string, on app.EventHandler, scope ...any) app.UI {
	return app.Label().Class("field").Body(
		app.Span().Text(label),
		app.Textarea().Attr("value", value).Placeholder(hint).
			OnInput(on, with(scope, label)...).OnChange(on, with(scope, label)...),
	)
}

// Value returns what an input holds, inside its handler.
func Value(ctx app.Context) string { return ctx.JSSrc().Get("value").String() }

// FieldDone is a Field with a second handler for when it is left or Enter is pressed: where the entry becomes an edit.
func FieldDone(label, value, hint string, on, done app.EventHandler, scope ...any) app.UI {
	return app.Label().Class("field").Body(
		app.Span().Text(label),
		app.Input().Type("text").Value(value).Placeholder(hint).AutoComplete(false).Spellcheck(false).
			Attr("enterkeyhint", "done").
			OnInput(on, with(scope, label)...).OnChange(done, with(scope, label)...),
	)
}
