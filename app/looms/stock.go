package looms

import (
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/calc/bundle"
	"loomwright/calc/cut"
	"loomwright/calc/harness"
	"loomwright/calc/loom"
	"loomwright/calc/unit"
	"loomwright/calc/wire"
	"loomwright/storage"
)

// kinds are the kinds of size that there are lists of.
func kinds() []bundle.CoverKind {
	return append(append([]bundle.CoverKind{}, loom.Kinds...), bundle.GrommetFor)
}

func stockWord(b *harness.Build) string {
	if b.CoverSizes.Len() == 0 {
		return "usual"
	}
	return strconv.Itoa(b.CoverSizes.Len()) + " own"
}

// stock lists the sizes of each kind, or of one.
func (p *page) stock(kind string) screen {
	b := p.S.B()
	at, err := strconv.Atoi(kind)
	all := kinds()
	if err != nil || at < 0 || at >= len(all) {
		s := screen{title: "Covers and grommets", back: p.At.On(pageName)}
		var rows []app.UI
		for i, k := range all {
			to := p.At.On(pageName).In(partStock + "." + strconv.Itoa(i))
			under := "usual sizes, from memory: check them"
			if loom.Own(b, k) {
				under = "your own list"
			}
			n := 0
			for _, x := range loom.Stock(b) {
				if x.Kind == k {
					n++
				}
			}
			rows = append(rows, kit.Row("", string(k), under, strconv.Itoa(n), "sizes", kit.To(to), to))
		}
		s.body = []app.UI{kit.Lines("What is chosen is the smallest size that fits. A list of your own takes the place of the usual sizes of its kind."), app.Div().Class("rows").Body(rows...)}
		return s
	}
	k := all[at]
	s := screen{title: "Sizes of " + string(k), back: p.At.On(pageName).In(partStock)}
	var rows []app.UI
	own := loom.Own(b, k)
	if own {
		sizes := b.CoverSizes.All()
		for i := range sizes {
			c := &sizes[i]
			if c.Kind == harness.Cover(k) {
				to := p.At.On(pageName).With(c.ID).In(partStock)
				least := ""
				if c.Least != nil {
					least = "down to " + p.mm(c.Least.MM())
				}
				rows = append(rows, kit.Row("", c.Name, least, p.mm(c.Inside.MM()), "inside", kit.To(to), to))
			}
		}
	} else {
		for _, x := range bundle.Usual() {
			if x.Kind == k {
				under := x.Source
				if x.Least > 0 {
					under = "down to " + p.mm(x.Least) + "; " + under
				}
				rows = append(rows, app.Div().Class("term").Body(app.Span().Body(app.Text(x.Name), app.Small().Text(under)), app.Span().Text(p.mm(x.Inside))))
			}
		}
	}
	word := "These are usual sizes, from memory."
	if own {
		word = "This is your own list; the usual sizes of this kind do not count."
	}
	s.body = append(s.body, kit.Lines(word), app.Div().Class("rows").Body(rows...))
	if !own {
		s.body = append(s.body, kit.Plain("Take these over, to change them", p.onCopy(k), string(k)))
	}
	s.body = append(s.body, kit.Plain("Add a size", p.onAdd(k), string(k)))
	return s
}

// onCopy makes the usual sizes of a kind the person's own.
func (p *page) onCopy(k bundle.CoverKind) app.EventHandler {
	return func(app.Context, app.Event) {
		var changes []storage.Change
		for _, c := range loom.Copy(k) {
			changes = append(changes, storage.Put(harness.KindCoverSize, p.S.FreshID(), harness.CoverSize{}, c))
		}
		if p.took(p.S.Do(changes...)) {
			p.S.Say(session.Notice{Tone: "good", Text: "The sizes of " + string(k) + " are yours to change.", Undo: true})
		}
	}
}

func (p *page) onAdd(k bundle.CoverKind) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		order := 1.0
		if all := p.S.B().CoverSizes.All(); len(all) > 0 {
			order = all[len(all)-1].Order + 1
		}
		id := p.S.FreshID()
		if p.took(p.S.Do(storage.Put(harness.KindCoverSize, id, harness.CoverSize{}, harness.CoverSize{Kind: harness.Cover(k), Name: "New size", Order: order}))) {
			kit.Go(ctx, p.At.On(pageName).With(id).In(partStock))
		}
	}
}

// size is one size of the person's own.
func (p *page) size() screen {
	c, ok := p.S.B().CoverSizes.Get(p.At.Record)
	s := screen{title: "No such size", back: p.At.On(pageName).In(partStock)}
	if !ok {
		s.body = []app.UI{kit.Note("", "It was deleted.", "")}
		return s
	}
	for i, k := range kinds() {
		if c.Kind == harness.Cover(k) {
			s.back = p.At.On(pageName).In(partStock + "." + strconv.Itoa(i))
		}
	}
	set := func(f func(*harness.CoverSize)) {
		change(p, harness.KindCoverSize, &p.S.B().CoverSizes, c.ID, f)
	}
	s.title = string(c.Kind) + " " + c.Name
	typing := kit.Typing{S: p.S, Page: pageName}
	text := func(label, field, value string, enter func(text string)) app.UI {
		if typed, is := typing.Text(c.ID, field); is {
			value = typed
		}
		return kit.FieldDone(label, value, "", func(ctx app.Context, _ app.Event) { typing.Keep(c.ID, field, kit.Value(ctx)) },
			func(ctx app.Context, _ app.Event) {
				typing.Entered()
				enter(strings.TrimSpace(kit.Value(ctx)))
			}, c.ID, field)
	}
	inside := &c.Inside
	if c.Inside == 0 {
		inside = nil
	}
	s.body = []app.UI{
		text("Name", "name", c.Name, func(t string) { set(func(c *harness.CoverSize) { c.Name = t }) }),
		p.length(c.ID, "inside", "Inside", inside, func(v *unit.Length) {
			set(func(c *harness.CoverSize) {
				if c.Inside = 0; v != nil {
					c.Inside = *v
				}
			})
		}),
	}
	switch bundle.CoverKind(c.Kind) {
	case bundle.GrommetFor:
		s.body = append(s.body, p.length(c.ID, "hole", "Hole in the panel", c.Hole, func(v *unit.Length) { set(func(c *harness.CoverSize) { c.Hole = v }) }))
	default:
		word := "Inside after shrinking, or at its narrowest"
		s.body = append(s.body,
			p.length(c.ID, "least", word, c.Least, func(v *unit.Length) { set(func(c *harness.CoverSize) { c.Least = v }) }),
			p.length(c.ID, "wall", "Wall", c.Wall, func(v *unit.Length) { set(func(c *harness.CoverSize) { c.Wall = v }) }))
		mass := ""
		if c.Mass != nil {
			mass = unit.Shown(*c.Mass)
		}
		s.body = append(s.body, text("Grams a metre", "mass", mass, func(t string) {
			v, ok := unit.ParseAmount(t, 0, 10000)
			switch {
			case t == "":
				set(func(c *harness.CoverSize) { c.Mass = nil })
			case !ok:
				p.refuse = "“" + t + "” is no number of grams. Nothing was changed."
			default:
				set(func(c *harness.CoverSize) { c.Mass = &v })
			}
		}))
	}
	s.body = append(s.body, kit.Danger("Delete this size", func(ctx app.Context, _ app.Event) {
		if p.took(p.S.Do(storage.Delete(harness.KindCoverSize, c.ID))) {
			p.S.Say(session.Notice{Text: c.Name + " was deleted.", Undo: true})
			kit.Go(ctx, s.back)
		}
	}, c.ID, s.back))
	return s
}

// wires asks what a caliper says of each size in use, or of one wire.
func (p *page) wires() screen {
	b := p.S.B()
	s := screen{title: "How thick the wires are", back: p.At.On(pageName)}
	if w, ok := b.Wires.Get(p.At.Record); ok {
		s.title = w.Name + ": how thick it is"
		now, source, known := cut.Outside(b, w)
		word := "It is not known: no table has its size."
		if known {
			word = p.mm(now.MM()) + ": " + source + "."
		}
		s.body = []app.UI{app.P().Text(word), p.length(w.ID, "outside", "Over its insulation, by the caliper", w.Outside, func(v *unit.Length) {
			change(p, harness.KindWire, &p.S.B().Wires, w.ID, func(w *harness.Wire) { w.Outside = v })
		})}
		to := p.At.On("wires").With(w.ID)
		s.body = append(s.body, kit.Plain("To the wire", kit.To(to), to))
		return s
	}
	s.body = []app.UI{kit.Lines("Diameters are over the insulation. A caliper beats the table; without one the table of the wall counts.")}
	for _, size := range sizesIn(b) {
		s.body = append(s.body, p.caliper(size)...)
	}
	if len(s.body) == 1 {
		s.body = append(s.body, kit.Note("", "No wire has a size yet.", ""))
	}
	return s
}

// sizesIn returns the sizes of the wires of a build, thin first.
func sizesIn(b *harness.Build) (sizes []unit.Size) {
	for _, w := range b.Wires.All() {
		text := w.Size
		if lead, ok := b.Leads.Get(w.Lead); ok && text == "" {
			text = lead.Size
		}
		size, err := unit.ParseSize(text)
		if err != nil {
			continue
		}
		i := 0
		for i < len(sizes) && sizes[i].Compare(size) < 0 {
			i++
		}
		if i < len(sizes) && sizes[i] == size {
			continue
		}
		sizes = append(sizes[:i], append([]unit.Size{size}, sizes[i:]...)...)
	}
	return sizes
}

func (p *page) caliper(size unit.Size) []app.UI {
	id := harness.ProposedID(harness.KindCaliper, size.String())
	c, _ := p.S.B().Calipers.Get(id)
	set := func(f func(*harness.Caliper)) {
		old, _ := p.S.B().Calipers.Any(id)
		now := old
		now.Gone = false
		now.Size, now.At = size.String(), p.S.Time()
		f(&now)
		p.took(p.S.Do(storage.Put(harness.KindCaliper, id, old, now)))
	}
	word := "no table has it"
	measured := unit.Length(0)
	if c.Outside != nil {
		measured = *c.Outside
	}
	if d, source, ok := wire.Diameter(size, wire.Wall(c.Wall), measured); ok {
		word = p.mm(d.MM()) + ", " + source
	}
	out := []app.UI{kit.Section(size.String(), ""), kit.Lines(word), p.length(id, "outside", "By the caliper, "+size.String(), c.Outside, func(v *unit.Length) {
		set(func(c *harness.Caliper) { c.Outside = v })
	})}
	if _, gauge := size.Gauge(); gauge && c.Outside == nil {
		var chips []app.UI
		for _, wall := range wire.Walls {
			name := string(wall)
			if wall == wire.ThinWall {
				name = "thin wall"
			}
			chips = append(chips, kit.Choice(name, "", c.Wall == string(wall), func(app.Context, app.Event) { set(func(c *harness.Caliper) { c.Wall = string(wall) }) }, id, string(wall)))
		}
		out = append(out, kit.Even(chips...))
	}
	return out
}

func rulesOf(b *harness.Build) wire.Rules { return wire.RulesOf(b.Settings.Ampacity) }

// rules asks whose rules say what a wire may carry.
func (p *page) rules() screen {
	s := screen{title: "What a wire may carry", back: p.At.On(pageName)}
	s.body = []app.UI{app.P().Text("No law fits a car's own wiring. Choose whose tables count; all wires are checked by them.")}
	now := rulesOf(p.S.B())
	for _, r := range wire.RuleSets {
		under := rulesWord(r)
		if r == wire.DefaultRules {
			under += " The default."
		}
		s.body = append(s.body, kit.Choice(string(r), under, r == now, func(app.Context, app.Event) {
			old := p.S.B().Settings
			now := old
			if now.Ampacity = string(r); r == wire.DefaultRules {
				now.Ampacity = ""
			}
			p.took(p.S.Do(storage.Put(harness.KindSettings, old.ID, old, now)))
		}, string(r)))
	}
	to := p.At.On("circuits").In("look")
	s.body = append(s.body, kit.Plain("What is worth a look", kit.To(to), to))
	return s
}

func rulesWord(r wire.Rules) string {
	switch r {
	case wire.Marine:
		return "Boats: by size, insulation, engine space and how many carry current side by side."
	case wire.AviationTable:
		return "Aircraft: large bundles, one wire in five loaded, 70 °C around."
	}
	return "Aircraft: in free air, less for the bundle and the heat; 22 to 12 AWG."
}
