package walk

import (
	"strconv"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/calc/harness"
	"loomwright/calc/survey"
	"loomwright/calc/unit"
)

func (w *walk) onWay(y way) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		w.quiet()
		d := w.d
		if d.Zero {
			d.Zero, d.Text = false, d.Kept
		}
		d.Way = y
		if y == wayCheck && d.Check.From == "" {
			d.Check = checkFrom(w.S.B(), d.At)
		}
		if !d.To.chosen() || y.strings() {
			d.To = d.first(w.S.B(), w.S.Lengths(), d.At)
		}
		w.keep(d)
		if w.At.Mode != "" {
			kit.Go(ctx, w.here())
		}
	}
}

// onMethod sets how the next readings are taken.
func (w *walk) onMethod(m harness.Method) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		d := w.d
		d.Method = m
		w.keep(d)
	}
}

// onCorner counts one corner more for the next reading; after nine it is none again.
func (w *walk) onCorner(ctx app.Context, _ app.Event) {
	d := w.d
	n := (w.corners() + 1) % 10
	d.With.Corners = &n
	w.keep(d)
}

// corners are those of the next reading: counted, or as its run has them.
func (w *walk) corners() int {
	if c := w.d.With.Corners; c != nil {
		return *c
	}
	r, _ := w.S.B().Runs.Get(w.d.To.Run)
	return r.Corners
}

func (w *walk) onCornersOfRun(ctx app.Context, _ app.Event) {
	d := w.d
	d.With.Corners = nil
	w.keep(d)
}

func (w *walk) onThick(l unit.Length) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		d := w.d
		d.With.Thick = &l
		w.keep(d)
	}
}

func (w *walk) onSigma(l unit.Length) app.EventHandler {
	return func(ctx app.Context, _ app.Event) {
		d := w.d
		d.With.Sigma = &l
		if l == 0 {
			d.With.Sigma = nil
		}
		w.keep(d)
	}
}

func (w *walk) onNote(ctx app.Context, _ app.Event) {
	d := w.d
	d.With.Note = kit.Value(ctx)
	w.keep(d)
}

// thicks and sigmas are the answers that are one tap away. Source: our choice: cords and cables that hold a bend, and
// what a careful or a hurried reading is off.
var (
	thicks = []unit.Length{2 * unit.Millimetre, 3 * unit.Millimetre, 5 * unit.Millimetre, 8 * unit.Millimetre, 12 * unit.Millimetre, 20 * unit.Millimetre}
	sigmas = []unit.Length{1 * unit.Millimetre, 2 * unit.Millimetre, 5 * unit.Millimetre, 10 * unit.Millimetre, 20 * unit.Millimetre}
)

// spreadWords is how far off readings by a method are likely to be: "4 mm + 0.3 %".
func spreadWords(s harness.Spread, sys unit.System) string {
	words := ""
	if s.Fixed > 0 {
		words = s.Fixed.Format(sys)
	}
	if s.Percent > 0 {
		if words != "" {
			words += " + "
		}
		words += strconv.FormatFloat(s.Percent, 'f', -1, 64) + " %"
	}
	if s.Least > 0 {
		words += ", at least " + s.Least.Format(sys)
	}
	if words == "" {
		return survey.LeastSigma.Format(sys)
	}
	return words
}

// thickOf is the string's diameter of a build.
func thickOf(s harness.Settings) unit.Length {
	if s.StringThick != nil && *s.StringThick > 0 {
		return *s.StringThick
	}
	return survey.DefaultThick
}

// how is all that a reading states beside its number. What is set here is for the readings to come.
func (w *walk) how() []app.UI {
	b, sys := w.S.B(), w.system()
	var wayChips, methodChips, thickChips, sigmaChips []app.UI
	for _, y := range ways {
		name, _, does := y.words()
		wayChips = append(wayChips, app.Button().Type("button").Class("plain wide").Aria("pressed", y == w.d.Way).
			OnClick(w.onWay(y), string(y)).Body(app.Text(name), app.Small().Text(does)))
	}
	for _, m := range append(methods, harness.ByDrawing) {
		s, _ := survey.SpreadOf(b.Settings, m)
		methodChips = append(methodChips, kit.Choice(methodWord(m), "± "+spreadWords(s, sys), m == w.d.Method, w.onMethod(m), string(m)))
	}
	thick := thickOf(b.Settings)
	if w.d.With.Thick != nil {
		thick = *w.d.With.Thick
	}
	for _, l := range thicks {
		thickChips = append(thickChips, kit.Choice(l.Format(sys), "", l == thick, w.onThick(l), int64(l)))
	}
	sigmaChips = append(sigmaChips, kit.Choice("by the method", "", w.d.With.Sigma == nil, w.onSigma(0), 0))
	for _, l := range sigmas {
		sigmaChips = append(sigmaChips, kit.Choice(give(l, sys), "", w.d.With.Sigma != nil && *w.d.With.Sigma == l, w.onSigma(l), int64(l)))
	}
	corners := "as the run has them"
	if w.d.With.Corners != nil {
		corners = plural(*w.d.With.Corners, "corner", "corners")
	}
	help, settings := w.here().In(partHelp), w.At.On("plan").In("readings")
	return []app.UI{
		kit.Section("The way", "switch whenever you like"), app.Div().Class("stack").Body(wayChips...),
		kit.Section("Read by", "until you change it"), kit.Chips(methodChips...),
		kit.Section("Thickness of the string", "until you change it"), kit.Chips(thickChips...),
		kit.Lines("A string thinner than the loom reads short round a corner. Count the corners, and the app adds what is missing."),
		kit.Section("The next reading only", ""),
		app.P().Text("Give or take:"), kit.Chips(sigmaChips...),
		app.Div().Class("line mid").Body(
			app.Span().Class("grow").Text("Corners of 90 degrees: "+corners),
			kit.Plain("One more", w.onCorner, w.corners()), kit.Plain("As the run", w.onCornersOfRun, w.corners()),
		),
		kit.Field("Note", w.d.With.Note, "bonnet open, engine on its mounts", w.onNote, "note"),
		kit.Chips(kit.Plain("Before the walk: what to know", kit.To(help), help), kit.Plain("Settings for readings", kit.To(settings), settings)),
	}
}

// helpKey is the preference that says that the card was read. It is of the phone, not of a build.
const helpKey = "walk-help"

func (w *walk) onHelpRead(ctx app.Context, _ app.Event) {
	w.S.Device.Prefs.Put(helpKey, "read")
	if w.At.Mode != "" {
		kit.Go(ctx, w.here())
	}
}

// helpPoints are what to know before the walk.
//
// Source: common practice; the rope that reads corners right is derived: a string as thick as the loom runs along its middle.
var helpPoints = []struct{ strong, rest string }{
	{"Mount everything first,", "or decide where it sits. A length to a place that moves is measured twice."},
	{"Take a cord,", "or a pale spare cable of 2 to 5 mm² that holds a bend and takes pen marks. Nothing that stretches."},
	{"A rope about as thick as the loom", "reads corners right. With a thinner string count the 90 degree corners."},
	{"Lay it where the loom will lie,", "through the same holes, with the same slack. Never straight across."},
	{"Measure to the centre of each breakout, exactly.", "Splits cannot be moved later. Ends may stay long: they are trimmed in the car."},
	{"Read long runs twice,", "and check from end to end: then a slip shows before anything is cut."},
}

func (w *walk) helpView() []app.UI {
	var body []app.UI
	for _, h := range helpPoints {
		body = append(body, kit.Note("", h.strong, h.rest))
	}
	return body
}

// helpCard is in the place of the sketch until it was read once.
func (w *walk) helpCard() app.UI {
	to := w.here().In(partHelp)
	body := []app.UI{
		app.Div().Class("line mid").Body(
			app.B().Class("grow").Text("Before the walk"),
			kit.Plain("Read on", kit.To(to), to), kit.Plain("Got it", w.onHelpRead, "card"),
		),
	}
	for _, h := range helpPoints {
		body = append(body, app.P().Class("small").Body(app.B().Text(h.strong), app.Text(" "+h.rest)))
	}
	return app.Div().Class("paper short helpcard stack").Body(body...)
}
