package kit

import (
	"fmt"

	"github.com/maxence-charriere/go-app/v9/pkg/app"
)

// Field is a line of text with its label. on runs at every sign typed; Value tells it the text.
func Field(label, value, hint string, on app.EventHandler, scope ...any) app.UI {
	return &Text{Label: label, Value: value, Hint: hint, On: on, Key: fmt.Sprint(with(scope, label)...)}
}

// FieldDone is a Field with a second handler for when it is left or Enter is pressed: where the entry becomes an edit.
func FieldDone(label, value, hint string, on, done app.EventHandler, scope ...any) app.UI {
	return &Text{Label: label, Value: value, Hint: hint, On: on, Done: done, Key: fmt.Sprint(with(scope, label)...)}
}

// Area is a field of several lines.
func Area(label, value, hint string, on app.EventHandler, scope ...any) app.UI {
	return &Text{Label: label, Value: value, Hint: hint, On: on, Long: true, Key: fmt.Sprint(with(scope, label)...)}
}

// Value returns what an input holds, inside its handler.
func Value(ctx app.Context) string { return ctx.JSSrc().Get("value").String() }

// Text is an input that never takes a sign away from a person who types fast. The framework writes a value back when
// it draws, some time after the handler ran, and what was typed in between would be lost. So what came from the
// keyboard is never written back: only a value that the page itself changed is.
type Text struct {
	app.Compo
	Label, Hint string
	Value       string // what the page wants it to hold
	Long        bool   // several lines
	Bare        bool   // the label is only heard
	Class       string
	Mode        string           // of the keyboard: "none" for a pad of our own
	On          app.EventHandler // at every sign
	Done        app.EventHandler // when it is left; nil is On
	Keys        app.EventHandler // at every key that goes down
	Key         string           // another key is another field: the value is written even if it looks the same

	held string  // what the field holds, as far as is known
	key  string  // the field that held belongs to
	draw *string // the value at the first drawing, which stays what the framework knows
}

// OnMount puts the value in; the framework would trim it.
func (t *Text) OnMount(ctx app.Context) { t.write() }

// OnUpdate writes a value that the page changed.
func (t *Text) OnUpdate(ctx app.Context) {
	if t.Value == t.held && t.Key == t.key {
		return
	}
	t.write()
}

func (t *Text) write() {
	t.held, t.key = t.Value, t.Key
	if input := t.JSValue(); input != nil {
		input.Call("querySelector", "input,textarea").Set("value", t.Value)
	}
}

func (t *Text) onInput(ctx app.Context, e app.Event) {
	t.held = Value(ctx)
	if t.On != nil {
		t.On(ctx, e)
	}
}

func (t *Text) onChange(ctx app.Context, e app.Event) {
	t.held = Value(ctx)
	switch {
	case t.Done != nil:
		t.Done(ctx, e)
	case t.On != nil:
		t.On(ctx, e)
	}
}

func (t *Text) onKeys(ctx app.Context, e app.Event) { t.Keys(ctx, e) }

// Render draws the field. To the framework its value never changes.
func (t *Text) Render() app.UI {
	if t.draw == nil {
		first := t.Value
		t.draw = &first
	}
	var name app.UI
	if !t.Bare {
		name = app.Span().Text(t.Label)
	}
	if t.Long {
		return app.Label().Class("field").Body(name,
			app.Textarea().Attr("value", *t.draw).Class(t.Class).Aria("label", t.Label).Placeholder(t.Hint).OnInput(t.onInput).OnChange(t.onChange))
	}
	input := app.Input().Type("text").Value(*t.draw).Class(t.Class).Aria("label", t.Label).Placeholder(t.Hint).
		AutoComplete(false).Spellcheck(false).Attr("enterkeyhint", "done").
		OnInput(t.onInput).OnChange(t.onChange)
	if t.Mode != "" {
		input = input.Attr("inputmode", t.Mode)
	}
	if t.Keys != nil {
		input = input.OnKeyDown(t.onKeys)
	}
	return app.Label().Class("field").Body(name, input)
}
