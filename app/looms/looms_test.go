package looms

import (
	"strings"
	"testing"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/session/sessiontest"
	"loomwright/calc/bundle"
	"loomwright/calc/harness"
	"loomwright/calc/loom"
	"loomwright/calc/rules"
	"loomwright/calc/unit"
	"loomwright/calc/wire"
)

var noEvent app.Event

// desk is the page with the demo.
type desk struct {
	*sessiontest.Bench
	work *worker
}

func newDesk(t *testing.T) *desk {
	d := &desk{Bench: sessiontest.Start(t, nil)}
	d.File("../../testdata/builds/roadster.build")
	d.work = newWorker(d.Session)
	return d
}

// page is a part of the page.
func (d *desk) page(record, mode string) *page {
	return &page{S: d.Session, Work: d.work, Rev: d.Rev(), At: kit.Addr{Build: d.ID(), Page: pageName, Record: record, Mode: mode}}
}

// shows opens a part and looks for texts.
func (d *desk) shows(record, mode string, texts ...string) {
	d.T.Helper()
	html := d.HTML(d.page(record, mode))
	for _, t := range texts {
		if !strings.Contains(html, t) {
			d.T.Errorf("%s %s does not show %q", record, mode, t)
		}
	}
}

// trunk is the run with the most wires.
func (d *desk) trunk() (f loom.Facts) {
	for _, x := range d.work.all() {
		if len(x.Wires) > len(f.Wires) {
			f = x
		}
	}
	return f
}

// pack does what the worker does behind the page.
func (d *desk) pack() {
	d.T.Helper()
	d.work.follow()
	packed, err := d.work.looms.Pack(bundle.NewPaced(bundle.Quick, nil))
	if err != nil {
		d.T.Fatal(err)
	}
	d.work.take(packed)
}

func TestEveryPartOpens(t *testing.T) {
	d := newDesk(t)
	d.shows("", "", "Packing the wires", "≈", "Cover of main", "Pass-throughs", "33 CFR 183.425", "Cross-sections")
	d.pack()
	run := d.trunk()
	d.shows(run.ID, "", "cross-section of", "Rule of thumb", "Grommet", "Bend", "Copper", "Lay up", "Core", "Wires in it", "as its loom")
	d.shows("", partHoles, "Main grommet", "size of the hole not known")
	d.shows(d.work.looms.Holes[0].ID, partHoles, "Hole, across", "The largest thing through it", "the easier side", "after pulling")
	d.shows("", partStock, "usual sizes, from memory", "heat-shrink 2:1", "grommet")
	d.shows("", partStock+".2", "Take these over", "1/8 in")
	d.shows("", partWires, "By the caliper, ", "mm2")
	d.shows("", partRules, "The default.", string(wire.AviationTable))
	d.shows("nothing", "", "No such run")
	d.shows("nothing", partHoles, "No such pass-through")
	d.shows("nothing", partLoom, "No such loom")
	d.shows("nothing", partStock, "No such size")
}

// The worker packs behind the page; the page stays open to taps meanwhile, and what is better replaces what was rough.
func TestWorkerPacksBehind(t *testing.T) {
	d := newDesk(t)
	run := ""
	for _, f := range d.work.all() { // one that is soon packed as well as it goes
		if len(f.Wires) == 2 && len(f.Missing()) == 0 {
			run = f.ID
		}
	}
	d.work.start(d.Ctx, run)
	for end := time.Now().Add(time.Minute); time.Now().Before(end); d.Loop.Consume() {
		if _, fine := d.work.fine[run]; fine && d.work.ready {
			break
		}
	}
	if _, fine := d.work.fine[run]; !fine || !d.work.ready {
		t.Fatal("nothing was packed")
	}
	d.shows(run, "", "packed as well as it goes")
	n := d.work.quick.Len()
	w := d.trunk().Wires[0].Wire
	p := d.page(w.ID, partWires)
	odd := 217 * unit.Millimetre / 100
	change(p, harness.KindWire, &d.B().Wires, w.ID, func(w *harness.Wire) { w.Outside = &odd })
	if d.work.follow(); d.work.ready {
		t.Fatal("what was packed still stands after a wire changed")
	}
	touched := map[string]bool{}
	for _, f := range d.work.all() {
		for _, x := range f.Wires {
			if x.ID == w.ID {
				touched[f.ID] = true
			}
		}
	}
	packed, err := d.work.looms.Pack(d.work.quick)
	if err != nil || len(packed) == 0 {
		t.Fatal(err)
	}
	// A run with shields or pairs packs each of them too, but those are there already.
	if more := d.work.quick.Len() - n; more < 1 || more > len(touched) {
		t.Errorf("%d new packings for one wire in %d runs", more, len(touched))
	}
}

// Every number of the page has an account.
func TestEveryFigure(t *testing.T) {
	d := newDesk(t)
	change(d.page("", ""), harness.KindLoom, &d.B().Looms, d.trunk().Loom, func(l *harness.Loom) { l.Cover = harness.Cover(bundle.Braid) })
	d.pack()
	n := 0
	for _, f := range d.work.all() {
		if len(f.Wires) == 0 {
			continue
		}
		for _, what := range []string{"dia", "thumb", "bend", "grommet", "copper", "mass", "cover"} {
			if what == "cover" && f.Cover == harness.CoverOpen {
				continue
			}
			n++
			if err := d.work.figure(what + "." + f.ID).Check(); err != nil {
				t.Error(what, err)
			}
		}
	}
	for _, h := range d.work.looms.Holes {
		if err := d.work.figure("pull." + h.ID).Check(); err != nil && len(h.Bundle.Wires) > 0 {
			t.Error(err)
		}
	}
	if n < 200 {
		t.Errorf("only %d figures", n)
	}
	for _, key := range []string{"", "dia", "dia.nothing", "pull.nothing", "what." + d.trunk().ID} {
		if f := d.work.figure(key); f.What != "" {
			t.Errorf("%q: %+v", key, f)
		}
	}
}

func TestAHoleIsEntered(t *testing.T) {
	d := newDesk(t)
	d.pack()
	h := d.work.looms.Holes[0]
	p := d.page(h.ID, partHoles)
	typing := kit.Typing{S: d.Session, Page: pageName}
	set := func(v *unit.Length) {
		change(p, harness.KindPlace, &d.B().Places, h.ID, func(x *harness.Place) { x.Hole = v })
	}
	p.enter("nine", typing, set)
	if p.refuse == "" {
		t.Error("a word was taken for a length")
	}
	p.enter("9.5", typing, set)
	if x, _ := d.B().Places.Get(h.ID); x.Hole == nil || *x.Hole != 95*unit.Millimetre/10 {
		t.Fatalf("hole %v", x.Hole)
	}
	d.pack()
	d.shows(h.ID, partHoles, "does not go through")
	found := false
	for _, f := range rules.Check(d.B(), d.Graph(), rules.Options{}) {
		found = found || f.Rule == rules.HoleSmall && f.Subject.ID == h.ID
	}
	if !found {
		t.Error("no finding of a hole that is too small")
	}
	p.enter("", typing, set)
	if x, _ := d.B().Places.Get(h.ID); x.Hole != nil {
		t.Error("an empty field is not known")
	}
}

func TestOwnSizes(t *testing.T) {
	d := newDesk(t)
	p := d.page("", partStock+".2")
	usual := len(loom.Copy(bundle.Braid))
	p.onCopy(bundle.Braid)(d.Ctx, noEvent)
	if d.B().CoverSizes.Len() != usual || !loom.Own(d.B(), bundle.Braid) {
		t.Fatalf("%d sizes of %d taken over", d.B().CoverSizes.Len(), usual)
	}
	d.shows("", partStock+".2", "This is your own list")
	d.shows(d.B().CoverSizes.All()[0].ID, partStock, "Grams a metre", "Delete this size")
	d.Undo(d.Ctx)
	if loom.Own(d.B(), bundle.Braid) {
		t.Error("undo leaves them")
	}
}
