package steps

import (
	"os"
	"slices"
	"testing"

	"loomwright/calc/cut"
	"loomwright/calc/harness"
	"loomwright/calc/supply"
	"loomwright/storage"
)

func demo(t testing.TB) *harness.Build {
	t.Helper()
	f, err := os.Open("../../testdata/builds/roadster.build")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	log, err := storage.Decode(f, func(string, []byte) error { return nil })
	if err != nil {
		t.Fatal(err)
	}
	return log.State()
}

func of(b *harness.Build) []Step { return Build(supply.FactsOf(b, cut.Settle(b), nil), nil) }

func put(t testing.TB, b *harness.Build, kind harness.Kind, id string, record any) {
	t.Helper()
	if err := b.Apply([]harness.Put{{Ref: harness.Ref{Kind: kind, ID: id}, Record: record}}); err != nil {
		t.Fatal(err)
	}
}

// Phases come in their order, and no two steps have one id.
func TestOrder(t *testing.T) {
	all := of(demo(t))
	ids := map[string]bool{}
	phase := 0
	for _, s := range all {
		if ids[s.ID] || s.What == "" {
			t.Errorf("%q twice, or says nothing: %+v", s.ID, s)
		}
		ids[s.ID] = true
		n := slices.Index(Phases, s.Phase)
		if n < phase {
			t.Fatalf("%q of %s after %s", s.ID, s.Phase, Phases[phase])
		}
		phase = n
	}
	for _, p := range Phases {
		done, of := Count(all, p)
		t.Logf("%s: %d of %d", p, done, of)
	}
	if n := First(all); n != 0 || all[n].Phase != Safe {
		t.Errorf("first %d", n)
	}
}

// Before an end is crimped it was trimmed, threaded, and a sample of its terminal and size was pulled.
func TestSampleBeforeCrimp(t *testing.T) {
	sampled, tubed, crimps := map[string]bool{}, map[string]bool{}, 0
	for _, s := range of(demo(t)) {
		switch {
		case s.Does == PullSample:
			sampled[s.Crimp+s.Size] = true
		case s.Phase == Ends && s.ID[:4] == "tube":
			tubed[s.ID[5:]] = true
		case s.Crimp != "":
			crimps++
			if !sampled[s.Crimp+s.Size] || !tubed[s.ID[6:]] {
				t.Errorf("%s: %s on %s before its sample or its tube", s.ID, s.Crimp, s.Size)
			}
		}
	}
	if crimps < 100 {
		t.Errorf("%d crimps", crimps)
	}
}

// A ticked step stays ticked when the build grows, and is open again when it is another thing now. A wire that was cut is
// done by that alone.
func TestTicksSurvive(t *testing.T) {
	b := demo(t)
	all := of(b)
	lay := slices.IndexFunc(all, func(s Step) bool { return s.Phase == Lay })
	tick := Mark(all[lay], "2026-05-12T10:00:00Z")
	put(t, b, harness.KindTick, tick.ID, tick)
	safe := Mark(all[0], "2026-05-12T09:00:00Z")
	put(t, b, harness.KindTick, safe.ID, safe)
	now := of(b)
	if !now[lay].Done || !now[0].Done || First(now) != 1 {
		t.Fatalf("%+v", now[lay])
	}
	run, _ := b.Runs.Get(now[lay].Run)
	w := harness.Wire{Name: "W900", From: harness.End{Place: run.A}, To: harness.End{Place: run.B}, Size: "0.5 mm2", Base: "red", Order: 1e6}
	put(t, b, harness.KindWire, "w900", w)
	now = of(b)
	at := slices.IndexFunc(now, func(s Step) bool { return s.ID == all[lay].ID })
	if now[at].Done || now[at].Was != tick.What || !now[0].Done {
		t.Errorf("%+v", now[at])
	}
	w.Cut = &harness.Done{Length: 1, At: "2026-05-12T10:00:00Z"}
	put(t, b, harness.KindWire, "w900", w)
	if i := slices.IndexFunc(of(b), func(s Step) bool { return s.ID == "cut w900" && s.Done }); i < 0 {
		t.Error("a wire that is cut is not done")
	}
}

// Only a sample that held makes its step done.
func TestSample(t *testing.T) {
	b := demo(t)
	step := func() Step {
		all := of(b)
		return all[slices.IndexFunc(all, func(s Step) bool { return s.Does == PullSample })]
	}
	s := step()
	held, limit := 40.0, 60.0
	x := harness.Sample{Terminal: s.Crimp, Size: s.Size, Newtons: &held, Limit: &limit}
	put(t, b, harness.KindSample, "x", x)
	if step().Done {
		t.Error("a sample that did not hold counts")
	}
	held = 75
	put(t, b, harness.KindSample, "y", x)
	if !step().Done {
		t.Error("a sample that held does not count")
	}
}

func BenchmarkBuildDemo(b *testing.B) {
	build := demo(b)
	f := supply.FactsOf(build, cut.Settle(build), nil)
	for b.Loop() {
		Build(f, nil)
	}
}
