package builds

import (
	"strconv"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/session"
	"loomwright/calc/harness"
	"loomwright/calc/unit"
)

// newBuild asks what a new build is called and what it counts in.
type newBuild struct {
	app.Compo
	S   *session.Session
	At  kit.Addr
	Rev int

	title, car string
	unit       unit.System
	volts      float64
	allow      harness.AllowBy
	err        error
	begun      bool
}

func (n *newBuild) start() {
	if n.begun {
		return
	}
	n.begun = true
	n.unit, n.volts = unit.Metric, 12
	if n.S.Device.Prefs.Get("unit") == string(unit.Imperial) {
		n.unit = unit.Imperial
	}
	n.title = n.S.Device.Prefs.Get("new:title") // a half-typed name survives going back and a reload
	n.car = n.S.Device.Prefs.Get("new:car")
}

func (n *newBuild) onTitle(ctx app.Context, _ app.Event) {
	n.title = kit.Value(ctx)
	n.S.Device.Prefs.Put("new:title", n.title)
}

func (n *newBuild) onCar(ctx app.Context, _ app.Event) {
	n.car = kit.Value(ctx)
	n.S.Device.Prefs.Put("new:car", n.car)
}

func (n *newBuild) onUnit(u unit.System) app.EventHandler {
	return func(app.Context, app.Event) { n.unit = u }
}

func (n *newBuild) onVolts(v float64) app.EventHandler {
	return func(app.Context, app.Event) { n.volts = v }
}

func (n *newBuild) onAllow(a harness.AllowBy) app.EventHandler {
	return func(app.Context, app.Event) { n.allow = a }
}

func (n *newBuild) onMake(ctx app.Context, _ app.Event) {
	title := n.title
	if title == "" {
		title = "My build"
	}
	err := n.S.Create(harness.Settings{Title: title, Car: n.car, Unit: n.unit, Volts: n.volts, AllowBy: n.allow})
	if n.err = err; err != nil {
		return
	}
	prefs := n.S.Device.Prefs
	prefs.Put("unit", string(n.unit))
	prefs.Put("new:title", "")
	prefs.Put("new:car", "")
	n.begun = false
	n.S.AskToKeep(ctx)
	kit.Go(ctx, kit.Addr{Build: n.S.ID(), Page: "walk"})
}

// Render draws the page.
func (n *newBuild) Render() app.UI {
	n.start()
	volts := []float64{6, 12, 24}
	body := []app.UI{
		kit.Field("What it is called", n.title, "My build", n.onTitle),
		kit.Field("The car (free text)", n.car, "kit roadster, inline four", n.onCar),
		kit.Section("Lengths in", "can be switched at any time"),
		kit.Even(
			kit.Choice("mm", "368", n.unit == unit.Metric, n.onUnit(unit.Metric), unit.Metric),
			kit.Choice("inch", "14 1/2", n.unit == unit.Imperial, n.onUnit(unit.Imperial), unit.Imperial),
		),
		kit.Section("Supply", "volts"),
		app.Div().Class("chips even").Body(app.Range(volts).Slice(func(i int) app.UI {
			v := strconv.FormatFloat(volts[i], 'f', -1, 64)
			return kit.Choice(v+" V", "", n.volts == volts[i], n.onVolts(volts[i]), volts[i])
		})),
		kit.Section("Added to every wire", "can be changed later"),
		kit.Even(
			kit.Choice("Term by term", "each with its reason", n.allow == harness.AllowTerms, n.onAllow(harness.AllowTerms), "terms"),
			kit.Choice("100 mm", "flat", n.allow == harness.AllowFlat, n.onAllow(harness.AllowFlat), "flat"),
			kit.Choice("20 %", "of the route", n.allow == harness.AllowPercent, n.onAllow(harness.AllowPercent), "percent"),
		),
	}
	if n.err != nil {
		body = append(body, kit.Note("bad", "It could not be made.", kit.Explain(n.err)))
	}
	return kit.Frame{S: n.S, Bare: true, Title: "New build", Back: &kit.Addr{}, Body: body,
		Foot: []app.UI{kit.Act("Make it and walk the route", n.onMake)}}.UI()
}
