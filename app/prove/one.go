package prove

import (
	"strconv"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/calc/harness"
	"loomwright/calc/prove"
)

// test is one test in huge type.
func (p *page) test(f *kit.Frame, t *prove.Test) {
	back := p.home().In(groupMode(t.Group))
	f.Title, f.Back = string(t.Group), &back
	if t.Group == prove.Power {
		f.Title = prove.Phases[t.Phase]
	}
	f.Body = append(f.Body, p.last(), app.P().Class("big word").Text(p.sheet.Title(t)), app.P().Class("lede").Text(p.sheet.Say(t)), p.voice.Button(p.S, t.ID, p.words(t)))
	if t.Care != "" {
		f.Body = append(f.Body, kit.Note("warn", "Care.", t.Care))
	}
	blocked := p.state.Blocked(t)
	if blocked != "" {
		f.Body = append(f.Body, kit.Note("warn", "Not yet:", blocked+"."))
	}
	p.settings(f, t)
	p.probes(f, t)
	p.limits(f, t)
	if t.Of.Kind == harness.KindPlace && t.Ask == prove.Number && (t.Unit == "ohm" || t.Unit == "V") {
		to := p.expectAt(t.Of.ID)
		f.Body = append(f.Body, kit.Plain("Enter what its papers say", kit.To(to), to))
	}
	if v, ok := p.keyed(t); ok && t.Bus() {
		f.Body = append(f.Body, kit.Note("", prove.With(v, t.Unit)+":", prove.BusMeans(v)+"."))
	}
	if all := p.state.History(t); len(all) > 0 {
		f.Body = append(f.Body, kit.Section("So far", strconv.Itoa(len(all))))
		for i := len(all) - 1; i >= 0; i-- {
			f.Body = append(f.Body, kit.Lines(historyLine(&all[i])))
		}
	}
	if why := p.At.In(p.At.Mode + partWhy); t.Group != prove.Gate {
		f.Body = append(f.Body, kit.Plain("Skip, or does not apply", kit.To(why), why))
	}
	if blocked != "" {
		f.Foot = []app.UI{kit.Act("All tests", kit.To(p.home()), p.home())}
		if n := p.state.Next(prove.Gate, nil); n != nil {
			to := p.home().In(groupMode(prove.Gate)).With(n.ID)
			f.Foot = []app.UI{kit.Act("First: "+n.Name, kit.To(to), to)}
		}
		return
	}
	if t.Ask == prove.Number {
		f.Pad = app.Div().Class("stack").Body(app.Div().Class("line mid").Body(app.Span().Class("big caret").Text(string(p.entry)), app.Span().Class("both").Text(t.Unit), kit.Plain(".", p.onPoint, t.ID)),
			p.judging(t), kit.Keys("", "OK", p.onKey(t)))
		return
	}
	f.Foot = []app.UI{kit.Half(prove.Good(t), p.onKeep(t, harness.Passed), t.ID), kit.Danger("No: it fails", p.onKeep(t, harness.Failed), t.ID)}
}

// probes shows where the probes go: the cavity in its connector, from the side that is seen, and the place on the sketch.
func (p *page) probes(f *kit.Frame, t *prove.Test) {
	from := harness.Face(p.S.Device.Prefs.Get(prefFace))
	if from == harness.NoFace {
		from = harness.MatingFace
	}
	drawn := false
	for i, at := range []prove.Point{t.A, t.B} {
		if view := kit.Cavities(p.S.B(), p.net, string(at), from); view != nil {
			drawn = true
			f.Body = append(f.Body, kit.Section([]string{"Red", "Black"}[i], ""), view)
		}
	}
	if drawn {
		other := harness.WireSide
		if from == harness.WireSide {
			other = harness.MatingFace
		}
		f.Body = append(f.Body, kit.Plain("Turn it: "+kit.FaceWord(other), func(app.Context, app.Event) { p.S.Device.Prefs.Put(prefFace, string(other)) }, t.ID, string(other)))
	}
	var runs []string
	for _, id := range t.Wires {
		if w, ok := p.S.B().Wires.Get(id); ok {
			if path, err := p.S.Graph().Wire(w); err == nil {
				runs = append(runs, path.Runs...)
			}
		}
	}
	f.Light(t.Place, runs)
}

// prefFace is the side that connectors are looked at from while probing.
const prefFace = "prove:face"

// judging is for a reading that has no limits: the person says what it is worth.
func (p *page) judging(t *prove.Test) app.UI {
	if low, high := p.sheet.Bounds(t, p.celsius()); low != nil || high != nil {
		return nil
	}
	return kit.Even(kit.Plain("Good", p.onJudged(t, harness.Passed), t.ID), kit.Danger("Fails", p.onJudged(t, harness.Failed), t.ID))
}

// limits shows what is good and what it is made of.
func (p *page) limits(f *kit.Frame, t *prove.Test) {
	if len(t.Wires) > 0 {
		x := p.sheet.Expect(t, p.celsius())
		if x.Unknown != "" {
			f.Body = append(f.Body, kit.Lines("Expected: unknown. "+x.Unknown))
		} else {
			value := prove.With(x.Ohm, "ohm")
			if x.Volts > 0 {
				value = prove.With(x.Volts, "V")
			}
			f.Body = append(f.Body, kit.Section("Expected", value))
			for _, term := range x.Terms {
				f.Body = append(f.Body, kit.Lines(term.Name+": "+term.String()))
			}
		}
	}
	if l := prove.Limits(t); l != "" {
		f.Body = append(f.Body, kit.Section("Good is", l))
	}
	if t.Source != "" {
		f.Body = append(f.Body, kit.Lines("Source: "+t.Source))
	}
}
