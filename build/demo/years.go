package demo

import (
	"fmt"
	"math/rand/v2"
	"time"

	"loomwright/calc/harness"
	"loomwright/calc/unit"
	"loomwright/storage"
)

// someHabits is how many rounds of small corrections the build has in its kept file.
const someHabits = 20

// years adds small corrections, as people make them, until there are this many edits. Each ends where it began.
func (h *hand) years(edits int) {
	r := rand.New(rand.NewPCG(3600, 4)) // a fixed seed: the same edits each time
	habits := []func(*rand.Rand, int){h.readAgain, h.rename, h.recolour, h.flip, h.undo, h.redo, h.detour, h.tick}
	for round := 0; h.err == nil && (round < someHabits || h.log.Len() < edits); round++ {
		h.now = h.now.Add(time.Duration(1+r.IntN(90)) * time.Minute)
		habits[r.IntN(len(habits))](r, round)
	}
}

// pick returns one of the records.
func pick[T any](r *rand.Rand, table *harness.Table[T]) T {
	all := table.All()
	return all[r.IntN(len(all))]
}

// readAgain types a wrong number, then the right one: each time a new reading takes the place of the old.
func (h *hand) readAgain(r *rand.Rand, round int) {
	old := pick(r, &h.log.State().Readings)
	next := old
	for try, slip := range []unit.Length{10 * unit.Millimetre, 0} {
		nextID := id(harness.KindReading, "again", fmt.Sprint(round), fmt.Sprint(try))
		next.Value, next.At = old.Value+slip, h.at()
		next.Text = next.Value.Exact(unit.Metric)
		h.tap(20*time.Second, storage.Delete(harness.KindReading, next.ID), create(harness.KindReading, nextID, next))
		next.ID = nextID
	}
}

// rename doubts what a wire is for, and finds that it was right.
func (h *hand) rename(r *rand.Rand, _ int) {
	w := pick(r, &h.log.State().Wires)
	for _, text := range []string{w.Function + " ?", w.Function} {
		h.wire(30*time.Second, w.ID, func(w *harness.Wire) { w.Function = text })
	}
}

// recolour chooses a wrong tracer, then the right one.
func (h *hand) recolour(r *rand.Rand, _ int) {
	w := pick(r, &h.log.State().Wires)
	for _, tracer := range []string{"turquoise", w.Tracer} {
		h.wire(8*time.Second, w.ID, func(w *harness.Wire) { w.Tracer = tracer })
	}
}

// flip taps the wrong status, then the right one.
func (h *hand) flip(r *rand.Rand, _ int) {
	p := pick(r, &h.log.State().Places)
	wrong := harness.Decided
	if p.Status == wrong {
		wrong = harness.Mounted
	}
	for _, status := range []harness.PlaceStatus{wrong, p.Status} {
		h.tap(4*time.Second, edit(&h.log.State().Places, harness.KindPlace, p.ID, func(p *harness.Place) { p.Status = status }))
	}
}

// undo changes a size and takes it back.
func (h *hand) undo(r *rand.Rand, _ int) {
	w := pick(r, &h.log.State().Wires)
	h.wire(10*time.Second, w.ID, func(w *harness.Wire) { w.Size = "6.0 mm2" })
	h.back(3 * time.Second)
}

// redo writes a note, takes it back, wants it after all, and takes it back for good.
func (h *hand) redo(r *rand.Rand, _ int) {
	p := pick(r, &h.log.State().Places)
	h.tap(30*time.Second, edit(&h.log.State().Places, harness.KindPlace, p.ID, func(p *harness.Place) { p.Note += " (look again)" }))
	h.back(5 * time.Second)
	if h.err == nil {
		h.now = h.now.Add(5 * time.Second)
		_, _, err := h.log.Redo(h.device, h.at())
		h.fail(err)
	}
	h.back(5 * time.Second)
}

// detour adds a device to a split, with its run, and deletes both again.
func (h *hand) detour(r *rand.Rand, round int) {
	from := pick(r, &h.log.State().Places)
	loom := pick(r, &h.log.State().Looms)
	name := fmt.Sprintf("Trial %d", round)
	placeID, runID := id(harness.KindPlace, name), runBetween(from.Name, name)
	h.tap(40*time.Second,
		create(harness.KindPlace, placeID, harness.Place{Name: name, Kind: harness.Device, Order: float64(1000 + round)}),
		create(harness.KindRun, runID, harness.Run{A: from.ID, B: placeID, Loom: loom.ID, Order: float64(1000 + round)}))
	h.tap(50*time.Second, storage.Delete(harness.KindRun, runID), storage.Delete(harness.KindPlace, placeID))
}

// tick marks a wire as cut, and takes the tick away.
func (h *hand) tick(r *rand.Rand, _ int) {
	w := pick(r, &h.log.State().Wires)
	if w.Cut != nil || w.Lead != "" {
		return
	}
	h.wire(5*time.Second, w.ID, func(w *harness.Wire) { w.Cut = &harness.Done{Length: 900 * unit.Millimetre, At: h.at()} })
	h.wire(5*time.Second, w.ID, func(w *harness.Wire) { w.Cut = nil })
}

// wire changes one wire.
func (h *hand) wire(after time.Duration, wireID string, f func(*harness.Wire)) {
	h.tap(after, edit(&h.log.State().Wires, harness.KindWire, wireID, f))
}

// back undoes the last entry.
func (h *hand) back(after time.Duration) {
	if h.err != nil {
		return
	}
	h.now = h.now.Add(after)
	_, _, err := h.log.Undo(h.device, h.at())
	h.fail(err)
}
