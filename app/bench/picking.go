package bench

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/calc/harness"
	"loomwright/calc/sorting"
	"loomwright/calc/tag"
)

func (p *page) onWhich(which string) app.EventHandler {
	return func(app.Context, app.Event) {
		c := p.loadPick()
		c.Which = which
		p.savePick(c)
	}
}

func (p *page) onBranch(place string) app.EventHandler {
	return func(app.Context, app.Event) { p.savePick(choice{Which: whichBranch, Place: place}) }
}

func (p *page) onPick(code string) app.EventHandler {
	return func(app.Context, app.Event) {
		c := p.loadPick()
		c.Which = whichSome
		if i := slices.Index(c.Codes, code); i >= 0 {
			c.Codes = slices.Delete(c.Codes, i, i+1)
		} else {
			c.Codes = append(c.Codes, code)
		}
		p.savePick(c)
	}
}

func (p *page) onNone(ctx app.Context, _ app.Event) { p.savePick(choice{Which: whichSome}) }
func (p *page) onSearch(ctx app.Context, _ app.Event) {
	p.search, p.window = kit.Value(ctx), windowRows
}

// picking is which tags are printed.
func (p *page) picking() (body, foot []app.UI) {
	c := p.loadPick()
	which := func(label, under, w string) app.UI {
		return kit.Choice(label, under, c.Which == w, p.onWhich(w), "which", w)
	}
	body = append(body, kit.Chips(
		which("All", "in use", whichAll),
		which("Not printed yet", "from this phone", whichNew),
		which("Changed since", "they were printed", whichStale),
		which("One branch", "a split and beyond", whichBranch),
		which("Chosen", "tick them", whichSome),
	))
	switch c.Which {
	case whichBranch:
		body = append(body, p.branches(c)...)
	case whichSome:
		body = append(body, p.choosing(c)...)
	default:
		codes, all := p.only(c)
		n := len(codes)
		if all {
			for _, t := range p.S.B().Tags.All() {
				if !t.Retired {
					n++
				}
			}
		}
		body = append(body, app.P().Class("lede").Text(count(n, "tag", "tags")))
	}
	to := p.At.On(pageName).In(partTags)
	return body, []app.UI{kit.Act("Use these", kit.To(to), to)}
}

// branches lists the places where a branch leaves.
func (p *page) branches(c choice) []app.UI {
	b, items := p.S.B(), p.items()
	wires := map[string]int{}
	for _, i := range items {
		if i.Branch != i.Far {
			wires[i.Branch]++
		}
	}
	var rows []app.UI
	for _, place := range b.Places.All() {
		if wires[place.ID] == 0 {
			continue
		}
		tags := len(branchTags(b, items, place.ID))
		rows = append(rows, kit.Choice(kit.PlaceName(b, place.ID), fmt.Sprintf("%s, %s", count(wires[place.ID], "wire", "wires"), count(tags, "tag", "tags")),
			c.Place == place.ID, p.onBranch(place.ID), place.ID))
	}
	if len(rows) == 0 {
		return []app.UI{kit.Lines("No wire has a way through the runs yet.")}
	}
	return []app.UI{kit.Lines("Tags on the place, on what it leads to, and on the wire ends there."), kit.Chips(rows...)}
}

// choosing lists tags to tick.
func (p *page) choosing(c choice) []app.UI {
	b := p.S.B()
	words := strings.Fields(strings.ToLower(p.search))
	var rows []app.UI
	more := 0
	for _, l := range tagsInOrder(b) {
		t := l.Tag
		if !tagMatches(l, words) {
			continue
		}
		if len(rows) == p.window {
			more++
			continue
		}
		rows = append(rows, &pick{P: p, Code: t.Code, Name: tagName(l), Under: tagUnder(l), On: slices.Contains(c.Codes, t.Code)})
	}
	out := []app.UI{
		kit.Field("Search a code, a wire, a place", p.search, "W27", p.onSearch),
		app.Div().Class("line mid").Body(
			app.B().Class("grow").Text(count(len(c.Codes), "tag", "tags")+" chosen"),
			kit.Plain("Choose none", p.onNone)),
	}
	if len(rows) == 0 {
		return append(out, kit.Lines("No tag fits."))
	}
	out = append(out, app.Ul().Class("rows").Body(rows...))
	if more > 0 {
		out = append(out, kit.Plain(fmt.Sprintf("Show the next %d of %d more", min(more, windowRows), more), p.onMore))
	}
	return out
}

// tagsInOrder returns the tags in use in the order in which they are printed: wires, each with both ends, then bundles.
func tagsInOrder(b *harness.Build) []tag.Label {
	order := map[string]int{}
	for n, w := range b.Wires.All() {
		order[w.ID] = n + 1
	}
	for n, p := range b.Places.All() {
		order[p.ID] = b.Wires.Len() + n + 1
	}
	last := len(order) + 1
	at := func(l tag.Label) int { return cmp.Or(order[l.Tag.Subject], last) }
	var all []tag.Label
	for _, t := range b.Tags.All() {
		if l, ok := tag.Describe(b, t); ok && !t.Retired {
			all = append(all, l)
		}
	}
	sorting.By(all, func(x, y tag.Label) int {
		return cmp.Or(cmp.Compare(at(x), at(y)), cmp.Compare(x.Tag.End, y.Tag.End), cmp.Compare(x.Tag.Code, y.Tag.Code))
	})
	return all
}

// tagMatches tells whether a tag has every word that is searched.
func tagMatches(l tag.Label, words []string) bool {
	text := strings.ToLower(strings.Join([]string{l.Tag.Code, tag.Format(l.Tag.Code), l.Name, l.This, l.Far, l.Function}, "\n"))
	for _, w := range words {
		if !strings.Contains(text, w) {
			return false
		}
	}
	return true
}

func tagName(l tag.Label) string {
	if l.Tag.On == harness.KindWire {
		return l.Name + " at " + orUnknown(l.This)
	}
	return l.Name
}

func tagUnder(l tag.Label) string {
	if l.Tag.On == harness.KindWire && l.Far != "" {
		return l.Function + ", to " + l.Far
	}
	return l.Function
}

func orUnknown(text string) string {
	if text == "" {
		return "an end not chosen yet"
	}
	return text
}

// pick is one tag to tick.
type pick struct {
	app.Compo
	P           *page
	Code        string
	Name, Under string
	On          bool
}

func (k *pick) onTap(ctx app.Context, e app.Event) {
	k.P.onPick(k.Code)(ctx, e)
	k.P.redraw()
}

// Render draws the tag.
func (k *pick) Render() app.UI {
	sign := ""
	if k.On {
		sign = "✓"
	}
	return app.Li().Body(app.Button().Type("button").Class("row").Aria("pressed", k.On).OnClick(k.onTap).Body(
		app.Span().Text(tag.Format(k.Code)),
		app.Span().Body(app.B().Text(k.Name), app.Small().Text(k.Under)),
		app.Span().Text(sign),
	))
}
