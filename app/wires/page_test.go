package wires

import (
	"strings"
	"testing"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/calc/harness"
	"loomwright/calc/unit"
)

func TestNewWireTakesTwoTaps(t *testing.T) {
	l := newLoom(t)
	l.open("", partNew)
	l.shows("From?", "Controller", "Search places")
	before := l.edits()
	l.page.newPlace(l.Ctx, l.id["Controller"])
	l.shows("To?", "From Controller")

	// The choice outlasts the page: a new one, as after a reload, goes on where it was.
	l.page = &page{S: l.Session, At: l.page.At}
	l.page.follow()
	if got := l.page.draft(); got != l.id["Controller"] {
		t.Fatalf("the draft is %q", got)
	}
	l.open("", "")
	if !strings.Contains(l.html(), "New wire from Controller") && l.B().Wires.Len() > 0 {
		t.Error("the list does not tell of the draft")
	}
	l.open("", partNew)
	l.page.newPlace(l.Ctx, l.id["Coolant"])
	all := l.B().Wires.All()
	if len(all) != 1 || all[0].From.Place != l.id["Controller"] || all[0].To.Place != l.id["Coolant"] || l.edits() != before+1 {
		t.Fatalf("%+v, %d edits", all, l.edits()-before)
	}
	if l.page.draft() != "" {
		t.Error("the draft is still there")
	}
	if n := l.Notice(); !n.Undo || !strings.Contains(n.Text, "W1") {
		t.Errorf("notice %+v", n)
	}
}

func TestDraftOfADeletedPlaceIsNone(t *testing.T) {
	l := newLoom(t)
	l.page.setDraft("no such place")
	if got := l.page.draft(); got != "" {
		t.Errorf("draft %q", got)
	}
}

func TestEveryPartIsDrawn(t *testing.T) {
	l := newLoom(t)
	w := l.leadOf(300)
	l.wire(harness.Wire{Function: "Coolant return", From: w.To, To: w.From})
	for _, row := range []struct {
		record, mode string
		texts        []string
	}{
		{"", "", []string{"2 wires", "Coolant return", "no function yet", "New wire", "Search"}},
		{"", partNew, []string{"From?"}},
		{"", partMany, []string{"No wire is ticked"}},
		{w.ID, "", []string{"W1 no function yet", "truly short", "How it adds up", "Lead as supplied", "What can be done", "Another like this", "Delete W1"}},
		{w.ID, partFrom, []string{"Where it starts?", "Controller"}},
		{w.ID, partTo + "." + l.id["Coolant"], []string{"No terminal yet", "name a new one", "New joint S1 here", "Another place"}},
		{w.ID, partSize, []string{"0.35 mm²", "18 AWG", "Another size"}},
		{w.ID, partColour, []string{"turquoise", "As it is written on a list"}},
		{w.ID, partLooms, []string{"Any loom", "Main"}},
		{w.ID, partVia, []string{"It takes the shortest way", "Add a place"}},
		{w.ID, partLead, []string{"Made new", "Supplied lead", "now 300 mm", "Set"}},
		{w.ID, partWords, []string{"Function: what it is for", "pair W1"}},
		{w.ID, partSketch, []string{"Controller → Split 1 → Coolant"}},
		{w.ID, "no such part", []string{"truly short"}},
		{"no such wire", "", []string{"This build has no such wire"}},
	} {
		l.open(row.record, row.mode)
		l.shows(row.texts...)
	}
	l.do(remove(l.Session, []harness.Wire{w}))
	l.open(w.ID, "")
	l.shows("W1 was deleted", "Bring it back")
	l.page.onBringBack(w.ID)(l.Ctx, noEvent)
	l.now(w.ID)
}

func TestEmptyBuildSaysWhatToDo(t *testing.T) {
	l := newLoom(t)
	l.shows("No wires yet.", "New wire")
	l.New("nothing")
	l.page.At.Build = l.ID()
	l.shows("Draw the route")
}

func TestTickingChangesMany(t *testing.T) {
	l := newLoom(t)
	l.many(30)
	l.page.set(l.Ctx, filter{Kind: kindLead})
	l.page.onSelect(l.Ctx, noEvent)
	l.page.onTick(l.Ctx, noEvent)
	l.page.tap(l.Ctx, l.page.targets()[0].ID)
	if n := len(l.page.targets()); n != 9 {
		t.Fatalf("%d ticked, want ten leads less one", n)
	}
	// The ticks outlast the page.
	l.page = &page{S: l.Session, At: l.page.At}
	l.page.follow()
	if n := len(l.page.targets()); n != 9 {
		t.Fatalf("%d ticked after a reload", n)
	}
	before := l.edits()
	l.open("", partSize)
	l.page.onSize("0.75 mm2")(l.Ctx, noEvent)
	if n := l.Notice(); l.edits() != before+1 || n.Text != "9 wires changed: size 0.75 mm²." || !n.Undo {
		t.Errorf("%d edits, notice %+v", l.edits()-before, n)
	}
	l.page.onColour(unit.Colour{Base: "red", Tracer: "red"})(l.Ctx, noEvent)
	l.page.onLooms(nil)(l.Ctx, noEvent)
	l.page.addVia(l.Ctx, l.id["Split 1"])
	for _, w := range l.page.targets() {
		if w.Size != "0.75 mm2" || w.Base != "red" || w.Tracer != "" || w.Looms != nil || len(w.Via) != 1 {
			t.Fatalf("%+v", w)
		}
	}
	if l.edits() != before+4 {
		t.Errorf("%d edits for four taps", l.edits()-before)
	}
	l.open("", partMany)
	l.shows("Change 9 wires", "Delete 9 wires")
	l.page.onDeleteMany(l.Ctx, noEvent)
	if l.B().Wires.Len() != 21 || l.page.ticks != nil {
		t.Errorf("%d wires left, ticks %v", l.B().Wires.Len(), l.page.ticks)
	}
	l.Undo(l.Ctx)
	if l.B().Wires.Len() != 30 {
		t.Errorf("%d wires after undo", l.B().Wires.Len())
	}
}

func TestTickingAllTwiceTicksNone(t *testing.T) {
	l := newLoom(t)
	l.many(5)
	l.page.onSelect(l.Ctx, noEvent)
	l.page.onTick(l.Ctx, noEvent)
	l.page.onTick(l.Ctx, noEvent)
	if n := len(l.page.targets()); n != 0 {
		t.Errorf("%d ticked", n)
	}
	if l.page.ticks == nil {
		t.Error("ticking has ended")
	}
}

func TestListDrawsAWindow(t *testing.T) {
	l := newLoom(t)
	l.many(300)
	rows := func(drawn int) int {
		p := &page{S: l.Session, At: l.page.At}
		p.follow()
		p.drawn = drawn
		return strings.Count(l.HTML(p), "row wire")
	}
	if got := rows(rowsFirst); got != rowsFirst {
		t.Errorf("%d rows at first", got)
	}
	if got := rows(500); got != rowsDrawn {
		t.Errorf("%d rows", got)
	}
	l.shows("300 wires")

	// It grows by itself, up to the window.
	p := &page{S: l.Session, At: l.page.At}
	loop := app.NewClientTester(p)
	defer loop.Close()
	loop.Consume()
	if p.found != rowsDrawn || p.drawn != rowsDrawn {
		t.Errorf("%d drawn of %d", p.drawn, p.found)
	}
	again := p.wires().body
	if last, ok := again[len(again)-1].(app.HTMLButton); !ok || !strings.Contains(app.HTMLString(last), "Show the next 120") {
		t.Error("no way to see the next ones")
	}
}

func TestChoosingAPlaceThenATerminal(t *testing.T) {
	l := newLoom(t)
	w := l.between("Controller", "Coolant")
	l.open(w.ID, partTo)
	l.page.choosePlace(l.Ctx, harness.ToEnd, l.id["Knock"])
	if got := l.now(w.ID).To; got != (harness.End{Place: l.id["Knock"]}) {
		t.Fatalf("ends at %+v", got)
	}
	l.open(w.ID, partTo+"."+l.id["Knock"])
	l.page.text = "A 2"
	before := l.edits()
	l.page.onNewTerminal(harness.ToEnd, l.id["Knock"])(l.Ctx, noEvent)
	first := l.now(w.ID).To.Terminal
	if name := kit.TerminalName(l.B(), first); name != "A 2" || l.edits() != before+1 {
		t.Errorf("terminal %q, %d edits", name, l.edits()-before)
	}
	// The same name again is the same terminal.
	other := l.between("Controller", "Knock")
	l.open(other.ID, partTo+"."+l.id["Knock"])
	l.page.text = "a2"
	l.page.onNewTerminal(harness.ToEnd, l.id["Knock"])(l.Ctx, noEvent)
	if l.now(other.ID).To.Terminal != first {
		t.Error("a second terminal of the same name")
	}
	l.open(w.ID, partTo+"."+l.id["Knock"])
	l.shows("shared with W2")
	l.page.onNewJoint(harness.ToEnd, l.id["Knock"])(l.Ctx, noEvent)
	if j, ok := l.B().Joints.Get(l.now(w.ID).To.Joint); !ok || j.Name != "S1" {
		t.Errorf("joint %+v", j)
	}
}

func TestLengthOfALeadByThePad(t *testing.T) {
	l := newLoom(t)
	w := l.between("Controller", "Coolant")
	l.open(w.ID, partLead)
	l.page.onSupplied(l.Ctx, noEvent)
	press := func(keys ...string) {
		for _, k := range keys {
			l.page.onKey(l.Ctx, k)
		}
	}
	before := l.edits()
	press("2", "0", "0")
	// A half-keyed number outlasts the page, and is no edit.
	l.page = &page{S: l.Session, At: l.page.At}
	l.page.follow()
	if text, _ := l.page.typing().Text(w.ID, "length"); text != "200" || l.edits() != before {
		t.Fatalf("typed %q, %d edits", text, l.edits()-before)
	}
	press("0", kit.KeyNext)
	lead, _ := l.B().Leads.Get(l.now(w.ID).Lead)
	if lead.Length == nil || *lead.Length != 2*unit.Metre || l.edits() != before+1 {
		t.Fatalf("%+v, %d edits", lead, l.edits()-before)
	}
	press("0", kit.KeyNext)
	if lead, _ = l.B().Leads.Get(lead.ID); *lead.Length != 2*unit.Metre || !strings.Contains(l.page.refuse, "0 is no length") {
		t.Errorf("zero: %v, %q", *lead.Length, l.page.refuse)
	}
	press(kit.KeyBack, "1", "2", "0", "0", "0", kit.KeyNext)
	if lead, _ = l.B().Leads.Get(lead.ID); *lead.Length != 2*unit.Metre || !strings.Contains(l.page.refuse, "is long for a lead") {
		t.Errorf("12 m at once: %v, %q", *lead.Length, l.page.refuse)
	}
	press(kit.KeyNext)
	if lead, _ = l.B().Leads.Get(lead.ID); *lead.Length != 12*unit.Metre {
		t.Errorf("12 m said twice: %v", *lead.Length)
	}
	l.page.onNoLength(l.Ctx, noEvent)
	if lead, _ = l.B().Leads.Get(lead.ID); lead.Length != nil {
		t.Errorf("still %v", *lead.Length)
	}
	l.page.onMadeNew(l.Ctx, noEvent)
	if l.now(w.ID).Lead != "" {
		t.Error("still a lead")
	}
	// The lead it was waits, but as it sits in no cavity it is not taken by itself.
	l.page.onSupplied(l.Ctx, noEvent)
	if got := l.now(w.ID).Lead; got == lead.ID || got == "" {
		t.Errorf("made of %q", got)
	}
}

func TestTypedTextIsKept(t *testing.T) {
	l := newLoom(t)
	w := l.between("Controller", "Coolant")
	l.open(w.ID, partWords)
	l.page.typing().Keep(w.ID, "function", "Cool")
	l.shows(`value="Cool"`)
	if _, is := l.page.typing().Text(w.ID, "note"); is {
		t.Error("the text of another field")
	}
	l.page.typing().Keep(w.ID, "function", "")
	if text, is := l.page.typing().Text(w.ID, "function"); !is || text != "" {
		t.Error("an emptied field is not as it was typed")
	}
	l.page.rename(w.ID, "W1")
	other := l.between("Controller", "Knock")
	l.page.rename(other.ID, "w1")
	if text, _ := l.page.typing().Text(other.ID, "name"); text != "w1" || !strings.Contains(l.page.refuse, "W3 is free") {
		t.Errorf("kept %q, refused %q", text, l.page.refuse)
	}
	l.page.onName(other.ID, "W3")(l.Ctx, noEvent)
	if got := l.now(other.ID).Name; got != "W3" || l.page.refuse != "" {
		t.Errorf("named %q, %q", got, l.page.refuse)
	}
}

func TestTwist(t *testing.T) {
	l := newLoom(t)
	a, b := l.between("Controller", "Coolant"), l.between("Controller", "Coolant")
	l.page.onTwist(a.ID, newTwist(a))(l.Ctx, noEvent)
	l.page.follow()
	got := l.page.twists(b)
	if len(got) != 2 || got[0].word != "pair W2" || got[1] != (twist{"pair W1", 1}) {
		t.Errorf("%+v", got)
	}
	l.page.onTwist(b.ID, "pair W1")(l.Ctx, noEvent)
	l.page.onTwist(b.ID, "pair W1")(l.Ctx, noEvent)
	if l.now(b.ID).Twist != "" {
		t.Error("a second tap does not take it away")
	}
}

func TestMendsAreOneStep(t *testing.T) {
	l := newLoom(t)
	w := l.leadOf(300)
	spare := put(l, harness.KindLead, harness.Lead{Legend: "spare", Size: "0.75 mm2", Length: millimetres(3000)})
	l.open(w.ID, "")
	l.shows("Move another lead into this cavity", "spare · 0.75 mm²", "3 000 mm", "Splice on", "Make a new one with a new terminal")
	before := l.edits()
	l.page.onOtherLead(w.ID, spare)(l.Ctx, noEvent)
	if got := l.now(w.ID).Lead; got != spare || l.edits() != before+1 {
		t.Errorf("made of %q, %d edits", got, l.edits()-before)
	}
	l.shows("reaches", "of tail left")
	l.page.onNewLead(w.ID)(l.Ctx, noEvent)
	if now := l.now(w.ID); now.Lead != "" || now.Size != "0.75 mm2" {
		t.Errorf("%+v", now)
	}
	l.shows("Cut to")
}
