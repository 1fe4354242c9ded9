package circuits

import (
	"strings"
	"testing"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/session/sessiontest"
	"loomwright/calc/circuit"
	"loomwright/calc/harness"
	"loomwright/calc/table"
	"loomwright/calc/unit"
	"loomwright/storage"
)

// desk is a session with one of the pages open.
type desk struct {
	*sessiontest.Bench
	page *page
}

var noEvent app.Event

func newDesk(t testing.TB) *desk {
	t.Helper()
	d := &desk{Bench: sessiontest.Start(t, nil)}
	d.New("test")
	d.open(devicesPage, "", "")
	return d
}

func (d *desk) open(name, record, mode string) {
	if d.page == nil {
		d.page = &page{S: d.Session}
	}
	d.page.At = kit.Addr{Build: d.ID(), Page: name, Record: record, Mode: mode}
	d.page.follow()
}

func (d *desk) shows(texts ...string) {
	d.T.Helper()
	got := d.HTML(&page{S: d.Session, At: d.page.At, Rev: d.Rev()})
	for _, text := range texts {
		if !strings.Contains(got, text) {
			d.T.Errorf("%+v does not show %q", d.page.At, text)
		}
	}
}

func (d *desk) do(err error) {
	d.T.Helper()
	if err != nil {
		d.T.Fatal(err)
	}
}

// pins takes a list of functions into the controller.
func (d *desk) pins(functions ...string) {
	d.T.Helper()
	var all []table.Pin
	for i, f := range functions {
		all = append(all, table.Pin{Connector: "A", Cavity: string(rune('1' + i)), Function: f})
	}
	d.do(d.Accept(circuit.Take(d.B(), d.B().Places.All()[0].ID, all, "", d.FreshID).Records))
	d.page.follow()
}

func (d *desk) named(name string) harness.Place {
	d.T.Helper()
	for _, q := range d.B().Places.All() {
		if q.Name == name {
			return q
		}
	}
	d.T.Fatalf("no place %q", name)
	return harness.Place{}
}

func (d *desk) terminal(name string) harness.Terminal {
	d.T.Helper()
	d.page.follow()
	for _, t := range d.B().Terminals.All() {
		if d.page.net.Name(t) == name {
			return t
		}
	}
	d.T.Fatalf("no terminal %q", name)
	return harness.Terminal{}
}

func (d *desk) edits() int { return d.Log().Len() }

func TestADeviceComesWithItsTerminals(t *testing.T) {
	d := newDesk(t)
	d.shows("Controller", "New device, panel or ground")
	d.open(devicesPage, "", partNew)
	d.shows("Injector", "supply, drive", "terminal strip")
	before := d.edits()
	d.page.onNewDevice("injector")(d.Ctx, noEvent)
	d.page.onNewDevice("injector")(d.Ctx, noEvent)
	q := d.named("Injector 2")
	if d.edits() != before+2 || len(d.page.terminalsOf(q.ID)) != 2 {
		t.Fatalf("%d edits, %+v", d.edits()-before, d.page.terminalsOf(q.ID))
	}
	d.open(devicesPage, q.ID, "")
	d.shows("joined to nothing", "needed", "typically 1 A")

	// Another kind adds what is missing and takes nothing away.
	d.page.onKind(q.ID, "coil with driver")(d.Ctx, noEvent)
	if n := len(d.page.terminalsOf(q.ID)); n != 5 {
		t.Errorf("%d terminals", n)
	}
	if d.named("Injector 2").Device != "coil with driver" {
		t.Error("the kind was not taken")
	}
}

func TestTwoTerminalsAreJoinedByATap(t *testing.T) {
	d := newDesk(t)
	d.pins("Injector 1")
	d.page.onNewDevice("injector")(d.Ctx, noEvent)
	drive := d.terminal("Injector drive")
	d.open(devicesPage, "", partJoin+"."+drive.ID)
	d.shows("Joined to what?", "Controller A1")
	before := d.edits()
	d.page.onJoin(drive.ID, d.terminal("Controller A1").ID)(d.Ctx, noEvent)
	if d.edits() != before+1 || d.terminal("Injector drive").Circuit != d.terminal("Controller A1").Circuit {
		t.Fatal("not joined in one edit")
	}
	if l := d.B().Leads.All()[0]; l.Decision != harness.Use {
		t.Errorf("the lead is %q", l.Decision)
	}
	d.shows("Joined to Injector 1: Controller A1", "Open the circuit")
	d.page.onOff(drive.ID)(d.Ctx, noEvent)
	if d.terminal("Injector drive").Circuit != "" {
		t.Error("still joined")
	}
}

func TestAPanelIsArrangedByTaps(t *testing.T) {
	d := newDesk(t)
	d.page.onNewPlace(harness.Panel)(d.Ctx, noEvent)
	q := d.named("Panel")
	d.open(devicesPage, q.ID, "")
	d.shows("free position, row 1, 1", "15 free", "no spare way")
	d.page.onNewPart(q.ID, harness.FeedBar, [2]int{1, 1})(d.Ctx, noEvent)
	d.page.onNewPart(q.ID, harness.Fuse, [2]int{2, 1})(d.Ctx, noEvent)
	d.page.onNewPart(q.ID, harness.Fuse, [2]int{2, 2})(d.Ctx, noEvent)
	d.page.onNewPart(q.ID, harness.Relay, [2]int{3, 1})(d.Ctx, noEvent)
	d.shows("F2", "K1", "spare: 2 fuses, 1 relay", "11 free")
	var fuse harness.Part
	for _, x := range d.B().Parts.All() {
		if x.Name == "F2" {
			fuse = x
		}
	}
	d.open(devicesPage, "", partPart+"."+fuse.ID)
	d.shows("7.5 A", "joined to nothing", "row 2, position 2")
	d.page.changePart(fuse.ID, func(x *harness.Part) { x.Row = 1 })
	d.shows("row 1, position 2")
	d.page.onNoPart(fuse.ID)(d.Ctx, noEvent)
	d.open(devicesPage, q.ID, "")
	d.shows("12 free")
	d.Undo(d.Ctx)
	d.shows("11 free")
}

func TestThePlanMakesTheWires(t *testing.T) {
	d := newDesk(t)
	d.pins("Injector 1", "Injector 2", "Crank signal", "Crank return", "Sensor ground", "Coolant temperature", "Aux")
	d.open(circuitsPage, "", partPropose)
	d.shows("What the leads carry", "injector out: Injector 1, Injector 2", "the words say it")
	before := d.edits()
	taken := 0
	for range 20 {
		open := -1
		for i, x := range d.page.ask() {
			if len(x.all) > 0 && open < 0 {
				open = i
			}
		}
		if open < 0 {
			break
		}
		d.page.onTakeAll(open)(d.Ctx, noEvent)
		taken++
	}
	if taken == 20 {
		t.Fatal("proposals come again and again")
	}
	if d.edits() != before+taken {
		t.Errorf("%d edits for %d taps", d.edits()-before, taken)
	}
	if d.B().Wires.Len() < 5 || d.B().Tags.Len() != 2*d.B().Wires.Len() {
		t.Errorf("%d wires, %d tags", d.B().Wires.Len(), d.B().Tags.Len())
	}
	d.shows("Nothing to propose", "See what is worth a look")
	d.open(circuitsPage, "", "")
	d.shows("circuits", "Propose wires")
	d.open(circuitsPage, d.B().Circuits.All()[0].ID, "")
	d.shows("Joined together", "Its wires", "Join one more")
	d.open(circuitsPage, "", partLook)
	d.shows("Worth knowing", "no way yet: no run leads to where")

	// What a person changed is not proposed to be changed.
	w := d.B().Wires.All()[0]
	now := w
	now.Size, now.Edited = "2.5 mm2", true
	d.do(d.Do(storage.Put(harness.KindWire, w.ID, w, now)))
	d.open(circuitsPage, "", partPropose)
	for _, x := range d.page.ask() {
		for _, q := range x.all {
			for _, p := range q.Put.Wires {
				if p.ID == w.ID {
					t.Errorf("%s would change an edited wire", q.What)
				}
			}
		}
	}
}

func TestOneProposalIsTaken(t *testing.T) {
	d := newDesk(t)
	d.pins("Injector 1", "Coolant temperature")
	d.open(circuitsPage, "", partPropose)
	d.page.onTake(0, d.page.ask()[0].all[0].ID)(d.Ctx, noEvent)
	said := 0
	for _, l := range d.B().Leads.All() {
		if l.Signal != harness.NoSignal {
			said++
		}
	}
	if said != 1 {
		t.Errorf("%d leads got a signal, want one", said)
	}
	d.page.onTake(9, "none")(d.Ctx, noEvent)
	d.page.onTake(0, "none")(d.Ctx, noEvent)
}

func TestACarWireIsMeasured(t *testing.T) {
	d := newDesk(t)
	d.page.onNewPlace(harness.CarWire)(d.Ctx, noEvent)
	key := d.terminal("Car wire key")
	d.open(devicesPage, "", partTap+"."+key.ID)
	d.shows("While cranking", "Where it is found")
	d.page.setTap(key.ID, func(x *harness.Tap) { x.Crank = harness.Live })
	d.page.setTap(key.ID, func(x *harness.Tap) { x.Where = "under the column" })
	if all := d.B().Taps.All(); len(all) != 1 || all[0].Crank != harness.Live || all[0].Where == "" || all[0].Place != key.Place {
		t.Errorf("%+v", all)
	}
}

func TestFindingsLeadToTheirMend(t *testing.T) {
	d := newDesk(t)
	for kind, want := range map[harness.Kind]kit.Addr{
		harness.KindLead: {Build: d.ID(), Page: "pins", Record: "x"}, harness.KindWire: {Build: d.ID(), Page: "wires", Record: "x"},
		harness.KindCircuit: {Build: d.ID(), Page: circuitsPage, Record: "x"}, harness.KindPlace: {Build: d.ID(), Page: devicesPage, Record: "x"},
		harness.KindTerminal: {Build: d.ID(), Page: devicesPage, Mode: partJoin + ".x"}, harness.KindPart: {Build: d.ID(), Page: devicesPage, Mode: partPart + ".x"},
		harness.KindConnector: {Build: d.ID(), Page: "pins", Mode: "view.x"},
	} {
		if got := d.page.mend(harness.Ref{Kind: kind, ID: "x"}); got != want {
			t.Errorf("%s: %+v, want %+v", kind, got, want)
		}
	}
	d.open(circuitsPage, "", partLook)
	d.shows("Worth a look")
}

func TestWhatIsNotThereIsSaid(t *testing.T) {
	d := newDesk(t)
	for _, x := range []struct{ name, record, mode, text string }{
		{devicesPage, "none", "", "no such place"}, {devicesPage, "", partJoin + ".none", "No such terminal"}, {devicesPage, "", partPart + ".none", "No such part"},
		{circuitsPage, "none", "", "No such circuit"}, {circuitsPage, "", "", "No circuit yet"},
	} {
		d.open(x.name, x.record, x.mode)
		d.shows(x.text)
	}
	d.page.onNewCircuit(d.Ctx, noEvent)
	id := d.B().Circuits.All()[0].ID
	d.open(circuitsPage, id, partFeed)
	d.shows("Tap the parts from the battery on")
	d.open(circuitsPage, id, partEnds)
	d.shows("No free terminal is like that")
	for of, text := range map[string]string{ofJoin: "The app chooses", ofReturn: "Not said", ofStrip: "None", ofSize: "16 mm²", ofLooms: "By its class", ofSignal: "5 V reference"} {
		d.open(circuitsPage, id, partChoose+"."+of)
		d.shows(text, "Done")
	}
	d.page.onDelete(id)(d.Ctx, noEvent)
	d.open(circuitsPage, id, "")
	d.shows("Bring it back")
}

func TestAnotherPositionIsTriedAndKept(t *testing.T) {
	d := newDesk(t)
	d.File("../../testdata/builds/roadster.build")
	d.page = nil
	var controller, split harness.Place
	for _, q := range d.B().Places.All() {
		switch q.Kind {
		case harness.Controller:
			controller = q
		case harness.Split:
			split = q
		}
	}
	d.open(devicesPage, controller.ID, partTry)
	d.shows("From which place would its run lead?")
	d.page.Render()
	d.page.onTrialFrom(split.ID)(d.Ctx, noEvent)
	d.shows("How far from " + split.Name + "?")
	runs, before := d.B().Runs.Len(), d.edits()
	for _, k := range []string{"1", "2", "0", "0"} {
		d.page.onTrialKey(d.Ctx, k)
	}
	diff, err := circuit.Try(d.B(), controller.ID, split.ID, d.page.trial.loom, 1200*unit.Millimetre)
	d.page.tried(d.page.trialOf(), diff, err)
	if html := d.HTML(app.Div().Body(d.page.try().body...)); !strings.Contains(html, "Terminations made in the car") || d.edits() != before {
		t.Fatalf("%d edits, %s", d.edits()-before, html)
	}
	d.page.onKeepTrial(d.Ctx, noEvent)
	if d.edits() != before+1 || d.page.refuse != "" {
		t.Fatalf("%d edits, %q", d.edits()-before, d.page.refuse)
	}
	mine := 0
	for _, r := range d.B().Runs.All() {
		if r.A == controller.ID || r.B == controller.ID {
			mine++
		}
	}
	if mine != 1 || d.page.trial.from != "" {
		t.Errorf("%d runs lead to it", mine)
	}
	d.Undo(d.Ctx)
	if d.B().Runs.Len() != runs {
		t.Errorf("%d runs after undo, were %d", d.B().Runs.Len(), runs)
	}
}
