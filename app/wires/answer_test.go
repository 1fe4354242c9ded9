package wires

import (
	"strings"
	"testing"

	"loomwright/app/figure"
	"loomwright/app/kit"
	"loomwright/calc/cut"
	"loomwright/calc/harness"
	"loomwright/calc/route"
	"loomwright/calc/unit"
	"loomwright/storage"
)

// leadOf makes a wire of a lead of so many millimetres, from a cavity of the controller to the coolant sensor.
func (l *loom) leadOf(mm float64) harness.Wire {
	l.T.Helper()
	pin := put(l, harness.KindTerminal, harness.Terminal{Place: l.id["Controller"], Connector: "A", Name: "14"})
	lead := harness.Lead{Terminal: pin, Size: "0.5 mm2"}
	if mm > 0 {
		lead.Length = millimetres(mm)
	}
	return l.wire(harness.Wire{From: harness.End{Place: l.id["Controller"], Terminal: pin}, To: harness.End{Place: l.id["Coolant"]},
		Lead: put(l, harness.KindLead, lead)})
}

func TestAnswerOfAWireMadeNew(t *testing.T) {
	l := newLoom(t)
	w := l.between("Controller", "Coolant")
	r := l.Cut(w)
	a := answerTo(l.Session, w)
	if a.big != kit.Number(r.Sum, unit.Metric) || a.word || a.lead {
		t.Errorf("big %q, want %v", a.big, r.Sum)
	}
	// The lines above each sum add up to it: the terms to what it needs, and with the rounding to what is cut.
	sum, sums := unit.Length(0), map[string]unit.Length{"It needs": r.Exact, "Cut to": r.Sum}
	for _, line := range a.lines {
		if !line.sum {
			sum += line.term.Value
			continue
		}
		if sums[line.name] != sum || line.value != kit.Number(sum, unit.Metric) {
			t.Errorf("%s %s, the lines above add up to %v", line.name, line.value, sum)
		}
		delete(sums, line.name)
	}
	if len(sums) > 0 {
		t.Errorf("missing %v", sums)
	}
	if !strings.HasSuffix(a.beside[1], " in") {
		t.Errorf("the other unit is %q", a.beside)
	}
}

func TestAnswersOfALead(t *testing.T) {
	l := newLoom(t)
	w := l.leadOf(0)
	r := cut.Lead(l.B(), l.Graph(), w).Result
	lead, _ := l.B().Leads.Get(w.Lead)
	for _, row := range []struct {
		name   string
		length unit.Length
		big    string
		beside string
		note   string
		mends  bool
	}{
		{"more than enough", r.Exact + 10*unit.Millimetre, "reaches", kit.Number(r.Tail+10*unit.Millimetre, unit.Metric) + " of tail left", "", false},
		{"some tail", r.Exact - r.Tail + 20*unit.Millimetre, "reaches", "20 of tail left", "180 mm less tail than you asked for.", false},
		{"no tail", r.Exact - r.Tail, "reaches", "no tail left", "No tail is left.", false},
		{"less than no tail", r.Exact - r.Tail - 5*unit.Millimetre, "reaches", "no tail left", "No tail is left.", false},
		{"just reaches", r.Least, "reaches", "no tail left", "No tail is left.", false},
		{"too short", r.Least - 60*unit.Millimetre, "truly short", "by 60 mm,", "It does not reach.", true},
		{"not measured", 0, "not measured", "the lead itself", "How long is the lead?", false},
	} {
		t.Run(row.name, func(t *testing.T) {
			now := lead
			if row.length > 0 {
				now.Length = &row.length
			}
			old, _ := l.B().Leads.Get(lead.ID)
			l.do(l.Do(storage.Put(harness.KindLead, lead.ID, old, now)))
			a := answerTo(l.Session, w)
			if a.big != row.big || !strings.Contains(strings.Join(a.beside, "|"), row.beside) || a.note.strong != row.note || len(a.mends) > 0 != row.mends {
				t.Errorf("%q %q, %+v, %d mends", a.big, a.beside, a.note, len(a.mends))
			}
			if a.bad != row.mends {
				t.Errorf("bad is %v", a.bad)
			}
			if len(a.mends) > 0 && a.mends[len(a.mends)-1].Kind != cut.SpliceOn {
				t.Error("the splice is not the last choice")
			}
		})
	}
}

func TestAnswerSaysWhatIsMissing(t *testing.T) {
	l := newLoom(t)
	unmeasured, island := l.between("Controller", "Knock"), l.between("Controller", "Fan")
	if a := answerTo(l.Session, unmeasured); a.big != "not measured" || a.beside[0] != "1 run on the way" || a.result.Missing[0] != l.id["Split 1 Knock"] {
		t.Errorf("%+v", a)
	}
	a := answerTo(l.Session, island)
	if a.big != "no route" || len(a.lines) != 0 {
		t.Errorf("%+v", a)
	}
	at := kit.Addr{Build: "b", Page: pageName, Record: island.ID}
	if j := wayJump(at, a.result.Problem); j.to != at.On("route").With(l.id["Fan"]).In("connect") {
		t.Errorf("jump %+v", j)
	}
	for _, row := range []struct {
		e    route.NoPath
		want kit.Addr
	}{
		{route.NoPath{Trouble: route.NoEnd, End: harness.ToEnd}, at.In(partTo)},
		{route.NoPath{Trouble: route.LostEnd, End: harness.FromEnd}, at.In(partFrom)},
		{route.NoPath{Trouble: route.LostVia}, at.In(partVia)},
		{route.NoPath{Trouble: route.OtherLoom}, at.In(partLooms)},
	} {
		if j := wayJump(at, &row.e); j.to != row.want || j.word == "" {
			t.Errorf("%s: %+v", row.e.Trouble, j)
		}
	}
}

func TestChangedSinceItWasCut(t *testing.T) {
	mm := unit.Millimetre
	for _, row := range []struct {
		c    cut.Change
		want remark
	}{
		{cut.Change{Was: 1240 * mm, Now: 1285 * mm, Known: true, Short: 45 * mm}, remark{"warn", "Cut at 1 240, now needs 1 285:", "short by 45 mm.", "k"}},
		{cut.Change{Was: 1240 * mm, Now: 1285 * mm, Known: true, Short: 45 * mm, Truly: true}, remark{"bad", "Cut at 1 240, now needs 1 285:", "short by 45 mm.", "k"}},
		{cut.Change{Was: 1240 * mm, Now: 1200 * mm, Known: true, Over: 40 * mm}, remark{"", "Cut at 1 240.", "Now it needs 1 200: 40 mm over.", "k"}},
		{cut.Change{Was: 1240 * mm, Now: 1240 * mm, Known: true}, remark{"good", "Cut at 1 240.", "That is what it needs.", "k"}},
		{cut.Change{Was: 1240 * mm}, remark{"warn", "Cut at 1 240.", "What it needs now is not known.", "k"}},
	} {
		if got := changed("Cut at", row.c, unit.Metric, "k"); got != row.want {
			t.Errorf("%+v, want %+v", got, row.want)
		}
	}
}

// A length to cut is never shown shorter in the other unit.
func TestOtherUnitRoundsUp(t *testing.T) {
	for mm := unit.Length(1); mm < 3000; mm += 7 {
		for _, sys := range []unit.System{unit.Metric, unit.Imperial} {
			text := otherUp(mm*unit.Millimetre, sys)
			got, err := unit.ParseLength(text, unit.Metric)
			if err != nil || got < mm*unit.Millimetre || got > mm*unit.Millimetre+unit.Inch/16 {
				t.Fatalf("%d mm is shown as %q = %v, %v", mm, text, got, err)
			}
		}
	}
}

func TestVerdicts(t *testing.T) {
	l := newLoom(t)
	w := l.between("Controller", "Coolant")
	r := l.Cut(w)
	at := func(f func(w *harness.Wire)) verdict {
		_, err := change(l.Session, []harness.Wire{l.now(w.ID)}, func(now *harness.Wire) {
			now.Cut, now.To = w.Cut, w.To
			f(now)
		})
		l.do(err)
		return l.page.judge.of(l.Session).verdict(l.now(w.ID))
	}
	for _, row := range []struct {
		name string
		f    func(w *harness.Wire)
		want verdict
	}{
		{"to be cut", func(*harness.Wire) {}, verdict{kit.Number(r.Sum, unit.Metric), "mm", "", figure.Cut(w.ID)}},
		{"cut right", func(w *harness.Wire) { w.Cut = &harness.Done{Length: r.Sum} }, verdict{kit.Number(r.Sum, unit.Metric), "cut", "", figure.Done(w.ID)}},
		{"cut short", func(w *harness.Wire) { w.Cut = &harness.Done{Length: r.Sum - 45*unit.Millimetre} },
			verdict{kit.Number(r.Sum, unit.Metric), "cut, short by 45", tooShort, figure.Done(w.ID)}},
		{"no route", func(w *harness.Wire) { w.To.Place = l.id["Fan"] }, verdict{"no route", "", noRoute, figure.Cut(w.ID)}},
		{"not measured", func(w *harness.Wire) { w.To.Place = l.id["Knock"] }, verdict{"not", "measured", notMeasured, figure.Cut(w.ID)}},
	} {
		if got := at(row.f); got != row.want {
			t.Errorf("%s: %+v, want %+v", row.name, got, row.want)
		}
	}
	// The answer follows a new reading.
	put(l, harness.KindReading, harness.Reading{Places: []string{l.id["Controller"], l.id["Split 1"]}, Runs: []string{l.id["Controller Split 1"]},
		Text: "500", Value: 500 * unit.Millimetre, At: "2026-06-01T00:00:00Z"})
	if got := at(func(*harness.Wire) {}); got.number == kit.Number(r.Sum, unit.Metric) {
		t.Errorf("still %+v after a longer reading", got)
	}
}
