package pins

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/calc/circuit"
	"loomwright/calc/harness"
)

// rowsDrawn is how many rows a list shows before it asks whether to show more; the first rowsFirst are drawn with the tap,
// the others a few at a time. Our choice: all at once would keep a tap waiting on a slow phone.
const (
	rowsDrawn = 120
	rowsFirst = 24
	rowsPause = 60 * time.Millisecond
)

// filter is what the list shows: leads with a decision, or that are not carried out yet, and that hold a text.
type filter struct {
	Only  string // a decision, onlyOpen or onlyToDo; empty is all
	Query string
}

const (
	onlyOpen = "undecided"
	onlyToDo = "to do"
)

func filterKey(s *session.Session) string { return "pins:list:" + s.ID() }

func loadFilter(s *session.Session) filter {
	only, query, _ := strings.Cut(s.Device.Prefs.Get(filterKey(s)), "\x1f")
	return filter{only, query}
}

func (p *page) set(ctx app.Context, f filter) {
	p.list, p.shown, p.drawn = f, rowsDrawn, rowsFirst
	p.S.Device.Prefs.Put(filterKey(p.S), f.Only+"\x1f"+f.Query)
	p.grow(ctx)
}

// grow draws the rows that are not drawn yet.
func (p *page) grow(ctx app.Context) {
	p.growth++
	mine := p.growth
	var more func(ctx app.Context)
	more = func(ctx app.Context) {
		if mine == p.growth && p.drawn < p.found {
			p.drawn += rowsFirst
			ctx.After(rowsPause, more)
		}
	}
	ctx.After(rowsPause, more)
}

// shows reports whether the list shows a lead.
func (f filter) shows(x circuit.Pin) bool {
	l := x.Lead
	switch f.Only {
	case "":
	case onlyOpen:
		if l.Decision != harness.Undecided {
			return false
		}
	case onlyToDo:
		if l.Decision == harness.Undecided || l.Done() {
			return false
		}
	default:
		if string(l.Decision) != f.Only {
			return false
		}
	}
	if f.Query == "" {
		return true
	}
	all := strings.ToLower(strings.Join([]string{x.Cavity, l.Legend, l.Function, string(l.Signal), l.Base, l.Tracer, l.Note}, " "))
	for _, word := range strings.Fields(strings.ToLower(f.Query)) {
		if !strings.Contains(all, word) {
			return false
		}
	}
	return true
}

func (p *page) foundPins() []circuit.Pin {
	return slices.DeleteFunc(slices.Clone(p.all), func(x circuit.Pin) bool { return !p.list.shows(x) })
}

func (p *page) onSearch(ctx app.Context, _ app.Event) {
	p.set(ctx, filter{Only: p.list.Only, Query: kit.Value(ctx)})
}

func (p *page) onOnly(only string) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		if p.list.Only == only {
			only = ""
		}
		p.set(ctx, filter{Only: only, Query: p.list.Query})
	}
}

func (p *page) onMore(ctx app.Context, _ app.Event) {
	p.shown += rowsDrawn
	p.grow(ctx)
}

// progress is how far the deciding is; each number shows only the leads it counts.
func (p *page) progress() app.UI {
	c := p.count
	var chips []app.UI
	for _, x := range []struct {
		n          int
		word, only string
		always     bool
	}{
		{c.Use, "use", string(harness.Use), true}, {c.Keep, "keep", string(harness.Keep), true}, {c.Remove, "remove", string(harness.Remove), true},
		{c.Undecided, "undecided", onlyOpen, true}, {c.ToDo, "to do", onlyToDo, true},
	} {
		chips = append(chips, app.Button().Type("button").Class("plain").Aria("pressed", p.list.Only == x.only).
			OnClick(p.onOnly(x.only), x.only).Body(app.B().Class("num").Text(fmt.Sprint(x.n)), app.Small().Text(x.word)))
	}
	return app.Div().Class("counts").Body(chips...)
}

// pins is the list.
func (p *page) pins() screen {
	found := p.foundPins()
	p.found = min(len(found), p.shown)
	c := p.count
	told := fmt.Sprintf("%s, %d decided, %d done", number(c.Leads, "pin"), c.Leads-c.Undecided, c.Done)
	if len(found) < len(p.all) {
		told = fmt.Sprintf("%d of %s", len(found), told)
	}
	s := screen{title: "Pins", back: p.At.On("plan")}
	s.body = []app.UI{
		p.progress(),
		kit.Field("Search", p.list.Query, "cavity, function, colour", p.onSearch),
		p.tools(),
		app.Div().Class("small").Aria("live", "polite").Text(told),
		p.rows(found),
	}
	if len(found) > p.shown {
		s.body = append(s.body, kit.Plain(fmt.Sprintf("Show the next %d", min(rowsDrawn, len(found)-p.shown)), p.onMore))
	}
	s.foot = p.next("")
	return s
}

// tools are the ways from the list to its other sides.
func (p *page) tools() app.UI {
	to := func(label string, at kit.Addr) app.UI { return kit.Plain(label, kit.To(at), at) }
	home := p.home()
	buttons := []app.UI{}
	for _, c := range p.S.B().Connectors.All() {
		if c.Name != "" || p.S.B().Connectors.Len() == 1 {
			buttons = append(buttons, to(strings.TrimSpace("Plug "+c.Name), home.In(partView+"."+c.ID)))
		}
	}
	if n := len(p.net.Removable()); n > 0 {
		buttons = append(buttons, to(fmt.Sprintf("%d with nothing to do", n), home.In(partRest)))
	}
	if p.count.Remove > 0 {
		buttons = append(buttons, to("To pull", home.In(partRemove)))
	}
	buttons = append(buttons, to("Seating", home.In(partSeat)), to("Add pins", home.In(partIn)), to("CSV, PDF", home.In(partOut)))
	return app.Div().Class("chips scrolling").Body(buttons...)
}

// next is the one next thing: the next lead that nobody decided, after this one if there is one.
func (p *page) next(after string) []app.UI {
	var first, later *circuit.Pin
	passed := after == ""
	for i := range p.all {
		x := &p.all[i]
		if x.Lead.ID == after {
			passed = true
			continue
		}
		if x.Lead.Decision != harness.Undecided {
			continue
		}
		if first == nil {
			first = x
		}
		if passed && later == nil {
			later = x
		}
	}
	if x := cmp.Or(later, first); x != nil {
		to := p.card(x.Lead.ID)
		return []app.UI{kit.Act("Next undecided: "+cavityWord(*x)+" "+x.Lead.Does(), kit.To(to), to)}
	}
	if after != "" {
		return []app.UI{kit.Act("All are decided: the list", kit.To(p.home()), p.home())}
	}
	to := p.At.On("circuits").In("propose")
	return []app.UI{kit.Act("Propose wires", kit.To(to), to)}
}

func (p *page) rows(found []circuit.Pin) app.UI {
	if len(found) == 0 {
		return app.P().Text("No pin is like that.")
	}
	found = found[:min(p.found, p.drawn)]
	return app.Div().Class("rows").Body(app.Range(found).Slice(func(i int) app.UI {
		x := found[i]
		return &row{Page: p, ID: x.Lead.ID, Text: textOf(x)}
	}))
}

// rowText is what is read of a lead.
type rowText struct {
	Cavity, Name, Struck, Under string
	Decision                    harness.Decision
	Done                        bool
}

func textOf(x circuit.Pin) rowText {
	l := x.Lead
	t := rowText{Cavity: x.Cavity, Name: l.Does(), Decision: l.Decision, Done: l.Done()}
	if t.Name == "" {
		t.Name = "no function yet"
	}
	if l.Function != "" && l.Legend != l.Function {
		t.Struck = l.Legend
	}
	var under []string
	for _, word := range []string{string(l.Signal), kit.SizeWord(l.Size), colourCode(l)} {
		if word != "" {
			under = append(under, word)
		}
	}
	if len(x.Shared) > 0 {
		under = append(under, "shares its cavity")
	}
	t.Under = strings.Join(under, " · ")
	return t
}

// row is one lead of the list.
type row struct {
	app.Compo
	Page *page
	ID   string
	Text rowText
}

func (r *row) onTap(ctx app.Context, _ app.Event) { kit.Go(ctx, r.Page.card(r.ID)) }

// Render draws it.
func (r *row) Render() app.UI {
	t := r.Text
	below := decisionWord(t.Decision)
	if t.Done {
		below += ", done"
	}
	var struck app.UI
	if t.Struck != "" {
		struck = app.Small().Body(app.S().Text(t.Struck))
	}
	return app.Button().Type("button").Class("row pin").OnClick(r.onTap).Body(
		app.Span().Text(t.Cavity),
		app.Span().Body(app.B().Text(t.Name), struck, app.Small().Text(t.Under)),
		app.Span().Class("d-"+tone(t.Decision)).Body(app.Text(sign(t.Decision)), app.Small().Text(below)),
	)
}

// rest is the leads that nobody decided and that have nothing to do.
func (p *page) rest() screen {
	all := p.net.Removable()
	s := screen{title: "Leads with nothing to do", back: p.home()}
	if len(all) == 0 {
		s.body = []app.UI{kit.Note("good", "None is left.", "Every lead is decided, or is for something.")}
		s.foot = []app.UI{kit.Act("All pins", kit.To(p.home()), p.home())}
		return s
	}
	s.body = []app.UI{kit.Lines("Undecided, with nothing joined to them. Supplies, grounds and shields are never among them. Tap one to decide it alone."),
		p.window(all)}
	s.foot = []app.UI{kit.Even(
		kit.Plain("Keep all "+fmt.Sprint(len(all)), p.onRest(harness.Keep), "keep"),
		kit.Danger("Remove all "+fmt.Sprint(len(all)), p.onRest(harness.Remove), "remove"),
	)}
	return s
}

// window draws the first rows of a list of leads.
func (p *page) window(all []circuit.Pin) app.UI {
	p.found = min(len(all), p.shown)
	return app.Div().Body(p.rows(all), p.moreOf(len(all)))
}

func (p *page) moreOf(n int) app.UI {
	if n <= p.shown {
		return nil
	}
	return kit.Plain(fmt.Sprintf("Show the next %d", min(rowsDrawn, n-p.shown)), p.onMore)
}

func (p *page) onRest(d harness.Decision) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		var r circuit.Records
		for _, x := range p.net.Removable() {
			l := x.Lead
			l.Decision = d
			r.Leads = append(r.Leads, l)
		}
		if n := len(r.Leads); p.took(p.S.Accept(r)) {
			p.S.Say(session.Notice{Text: number(n, "lead") + " decided: " + decisionWord(d) + ".", Undo: true})
			kit.Go(ctx, p.home())
		}
	}
}
