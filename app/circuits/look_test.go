package circuits

import (
	"strings"
	"testing"

	"loomwright/calc/harness"
)

// Every finding of the demo opens with its mend; one that can be mended in a tap is gone after it, and back after undo.
func TestFindingsOpen(t *testing.T) {
	d := newDesk(t)
	d.File("../../testdata/builds/roadster.build")
	d.page = nil
	d.open(circuitsPage, "", partLook)
	all := d.page.findings()
	if len(all) < 5 {
		t.Fatalf("%d findings in the demo", len(all))
	}
	mended := 0
	for _, f := range all {
		d.open(circuitsPage, f.Subject.ID, partFinding+"."+f.Rule)
		d.shows("Leave it so")
		if f.Limit != "" || len(f.Terms) > 0 {
			d.shows("How it comes about")
		} else if f.Source != "" {
			d.shows("The rule: ")
		}
		if len(f.Fix.Put) == 0 {
			continue
		}
		before := d.edits()
		d.page.onFix(f)(d.Ctx, noEvent)
		if d.page.refuse != "" || d.edits() != before+1 {
			t.Fatalf("%s of %s: %d edits, %s", f.Rule, f.Subject.ID, d.edits()-before, d.page.refuse)
		}
		for _, now := range d.page.findings() {
			if now.Rule == f.Rule && now.Subject == f.Subject && now.What == f.What {
				t.Errorf("%s is still there after its mend", f.What)
			}
		}
		d.Undo(d.Ctx)
		mended++
	}
	if mended == 0 {
		t.Error("the demo has nothing that is mended in a tap")
	}
}

func TestAFindingIsLeftSo(t *testing.T) {
	d := newDesk(t)
	d.File("../../testdata/builds/roadster.build")
	d.page = nil
	d.open(circuitsPage, "", partLook)
	f := d.page.findings()[0]
	d.open(circuitsPage, f.Subject.ID, partFinding+"."+f.Rule)
	d.page.onLeave(f)(d.Ctx, noEvent)
	if d.page.refuse == "" || d.B().Dismissals.Len() != 0 {
		t.Error("it was left so without a reason")
	}
	d.page.why = "measured it twice"
	d.page.onLeave(f)(d.Ctx, noEvent)
	d.shows("Left so:", "measured it twice", "Take it up again")
	d.open(circuitsPage, "", partLook)
	d.shows("Looked at, and left so", "measured it twice")
	f = dismissed(d.page.findings())
	d.page.onTakeUp(f)(d.Ctx, noEvent)
	if f := dismissed(d.page.findings()); f.Rule != "" {
		t.Errorf("%+v is still left so", f)
	}
}

func dismissed(all []harness.Finding) harness.Finding {
	for _, f := range all {
		if strings.TrimSpace(f.Dismissed) != "" {
			return f
		}
	}
	return harness.Finding{}
}
