package prove

import (
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/calc/harness"
	"loomwright/calc/prove"
	"loomwright/calc/unit"
	"loomwright/storage"
)

// settingFields are how the controller must be set for a pin.
var settingFields = [...]struct {
	label, hint string
	get         func(l *harness.Lead) string
	set         func(l *harness.Lead, text string) bool
}{
	{"Sensor type", "NTC 2.5 kohm at 20 °C", func(l *harness.Lead) string { return l.Sensor }, func(l *harness.Lead, text string) bool { l.Sensor = text; return true }},
	{"Pull-up, ohm", "0 is none", pullUp, setPullUp},
	{"Polarity", "falling edge", func(l *harness.Lead) string { return l.Polarity }, func(l *harness.Lead, text string) bool { l.Polarity = text; return true }},
	{"Coil type", "with driver, 3 ms", func(l *harness.Lead) string { return l.Coil }, func(l *harness.Lead, text string) bool { l.Coil = text; return true }},
	{"Injector type", "high impedance", func(l *harness.Lead) string { return l.Injector }, func(l *harness.Lead, text string) bool { l.Injector = text; return true }},
}

func pullUp(l *harness.Lead) string {
	if l.PullUp == nil {
		return ""
	}
	return unit.Shown(*l.PullUp)
}

func setPullUp(l *harness.Lead, text string) bool {
	if text == "" {
		l.PullUp = nil
		return true
	}
	v, ok := unit.ParseAmount(text, 0, 1e9)
	if !ok {
		return false
	}
	l.PullUp = &v
	return true
}

// settings lets a person enter how the controller is set for the pin of a test.
func (p *page) settings(f *kit.Frame, t *prove.Test) {
	l, ok := p.S.B().Leads.Get(t.Of.ID)
	if t.Group != prove.Power || t.Ask != prove.Yes || t.Of.Kind != harness.KindLead || !ok || prove.Phases[t.Phase] != "Settings sheet" {
		return
	}
	f.Body = append(f.Body, kit.Section("How this pin is set", ""))
	for i := range settingFields {
		x := &settingFields[i]
		f.Body = append(f.Body, kit.FieldDone(x.label, x.get(&l), x.hint, nil, p.onSetting(l.ID, i), l.ID, i))
	}
}

func (p *page) onSetting(id string, field int) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		old, ok := p.S.B().Leads.Get(id)
		if !ok {
			return
		}
		now := old
		if !settingFields[field].set(&now, strings.TrimSpace(kit.Value(ctx))) {
			p.refuse = "A pull-up is a number of ohms."
			return
		}
		p.refuse = ""
		if err := p.S.Do(storage.Put(harness.KindLead, id, old, now)); err != nil {
			p.refuse = kit.Explain(err)
		}
	}
}
