package plan

import (
	"fmt"
	"slices"
	"strconv"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/calc/harness"
	"loomwright/calc/unit"
	"loomwright/storage"
)

// change edits the settings.
func (p *plan) change(f func(s *harness.Settings)) {
	old := p.S.B().Settings
	now := old
	f(&now)
	p.do(p.S.Do(storage.Put(harness.KindSettings, old.ID, old, now)))
}

// onField keeps what is typed in one field; it becomes an edit when the field is left.
func (p *plan) onField(field string, set func(s *harness.Settings, text string)) (input, done app.EventHandler) {
	input = func(ctx app.Context, _ app.Event) { p.field, p.text = field, kit.Value(ctx) }
	done = func(ctx app.Context, _ app.Event) {
		text := kit.Value(ctx)
		p.field, p.text = "", ""
		p.change(func(s *harness.Settings) { set(s, text) })
	}
	return input, done
}

func (p *plan) line(label, field, value string, set func(s *harness.Settings, text string)) app.UI {
	if p.field == field {
		value = p.text
	}
	input, done := p.onField(field, set)
	return kit.FieldDone(label, value, "", input, done, field)
}

func (p *plan) settings() []app.UI {
	s := p.S.B().Settings
	volts := []float64{6, 12, 24}
	return []app.UI{
		p.line("What it is called", "title", s.Title, func(s *harness.Settings, t string) { s.Title = t }),
		p.line("The car (free text)", "car", s.Car, func(s *harness.Settings, t string) { s.Car = t }),
		p.line("Note", "note", s.Note, func(s *harness.Settings, t string) { s.Note = t }),
		kit.Section("Lengths in", "nothing is rounded by switching"),
		kit.Even(
			kit.Choice("mm", "368", s.Unit != unit.Imperial, p.onUnit(unit.Metric), unit.Metric),
			kit.Choice("inch", "14 1/2", s.Unit == unit.Imperial, p.onUnit(unit.Imperial), unit.Imperial),
		),
		kit.Section("Supply", "volts"),
		app.Div().Class("chips even").Body(app.Range(volts).Slice(func(i int) app.UI {
			v := strconv.FormatFloat(volts[i], 'f', -1, 64)
			return kit.Choice(v+" V", "", s.Volts == volts[i], p.onVolts(volts[i]), volts[i])
		})),
	}
}

func (p *plan) onUnit(u unit.System) app.EventHandler {
	return func(app.Context, app.Event) { p.change(func(s *harness.Settings) { s.Unit = u }) }
}

func (p *plan) onVolts(v float64) app.EventHandler {
	return func(app.Context, app.Event) { p.change(func(s *harness.Settings) { s.Volts = v }) }
}

// looms

func (p *plan) looms() []app.UI {
	b := p.S.B()
	body := []app.UI{kit.Lines("A run lies in one loom; a wire may be kept to some of them.")}
	for _, l := range b.Looms.All() {
		body = append(body, app.Div().Class("line mid").Body(
			app.Div().Class("grow").Body(p.loomField(l)),
			kit.Danger("Delete "+l.Name, p.onDeleteLoom(l), l.ID),
		), kit.Lines(fmt.Sprintf("%d runs. Circuits that go in it by default:", runsIn(b, l.ID))), p.loomClasses(l))
	}
	return append(body, kit.Plain("Add a loom", p.onAddLoom))
}

func runsIn(b *harness.Build, loom string) int {
	n := 0
	for _, r := range b.Runs.All() {
		if r.Loom == loom {
			n++
		}
	}
	return n
}

// loomClasses are the classes of circuit that go in a loom by default; none is any.
func (p *plan) loomClasses(l harness.Loom) app.UI {
	var chips []app.UI
	for _, c := range harness.Classes {
		has := slices.Contains(l.Classes, c)
		chips = append(chips, kit.Choice(string(c), "", has, func(app.Context, app.Event) {
			old, ok := p.S.B().Looms.Get(l.ID)
			if !ok {
				return
			}
			now := old
			now.Classes = slices.DeleteFunc(slices.Clone(old.Classes), func(x harness.Class) bool { return x == c })
			if len(now.Classes) == len(old.Classes) {
				now.Classes = append(now.Classes, c)
			}
			p.do(p.S.Do(storage.Put(harness.KindLoom, l.ID, old, now)))
		}, l.ID, string(c)))
	}
	return kit.Chips(chips...)
}

func (p *plan) loomField(l harness.Loom) app.UI {
	value := l.Name
	if p.field == l.ID {
		value = p.text
	}
	input := func(ctx app.Context, _ app.Event) { p.field, p.text = l.ID, kit.Value(ctx) }
	done := func(ctx app.Context, _ app.Event) {
		p.field, p.text = "", ""
		now := l
		now.Name = kit.Value(ctx)
		p.do(p.S.Do(storage.Put(harness.KindLoom, l.ID, l, now)))
	}
	return kit.FieldDone("Loom", value, "", input, done, l.ID, l.Name)
}

func (p *plan) onAddLoom(ctx app.Context, _ app.Event) {
	all := p.S.B().Looms.All()
	order := 1.0
	if len(all) > 0 {
		order = all[len(all)-1].Order + 1
	}
	l := harness.Loom{Name: fmt.Sprintf("Loom %d", len(all)+1), Order: order}
	p.do(p.S.Do(storage.Put(harness.KindLoom, p.S.FreshID(), harness.Loom{}, l)))
}

func (p *plan) onDeleteLoom(l harness.Loom) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		n := runsIn(p.S.B(), l.ID)
		if p.do(p.S.Do(storage.Delete(harness.KindLoom, l.ID))); p.failed == "" {
			p.S.Say(session.Notice{Text: fmt.Sprintf("%s was deleted; %d runs were in it and wait for another loom.", l.Name, n), Undo: true})
		}
	}
}

// conflicts

func (p *plan) conflicts() []app.UI {
	b := p.S.B()
	body := []app.UI{kit.Lines("Two phones changed these and neither had seen the other. The one marked is shown everywhere until you choose.")}
	all := p.S.Log().Conflicts()
	if len(all) == 0 {
		return []app.UI{kit.Note("good", "Nothing to choose.", "All phones agree.")}
	}
	for i, c := range all {
		if i == 60 {
			body = append(body, kit.Lines(fmt.Sprintf("and %d more", len(all)-i)))
			break
		}
		body = append(body, p.conflict(b, c))
	}
	return body
}

func (p *plan) conflict(b *harness.Build, c storage.Conflict) app.UI {
	parts := []app.UI{app.B().Text(kit.RecordWord(b, c.Kind, c.ID)), app.Div().Text(kit.FieldWord(c.Field))}
	for _, s := range c.Sides {
		value := s.Value
		word := kit.ValueWord(b, s.Field, value)
		if s.Field != c.Field {
			word = "keep it: " + kit.FieldWord(s.Field) + " was changed to " + word
			value = nil
		} else if c.Field == "gone" {
			word = "leave it deleted"
		}
		by := "the other phone"
		if s.Device == p.S.Phone {
			by = "this phone"
		}
		shown := string(s.Value) == string(c.Shown)
		parts = append(parts, kit.Choice(word, by, shown, p.onChoose(c, value), c.Kind, c.ID, c.Field, s.Device, s.N))
	}
	return app.Div().Class("note warn").Body(parts...)
}

func (p *plan) onChoose(c storage.Conflict, value []byte) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		if value == nil {
			value = []byte("null")
		}
		p.do(p.S.Do(storage.Choose(c, value)))
	}
}

// history

func (p *plan) onMore(ctx app.Context, _ app.Event)    { p.more++ }
func (p *plan) onRedo(ctx app.Context, _ app.Event)    { p.S.Redo(ctx) }
func (p *plan) onEarlier(ctx app.Context, _ app.Event) { p.S.History(ctx, func(app.Context) {}) }

const historyPage = 60

func (p *plan) history() []app.UI {
	b := p.S.B()
	all := p.S.Log().Lines()
	var body []app.UI
	if p.S.CanRedo() {
		body = append(body, kit.Plain("Redo what was taken back", p.onRedo))
	}
	var rows []app.UI
	for i := len(all) - 1; i >= 0 && len(rows) < p.more*historyPage; i-- {
		by := "another phone"
		if all[i].Device == p.S.Phone {
			by = "this phone"
		}
		rows = append(rows, app.Li().Class("note").Body(
			app.Div().Class("small").Text(kit.Day(all[i].At)+", "+by),
			app.Div().Body(lines(kit.EditWords(b, all[i].Edit))...),
		))
	}
	body = append(body, app.Ol().Class("stack").Body(rows...))
	switch {
	case len(rows) < len(all):
		body = append(body, kit.Plain("Show earlier", p.onMore))
	case p.S.Log().NeedsHistory():
		body = append(body, kit.Plain("Load what was before", p.onEarlier))
	}
	return body
}
