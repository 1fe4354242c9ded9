package pins

import (
	"fmt"
	"os"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/session/sessiontest"
	"loomwright/calc/circuit"
	"loomwright/calc/harness"
)

// desk is a session with the page open.
type desk struct {
	*sessiontest.Bench
	page *page
}

var noEvent app.Event

func newDesk(t testing.TB) *desk {
	t.Helper()
	d := &desk{Bench: sessiontest.Start(t, nil)}
	d.New("test")
	d.page = &page{S: d.Session, At: kit.Addr{Build: d.ID(), Page: pageName}}
	d.page.follow()
	return d
}

func (d *desk) open(record, mode string) {
	d.page.At = kit.Addr{Build: d.ID(), Page: pageName, Record: record, Mode: mode}
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

// pin returns the lead in a cavity.
func (d *desk) pin(cavity string) circuit.Pin {
	d.T.Helper()
	d.page.follow()
	for _, x := range d.page.all {
		if x.Cavity == cavity {
			return x
		}
	}
	d.T.Fatalf("no pin %q", cavity)
	return circuit.Pin{}
}

func (d *desk) edits() int { return d.Log().Len() }

// take takes a list, as by pasting it.
func (d *desk) take(text string) {
	d.T.Helper()
	d.page.begin(text)
	d.page.onFace(harness.WireSide)(d.Ctx, noEvent)
	d.page.onTake(d.Ctx, noEvent)
	if d.page.refuse != "" {
		d.T.Fatal(d.page.refuse)
	}
	d.page.follow()
}

const small = "Pin\tLegend\tFunction\tSignal\tSize\nA1\t12V\tcontroller feed\tsupply\t1.5\nA2\tGND\tground\tground\t1.5\nA3\tINJ A\tinjector 1\tinjector out\t0.75\nA4\tINJ B\t\tinjector out\t0.75\n"

func TestAListIsTakenInOneEditAndUndone(t *testing.T) {
	d := newDesk(t)
	d.shows("No pins yet", "Paste a list", "Four cylinders, sequential")
	before := d.edits()
	d.take(small)
	if n := d.B().Leads.Len(); n != 4 || d.edits() != before+1 {
		t.Fatalf("%d leads, %d edits", n, d.edits()-before)
	}
	for _, l := range d.B().Leads.All() {
		if l.Decision != harness.Undecided {
			t.Errorf("%s is fresh and %s", l.Legend, l.Decision)
		}
	}
	if c := d.B().Connectors.All(); len(c) != 1 || c[0].Face != harness.WireSide || c[0].Name != "A" {
		t.Errorf("connectors %+v", c)
	}
	d.open("", "")
	d.shows("4 pins, 0 decided, 0 done", "Next undecided: A1 controller feed", "<s>INJ A</s>")
	d.Undo(d.Ctx)
	if d.B().Leads.Len() != 0 || d.B().Terminals.Len() != 0 {
		t.Error("undo left something")
	}
}

func TestNothingIsTakenBeforeTheFaceIsSaid(t *testing.T) {
	d := newDesk(t)
	d.page.begin(small)
	d.open("", partPreview)
	d.shows("4 pins, 0 rows left out", "Say which face the source shows", "Every row can be taken")
	// The list outlasts the page.
	d.page = &page{S: d.Session, At: d.page.At}
	d.page.follow()
	if d.page.source.text != small {
		t.Fatalf("the list is %q after a reload", d.page.source.text)
	}
	d.page.onFace(harness.NoFace)(d.Ctx, noEvent)
	d.shows("Take 4 pins")
}

func TestBadRowsAreToldByNumberAndMended(t *testing.T) {
	text, err := os.ReadFile("../../testdata/tables/pdf-sixty-pins-ten-faults.txt")
	if err != nil {
		t.Fatal(err)
	}
	d := newDesk(t)
	d.page.begin(string(text))
	d.open("", partPreview)
	bad := []string{"Row 7:", "Row 13:", "Row 22:", "Row 30:", "Row 35:", "Row 41:", "Row 46:", "Row 55:"}
	d.shows(append([]string{"52 pins, 8 rows left out", "Row 17:", "Row 63:", "Row 7: 4 · Injector 5"}, bad...)...)
	for n, line := range map[int]string{
		7: "5        Injector 5                    20 AWG    white/black     2500", 13: "10       Ignition coil 2               20 AWG    orange/red      2500",
		22: "19       Throttle position             20 AWG    brown/red       1234", 30: "24       Cam signal                    20 AWG    yellow/violet   2500",
		35: "29       Fuel pump relay               1.0 mm2   brown/blue      2500", 41: "34       5 V reference B               20 AWG    yellow/grey     2500",
		46: "39       Power ground 3                20 AWG    brown/green     250", 55: "45       Lambda signal                 20 AWG    white/orange    2500",
	} {
		at := fmt.Sprint(n)
		d.open("", partRow+"."+at)
		d.page.typing().Keep("source", at, line)
		d.page.onMend(n)(d.Ctx, noEvent)
	}
	d.open("", partPreview)
	d.shows("60 pins, 0 rows left out")
	d.page.onFace(harness.MatingFace)(d.Ctx, noEvent)
	d.page.onTake(d.Ctx, noEvent)
	if d.B().Leads.Len() != 60 || d.page.source.text != "" {
		t.Errorf("%d leads", d.B().Leads.Len())
	}
}

func TestARowIsLeftOutOfTheList(t *testing.T) {
	d := newDesk(t)
	d.page.begin(small + "A4\tdouble\t\t\t\n")
	d.open("", partRow+".6")
	d.shows("Leave row 6 out of the list")
	d.page.onDrop(6)(d.Ctx, noEvent)
	d.open("", partPreview)
	d.shows("4 pins, 0 rows left out")
}

func TestAColumnChangesItsMeaning(t *testing.T) {
	d := newDesk(t)
	d.page.begin(small)
	d.open("", partColumn+".2")
	d.shows("Column 2", "printed legend", "12V")
	d.page.onField(1, "note")(d.Ctx, noEvent)
	r, err := d.page.result()
	if err != nil || r.Pins()[0].Note != "12V" || r.Pins()[0].Legend != "" {
		t.Fatalf("%v, %+v", err, r.Pins()[0])
	}
	d.page.onField(2, "note")(d.Ctx, noEvent)
	if r, _ = d.page.result(); r.Columns[1].Field != "" || r.Pins()[0].Note != "controller feed" {
		t.Errorf("two columns of one meaning: %+v", r.Columns)
	}
}

func TestASupplyNeedsAReasonToGo(t *testing.T) {
	d := newDesk(t)
	d.take(small)
	x := d.pin("A1")
	before := d.edits()
	d.open(x.Lead.ID, "")
	d.page.onDecide(x.Lead.ID, harness.Remove)(d.Ctx, noEvent)
	if d.edits() != before {
		t.Fatal("a supply was removed without a reason")
	}
	d.open(x.Lead.ID, partWhy+".remove")
	d.shows("This is a supply.", "Another lead does its work")
	d.page.onWhy(x.Lead.ID, harness.Remove, "another lead does its work")(d.Ctx, noEvent)
	if l := d.pin("A1").Lead; l.Decision != harness.Remove || l.DecisionWhy == "" || d.edits() != before+1 {
		t.Errorf("%+v", l)
	}
	other := d.pin("A3")
	d.page.onDecide(other.Lead.ID, harness.Remove)(d.Ctx, noEvent)
	if d.pin("A3").Lead.Decision != harness.Remove {
		t.Error("an injector lead was not removed by one tap")
	}
}

func TestDecidedAndDoneAreTwoTicks(t *testing.T) {
	d := newDesk(t)
	d.take(small)
	id := d.pin("A4").Lead.ID
	d.open(id, "")
	d.page.onDecide(id, harness.Keep)(d.Ctx, noEvent)
	if d.page.count.Keep != 1 || d.page.count.Done != 0 {
		t.Fatalf("%+v", d.page.count)
	}
	d.page.onDone(id)(d.Ctx, noEvent)
	d.shows("Insulated and tagged", "Where it ends", "Next undecided: A1")
	if d.page.count.Done != 1 {
		t.Errorf("%+v", d.page.count)
	}
	d.page.onDecide(id, harness.Remove)(d.Ctx, noEvent)
	if l := d.pin("A4").Lead; l.Done() {
		t.Error("another decision is done too")
	}
	d.page.onDecide(id, harness.Empty)(d.Ctx, noEvent)
	if !d.pin("A4").Terminal.Plugged {
		t.Error("an empty cavity has no plug")
	}
	d.page.onDecide(id, harness.Use)(d.Ctx, noEvent)
	if d.pin("A4").Terminal.Plugged {
		t.Error("a used cavity has a plug")
	}
}

func TestRemovalAndSeatingAreTicked(t *testing.T) {
	d := newDesk(t)
	d.take(small)
	id := d.pin("A4").Lead.ID
	d.page.onDecide(id, harness.Remove)(d.Ctx, noEvent)
	d.open("", partRemove)
	d.shows("0 of 1", "Done: A4 INJ B", "marked A4")
	d.page.onDone(id)(d.Ctx, noEvent)
	d.shows("1 of 1", "All done.")
	d.open("", partSeat)
	d.shows("0 of 3", "Done: A1 controller feed")
	d.page.onSeated(d.pin("A1").Lead.ID)(d.Ctx, noEvent)
	d.shows("1 of 3", "Done: A2 ground")
}

func TestASharedCavityAsksWhy(t *testing.T) {
	d := newDesk(t)
	d.take(small)
	id := d.pin("A3").Lead.ID
	d.open(id, "")
	d.page.onSecond(id)(d.Ctx, noEvent)
	d.shows("It shares its cavity with", "Say why it is shared")
	d.page.onShared(d.pin("A3").Terminal.ID, sharedReasons[0])(d.Ctx, noEvent)
	if d.pin("A3").Terminal.SharedWhy != sharedReasons[0] {
		t.Error("the reason was not taken")
	}
	d.page.onDecide(id, harness.Remove)(d.Ctx, noEvent)
	d.shows(circuit.SharedWords)
}

func TestThePlugIsLabelledAndTurned(t *testing.T) {
	d := newDesk(t)
	d.take(small)
	c := d.B().Connectors.All()[0]
	d.open("", partView+"."+c.ID)
	d.shows("Rows and columns are not known", "A3 injector 1, undecided")
	d.page.onShape(c.ID, func(c *harness.Connector) { c.Rows, c.Columns = 2, 2 })(d.Ctx, noEvent)
	d.shows("Wire side", "Turn it: show the mating face")
	order := func() string {
		html := d.HTML(&page{S: d.Session, At: d.page.At, Rev: d.Rev()})
		if strings.Index(html, "A1 controller") < strings.Index(html, "A2 ground") {
			return "1 2"
		}
		return "2 1"
	}
	if got := order(); got != "1 2" {
		t.Errorf("as the source drew it: %s", got)
	}
	c, _ = d.B().Connectors.Get(c.ID)
	d.page.onTurn(c)(d.Ctx, noEvent)
	d.shows("Mating face", "Turn it: show the wire side")
	if got := order(); got != "2 1" {
		t.Errorf("from the other side: %s", got)
	}
}

func TestAGridIsTapped(t *testing.T) {
	d := newDesk(t)
	d.open("", partTaps)
	d.shows("Make 12 pins")
	d.page.onTap(5)(d.Ctx, noEvent)
	d.page = &page{S: d.Session, At: d.page.At} // as after a reload
	d.page.follow()
	d.shows("Make 11 pins", "cavity 5, none")
	before := d.edits()
	d.page.onMakeTaps(d.Ctx, noEvent)
	if d.B().Leads.Len() != 11 || d.B().Terminals.Len() != 12 || d.edits() != before+1 {
		t.Fatalf("%d leads, %d terminals", d.B().Leads.Len(), d.B().Terminals.Len())
	}
	d.open("", partTaps)
	d.page.onMakeTaps(d.Ctx, noEvent)
	if d.B().Leads.Len() != 11 || !strings.Contains(d.page.refuse, "already") {
		t.Errorf("a second plug A: %q", d.page.refuse)
	}
}

func TestAStarterIsPlanned(t *testing.T) {
	for _, x := range circuit.Starters {
		d := newDesk(t)
		places, looms := d.B().Places.Len(), d.B().Looms.Len()
		d.page.onStarter(x.Key)(d.Ctx, noEvent)
		if d.page.refuse != "" || d.B().Leads.Len() < 25 {
			t.Fatalf("%s: %q, %d leads", x.Key, d.page.refuse, d.B().Leads.Len())
		}
		controllers := 0
		for _, q := range d.B().Places.All() {
			if q.Kind == harness.Controller {
				controllers++
			}
		}
		if controllers != 1 || d.B().Looms.Len() != looms || d.B().Places.Len() <= places {
			t.Errorf("%s: %d controllers, %d looms of %d", x.Key, controllers, d.B().Looms.Len(), looms)
		}
		d.open("", "")
		d.shows("Propose wires")
	}
}

func TestLeadsWithNothingToDoAreKeptAtOnce(t *testing.T) {
	d := newDesk(t)
	d.take(small)
	d.open("", partRest)
	d.shows("Keep all 2", "Remove all 2")
	before := d.edits()
	d.page.onRest(harness.Keep)(d.Ctx, noEvent)
	if d.page.count.Keep != 2 || d.page.count.Undecided != 2 || d.edits() != before+1 {
		t.Errorf("%+v", d.page.count)
	}
}

func TestEveryPartIsDrawn(t *testing.T) {
	d := newDesk(t)
	d.take(small)
	id := d.pin("A3").Lead.ID
	c := d.B().Connectors.All()[0].ID
	for _, x := range []struct {
		record, mode string
		texts        []string
	}{
		{"", partIn, []string{"Add pins", "Open a file"}},
		{"", partPaste, []string{"Paste the list here"}},
		{"", partPreview, []string{"could not be read"}},
		{"", partColumn + ".9", []string{"no such column"}},
		{"", partRow + ".9", []string{"Back to the list"}},
		{"", partShape + "." + c, []string{"2 × 2", "Sealed"}},
		{"", partView + ".none", []string{"no such plug"}},
		{"", partOut, []string{"Pins as PDF", "Pins as CSV with ;"}},
		{id, "", []string{"injector 1", "Keep for later", "Joined to nothing yet", "0.75 mm²"}},
		{id, partSignal, []string{"5 V reference"}},
		{id, partSize, []string{"18 AWG"}},
		{id, partColour, []string{"base red"}},
		{id, partLength, []string{"rear face", "Set"}},
		{id, partWords, []string{"What is printed on it", "125 C"}},
		{id, partParked, []string{"insulated alone"}},
		{"none", "", []string{"no such lead"}},
	} {
		d.open(x.record, x.mode)
		d.shows(x.texts...)
	}
	d.open(id, "")
	d.page.onDelete(id)(d.Ctx, noEvent)
	d.open(id, "")
	d.shows("Bring it back")
}

func TestLengthByThePad(t *testing.T) {
	d := newDesk(t)
	d.take(small)
	id := d.pin("A3").Lead.ID
	d.open(id, partLength)
	before := d.edits()
	for _, k := range []string{"2", "5", "0", "0"} {
		d.page.onLengthKey(d.Ctx, k)
	}
	d.page = &page{S: d.Session, At: d.page.At} // a half-keyed number outlasts the page
	d.page.follow()
	if text, _ := d.page.typing().Text(id, "length"); text != "2500" || d.edits() != before {
		t.Fatalf("typed %q, %d edits", text, d.edits()-before)
	}
	d.page.onLengthKey(d.Ctx, kit.KeyNext)
	if l := d.pin("A3").Lead; l.Length == nil || l.Length.MM() != 2500 {
		t.Errorf("%+v", l)
	}
}

// The list of a large controller is drawn in a window.
func TestListDrawsAWindow(t *testing.T) {
	d := newDesk(t)
	var text strings.Builder
	text.WriteString("Pin\tFunction\n")
	for i := 1; i <= 200; i++ {
		fmt.Fprintf(&text, "A%d\tfunction %d\n", i, i)
	}
	d.take(text.String())
	d.open("", "")
	count := func(drawn int) int {
		p := &page{S: d.Session, At: d.page.At}
		p.follow()
		p.drawn = drawn
		return strings.Count(d.HTML(p), "row pin")
	}
	if at, all := count(rowsFirst), count(1000); at != rowsFirst || all != rowsDrawn {
		t.Errorf("%d rows at first, %d at most", at, all)
	}
	d.page.set(d.Ctx, filter{Query: "a77"})
	d.shows("1 of 200 pins")
}

func BenchmarkDecide(b *testing.B) {
	d := newDesk(b)
	var text strings.Builder
	text.WriteString("Pin\tFunction\n")
	for i := 1; i <= 200; i++ {
		fmt.Fprintf(&text, "A%d\tfunction %d\n", i, i)
	}
	d.take(text.String())
	id := d.page.all[0].Lead.ID
	d.open(id, "")
	for i := 0; b.Loop(); i++ {
		d.page.decide(id, harness.Decisions[i%3], "")
		d.page.Render()
	}
}

func TestARowIsTakenAsASecondCore(t *testing.T) {
	d := newDesk(t)
	d.page.begin(small + "A2\tsecond ground\t\tground\t\n")
	d.open("", partRow+".6")
	d.shows("Take it as a second core in cavity A2")
	d.page.onSecondCore(6)(d.Ctx, noEvent)
	d.page = &page{S: d.Session, At: d.page.At} // as after a reload
	d.page.follow()
	d.open("", partPreview)
	d.shows("5 pins, 0 rows left out")
	d.page.onFace(harness.NoFace)(d.Ctx, noEvent)
	d.page.onTake(d.Ctx, noEvent)
	if x := d.pin("A2"); d.B().Leads.Len() != 5 || len(x.Shared) != 1 || x.Terminal.SharedWhy != "supplied so" {
		t.Errorf("%d leads, %+v", d.B().Leads.Len(), x)
	}
}

// What is taken over after a decision is what looking through the whole build finds.
func TestADecisionIsTakenOverAsItIs(t *testing.T) {
	d := newDesk(t)
	d.take(small)
	d.page.onSecond(d.pin("A3").Lead.ID)(d.Ctx, noEvent)
	d.page.follow()
	for i, x := range slices.Clone(d.page.all) {
		for _, decision := range append([]harness.Decision{harness.Undecided}, harness.Decisions...) {
			d.page.decide(x.Lead.ID, decision, "because")
			if i%2 == 0 {
				d.page.onDone(x.Lead.ID)(d.Ctx, noEvent)
			}
			fresh := &page{S: d.Session, At: d.page.At}
			fresh.follow()
			if !reflect.DeepEqual(d.page.all, fresh.all) || d.page.count != fresh.count {
				t.Fatalf("%s as %q: %+v, want %+v", x.Cavity, decision, d.page.all, fresh.all)
			}
		}
	}
}
