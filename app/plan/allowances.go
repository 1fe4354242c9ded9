package plan

import (
	"strconv"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/calc/cut"
	"loomwright/calc/harness"
	"loomwright/calc/unit"
)

// setting returns the field of the settings that holds an allowance.
func setting(s *harness.Settings, kind cut.TermKind) **unit.Length {
	switch kind {
	case cut.StripCrimp:
		return &s.StripCrimp
	case cut.Rework:
		return &s.Rework
	case cut.ServiceLoop:
		return &s.ServiceLoop
	case cut.Tail:
		return &s.Tail
	case cut.Breakout:
		return &s.Breakout
	case cut.SpliceEnd:
		return &s.SpliceEnd
	case cut.Movement:
		return &s.Movement
	case cut.DripLoop:
		return &s.DripLoop
	case cut.PassThrough:
		return &s.PassThrough
	case cut.Corners:
		return &s.CornerEach
	case cut.Flat:
		return &s.AllowFlat
	}
	return nil
}

func (p *plan) onAllow(a harness.AllowBy) app.EventHandler {
	return func(app.Context, app.Event) { p.change(func(s *harness.Settings) { s.AllowBy = a }) }
}

// onKey is the pad under an allowance. Zero is an allowance like any other.
func (p *plan) onKey(ctx app.Context, key string) {
	if key != kit.KeyNext {
		p.entry = p.entry.Press(key)
		return
	}
	kind := cut.TermKind(p.field)
	if kind == cut.Percent {
		v, err := strconv.ParseFloat(string(p.entry), 64)
		if err != nil || v > 1000 {
			p.failed = "That is not a percentage between 0 and 1000. What you typed is still here."
			return
		}
		p.change(func(s *harness.Settings) { s.AllowPercent = &v })
	} else {
		var value unit.Length
		if typed := kit.Read(string(p.entry), p.S.B().Settings.Unit); typed.OK {
			value = typed.Length
		} else if !kit.IsZero(typed.Err) {
			p.failed = typed.Line
			return
		}
		p.change(func(s *harness.Settings) { *setting(s, kind) = &value })
	}
	if p.failed == "" {
		p.field, p.entry = "", ""
	}
}

func (p *plan) onEdit(kind cut.TermKind) app.EventHandler {
	return func(app.Context, app.Event) { p.field, p.entry, p.failed = string(kind), "", "" }
}

func (p *plan) onDefault(ctx app.Context, _ app.Event) {
	kind := cut.TermKind(p.field)
	p.change(func(s *harness.Settings) {
		if kind == cut.Percent {
			s.AllowPercent = nil
		} else {
			*setting(s, kind) = nil
		}
	})
	p.field, p.entry = "", ""
}

func (p *plan) onLeave(ctx app.Context, _ app.Event) { p.field, p.entry, p.failed = "", "", "" }

// allowances lists what is added to a wire; with one of them open it is the pad.
func (p *plan) allowances() (body []app.UI, whole app.UI) {
	s := p.S.B().Settings
	if p.field != "" {
		return nil, p.allowancePad(cut.TermKind(p.field))
	}
	body = []app.UI{
		kit.Even(
			kit.Choice("Term by term", "each with its reason", s.AllowBy == harness.AllowTerms, p.onAllow(harness.AllowTerms), "terms"),
			kit.Choice("Flat", "per wire", s.AllowBy == harness.AllowFlat, p.onAllow(harness.AllowFlat), "flat"),
			kit.Choice("Per cent", "of the route", s.AllowBy == harness.AllowPercent, p.onAllow(harness.AllowPercent), "percent"),
		),
		kit.Lines("Too short is the failure: lengths to cut always round up."),
	}
	var rows []app.UI
	for _, d := range cut.Defaults {
		if used := d.Kind == cut.Flat || d.Kind == cut.Percent; used != (s.AllowBy != harness.AllowTerms) {
			continue
		}
		if d.Kind == cut.Flat && s.AllowBy != harness.AllowFlat || d.Kind == cut.Percent && s.AllowBy != harness.AllowPercent {
			continue
		}
		value, source := allowanceWords(s, d.Kind)
		rows = append(rows, kit.Row("", d.Name, source, value, "", p.onEdit(d.Kind), d.Kind))
	}
	return append(body, app.Div().Class("rows").Body(rows...)), nil
}

func allowanceWords(s harness.Settings, kind cut.TermKind) (value, source string) {
	if kind == cut.Percent {
		percent, source := cut.AllowancePercent(s)
		return strconv.FormatFloat(percent, 'f', -1, 64) + " %", source
	}
	l, source := cut.Allowance(s, kind)
	return l.Format(s.Unit), source
}

func (p *plan) allowancePad(kind cut.TermKind) app.UI {
	s := p.S.B().Settings
	name := ""
	for _, d := range cut.Defaults {
		if d.Kind == kind {
			name = d.Name
		}
	}
	value, source := allowanceWords(s, kind)
	line, sys := "per cent", unit.Metric
	if kind != cut.Percent {
		sys = s.Unit
		line = kit.Read(string(p.entry), sys).Line
		if p.entry == "" {
			line = "now " + value
		}
	}
	why := app.P().Class("small").Text(source)
	if p.failed != "" {
		why = app.P().Class("bad").Text(p.failed)
	}
	return app.Div().Class("side").Body(
		app.Div().Class("scroll").Body(
			app.P().Class("lede").Text(name), why,
			kit.Chips(kit.Plain("Use the default", p.onDefault, kind), kit.Plain("Leave it", p.onLeave)),
		),
		app.Div().Class("entry").Body(p.entry.Shown(sys, line)),
		kit.Keys(sys, "Set", p.onKey),
	)
}
