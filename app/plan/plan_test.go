package plan

import (
	"strings"
	"testing"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/app/session/sessiontest"
	"loomwright/calc/cut"
	"loomwright/calc/harness"
	"loomwright/calc/survey"
	"loomwright/calc/unit"
)

const demo = "../../testdata/builds/roadster.build"

func page(b *sessiontest.Bench, mode string) *plan {
	return &plan{S: b.Session, At: kit.Addr{Build: b.ID(), Page: "plan", Mode: mode}, Rev: b.Rev()}
}

func TestEveryPartShowsTheDemo(t *testing.T) {
	b := sessiontest.Start(t, nil)
	b.File(demo)
	for mode, wants := range map[string][]string{
		"":             {"runs measured", "Save a backup", "Carry on measuring"},
		partSettings:   {"What it is called", "12 V"},
		partAllowances: {"strip and crimp", "15 mm", "common practice"},
		partReadings:   {"normal", "2.326", "99 of 100", "a string on the route", "0.3 %", "3 mm + 0.5 %"},
		partLooms:      {"Add a loom", "Delete "},
		partConflicts:  {"Nothing to choose"},
		partHistory:    {"Show earlier", "another phone"},
	} {
		html := b.HTML(page(b, mode))
		for _, want := range wants {
			if !strings.Contains(html, want) {
				t.Errorf("part %q does not show %q", mode, want)
			}
		}
	}
}

func TestAnAllowanceIsKeyedSetAndPutBack(t *testing.T) {
	b := sessiontest.Start(t, nil)
	b.New("roadster")
	p := page(b, partAllowances)
	p.fresh()
	key := func(keys ...string) {
		for _, k := range keys {
			p.onKey(b.Ctx, k)
		}
	}
	value := func() unit.Length {
		v, _ := cut.Allowance(b.B().Settings, cut.Tail)
		return v
	}
	p.onEdit(cut.Tail)(b.Ctx, app.Event{})
	key("2", "5", "0", kit.KeyNext)
	if got := value(); got != 250*unit.Millimetre {
		t.Errorf("the tail is %v, want 250 mm", got)
	}
	p.onEdit(cut.Tail)(b.Ctx, app.Event{})
	key("0", kit.KeyNext)
	if got := value(); got != 0 {
		t.Errorf("the tail is %v, want none: zero is an allowance", got)
	}
	p.onEdit(cut.Tail)(b.Ctx, app.Event{})
	key("1", ".", kit.KeyBack, kit.KeyBack, kit.KeyNext)
	if p.failed == "" || p.field == "" {
		t.Error("nothing typed was taken as a length")
	}
	p.onDefault(b.Ctx, app.Event{})
	if got := value(); got != cut.DefaultTail {
		t.Errorf("the tail is %v, want the default", got)
	}
	b.Undo(b.Ctx)
	if got := value(); got != 0 {
		t.Errorf("after undo the tail is %v, want 0", got)
	}
}

func TestASpreadIsKeyedSetAndPutBack(t *testing.T) {
	b := sessiontest.Start(t, nil)
	b.New("roadster")
	p := page(b, partReadings)
	p.fresh()
	spread := func() harness.Spread {
		s, _ := survey.SpreadOf(b.B().Settings, harness.ByTape)
		return s
	}
	p.onPart(part{harness.ByTape, "fixed"})(b.Ctx, app.Event{})
	p.onPartKey(b.Ctx, "5")
	p.onPartKey(b.Ctx, kit.KeyNext)
	p.onPart(part{harness.ByTape, "percent"})(b.Ctx, app.Event{})
	p.onPercent("0.2")(b.Ctx, app.Event{})
	if got := spread(); got.Fixed != 5*unit.Millimetre || got.Percent != 0.2 {
		t.Errorf("the spread is %+v, want 5 mm and 0.2 %%", got)
	}
	p.onPart(part{harness.ByTape, "fixed"})(b.Ctx, app.Event{})
	p.onPartDefault(b.Ctx, app.Event{})
	if got := spread(); got.Fixed != 2*unit.Millimetre || got.Percent != 0 {
		t.Errorf("the spread is %+v, want the default", got)
	}
	p.onPart(part{of: "thick"})(b.Ctx, app.Event{})
	p.onPartKey(b.Ctx, "0")
	p.onPartKey(b.Ctx, kit.KeyNext)
	if p.failed == "" || b.B().Settings.StringThick != nil {
		t.Error("a string of no thickness was taken")
	}
	p.onPartKey(b.Ctx, kit.KeyBack)
	p.onPartKey(b.Ctx, "5")
	p.onPartKey(b.Ctx, kit.KeyNext)
	if got := b.B().Settings.StringThick; got == nil || *got != 5*unit.Millimetre {
		t.Errorf("the string is %v, want 5 mm", got)
	}
	p.onMargin(harness.MarginSafe)(b.Ctx, app.Event{})
	if got := cut.SurenessOf(b.B().Settings); got.Word != "safe" {
		t.Errorf("the margin is %v, want safe", got)
	}
}

func TestEveryDefaultHasASetting(t *testing.T) {
	for _, d := range cut.Defaults {
		if d.Kind != cut.Percent && setting(&harness.Settings{}, d.Kind) == nil {
			t.Errorf("%s cannot be set", d.Kind)
		}
	}
}
