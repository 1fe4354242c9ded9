package trace

import (
	"strings"
	"testing"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/calc/harness"
)

// Four dead coils lead to what they share, the next measurement is offered, and its answer is kept with the build.
func TestDeadCoilsShareTheirFeed(t *testing.T) {
	b, build := phone(t)
	p := &deadPage{S: b.Session, At: kit.Addr{Build: build, Page: deadName}}
	loop := app.NewClientTester(p)
	t.Cleanup(loop.Close)
	loop.Consume()
	p.save(harness.Hunt{Record: harness.Record{ID: "h1"}}, harness.Hunt{Record: harness.Record{ID: "h1"}, At: b.Time()})
	p.At.Record = "h1"
	for _, x := range b.B().Places.All() {
		if strings.HasPrefix(x.Name, "Coil ") && x.Kind == harness.Device {
			p.onTick(x.ID)(nil, app.Event{})
		}
	}
	p.onRest(nil, app.Event{})
	h, _ := p.hunt()
	if len(h.Dead) != 4 || len(h.Works) < 10 {
		t.Fatalf("%d dead, %d work", len(h.Dead), len(h.Works))
	}
	p.At.Mode = partShare
	html := app.HTMLString(p.Render())
	has(t, html, "What do they share?", "fuse F2 is open", "splice Coil feed", "splice Coil ground", "What would explain it", "Explains Coil")
	v := p.judge(h)
	if v.Next == nil {
		t.Fatal("no measurement is proposed")
	}
	p.onAnswer(v.Next.Key, 0)(nil, app.Event{})
	b.Saved()
	if h, _ = p.hunt(); len(h.Answers) != 1 || h.Answers[0].Do != v.Next.Do {
		t.Fatalf("kept: %+v", h.Answers)
	}
	if again := p.judge(h); len(again.Left) >= len(v.Left) {
		t.Errorf("%d are left after a measurement, %d before", len(again.Left), len(v.Left))
	}
	has(t, app.HTMLString(p.Render()), "Measured", "Out:")
}

// A wire says what feeds it and what hangs on the same fuse, and takes note of a change before anybody says which.
func TestAWireSaysWhatItShares(t *testing.T) {
	b, build := phone(t)
	var drive harness.Wire
	for _, w := range b.B().Wires.All() {
		if c, _ := b.B().Circuits.Get(w.Circuit); c.Name == "Coil feed" {
			drive = w
		}
	}
	rec := wireTag(t, b.B(), drive.Name, harness.ToEnd)
	p, html := see(t, b, kit.Addr{Build: build, Page: pageName, Record: rec.Code})
	has(t, html, "Fed by", "F2", "On the same circuit", "I changed something here")
	p.onChanged(rec.On, rec.Subject)(nil, app.Event{})
	b.Saved()
	all := b.B().Amendments.All()
	if len(all) != 1 || all[0].Of != drive.ID || all[0].Done {
		t.Fatalf("kept: %+v", all)
	}
	has(t, app.HTMLString(p.Render()), "What was changed", "The plan says it now")
	p.onAmended(all[0].ID)(nil, app.Event{})
	if a, _ := b.B().Amendments.Get(all[0].ID); !a.Done {
		t.Error("it is still open")
	}
}
