package prove

import (
	"strings"
	"testing"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/session/sessiontest"
	"loomwright/calc/harness"
	"loomwright/calc/prove"
)

func TestPage(t *testing.T) {
	s := sessiontest.Start(t, nil)
	s.File("../../testdata/builds/roadster.build")
	p := &page{S: s.Session, At: kit.Addr{Build: s.ID(), Page: pageName}}
	p.follow()
	through := p.state.Next(prove.Through, nil)
	show := func(at kit.Addr) string {
		return s.HTML(&page{S: s.Session, At: at})
	}
	if html := show(p.home()); !strings.Contains(html, "continuity") || !strings.Contains(html, "Next: Battery off") {
		t.Error("the first page does not begin with the battery")
	}
	if html := show(p.home().With(through.ID)); !strings.Contains(html, "Not yet:") || strings.Contains(html, prove.Good(through)) {
		t.Error("continuity can be tested with the battery on")
	}
	id := through.ID
	// No reason makes up for the battery: whatever is said of it, it must be off.
	for i := range p.sheet.Tests {
		if x := &p.sheet.Tests[i]; x.Group == prove.Gate {
			if html := show(p.home().With(x.ID).In(partWhy)); strings.Contains(html, "It does not apply") {
				t.Errorf("%s can be left out", x.Name)
			}
			p.keep(s.Ctx, x, harness.NotApplicable, nil, "no time")
		}
	}
	if html := show(p.home().With(through.ID)); !strings.Contains(html, "Not yet:") {
		t.Error("a gate that does not apply is open")
	}
	for i := range p.sheet.Tests {
		if x := &p.sheet.Tests[i]; x.Group == prove.Gate {
			p.keep(s.Ctx, x, harness.Passed, nil, "")
		}
	}
	again := func(o harness.Outcome) {
		x, _ := p.sheet.Test(id)
		p.keep(s.Ctx, x, o, nil, "")
	}
	again(harness.Failed)
	if html := show(p.home().In(partRepair)); !strings.Contains(html, "✕") {
		t.Error("what failed is not to be repaired")
	}
	again(harness.Passed)
	x, _ := p.sheet.Test(id)
	if len(p.state.Repairs()) != 0 || len(p.state.History(x)) != 2 {
		t.Error("a second try does not mend, or the first is gone")
	}
	for i := range p.sheet.Tests {
		if y := &p.sheet.Tests[i]; y.Group == prove.Power && i%9 == 0 {
			if html := show(p.home().With(y.ID)); !strings.Contains(html, prove.Phases[y.Phase]) {
				t.Error("no page of " + y.Name)
			}
		}
	}
}

// A reading without limits is judged by the person, and kept with its number; numbers that all readings are judged with are
// refused in words when they are none, and never count as nothing or as something else.
func TestReadingsWithoutLimits(t *testing.T) {
	s := sessiontest.Start(t, nil)
	s.File("../../testdata/builds/roadster.build")
	p := &page{S: s.Session, At: kit.Addr{Build: s.ID(), Page: pageName}}
	p.follow()
	var x *prove.Test
	for i := range p.sheet.Tests {
		y := &p.sheet.Tests[i]
		if low, high := p.sheet.Bounds(y, p.celsius()); y.Group == prove.Devices && y.Ask == prove.Number && y.Unit == "ohm" && low == nil && high == nil {
			x = y
			break
		}
	}
	if x == nil {
		t.Fatal("the demo has no reading without limits")
	}
	p.At = p.home().With(x.ID)
	p.follow()
	s.Device.Prefs.Put("prove:leads", "0,5")
	p.onKey(x)(s.Ctx, "9")
	p.onKey(x)(s.Ctx, kit.KeyNext)
	if p.refuse == "" || len(p.state.History(x)) != 0 {
		t.Errorf("judged without limits: %q", p.refuse)
	}
	p.onJudged(x, harness.Passed)(s.Ctx, app.Event{})
	x, _ = p.sheet.Test(x.ID)
	all := p.state.History(x)
	if len(all) != 1 || all[0].Value == nil || *all[0].Value != 8.5 || all[0].Outcome != harness.Passed {
		t.Errorf("kept %+v, want 9 ohm less the leads' 0.5", all)
	}
	for _, text := range []string{"nan", "-1", "a lot", "1e9"} {
		if s.Device.Prefs.Put("prove:leads", text); p.zero() != 0 {
			t.Errorf("leads of %q count as %v", text, p.zero())
		}
	}
}

// What the papers of a device say takes the place of what is usual; a wrong entry changes nothing.
func TestPapersBeatWhatIsUsual(t *testing.T) {
	s := sessiontest.Start(t, nil)
	s.File("../../testdata/builds/roadster.build")
	var place string
	for _, x := range s.B().Places.All() {
		if x.Name == "Coolant temperature" {
			place = x.ID
		}
	}
	p := &page{S: s.Session, At: kit.Addr{Build: s.ID(), Page: pageName, Mode: partExpect, Record: place}}
	if html := s.HTML(p); !strings.Contains(html, "Nothing is entered yet") {
		t.Fatal("something is entered already")
	}
	p.follow()
	s.HTML(p) // which makes the first choices
	add := func(low, high, celsius string) {
		p.draft.low, p.draft.high, p.draft.celsius, p.draft.source = low, high, celsius, "data sheet"
		p.onExpect(place)(s.Ctx, app.Event{})
	}
	for _, bad := range [][3]string{{"", "2900", ""}, {"2900", "2100", ""}, {"2100", "2900", "hot"}, {"2100", "2900", "2000"}, {"-1", "2", ""}} {
		if add(bad[0], bad[1], bad[2]); p.refuse == "" || s.B().Expects.Len() != 0 {
			t.Errorf("%v was taken", bad)
		}
	}
	add("2100", "2900", "20")
	add("290", "350", "80")
	if p.refuse != "" || s.B().Expects.Len() != 2 {
		t.Fatalf("%d entered, %q", s.B().Expects.Len(), p.refuse)
	}
	p.follow()
	var of *prove.Test
	for i := range p.sheet.Tests {
		if x := &p.sheet.Tests[i]; x.Group == prove.Devices && x.Of.ID == place {
			of = x
		}
	}
	if of == nil {
		t.Fatal("no test of the device")
	}
	// Half way between the points in temperature the good readings lie between them.
	if low, high := p.sheet.Bounds(of, 50); low == nil || *low < 350 || *low > 2100 || high == nil || *high > 2900 {
		t.Errorf("at 50 °C good is %v to %v", low, high)
	}
	if o := p.sheet.Judge(of, 2500, 20); o != harness.Passed {
		t.Errorf("2500 ohm at 20 °C is %s", o)
	}
	p.onForget(s.B().Expects.All()[0].ID)(s.Ctx, app.Event{})
	if s.B().Expects.Len() != 1 {
		t.Error("it was not deleted")
	}
}
