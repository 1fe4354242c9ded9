package plan

import (
	"strconv"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/calc/cut"
	"loomwright/calc/harness"
	"loomwright/calc/survey"
	"loomwright/calc/unit"
)

// spreadOf returns the field of the settings that holds the spread of a method.
func spreadOf(s *harness.Settings, m harness.Method) **harness.Spread {
	switch m {
	case harness.ByTape:
		return &s.SigmaTape
	case harness.ByGuess:
		return &s.SigmaGuess
	case harness.ByDrawing:
		return &s.SigmaDrawing
	case harness.AsBuilt:
		return &s.SigmaAsBuilt
	}
	return &s.SigmaString
}

// part is one number of the settings for readings: a part of the spread of a method, or the string's thickness.
type part struct {
	method harness.Method
	of     string // "fixed", "percent", "least", or "thick"
}

// partsOf are the three parts of a spread, with what they are.
var partsOf = []struct{ of, name string }{
	{"fixed", "always"}, {"percent", "and of the length"}, {"least", "but at least"},
}

func (p *plan) onMargin(m harness.MarginBy) app.EventHandler {
	return func(app.Context, app.Event) { p.change(func(s *harness.Settings) { s.Margin = m }) }
}

func (p *plan) onPart(x part) app.EventHandler {
	return func(app.Context, app.Event) {
		p.part, p.field, p.entry, p.failed = x, "part", "", ""
	}
}

// onPartKey is the pad under one of the numbers. Zero is a number like any other, but for the string.
func (p *plan) onPartKey(ctx app.Context, key string) {
	p.failed = ""
	if key != kit.KeyNext {
		p.entry = p.entry.Press(key)
		return
	}
	x := p.part
	var length unit.Length
	percent := 0.0
	if x.of == "percent" {
		v, err := strconv.ParseFloat(string(p.entry), 64)
		if err != nil || v > 100 {
			p.failed = "That is not a percentage between 0 and 100. What you typed is still here."
			return
		}
		percent = v
	} else if typed := kit.Read(string(p.entry), p.S.B().Settings.Unit); typed.OK {
		length = typed.Length
	} else if x.of == "thick" || !kit.IsZero(typed.Err) {
		p.failed = typed.Line
		return
	}
	p.change(func(s *harness.Settings) {
		if x.of == "thick" {
			s.StringThick = &length
			return
		}
		spread, _ := survey.SpreadOf(*s, x.method)
		switch x.of {
		case "fixed":
			spread.Fixed = length
		case "percent":
			spread.Percent = percent
		case "least":
			spread.Least = length
		}
		*spreadOf(s, x.method) = &spread
	})
	if p.failed == "" {
		p.field, p.entry = "", ""
	}
}

func (p *plan) onPercent(v string) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		p.entry = kit.Entry(v)
		p.onPartKey(ctx, kit.KeyNext)
	}
}

func (p *plan) onPartDefault(ctx app.Context, _ app.Event) {
	x := p.part
	p.change(func(s *harness.Settings) {
		if x.of == "thick" {
			s.StringThick = nil
		} else {
			*spreadOf(s, x.method) = nil
		}
	})
	p.field, p.entry = "", ""
}

// value is a number of the settings in words.
func (p *plan) value(x part) string {
	s := p.S.B().Settings
	spread, _ := survey.SpreadOf(s, x.method)
	switch x.of {
	case "percent":
		return strconv.FormatFloat(spread.Percent, 'f', -1, 64) + " %"
	case "least":
		return spread.Least.Format(s.Unit)
	case "thick":
		if s.StringThick != nil && *s.StringThick > 0 {
			return s.StringThick.Format(s.Unit)
		}
		return survey.DefaultThick.Format(s.Unit)
	}
	return spread.Fixed.Format(s.Unit)
}

// readings lists how far off readings are taken to be, and what the margin makes of it; with one number open it is the pad.
func (p *plan) readings() (body []app.UI, whole app.UI) {
	if p.field == "part" {
		return nil, p.partPad()
	}
	s := p.S.B().Settings
	var margins []app.UI
	for _, m := range cut.Surenesses {
		under := strconv.FormatFloat(m.K, 'f', -1, 64) + " × σ, " + strconv.FormatFloat(m.Percent, 'f', -1, 64) + " of 100 reach"
		margins = append(margins, kit.Choice(m.Word, under, m.By == s.Margin, p.onMargin(m.By), string(m.By)))
	}
	body = []app.UI{
		kit.Section("Margin of a cut", "for what the readings may be off"), kit.Even(margins...),
		kit.Lines("Never less than 3 mm + 0.5 % of the way, and a wire is never cut below what was read along its way."),
	}
	for _, m := range survey.Spreads {
		_, source := survey.SpreadOf(s, m.Method)
		var chips []app.UI
		for _, x := range partsOf {
			at := part{m.Method, x.of}
			chips = append(chips, kit.Choice(p.value(at), x.name, false, p.onPart(at), string(m.Method), x.of, p.value(at)))
		}
		body = append(body, kit.Section("Give or take: "+m.Name, ""), kit.Even(chips...), kit.Lines(source))
	}
	thick := part{of: "thick"}
	return append(body,
		kit.Section("The string", "where a reading does not say"),
		kit.Row("", "Thickness", "a string thinner than the loom reads short round corners", p.value(thick), "", p.onPart(thick), p.value(thick)),
	), nil
}

func (p *plan) partPad() app.UI {
	x := p.part
	name := "Thickness of the string"
	for _, m := range survey.Spreads {
		for _, of := range partsOf {
			if m.Method == x.method && of.of == x.of {
				name = "Give or take, " + m.Name + ": " + of.name
			}
		}
	}
	sys, line := p.S.B().Settings.Unit, "now "+p.value(x)
	if x.of == "percent" {
		sys = unit.Metric
	} else if p.entry != "" {
		line = kit.Read(string(p.entry), sys).Line
	}
	why := app.P().Class("small").Text("One standard deviation: two of three readings are closer than this.")
	if p.failed != "" {
		why = app.P().Class("bad").Text(p.failed)
	}
	var percents []app.UI
	if x.of == "percent" {
		for _, v := range []string{"0", "0.1", "0.2", "0.3", "0.5", "1", "2", "5", "10"} { // the pad has no point
			percents = append(percents, kit.Choice(v+" %", "", p.value(x) == v+" %", p.onPercent(v), v, name))
		}
	}
	return app.Div().Class("side").Body(
		app.Div().Class("scroll").Body(
			app.P().Class("lede").Text(name), why, kit.Chips(percents...),
			kit.Chips(kit.Plain("Use the default", p.onPartDefault, name), kit.Plain("Leave it", p.onLeave)),
		),
		app.Div().Class("entry").Body(p.entry.Shown(sys, line)),
		kit.Keys(sys, "Set", p.onPartKey),
	)
}
