package looms

import (
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/calc/bundle"
	"loomwright/calc/harness"
	"loomwright/calc/loom"
)

// card is all of one run.
func (p *page) card() screen {
	b := p.S.B()
	f, ok := p.Work.of(p.At.Record)
	s := screen{title: "No such run", back: p.At.On(pageName)}
	if !ok {
		s.body = []app.UI{kit.Note("", "It was deleted.", "")}
		return s
	}
	s.title = kit.RunName(b, f.Run.Run)
	if len(f.Wires) == 0 {
		s.body = []app.UI{kit.Note("", "No wire goes through it.", "Nothing to pack or to cover.")}
		return s
	}
	by, order := letters(f.Packed.Bundle)
	if len(order) > 0 {
		s.draw = app.Div().Class("paper tall cross").Body(section(f, p.Work.ready))
	}
	text, below := p.diameter(f)
	if p.Work.ready && len(f.Missing()) == 0 {
		below = "packed well, refining…"
		if _, fine := p.Work.fine[f.ID]; fine {
			below = "packed as well as it goes"
		}
	}
	s.body = []app.UI{
		app.Div().Class("line mid").Body(kit.NumIn(p.At, "big word", text, "", "dia."+f.ID), app.Span().Class("both").Text(below)),
		p.lines(f),
	}
	s.body = append(s.body, p.missing(f)...)
	cover := func(c harness.Cover) app.EventHandler {
		return func(app.Context, app.Event) {
			change(p, harness.KindRun, &p.S.B().Runs, p.At.Record, func(r *harness.Run) { r.Cover = c })
		}
	}
	s.body = append(s.body, kit.Section("Cover", coverWord(f)), p.coverChips(f.Run.Cover, "as its loom", cover))
	s.body = append(s.body, p.threads(f)...)
	s.body = append(s.body, p.legend(f, by, order)...)
	s.body = append(s.body, p.lay(f, by)...)
	to := p.At.On("route").With(f.ID)
	s.body = append(s.body, kit.Chips(kit.Plain("Its length and readings", kit.To(to), to)))
	return s
}

// lines are the numbers of a run, each with its account.
func (p *page) lines(f loom.Facts) app.UI {
	var rows []app.UI
	line := func(name, under, value, key string) {
		rows = append(rows, app.Div().Class("term").Body(app.Span().Body(app.Text(name), app.Small().Text(under)), kit.Num(p.At, value, key+"."+f.ID)))
	}
	orUnknown := func(v float64, known bool) string {
		if !known || v <= 0 {
			return notKnown
		}
		return p.mm(v)
	}
	line("Rule of thumb", "for comparison", orUnknown(f.Packed.Thumb, true), "thumb")
	if f.Cover != harness.CoverOpen && f.Cover != harness.NoCover {
		size := notKnown
		if f.Choice.OK {
			size = f.Choice.Stock.Name
		} else if f.Packed.Bundle.Known() {
			size = "none fits"
		}
		line("Size of "+string(f.Cover), "the smallest that fits", size, "cover")
	}
	grommet := notKnown
	if f.Grommet.OK {
		grommet = f.Grommet.Stock.Name
	} else if f.Packed.Bundle.Known() {
		grommet = "none on the list"
	}
	line("Grommet", "with room to grow", grommet, "grommet")
	line("Bend", "inside radius, at least", orUnknown(f.Bend, true), "bend")
	copper, loom := notKnown, notKnown
	if f.Measured {
		copper, loom = grams(f.Weight.Copper), mass(f)
		if strings.HasPrefix(loom, ">") && len(f.Missing()) > 0 {
			copper = "> " + copper
		}
	}
	line("Copper", "in this run", copper, "copper")
	line("Mass", "with insulation and cover", loom, "mass")
	return app.Div().Class("terms").Body(rows...)
}

// missing names the wires whose diameter is not known.
func (p *page) missing(f loom.Facts) []app.UI {
	var rows []app.UI
	for _, w := range f.Missing() {
		why := "no size is known"
		if w.Size != "" {
			why = "no table has " + w.Size
		}
		to := p.At.On(pageName).With(w.ID).In(partWires)
		rows = append(rows, kit.Row(w.Name, w.Function, why, "measure", "", kit.To(to), to))
	}
	if len(rows) == 0 {
		return nil
	}
	return []app.UI{kit.Note("warn", "It is thicker than shown: the diameter of "+number(len(rows), "wire")+" is not known.", ""), app.Div().Class("rows").Body(rows...)}
}

// threads are the things that are slid on, and when.
func (p *page) threads(f loom.Facts) []app.UI {
	all := p.Work.looms.Threads(f, p.Work.diameter)
	if len(all) == 0 {
		return nil
	}
	var out []app.UI
	for _, t := range all {
		switch t.When {
		case bundle.Now:
			out = append(out, kit.Note("warn", "Thread on now: "+t.ID+".", stops(t.Stops)))
		case bundle.NotSure:
			out = append(out, kit.Note("warn", "Thread on now, to be safe: "+t.ID+".", "What it would have to pass later is not all known."))
		default:
			why := "It passes what is at its end."
			if len(t.Terms) > 0 && t.Terms[0].Name == "Opens" {
				why = "It opens along its length."
			}
			out = append(out, kit.Note("", "Goes on later too: "+t.ID+".", why))
		}
	}
	return append([]app.UI{kit.Section("Slid onto it", "")}, out...)
}

func stops(all []bundle.Bulk) string {
	var names []string
	for _, s := range all {
		names = append(names, s.Name)
	}
	return "It does not pass " + strings.Join(names, " and ") + " later."
}

// legend says which letter is which wire.
func (p *page) legend(f loom.Facts, by map[string]string, order []string) []app.UI {
	if len(order) == 0 {
		return nil
	}
	wires := map[string]*loom.Wire{}
	for i := range f.Wires {
		wires[f.Wires[i].ID] = &f.Wires[i]
	}
	var rows []app.UI
	for i, id := range order {
		w := wires[id]
		if w == nil || i >= p.shown {
			continue
		}
		words := []string{}
		if w.Size != "" {
			words = append(words, w.Size)
		}
		if w.Twist != "" {
			words = append(words, "twisted: "+w.Twist)
		}
		if w.Shield != "" {
			words = append(words, "shield: "+w.Shield)
		}
		rows = append(rows, app.Div().Class("lg").Body(app.B().Text(by[id]),
			app.Span().Body(app.Text(strings.TrimSpace(w.Name+" "+w.Function)), app.Small().Text(strings.Join(words, " · ")), kit.Colour(w.Colour.Base, w.Colour.Tracer)),
			kit.NumIn(p.At, "", p.mm(w.Outside.MM()), "thick", ofWire("od", f, id))))
	}
	return []app.UI{kit.Section("Wires in it", strconv.Itoa(len(f.Wires))), app.Div().Class("rows").Body(rows...)}
}

// restOf is how far a wire goes on from here.
func (p *page) restOf(f loom.Facts, w *loom.Wire, text string) app.UI {
	if w == nil {
		return nil
	}
	return kit.Num(p.At, text, ofWire("rest", f, w.ID))
}

// lay is the order in which the wires are laid up.
func (p *page) lay(f loom.Facts, by map[string]string) []app.UI {
	if len(f.Wires) < 2 {
		return nil
	}
	wires := map[string]*loom.Wire{}
	for i := range f.Wires {
		wires[f.Wires[i].ID] = &f.Wires[i]
	}
	name := func(id string) (string, *loom.Wire) {
		w := wires[id]
		if w == nil {
			return id, nil
		}
		return strings.TrimSpace(by[id] + " " + w.Name), w
	}
	b := p.S.B()
	out := []app.UI{kit.Section("Lay up", "core first: what leaves last")}
	var rows []app.UI
	layer := -1
	for i, s := range f.Lay() {
		if i >= p.shown {
			break
		}
		if s.Layer != layer {
			layer = s.Layer
			word := "Round the last"
			if layer == 0 {
				word = "Core"
			}
			rows = append(rows, app.Div().Class("small").Text(word))
		}
		var names []string
		title, w := name(s.ID)
		for _, id := range s.Parts {
			n, one := name(id)
			names = append(names, n)
			if w == nil {
				w = one
			}
		}
		if len(names) > 0 {
			title += ": " + strings.Join(names, ", ")
		}
		where, rest := "", ""
		if w != nil {
			where = "to " + kit.PlaceName(b, w.Leaves)
			rest = w.Rest.Format(b.Settings.Unit)
			if !w.Sure {
				rest = "> " + rest
			}
		}
		rows = append(rows, app.Div().Class("term").Body(app.Span().Body(app.Text(title), app.Small().Text(where)), p.restOf(f, w, rest)))
	}
	return append(out, app.Div().Class("terms").Body(rows...), kit.Lines("The length is the way from the end of this run to where the wire leaves."))
}

// section draws a run cut across. The letters are those of the legend.
func section(f loom.Facts, ready bool) app.UI {
	wall := 0.0
	if f.Choice.OK {
		wall = f.Choice.Stock.Wall
	}
	s := bundle.Draw(f.Packed.Bundle, wall)
	edge := s.Width * 0.02
	num := func(v float64) string { return strconv.FormatFloat(v, 'f', 3, 64) }
	var body []app.UI
	for _, r := range s.Rings {
		kind := string(r.Kind)
		body = append(body, kit.SVG("circle").Attr("cx", num(r.X)).Attr("cy", num(r.Y)).Attr("r", num(r.R)).Attr("data-x", kind))
		if r.Letter != "" {
			size := r.R * 1.2
			if len(r.Letter) > 1 {
				size = r.R * 0.9
			}
			body = append(body, kit.SVG("text").Attr("x", num(r.X)).Attr("y", num(r.Y+size*0.36)).Attr("font-size", num(size)).Attr("text-anchor", "middle").Attr("data-x", "letter").Text(r.Letter))
		}
	}
	label := "cross-section of " + number(len(f.Wires), "wire")
	if !ready {
		label += ", packed roughly"
	}
	return kit.SVG("svg").Attr("viewBox", num(-edge)+" "+num(-edge)+" "+num(s.Width+2*edge)+" "+num(s.Height+2*edge)).Attr("role", "img").Attr("aria-label", label).Body(body...)
}
