// Package prove is the page of the tests: one at a time in huge type, with where the probes go, what is good, and what came of
// it; what failed as a list to repair; and the power-up as steps that wait for each other.
package prove

import (
	"math"
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/calc/circuit"
	"loomwright/calc/harness"
	"loomwright/calc/prove"
	"loomwright/calc/unit"
	"loomwright/storage"
)

const pageName = "prove"

// Page returns the page.
func Page(s *session.Session) kit.Page {
	return kit.Page{Name: pageName, Step: "Prove", Count: count, New: func(at kit.Addr, rev int) app.UI { return &page{S: s, At: at, Rev: rev} }}
}

// count is how many results there are: what is left is reckoned when the page opens.
func count(b *harness.Build) string { return strconv.Itoa(b.Results.Len()) }

// The parts of the page, as in the mode of the address; a group is "g" and its number.
const (
	partRepair = "repair"
	partWhy    = "why"
	partExpect = "expect" // what devices should read; the record is a device
)

type page struct {
	app.Compo
	S   *session.Session
	At  kit.Addr
	Rev int

	build string
	rev   int // of the log, when the next ones were made
	net   *circuit.Net
	sheet *prove.Sheet
	state *prove.State

	at     kit.Addr
	entry  kit.Entry
	why    string
	refuse string
	draft  draft
	voice  kit.Voice
	said   string // what came of the last test
	tone   string
}

// OnMount, OnUpdate and OnDismount keep the screen on, and read a test aloud that comes up.
func (p *page) OnMount(app.Context)  { p.speak() }
func (p *page) OnUpdate(app.Context) { p.speak() }
func (p *page) OnDismount() {
	p.voice.Says(p.S, "", "")
	p.S.Device.Wake.Release()
}

func (p *page) speak() {
	if p.S.B() == nil {
		return
	}
	p.follow()
	if t, ok := p.sheet.Test(p.At.Record); ok {
		p.S.Device.Wake.Keep()
		p.voice.Says(p.S, t.ID, p.words(t))
		return
	}
	p.S.Device.Wake.Release()
	p.voice.Says(p.S, "", "")
}

// words are what is read aloud of a test.
func (p *page) words(t *prove.Test) string { return p.sheet.Title(t) + ". " + p.sheet.Say(t) }

func (p *page) follow() {
	if p.build != p.S.ID() {
		p.build, p.sheet, p.said = p.S.ID(), nil, ""
	}
	if p.at != p.At {
		p.at, p.refuse, p.why, p.draft = p.At, "", "", draft{}
		p.entry = kit.Entry(p.S.Device.Prefs.Get(p.key()))
	}
	if p.sheet == nil || p.rev != p.S.Log().Len() {
		b := p.S.B()
		p.rev = p.S.Log().Len()
		p.net = circuit.NewNet(b)
		p.sheet = prove.New(b, p.net, prove.Options{Length: p.S.Cut})
		p.state = p.sheet.Read()
	}
}

// key is where a half-keyed reading is kept.
func (p *page) key() string { return "prove:" + p.S.ID() + ":" + p.At.Record }

func (p *page) home() kit.Addr { return kit.Addr{Build: p.At.Build, Page: pageName} }

func groupMode(g prove.Group) string {
	for i, x := range prove.Groups {
		if x == g {
			return "g" + strconv.Itoa(i)
		}
	}
	return ""
}

// celsius is how warm the loom is.
func (p *page) celsius() float64 {
	if c, ok := unit.ParseAmount(p.S.Device.Prefs.Get("prove:celsius"), coldest, hottest); ok {
		return c
	}
	return prove.UsualMeter.Celsius
}

// zero is what the meter's leads have, ohm.
func (p *page) zero() float64 {
	z, _ := unit.ParseAmount(p.S.Device.Prefs.Get("prove:leads"), 0, worstLeads)
	return z
}

// What a person may enter. Source: our choice: a loom between a winter yard and a hot engine, and leads that are no wire of
// the harness.
const (
	coldest    = -40.0 // °C
	hottest    = 150.0
	worstLeads = 10.0 // ohm
)

// keep makes a result, and shows the next test.
func (p *page) keep(ctx app.Context, t *prove.Test, o harness.Outcome, value *float64, why string) {
	if blocked := p.state.Blocked(t); blocked != "" {
		p.refuse = blocked
		return
	}
	id := p.S.FreshID()
	var change storage.Change
	if t.Sample != "" && value != nil {
		change = storage.Put(harness.KindSample, id, harness.Sample{}, harness.Sample{Terminal: t.Crimp, Size: t.Sample, Newtons: value, Limit: t.Low, By: t.Source, At: p.S.Time()})
	} else {
		r := p.state.Record(t, o, value, p.celsius())
		r.Who, r.At, r.Why = p.S.Device.Prefs.Get("prove:who"), p.S.Time(), why
		if z := p.zero(); t.Unit == "ohm" && z > 0 {
			r.Leads = &z
		}
		change = storage.Put(harness.KindResult, id, harness.Result{}, r)
	}
	if err := p.S.Do(p.begins(t, change)...); err != nil {
		p.refuse = kit.Explain(err)
		return
	}
	p.S.Device.Prefs.Put(p.key(), "")
	title := p.sheet.Title(t)
	p.said, p.tone = title+": "+string(o), "good"
	p.S.Device.Signal.Arm()
	p.S.Device.Signal.Click()
	if o == harness.Failed {
		p.tone = "bad"
		p.S.Device.Signal.Vibrate(200, 100, 200)
	} else {
		p.S.Device.Signal.Vibrate(40)
	}
	g, id2 := t.Group, t.ID
	p.follow()
	now, _ := p.sheet.Test(id2)
	to := p.home().In(groupMode(g))
	if next := p.state.Next(g, now); next != nil {
		to = to.With(next.ID)
	}
	kit.Go(ctx, to)
}

// begins adds to a first step with power that the gate is open again: what was ticked cold does not hold any more.
func (p *page) begins(t *prove.Test, change storage.Change) []storage.Change {
	all := []storage.Change{change}
	if t.Group != prove.Power || t.Phase != 1 {
		return all
	}
	for i := range p.sheet.Tests {
		g := &p.sheet.Tests[i]
		if g.Group == prove.Gate && p.state.Of(g) == harness.Passed {
			r := p.state.Record(g, harness.Skipped, nil, p.celsius())
			r.Why, r.At = "the harness was fed since", p.S.Time()
			all = append(all, storage.Put(harness.KindResult, p.S.FreshID(), harness.Result{}, r))
		}
	}
	return all
}

func (p *page) onKeep(t *prove.Test, o harness.Outcome) app.EventHandler {
	return func(ctx app.Context, _ app.Event) { p.keep(ctx, t, o, nil, "") }
}

func (p *page) onKey(t *prove.Test) func(ctx app.Context, key string) {
	return func(ctx app.Context, key string) {
		if key != kit.KeyNext {
			p.entry = p.entry.Press(key)
			p.S.Device.Prefs.Put(p.key(), string(p.entry))
			return
		}
		v, ok := p.keyed(t)
		if !ok {
			p.refuse = "Key what the meter shows."
			return
		}
		o := p.sheet.Judge(t, v, p.celsius())
		if o == harness.NoOutcome {
			p.refuse = "Nobody has said what is good here. Compare " + prove.With(v, t.Unit) + " with the device's papers, and tap Good or Fails under the number."
			return
		}
		p.keep(ctx, t, o, &v, "")
	}
}

// keyed is the reading on the pad, less what the meter's leads have.
func (p *page) keyed(t *prove.Test) (float64, bool) {
	v, ok := unit.ParseAmount(string(p.entry), 0, math.MaxFloat64)
	if t.Unit == "ohm" {
		v = max(0, v-p.zero())
	}
	return v, ok
}

// onJudged keeps a reading as a person judges it, where there are no limits.
func (p *page) onJudged(t *prove.Test, o harness.Outcome) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		if v, ok := p.keyed(t); ok {
			p.keep(ctx, t, o, &v, "")
		} else {
			p.refuse = "Key what the meter shows first."
		}
	}
}

func (p *page) onPoint(ctx app.Context, _ app.Event) {
	p.entry = p.entry.Press(".")
	if p.entry == "" {
		p.entry = "0."
	}
	p.S.Device.Prefs.Put(p.key(), string(p.entry))
}

func (p *page) onWhy(ctx app.Context, _ app.Event) { p.why = kit.Value(ctx) }

func (p *page) onReason(t *prove.Test, o harness.Outcome) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		if strings.TrimSpace(p.why) == "" {
			p.refuse = "Say why first."
			return
		}
		p.keep(ctx, t, o, nil, strings.TrimSpace(p.why))
	}
}

func (p *page) onWho(ctx app.Context, _ app.Event) {
	p.S.Device.Prefs.Put("prove:who", strings.TrimSpace(kit.Value(ctx)))
}

// onAmount keeps a number that all readings are judged with. What is none is told, and the text stays.
func (p *page) onAmount(name, what string, least, most float64) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		text := strings.TrimSpace(kit.Value(ctx))
		p.S.Device.Prefs.Put("prove:"+name, text)
		p.refuse = ""
		if _, ok := unit.ParseAmount(text, least, most); !ok && text != "" {
			p.refuse = "“" + text + "” is no " + what + " from " + unit.Shown(least) + " to " + unit.Shown(most) + ". It does not count until it is."
		}
	}
}

// Render draws the part that the address names.
func (p *page) Render() app.UI {
	p.follow()
	f := kit.Frame{S: p.S, No: p.refuse}
	back := p.home()
	f.Back = &back
	t, ok := p.sheet.Test(p.At.Record)
	switch {
	case ok && strings.HasSuffix(p.At.Mode, partWhy) && t.Group != prove.Gate:
		p.reason(&f, t)
	case ok:
		p.test(&f, t)
	case p.At.Mode == partExpect:
		if place, ok := p.S.B().Places.Get(p.At.Record); ok {
			p.expects(&f, place)
		} else {
			p.devices(&f)
		}
	case p.At.Mode == partRepair:
		p.repairs(&f)
	case strings.HasPrefix(p.At.Mode, "g"):
		p.group(&f)
	default:
		p.groups(&f)
	}
	return f.UI()
}

// groups is where one begins.
func (p *page) groups(f *kit.Frame) {
	back := p.At.On("plan")
	f.Title, f.Back = "Prove", &back
	var next *prove.Test
	for _, g := range prove.Groups {
		c := p.state.Count(func(t *prove.Test) bool { return t.Group == g })
		if c.All == 0 {
			continue
		}
		under := strconv.Itoa(c.Left()) + " to do"
		if c.Bad > 0 {
			under += ", " + strconv.Itoa(c.Bad) + " failed"
		}
		if c.Skipped > 0 {
			under += ", " + strconv.Itoa(c.Skipped) + " skipped"
		}
		mark := ""
		if c.Good == c.All {
			mark = "✓"
		}
		to := p.home().In(groupMode(g))
		f.Body = append(f.Body, kit.Row(mark, string(g), under, strconv.Itoa(c.Good), "of "+strconv.Itoa(c.All), kit.To(to), to))
		if t := p.state.Next(g, nil); next == nil && t != nil {
			next = t
		}
	}
	if n := len(p.state.Repairs()); n > 0 {
		to := p.home().In(partRepair)
		f.Body = append([]app.UI{kit.Row("✕", "To repair", "what failed, by place", strconv.Itoa(n), "", kit.To(to), to)}, f.Body...)
	}
	to := p.home().In(partExpect)
	f.Body = append(f.Body, kit.Row("", "What devices should read", "from their own papers", strconv.Itoa(p.S.B().Expects.Len()), "entered", kit.To(to), to))
	f.Body = append(f.Body, kit.Section("Who and with what", ""),
		kit.Field("Who tests", p.S.Device.Prefs.Get("prove:who"), "", p.onWho),
		kit.Field("Meter leads held together, ohm", p.S.Device.Prefs.Get("prove:leads"), "0.2", p.onAmount("leads", "resistance in ohm", 0, worstLeads), "leads"),
		kit.Field("The loom is at, °C", p.S.Device.Prefs.Get("prove:celsius"), "20", p.onAmount("celsius", "temperature in °C", coldest, hottest), "celsius"))
	if next != nil {
		to := p.home().In(groupMode(next.Group)).With(next.ID)
		f.Foot = []app.UI{kit.Act("Next: "+p.sheet.Title(next), kit.To(to), to)}
	}
}

func (p *page) group(f *kit.Frame) {
	n, err := strconv.Atoi(strings.TrimPrefix(p.At.Mode, "g"))
	if err != nil || n < 0 || n >= len(prove.Groups) {
		return
	}
	g := prove.Groups[n]
	f.Title = string(g)
	f.Body = append(f.Body, p.last())
	drawn, phase := 0, -1
	for i := range p.sheet.Tests {
		t := &p.sheet.Tests[i]
		if t.Group != g {
			continue
		}
		if g == prove.Power && t.Phase != phase {
			phase = t.Phase
			f.Body = append(f.Body, kit.Section(strconv.Itoa(phase+1)+" "+prove.Phases[phase], ""))
		}
		if drawn++; drawn <= rows {
			f.Body = append(f.Body, p.row(t))
		}
	}
	if drawn > rows {
		f.Body = append(f.Body, kit.Lines(strconv.Itoa(drawn-rows)+" more follow as these are done."))
	}
	if t := p.state.Next(g, nil); t != nil {
		f.Foot = []app.UI{kit.Act("Next: "+p.sheet.Title(t), kit.To(p.At.With(t.ID)), p.At.With(t.ID))}
	}
}

// rows is how many are drawn of a group. Source: our choice, as in all lists.
const rows = 120

func (p *page) row(t *prove.Test) app.UI {
	to := p.home().In(groupMode(t.Group)).With(t.ID)
	return kit.Row(sign(p.state.Of(t)), p.sheet.Title(t), kit.PlaceName(p.S.B(), t.Place), "", string(p.state.Of(t)), kit.To(to), to)
}

func sign(o harness.Outcome) string {
	switch o {
	case harness.Passed:
		return "✓"
	case harness.Failed:
		return "✕"
	case harness.Skipped:
		return "…"
	case harness.NotApplicable:
		return "–"
	}
	return "○"
}

// last says in a big colour what came of the test before.
func (p *page) last() app.UI {
	if p.said == "" {
		return nil
	}
	return kit.Note(p.tone, p.said+".", "")
}

func (p *page) repairs(f *kit.Frame) {
	f.Title = "To repair"
	for _, t := range p.state.Repairs() {
		f.Body = append(f.Body, p.row(t))
	}
	if len(f.Body) == 0 {
		f.Body = append(f.Body, kit.Note("good", "Nothing to repair.", ""))
	}
}

func historyLine(r *harness.Result) string {
	words := []string{kit.Day(r.At), string(r.Outcome)}
	if r.Value != nil {
		words = append(words, prove.With(*r.Value, r.Unit))
	}
	for _, w := range []string{r.Who, r.Why} {
		if w != "" {
			words = append(words, w)
		}
	}
	return strings.Join(words, ", ")
}

// reason asks why a test is not done.
func (p *page) reason(f *kit.Frame, t *prove.Test) {
	back := p.At.In(strings.TrimSuffix(p.At.Mode, partWhy))
	f.Title, f.Back = "Why not?", &back
	f.Body = []app.UI{app.P().Class("lede").Text(p.sheet.Title(t)), kit.Field("Why", p.why, "no meter at hand", p.onWhy, t.ID)}
	f.Foot = []app.UI{kit.Act("Skip it for now", p.onReason(t, harness.Skipped), t.ID), kit.Plain("It does not apply", p.onReason(t, harness.NotApplicable), t.ID)}
}
