package wires

import (
	"fmt"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/calc/harness"
)

// The draft of a new wire is the place where it starts. It outlasts a reload and whatever is done in between.

func draftKey(build string) string { return "wires:new:" + build }

// draft returns the place where the new wire starts, if it is chosen and still there.
func (p *page) draft() string {
	id := p.S.Device.Prefs.Get(draftKey(p.S.ID()))
	if _, ok := p.S.B().Places.Get(id); !ok {
		return ""
	}
	return id
}

func (p *page) setDraft(place string) {
	p.S.Device.Prefs.Put(draftKey(p.S.ID()), place)
	p.query = ""
}

func (p *page) newButton() app.UI {
	to := p.list().In(partNew)
	if from := p.draft(); from != "" {
		return kit.Act("New wire from "+kit.PlaceName(p.S.B(), from), kit.To(to), to)
	}
	return kit.Act("New wire", kit.To(to), to)
}

func (p *page) onAgain(app.Context, app.Event) { p.setDraft("") }

// newPlace takes one of the two places of a new wire; with the second it is made.
func (p *page) newPlace(ctx app.Context, place string) {
	from := p.draft()
	if from == "" {
		p.setDraft(place)
		return
	}
	id, err := create(p.S, harness.Wire{From: harness.End{Place: from}, To: harness.End{Place: place}})
	if !p.took(err) {
		return
	}
	p.setDraft("")
	w, _ := p.S.B().Wires.Get(id)
	p.S.Say(session.Notice{Tone: "good", Text: w.Name + " is made, with a tag for each end.", Undo: true})
	kit.Go(ctx, p.card(id))
}

// newWire asks for the two places of a new wire.
func (p *page) newWire() sheet {
	b := p.S.B()
	s := sheet{title: "New wire", back: p.list(), above: true, sketch: &kit.Sketch{}}
	from := p.draft()
	if from == "" {
		s.body = []app.UI{app.P().Class("lede").Text("From?")}
		s.sketch.Act, s.sketch.OnPlace = "from here", p.newPlace
	} else {
		s.body = []app.UI{
			app.P().Class("lede").Text("To?"),
			app.Div().Class("line mid").Body(
				app.Span().Class("grow").Text("From "+kit.PlaceName(b, from)), kit.Plain("From elsewhere", p.onAgain)),
		}
		s.sketch.Here, s.sketch.Act, s.sketch.OnPlace = from, "to here", p.newPlace
	}
	s.body = append(s.body, p.places("new"+from, from, p.newPlace)...)
	return s
}

func (p *page) onQuery(ctx app.Context, _ app.Event) { p.query = kit.Value(ctx) }

// places is the list of places to choose from, beside the sketch and its equal. what tells one question from another;
// one place may be marked.
func (p *page) places(what, marked string, choose func(ctx app.Context, place string)) []app.UI {
	b := p.S.B()
	if b.Places.Len() == 0 {
		return []app.UI{app.P().Text("There are no places yet."), kit.Plain("Draw the route", kit.To(p.At.On("walk")), p.At.On("walk"))}
	}
	wires := map[string]int{} // by place
	for _, e := range p.entries().all {
		wires[e.places[0]]++
		if e.places[1] != e.places[0] {
			wires[e.places[1]]++
		}
	}
	words := strings.Fields(strings.ToLower(p.query))
	var rows []app.UI
	for _, place := range b.Places.All() {
		if !containsAll(strings.ToLower(place.Name+" "+string(place.Kind)), words) {
			continue
		}
		if len(rows) == rowsDrawn {
			break
		}
		under := string(place.Kind)
		if place.ID == marked {
			under += ", chosen"
		}
		id := place.ID
		rows = append(rows, kit.Row("", kit.PlaceName(b, id), under, fmt.Sprint(wires[id]), wordOf(wires[id], "wire"),
			func(ctx app.Context, _ app.Event) { choose(ctx, id) }, what, p.At, id))
	}
	out := []app.UI{kit.Field("Search places", p.query, "name or kind", p.onQuery)}
	if len(rows) == 0 {
		return append(out, app.P().Text("No place is called that."))
	}
	return append(out, app.Div().Class("rows").Body(rows...))
}

func containsAll(text string, words []string) bool {
	for _, w := range words {
		if !strings.Contains(text, w) {
			return false
		}
	}
	return true
}

func wordOf(n int, word string) string {
	if n == 1 {
		return word
	}
	return word + "s"
}
