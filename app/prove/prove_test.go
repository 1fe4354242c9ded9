package prove

import (
	"strings"
	"testing"

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
