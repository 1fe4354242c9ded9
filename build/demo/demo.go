package demo

import (
	"slices"
	"strconv"
	"strings"
	"time"

	"loomwright/calc/harness"
	"loomwright/calc/unit"
	"loomwright/storage"
)

// Log returns the demo build as a log of at least this many edits; 0 is the build as it is, which is the kept file.
// What is missing is filled up with what people do to a build over the years: second readings, names put right, ticks
// set and taken back, undo. The places, runs, wires and tags that live at the end are the same.
func Log(edits int) (*storage.Log, error) {
	phone := newHand("phone", time.Date(2026, 3, 14, 9, 10, 0, 0, time.UTC), 1)
	phone.begin()
	phone.walk()

	// The lists are typed at a table, on a tablet, while the phone goes back to the car.
	tablet := newHand("tablet", phone.now.Add(2*time.Hour), 2)
	_, err := tablet.log.Add(phone.log.Lines())
	tablet.fail(err)
	tablet.taken = phone.taken
	tablet.pins()
	tablet.joints()
	tablet.wires()
	phone.checks()
	phone.fail(tablet.err)
	phone.merge(tablet)
	tablet.plan()
	phone.fail(tablet.err)
	phone.work()
	phone.merge(tablet)
	phone.years(edits)
	return phone.log, phone.err
}

// begin fills in the form of a new build.
func (h *hand) begin() {
	h.tap(0, create(harness.KindSettings, BuildID, harness.Settings{
		Title: "Roadster, inline four",
		Car:   "kit roadster, 3.6 m, engine in front, driven at the rear",
		Unit:  unit.Metric,
		Volts: 12,
	}))
	for i, name := range []string{mainLoom, powerLoom, cabinLoom} {
		h.tap(8*time.Second, create(harness.KindLoom, id(harness.KindLoom, name), harness.Loom{Name: name, Order: float64(i + 1)}))
	}
}

// tagged are the kinds of place that carry a tag: connectors, branches, holes and panels.
var tagged = []harness.PlaceKind{
	harness.Controller, harness.Device, harness.Split, harness.PassThrough, harness.Panel, harness.TerminalStrip, harness.Inline,
}

// walk goes along the route: each place with the run to it and its length, then what is to be said about it.
func (h *hand) walk() {
	h.now = h.now.Add(20 * time.Minute)
	for i, s := range walk {
		placeID, runID := id(harness.KindPlace, s.place), runBetween(s.from, s.place)
		order := float64(i + 1)
		changes := []storage.Change{create(harness.KindPlace, placeID, harness.Place{Name: s.place, Kind: s.kind, Order: order})}
		if slices.Contains(tagged, s.kind) {
			changes = append(changes, h.tags(harness.KindPlace, placeID, "")...)
		}
		if s.from != "" {
			run, err := newRun(s.from, s.place, s.loom, "", order)
			h.fail(err)
			changes = append(changes, create(harness.KindRun, runID, run))
			if s.length != "" {
				changes = append(changes, h.reading("walk "+s.place, s.length, harness.ByString, "", s.from, s.place))
			}
		}
		h.tap(35*time.Second, changes...)
		h.flags(runID, s.flags)
		h.describe(placeID, s)
		h.terminals(s)
	}
	for i, l := range links {
		run, err := newRun(l.a, l.b, l.loom, "", float64(len(walk)+i+1))
		h.fail(err)
		changes := []storage.Change{create(harness.KindRun, runBetween(l.a, l.b), run)}
		if l.length != "" {
			changes = append(changes, h.reading("walk "+l.a+" "+l.b, l.length, harness.ByString, "", l.a, l.b))
		}
		h.tap(35*time.Second, changes...)
		h.flags(runBetween(l.a, l.b), l.flags)
	}
}

// flags taps each flag of a run.
func (h *hand) flags(runID, flags string) {
	for _, flag := range list(flags) {
		set, err := newRun("", "", "", flag, 0)
		h.fail(err)
		h.tap(2*time.Second, edit(&h.log.State().Runs, harness.KindRun, runID, func(r *harness.Run) {
			r.Hot, r.Moves, r.Wet = r.Hot || set.Hot, r.Moves || set.Moves, r.Wet || set.Wet
			r.Drip, r.Sharp, r.Clip = r.Drip || set.Drip, r.Sharp || set.Sharp, r.Clip || set.Clip
			r.Corners += set.Corners
		}))
	}
}

// describe taps the status of a place and types what is known of it.
func (h *hand) describe(placeID string, s step) {
	places := &h.log.State().Places
	set := func(after time.Duration, f func(*harness.Place)) {
		h.tap(after, edit(places, harness.KindPlace, placeID, f))
	}
	if s.status != harness.Open {
		set(3*time.Second, func(p *harness.Place) { p.Status = s.status })
	}
	if slices.Contains(inCar, s.place) {
		set(3*time.Second, func(p *harness.Place) { p.Fixed = harness.InCar })
	}
	if mm := lowers[s.place]; mm != 0 {
		set(6*time.Second, func(p *harness.Place) { p.Travel = millimetres(mm) })
	}
	if s.note != "" {
		set(20*time.Second, func(p *harness.Place) { p.Note = s.note })
	}
}

// terminals enters the connector of a place in one go.
func (h *hand) terminals(s step) {
	var changes []storage.Change
	for i, end := range list(s.ends) {
		t := harness.Terminal{Place: id(harness.KindPlace, s.place), Name: end, Order: float64(i + 1)}
		if connector, name, ok := strings.Cut(end, ":"); ok {
			t.Connector, t.Name = connector, name
		}
		switch {
		case fuses[t.Connector] != "":
			t.Note = "fuse " + fuses[t.Connector] + " A"
		case relays[t.Connector] != "":
			t.Note = relays[t.Connector]
		}
		changes = append(changes, create(harness.KindTerminal, terminalAt(s.place, end), t))
	}
	if len(changes) > 0 {
		h.tap(15*time.Second, changes...)
	}
}

// pins types the controller's pins, each with its lead.
func (h *hand) pins() {
	for i, p := range pins {
		terminalID, order := terminalAt("Controller", p.cavity), float64(i+1)
		t := harness.Terminal{Place: id(harness.KindPlace, "Controller"), Connector: p.cavity[:1], Name: p.cavity[1:], Order: order}
		if p.size == "" {
			t.Note = p.note
			h.tap(12*time.Second, create(harness.KindTerminal, terminalID, t))
			continue
		}
		lead := harness.Lead{Terminal: terminalID, Legend: p.legend, Length: millimetres(p.supplied), Order: order}
		if p.to == "" {
			lead.Note = p.note
		}
		var err error
		lead.Size, lead.Base, lead.Tracer, err = sizeAndColours(p.size, p.colour)
		h.fail(err)
		h.tap(15*time.Second, create(harness.KindTerminal, terminalID, t), create(harness.KindLead, id(harness.KindLead, p.cavity), lead))
	}
}

// joints names the joints.
func (h *hand) joints() {
	for i, j := range joints {
		h.tap(12*time.Second, create(harness.KindJoint, id(harness.KindJoint, j.name), harness.Joint{
			Name: j.name, Place: id(harness.KindPlace, j.place), Note: j.note, Order: float64(i + 1),
		}))
	}
}

// wires types the wires, each with a tag for both of its ends: first those that are leads, then those to be cut.
func (h *hand) wires() {
	n := 0
	put := func(row added, lead string) {
		n++
		w := harness.Wire{
			Name: "W" + strconv.Itoa(n), Function: row.function, From: endAt(row.from), To: endAt(row.to),
			Looms: loomIDs(row.looms), Lead: lead, Twist: row.twist, Note: row.note, Order: float64(n),
		}
		var err error
		w.Size, w.Base, w.Tracer, err = sizeAndColours(row.size, row.colour)
		h.fail(err)
		wireID := id(harness.KindWire, row.function)
		h.tap(25*time.Second, append([]storage.Change{create(harness.KindWire, wireID, w)},
			h.tags(harness.KindWire, wireID, harness.FromEnd, harness.ToEnd)...)...)
	}
	for _, p := range pins {
		if p.to != "" {
			put(added{p.function, "Controller/" + p.cavity, p.to, p.size, p.colour, p.looms, p.twist, p.note}, id(harness.KindLead, p.cavity))
		}
	}
	for _, w := range wires {
		put(w, "")
	}
}

// checks measures some runs a second time.
func (h *hand) checks() {
	h.now = h.now.Add(3 * time.Hour)
	for i, c := range checks {
		h.now = h.now.Add(2 * time.Minute)
		h.tap(0, h.reading("check "+strconv.Itoa(i+1), c.length, c.method, c.note, c.places...))
	}
}

// merge takes in what was typed on the other phone.
func (h *hand) merge(other *hand) {
	if h.err != nil {
		return
	}
	if next := other.now.Add(5 * time.Minute); next.After(h.now) {
		h.now = next
	}
	_, err := h.log.Merge(h.device, h.at(), other.log.Lines())
	h.fail(err)
}

// work ticks off what was cut and trimmed, and measures one run once more.
func (h *hand) work() {
	h.now = h.now.Add(6 * 24 * time.Hour)
	for _, d := range done {
		h.now = h.now.Add(4 * time.Minute)
		h.tap(0, edit(&h.log.State().Wires, harness.KindWire, id(harness.KindWire, d.function), func(w *harness.Wire) {
			work := &harness.Done{Length: unit.Length(d.mm) * unit.Millimetre, At: h.at()}
			if w.Lead != "" {
				w.Trimmed = work
			} else {
				w.Cut = work
			}
		}))
	}
	h.now = h.now.Add(24 * time.Hour)
	old := id(harness.KindReading, "walk "+late.places[len(late.places)-1])
	h.tap(0, h.reading("late", late.length, late.method, late.note, late.places...))
	h.tap(20*time.Second, edit(&h.log.State().Readings, harness.KindReading, old, func(r *harness.Reading) {
		r.Out, r.OutWhy = true, "before the new air box bracket"
	}))
}

// millimetres returns a length for a field that can be unknown.
func millimetres(mm int) *unit.Length {
	l := unit.Length(mm) * unit.Millimetre
	return &l
}
