package walk

import (
	"encoding/json"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/calc/harness"
	"loomwright/calc/unit"
)

func pendingKey(build string) string { return "route:" + build }

func loadPending(s *session.Session) pending {
	var q pending
	if json.Unmarshal([]byte(s.Device.Prefs.Get(pendingKey(s.ID()))), &q) != nil {
		return pending{}
	}
	return q
}

// keep takes what was typed, and remembers it on the phone.
func (p *routePage) keep(q pending) {
	p.pending = q
	text := ""
	if q != (pending{}) {
		if object, err := json.Marshal(q); err == nil {
			text = string(object)
		}
	}
	p.S.Device.Prefs.Put(pendingKey(p.S.ID()), text)
}

// field is a line of text of the card's record. It becomes an edit when it is left.
func (p *routePage) field(label, field, value, hint string) app.UI {
	return kit.FieldDone(label, p.typed(field, value), hint, p.onType(field), p.onTyped(field), p.At.Record, field)
}

// area is a field of several lines.
func (p *routePage) area(label, field, value string) app.UI {
	return kit.Area(label, p.typed(field, value), "", func(ctx app.Context, e app.Event) {
		if e.Get("type").String() == "change" {
			p.onTyped(field)(ctx, e)
			return
		}
		p.onType(field)(ctx, e)
	}, p.At.Record, field)
}

// typed is what the field shows: what is being typed, even if that is nothing, else its value.
func (p *routePage) typed(field, value string) string {
	if p.pending.Record == p.At.Record && p.pending.Field == field {
		return p.pending.Text
	}
	return value
}

func (p *routePage) onType(field string) app.EventHandler {
	return func(ctx app.Context, _ app.Event) { p.keep(pending{p.At.Record, field, kit.Value(ctx)}) }
}

func (p *routePage) onTyped(field string) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		p.pending = pending{p.At.Record, field, kit.Value(ctx)}
		p.flush()
	}
}

// flush makes an edit of a text that is being typed. What is not taken stays typed.
func (p *routePage) flush() {
	q := p.pending
	if q.Field != "name" && q.Field != "note" || p.S.B() == nil {
		return
	}
	b, text := p.S.B(), strings.TrimSpace(q.Text)
	set := func(name, note *string) {
		if q.Field == "note" {
			*note = text
		} else if text != "" && name != nil {
			*name = text
		}
	}
	changes := changed(&b.Places, harness.KindPlace, q.Record, func(pl *harness.Place) { set(&pl.Name, &pl.Note) })
	changes = append(changes, changed(&b.Runs, harness.KindRun, q.Record, func(r *harness.Run) { set(nil, &r.Note) })...)
	changes = append(changes, changed(&b.Readings, harness.KindReading, q.Record, func(r *harness.Reading) { set(nil, &r.Note) })...)
	if len(changes) == 0 || p.do(nil, changes...) {
		p.keep(pending{})
	}
}

// text is what is typed or keyed in for a field of the record that the address names, and no edit yet.
func (p *routePage) text(field string) string {
	if p.pending.Record == p.At.Record && p.pending.Field == field {
		return p.pending.Text
	}
	return ""
}

// pad is a question with the number pad under it. The number is that of the part that the address names.
func (p *routePage) pad(question []app.UI, word string) app.UI {
	sys, text := p.system(), p.text(p.At.Mode)
	line, class := string(sys), "both"
	switch {
	case p.wrong != "":
		line, class = p.wrong, "both bad"
	case text != "":
		line = kit.Read(text, sys).Line
	}
	return app.Div().Class("side").Body(
		app.Div().Class("scroll").Body(app.Div().Class("narrow stack").Body(question...)),
		app.Div().Class("entry").Body(
			app.Span().Class("big caret").Aria("live", "polite").Aria("label", "length").Text(text),
			app.Span().Class(class).Aria("role", "status").Text(line),
		),
		kit.Keys(sys, word, p.onPad),
	)
}

// onPad takes a key of the pad.
func (p *routePage) onPad(ctx app.Context, key string) {
	p.wrong, p.doubt = "", ""
	mode := p.At.Mode
	now := p.text(mode)
	if key != kit.KeyNext {
		p.keep(pending{p.At.Record, mode, string(kit.Entry(now).Press(key))})
		return
	}
	typed := kit.Read(now, p.system())
	switch {
	case strings.TrimSpace(now) == "":
		p.wrong = "Key in the length first."
	case !typed.OK:
		p.wrong = typed.Line
	case mode == partTravel:
		p.setTravel(ctx, &typed.Length)
	default:
		p.take(ctx, typed, false)
	}
}

func (p *routePage) system() unit.System {
	if u := p.S.B().Settings.Unit; u != "" {
		return u
	}
	return unit.Metric
}
