package bench

import (
	"fmt"
	"strconv"
	"strings"
	"sync"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/sheet"
	"loomwright/calc/tag"
	"loomwright/calc/unit"
)

var payloadWords = sync.OnceValue(func() map[tag.Payload]struct{ name, under string } {
	return map[tag.Payload]struct{ name, under string }{
		tag.Link:  {"Link", "any phone opens the app"},
		tag.Code:  {"Code", "smallest, read in the app"},
		tag.Words: {"Words", "read with no app"},
	}
})

// printing is how tags are printed; with a measure in the address it is the pad for that measure.
func (p *page) printing() (body []app.UI, whole app.UI) {
	if m, ok := measures()[p.At.Record]; ok {
		return nil, p.measurePad(m)
	}
	s := p.loadPrint()
	body = append(body, kit.Section("The QR square says", ""))
	var payloads []app.UI
	for _, k := range tag.Payloads {
		payloads = append(payloads, kit.Choice(payloadWords()[k].name, payloadWords()[k].under, s.Payload == k,
			p.onPrintChange(func(s *settings) { s.Payload = k }), "payload", k))
	}
	body = append(body, kit.Even(payloads...))
	if s.Payload == tag.Link {
		body = append(body, p.addressField(s)...)
	}
	body = append(body, p.kinds(s)...)
	body = append(body, p.paper(s)...)
	body = append(body, kit.Section("What comes out", ""))
	return append(body, p.summary()...), nil
}

func (p *page) onPrintChange(change func(s *settings)) app.EventHandler {
	return func(app.Context, app.Event) { p.savePrint(change) }
}

func (p *page) onAddress(ctx app.Context, _ app.Event) {
	text := kit.Value(ctx)
	p.typed = &text
}

func (p *page) onAddressDone(ctx app.Context, _ app.Event) { p.setAddress(kit.Value(ctx)) }

// setAddress keeps the address of the app; what is not one stays in the field with the reason.
func (p *page) setAddress(text string) {
	text = strings.TrimSpace(text)
	p.typed = &text
	if text != "" && text != p.S.Device.Shell.Root() {
		if _, err := tag.ParseAddress(text); err != nil {
			return
		}
	}
	p.savePrint(func(s *settings) {
		if s.Address = text; text == p.S.Device.Shell.Root() {
			s.Address = ""
		}
	})
	p.typed = nil
}

func (p *page) addressField(s settings) []app.UI {
	value := s.address(p.S.Device.Shell.Root())
	if p.typed != nil {
		value = *p.typed
	}
	out := []app.UI{kit.FieldDone("Address of the app, before the code", value, "https://", p.onAddress, p.onAddressDone)}
	a, err := tag.ParseAddress(value)
	if err != nil {
		return append(out, kit.Note("bad", "Not an address for tags.", plainError(err)+". The last good one stays in use."))
	}
	for _, w := range a.Warnings {
		out = append(out, warningNote(w))
	}
	return out
}

// kinds is which tags get a square and which are printed at all.
func (p *page) kinds(s settings) []app.UI {
	wires := []struct {
		style       sheet.WireTag
		name, under string
	}{
		{sheet.Flag, "Flag", "folded, QR on it"},
		{sheet.Tape, "Wrap", "QR if thick enough"},
		{sheet.Tube, "Tube", "text alone"},
	}
	var ways []app.UI
	for _, w := range wires {
		ways = append(ways, kit.Choice(w.name, w.under, s.Wires == w.style, p.onPrintChange(func(s *settings) { s.Wires = w.style }), "wires", w.style))
	}
	var plugs []app.UI
	for _, c := range []struct {
		style       sheet.ConnectorTag
		name, under string
	}{{sheet.Stuck, "Stuck on", "as it is"}, {sheet.Plate, "Plate", "punched, tied on"}, {sheet.Folded, "Folded", "over a tie, two sides"}} {
		plugs = append(plugs, kit.Choice(c.name, c.under, s.Plugs == c.style, p.onPrintChange(func(s *settings) { s.Plugs = c.style }), "plugs", c.style))
	}
	set := func(kinds string) app.EventHandler { return p.onPrintChange(func(s *settings) { s.Kinds = kinds }) }
	plain := func(plain bool) app.EventHandler { return p.onPrintChange(func(s *settings) { s.Plain = plain }) }
	return []app.UI{
		kit.Section("On wires", "flags snag in the bay"),
		kit.Even(ways...),
		kit.Section("On bundles", "where a run has a tag"),
		kit.Even(
			kit.Choice("Collar", "once round", s.Bundles == sheet.Collar, p.onPrintChange(func(s *settings) { s.Bundles = sheet.Collar }), "collars", "round"),
			kit.Choice("Flag", "folded, two sides", s.Bundles == sheet.BundleFlag, p.onPrintChange(func(s *settings) { s.Bundles = sheet.BundleFlag }), "collars", "flag")),
		kit.Section("On connectors", ""),
		kit.Even(plugs...),
		kit.Section("On all but wires", ""),
		kit.Even(
			kit.Choice("QR and text", "", !s.Plain, plain(false), "plain", false),
			kit.Choice("Text alone", "", s.Plain, plain(true), "plain", true)),
		kit.Section("Print", ""),
		kit.Even(
			kit.Choice("All", "", s.Kinds == "", set(""), "kinds", ""),
			kit.Choice("Wires only", "", s.Kinds == onlyWires, set(onlyWires), "kinds", onlyWires),
			kit.Choice("Bundles only", "", s.Kinds == onlyBundles, set(onlyBundles), "kinds", onlyBundles),
			kit.Choice("Connectors only", "", s.Kinds == onlyConnectors, set(onlyConnectors), "kinds", onlyConnectors)),
	}
}

// nudge is one step of the alignment. Source: common practice, sheets are nudged in half millimetres.
const nudge = unit.Millimetre / 2

// nudgeMost is how far a printer may be off. Our choice: more is another sheet.
const nudgeMost = 20 * unit.Millimetre

func (p *page) onNudge(right, down unit.Length) app.EventHandler {
	return p.onPrintChange(func(s *settings) {
		s.Right = min(max(s.Right+right, -nudgeMost), nudgeMost)
		s.Down = min(max(s.Down+down, -nudgeMost), nudgeMost)
	})
}

// paper is the sheet, where on it to begin, and the printer.
func (p *page) paper(s settings) []app.UI {
	now := s.grid()
	var grids []app.UI
	for _, g := range sheet.Grids() {
		paper, cells, _ := strings.Cut(g.Title, ", ")
		grids = append(grids, kit.Choice(paper+" "+fmt.Sprintf("%d × %d", g.Cols, g.Rows), cells[strings.Index(cells, "of")+3:], now.Name == g.Name,
			p.onPrintChange(func(s *settings) { s.Grid, s.Start = g.Name, 1 }), "grid", g.Name))
	}
	grids = append(grids, kit.Choice("Custom", "edit it", now.Name == customGrid, p.onPrintChange(toCustom), "grid", customGrid))
	out := []app.UI{kit.Section("Label sheet", ""), kit.Chips(grids...)}
	if now.Name == customGrid {
		out = append(out, p.measureRows(gridMeasures)...)
		if err := now.Check(); err != nil {
			out = append(out, kit.Note("bad", "This sheet does not work out.", plainError(err)+"."))
		}
	}
	var dpi []app.UI
	for _, d := range []int{180, 203, 300, 600} {
		dpi = append(dpi, kit.Choice(fmt.Sprintf("%d dpi", d), "", s.DPI == d, p.onPrintChange(func(s *settings) { s.DPI = d }), "dpi", d))
	}
	out = append(out, p.measureRows(startMeasures)...)
	out = append(out,
		kit.Section("Printer", "dots per inch"),
		kit.Even(dpi...),
		kit.Section("If it prints off", offWords(s, p.S.B().Settings.Unit)),
		kit.Even(
			kit.Plain("← left", p.onNudge(-nudge, 0), "left"), kit.Plain("right →", p.onNudge(nudge, 0), "right"),
			kit.Plain("↑ up", p.onNudge(0, -nudge), "up"), kit.Plain("↓ down", p.onNudge(0, nudge), "down")),
		kit.Lines("Print on plain paper first, at 100 %, and hold it against the sheet: the ruler on it must measure true."),
		kit.Section("Lists are printed on", ""),
		kit.Even(
			kit.Choice("A4", "", !s.Letter, p.onPrintChange(func(s *settings) { s.Letter = false }), "lists", "a4"),
			kit.Choice("Letter", "", s.Letter, p.onPrintChange(func(s *settings) { s.Letter = true }), "lists", "letter")),
	)
	return out
}

func offWords(s settings, sys unit.System) string {
	var parts []string
	for _, d := range []struct {
		by         unit.Length
		plus, less string
	}{{s.Right, "right", "left"}, {s.Down, "down", "up"}} {
		switch {
		case d.by > 0:
			parts = append(parts, d.by.Format(unit.Metric)+" "+d.plus)
		case d.by < 0:
			parts = append(parts, (-d.by).Format(unit.Metric)+" "+d.less)
		}
	}
	if len(parts) == 0 {
		return "not moved"
	}
	return "moved " + strings.Join(parts, ", ")
}

// toCustom makes the sheet that was chosen the one that is edited.
func toCustom(s *settings) {
	if s.Custom == (sheet.Grid{}) {
		s.Custom = s.grid()
	}
	s.Grid, s.Custom.Name, s.Custom.Title = customGrid, customGrid, customTitle(s.Custom)
}

func customTitle(g sheet.Grid) string { return fmt.Sprintf("own sheet, %d × %d", g.Cols, g.Rows) }

// measure is one number of the label sheet that is keyed in.
type measure struct {
	name  string
	count func(s *settings) *int // or
	of    func(s *settings) *unit.Length
	grid  bool // part of a custom sheet
}

var measures = sync.OnceValue(func() map[string]measure {
	return map[string]measure{
		"cols":   {name: "Columns", grid: true, count: func(s *settings) *int { return &s.Custom.Cols }},
		"rows":   {name: "Rows", grid: true, count: func(s *settings) *int { return &s.Custom.Rows }},
		"labelw": {name: "Label, wide", grid: true, of: func(s *settings) *unit.Length { return &s.Custom.LabelW }},
		"labelh": {name: "Label, high", grid: true, of: func(s *settings) *unit.Length { return &s.Custom.LabelH }},
		"pitchx": {name: "From label to label, across", grid: true, of: func(s *settings) *unit.Length { return &s.Custom.PitchX }},
		"pitchy": {name: "From label to label, down", grid: true, of: func(s *settings) *unit.Length { return &s.Custom.PitchY }},
		"left":   {name: "Margin, left", grid: true, of: func(s *settings) *unit.Length { return &s.Custom.Left }},
		"top":    {name: "Margin, top", grid: true, of: func(s *settings) *unit.Length { return &s.Custom.Top }},
		"pagew":  {name: "Page, wide", grid: true, of: func(s *settings) *unit.Length { return &s.Custom.PageW }},
		"pageh":  {name: "Page, high", grid: true, of: func(s *settings) *unit.Length { return &s.Custom.PageH }},
		"start":  {name: "Start at label", count: func(s *settings) *int { return &s.Start }},
		"width":  {name: "QR square, at most", of: func(s *settings) *unit.Length { return &s.Width }},
	}
})

var (
	gridMeasures  = []string{"cols", "rows", "labelw", "labelh", "pitchx", "pitchy", "left", "top", "pagew", "pageh"}
	startMeasures = []string{"start", "width"}
)

// shown is a measure as it stands.
func (m measure) shown(s settings, sys unit.System) string {
	if m.count != nil {
		return strconv.Itoa(*m.count(&s))
	}
	return m.of(&s).Format(sys)
}

func (p *page) measureRows(keys []string) []app.UI {
	s, sys := p.loadPrint(), p.S.B().Settings.Unit
	var rows []app.UI
	for _, k := range keys {
		to := p.At.On(pageName).In(partPrint).With(k)
		rows = append(rows, kit.Row("", measures()[k].name, "", measures()[k].shown(s, sys), "", kit.To(to), to))
	}
	return []app.UI{app.Div().Class("rows").Body(rows...)}
}

func (p *page) measurePad(m measure) app.UI {
	s, sys := p.loadPrint(), p.S.B().Settings.Unit
	pad, line := sys, "now "+m.shown(s, sys)
	if m.count != nil {
		pad = unit.Metric
	} else if p.entry != "" {
		line = kit.Read(string(p.entry), sys).Line
	}
	why := app.P().Class("small").Text("On the label sheet. A printed number can be keyed in as it stands.")
	if p.failed != "" {
		why = app.P().Class("bad").Text(p.failed)
	}
	return app.Div().Class("side").Body(
		app.Div().Class("scroll").Body(app.P().Class("lede").Text(m.name), why, p.point(m)),
		app.Div().Class("entry").Body(p.entry.Shown(sys, line)),
		kit.Keys(pad, "Set", p.onMeasure),
	)
}

// point is the decimal point, which the pad for whole millimetres lacks.
func (p *page) point(m measure) app.UI {
	if m.count != nil || p.S.B().Settings.Unit == unit.Imperial {
		return nil
	}
	return kit.Chips(kit.Plain("Decimal point", p.onPoint), kit.Plain("Zero", p.onZero))
}

func (p *page) onPoint(ctx app.Context, _ app.Event) { p.onMeasure(ctx, ".") }
func (p *page) onZero(ctx app.Context, _ app.Event)  { p.setMeasure(ctx, "0") }

func (p *page) onMeasure(ctx app.Context, key string) {
	if key != kit.KeyNext {
		p.press(key)
		return
	}
	p.setMeasure(ctx, string(p.entry))
}

// setMeasure keeps a measure and goes back. Zero is a margin like any other.
func (p *page) setMeasure(ctx app.Context, text string) {
	m := measures()[p.At.Record]
	var n int
	var l unit.Length
	if m.count != nil {
		var err error
		if n, err = strconv.Atoi(text); err != nil || n < 1 {
			p.failed = "Key in a whole number from 1."
			return
		}
	} else if typed := kit.Read(text, p.S.B().Settings.Unit); typed.OK {
		l = typed.Length
	} else if !kit.IsZero(typed.Err) {
		p.failed = typed.Line
		return
	}
	p.savePrint(func(s *settings) {
		if m.grid {
			toCustom(s)
		}
		if m.count != nil {
			*m.count(s) = n
		} else {
			*m.of(s) = l
		}
		s.Custom.Title = customTitle(s.Custom)
	})
	p.keyed()
	kit.Go(ctx, p.At.On(pageName).In(partPrint))
}

// plainError is the text of an error without the names of packages, as the end of a sentence.
func plainError(err error) string {
	text := err.Error()
	for _, prefix := range []string{"sheet: ", "paper: ", "tag: ", "harness: "} {
		text = strings.ReplaceAll(text, prefix, "")
	}
	return sentence(text)
}

// sentence makes the first letter large.
func sentence(text string) string {
	if text == "" {
		return ""
	}
	return strings.ToUpper(text[:1]) + text[1:]
}

// sentences makes sentences of notes, without those on the modules, which the page says by itself.
func sentences(notes []string) []string {
	var out []string
	for _, n := range notes {
		if !strings.HasPrefix(n, "modules ") {
			out = append(out, strings.TrimSuffix(sentence(n), ".")+".")
		}
	}
	return out
}
