package bench

import (
	"context"
	"errors"
	"fmt"
	"sync"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/device"
	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/app/sheet"
	"loomwright/calc/harness"
	"loomwright/calc/loom"
	"loomwright/calc/route"
	"loomwright/calc/tag"
	"loomwright/storage"
)

// labels is what would be printed, worked out beside the page.
type labels struct {
	font    sheet.Font
	plan    sheet.TagPlan
	err     error
	none    bool // nothing is chosen to print
	made    bool
	stale   bool
	rev     int
	bundles int // tags that runs could have and have not
	plugs   int // likewise single connectors
	working bool
}

// replan works the label sheets out again if the build or the settings changed and a part that shows them is open.
func (p *page) replan() {
	if p.ctx == nil || p.S.B() == nil || p.At.Mode != partTags && p.At.Mode != partPrint {
		return
	}
	l := &p.sheet
	if l.working || l.made && !l.stale && l.rev == p.S.Rev() {
		return
	}
	l.working, l.stale, l.rev = true, false, p.S.Rev()
	b, graph := p.S.B(), p.S.Graph()
	codes, all := p.only(p.loadPick())
	o := p.options()
	o.Tags = p.loadPrint().options(p.S.Device.Shell.Root(), codes)
	o.Font = l.font
	ctx := p.ctx
	ctx.Async(func() {
		time.Sleep(breath)
		var err error
		if o.Font.Regular == nil {
			o.Font, err = p.S.Font(context.Background())
		}
		var plan sheet.TagPlan
		none := !all && len(codes) == 0
		if err == nil && !none {
			plan, err = sheet.PlanTags(b, o)
		}
		bundles, plugs := offered(b, graph)
		ctx.Dispatch(func(app.Context) {
			l := &p.sheet
			if err == nil || o.Font.Regular != nil {
				l.font = o.Font
			}
			l.plan, l.err, l.none, l.made, l.working = plan, err, none, true, false
			l.bundles, l.plugs = len(bundles), len(plugs)
			p.replan() // again, if something changed meanwhile
		})
	})
}

// batchTags is how many records one edit makes: far below what a line of the log holds.
const batchTags = 3000

// onMakeTags makes the missing tags, in one edit.
func (p *page) onMakeTags(app.Context, app.Event) {
	p.makeTags(tag.Missing(p.S.B()))
}

// makeTags makes these tags, each with a fresh code.
func (p *page) makeTags(missing []harness.Tag) {
	n := len(missing)
	for len(missing) > 0 {
		some := missing[:min(len(missing), batchTags)]
		missing = missing[len(some):]
		changes := make([]storage.Change, 0, len(some))
		var drawn []string
		for _, t := range some {
			code, err := p.S.FreshCode(drawn...)
			if !p.do(err) {
				return
			}
			drawn = append(drawn, code)
			t.Code = code
			changes = append(changes, storage.Put(harness.KindTag, p.S.FreshID(), harness.Tag{}, t))
		}
		if !p.do(p.S.Do(changes...)) {
			return
		}
	}
	p.S.Say(session.Notice{Tone: "good", Text: count(n, "tag is", "tags are") + " made. Their codes never change.", Undo: true})
	p.replan()
}

// offered is the tags that runs and connectors can have beside those that are needed.
func offered(b *harness.Build, g *route.Graph) (bundles, connectors []harness.Tag) {
	carries := map[string]bool{}
	for _, r := range loom.New(b, g).Runs {
		carries[r.ID] = len(r.Wires) > 0
	}
	return tag.Offered(b, func(run string) bool { return carries[run] })
}

func (p *page) onMakeBundles(app.Context, app.Event) {
	bundles, _ := offered(p.S.B(), p.S.Graph())
	p.makeTags(bundles)
}

func (p *page) onMakeConnectors(app.Context, app.Event) {
	_, connectors := offered(p.S.B(), p.S.Graph())
	p.makeTags(connectors)
}

// more offers the tags that are not made of themselves.
func (p *page) more() (out []app.UI) {
	if n := p.sheet.bundles; n > 0 {
		out = append(out, kit.Plain("Make "+count(n, "tag", "tags")+" round bundles", p.onMakeBundles, "bundles"))
	}
	if n := p.sheet.plugs; n > 0 {
		out = append(out, kit.Plain("Make "+count(n, "tag", "tags")+" for single connectors", p.onMakeConnectors, "connectors"))
	}
	return out
}

// tags is the part with the tags.
func (p *page) tags() (body, foot []app.UI) {
	b := p.S.B()
	missing := tag.Missing(b)
	var wires, bundles, retired int
	for _, t := range b.Tags.All() {
		switch {
		case t.Retired:
			retired++
		case t.On == harness.KindWire:
			wires++
		default:
			bundles++
		}
	}
	body = []app.UI{p.counted()}
	line := fmt.Sprintf("%d on wire ends, %d on bundles.", wires, bundles)
	if retired > 0 {
		line += fmt.Sprintf(" %d retired: they still lead to what they were on.", retired)
	}
	switch {
	case len(missing) > 0 && wires+bundles == 0:
		body = append(body, kit.Note("", "No tag is made yet.", "A tag for each wire end, and one for each connector, split, pass-through and panel. A scan of it tells what it is and which end you stand at."))
	case len(missing) > 0:
		body = append(body, kit.Note("warn", count(len(missing), "tag is", "tags are")+" missing.", line))
	case wires+bundles == 0:
		body = append(body, kit.Note("", "Nothing to tag yet.", "Tags come with wires and places."))
		return body, nil
	default:
		body = append(body, kit.Note("good", "Everything has its tag.", line))
	}
	if wires+bundles > 0 {
		body = append(body, p.reprint()...)
		body = append(body, p.chosen()...)
		body = append(body, p.summary()...)
		body = append(body, p.more()...)
	}
	body = append(body, kit.Section("Strips for panels", ""), kit.Plain("Panel strips, PDF", p.onWrite("strips", sheet.PDF, false), "strips"), p.finished("strips"))
	if len(missing) > 0 {
		return body, append(foot, kit.Act("Make "+count(len(missing), "tag", "tags"), p.onMakeTags))
	}
	return body, p.printFoot()
}

// chosen leads to which tags are printed and how.
func (p *page) chosen() []app.UI {
	s, at := p.loadPrint(), p.At.On(pageName)
	n := ""
	if p.sheet.made && p.sheet.err == nil {
		n = fmt.Sprint(len(p.sheet.plan.Labels))
	}
	return []app.UI{app.Div().Class("rows").Body(
		kit.Row("", "Which tags", whichWords(p.S.B(), p.loadPick(), s), n, "", kit.To(at.In(partPick)), at.In(partPick)),
		kit.Row("", "How they are printed", printWords(s), "", "", kit.To(at.In(partPrint)), at.In(partPrint)),
	)}
}

func whichWords(b *harness.Build, c choice, s settings) string {
	word := "all of them"
	switch c.Which {
	case whichNew:
		word = "those not printed yet"
	case whichStale:
		word = "those that say something else now"
	case whichBranch:
		word = "the branch at " + kit.PlaceName(b, c.Place)
	case whichSome:
		word = count(len(c.Codes), "chosen tag", "chosen tags")
	}
	switch s.Kinds {
	case onlyWires:
		word += ", on wires"
	case onlyBundles:
		word += ", on bundles and places"
	case onlyConnectors:
		word += ", on connectors"
	}
	return word
}

func printWords(s settings) string {
	return fmt.Sprintf("%s, %s, from label %d, %d dpi", payloadWords()[s.Payload].name, s.grid().Title, s.Start, s.DPI)
}

// summary says what would be printed and shows one label of each kind.
func (p *page) summary() []app.UI {
	l := &p.sheet
	switch {
	case l.err != nil:
		return []app.UI{kit.Note("bad", "These tags cannot be printed so.", explain(l.err))}
	case l.none:
		return []app.UI{kit.Note("warn", "No tag is chosen.", "Choose which tags to print.")}
	case !l.made:
		return []app.UI{app.P().Class("note").Aria("live", "polite").Text("Working the sheets out…")}
	}
	plan := l.plan
	out := []app.UI{app.Div().Class("line").Body(
		app.Span().Class("big word").Text(count(plan.Pages, "sheet", "sheets")),
		app.Span().Class("both").Text(fmt.Sprintf("%s, %d with a QR square", count(len(plan.Labels), "label", "labels"), plan.Squares)),
	)}
	if plan.Squares > 0 {
		out = append(out, moduleNote(plan))
	}
	for _, w := range plan.Warnings {
		out = append(out, warningNote(w))
	}
	out = append(out, p.previews(plan)...)
	if len(plan.Notes) > 0 {
		out = append(out, kit.Lines(sentences(plan.Notes)...))
	}
	return out
}

// moduleNote says who can read the smallest square of a plan.
func moduleNote(plan sheet.TagPlan) app.UI {
	size := fmt.Sprintf("Modules of %.2f mm.", plan.Least)
	if plan.Most > plan.Least {
		size = fmt.Sprintf("Modules of %.2f to %.2f mm.", plan.Least, plan.Most)
	}
	switch {
	case plan.Doubtful > 0:
		return kit.Note("warn", size, count(plan.Doubtful, "square", "squares")+" will not reliably scan. Print one and scan it first, or use larger labels, the code instead of a link, or flags.")
	case plan.Least < tag.EasyModule.MM():
		return kit.Note("warn", size, "Good print only: print one label and scan it first.")
	}
	return kit.Note("good", size, "Any phone reads them close up.")
}

var warningWords = sync.OnceValue(func() map[tag.WarningKind][2]string {
	return map[tag.WarningKind][2]string{
		tag.Loopback:  {"Phones cannot open this address.", "On a phone %s means the phone itself. Set the address where the app is served for good, or print codes."},
		tag.Private:   {"Phones elsewhere cannot open this address.", "%s is reached only inside one network."},
		tag.LinkLocal: {"Phones elsewhere cannot open this address.", "%s is reached only on one cable or radio cell."},
		tag.PlainHTTP: {"Phones warn about this address.", "With %s the app has no camera and does not work with no signal. Use https://."},
		tag.Long:      {"This address makes large squares.", "It has %s."},
	}
})

func warningNote(w tag.Warning) app.UI {
	words, ok := warningWords()[w.Kind]
	if !ok {
		return nil
	}
	return kit.Note("warn", words[0], fmt.Sprintf(words[1], w.Detail))
}

func (p *page) onPrint(app.Context, app.Event)    { p.print(sheet.PDF) }
func (p *page) onPictures(app.Context, app.Event) { p.print(sheet.ZIP) }

func (p *page) print(format sheet.Format) {
	codes, all := p.only(p.loadPick())
	if !all && len(codes) == 0 {
		return
	}
	o := p.options()
	o.Tags = p.loadPrint().options(p.S.Device.Shell.Root(), codes)
	var out []string
	for _, l := range p.sheet.plan.Labels {
		out = append(out, l.Tag.Code)
	}
	p.write("tags", format, o, out)
}

func (p *page) printFoot() []app.UI {
	l := &p.sheet
	switch {
	case p.job != nil:
		return []app.UI{kit.ActIf(false, "", p.job.words("sheets"), p.onPrint), kit.Plain("Cancel", p.onStop)}
	case p.file.Name != "":
		return []app.UI{app.P().Class("small").Text("The sheets are ready."), kit.Act("Hand over the label sheets", p.onSend, p.file.Name)}
	}
	ready := l.made && l.err == nil && !l.none && !l.stale
	not := "Nothing to print so"
	if !l.made || l.stale {
		not = "Working the sheets out…"
	}
	foot := []app.UI{kit.ActIf(ready, "Make the label sheets", not, p.onPrint)}
	if ready {
		foot = append(foot, kit.Plain("Pictures for a label printer (PNG)", p.onPictures))
	}
	return foot
}

// explain says why sheets cannot be made, in a sentence.
func explain(err error) string {
	switch {
	case errors.Is(err, sheet.ErrNoTags):
		return "There is no tag to print. Make the tags first, or choose others."
	case errors.Is(err, device.ErrNoPaper):
		return "The program for printing could not be loaded. Nothing was changed. Open the app once where there is a signal, then try again."
	case errors.Is(err, sheet.ErrFont):
		return "The type for printing could not be loaded. Nothing was changed. Open the app once where there is a signal, then try again."
	case errors.Is(err, tag.ErrTooSmall):
		return plainError(err) + ". Use larger labels, a printer with more dots, the code instead of a link, or text alone."
	}
	return plainError(err) + "."
}
