package harness

import "testing"

func TestPutKeepsExactKeysAndOrder(t *testing.T) {
	b := NewBuild("b1")
	for _, p := range []struct{ id, json string }{
		{"p2", `{"name":"second","order":2,"new field":[1]}`},
		{"p1", `{"name":"first","NAME":"shouted","order":1}`},
		{"p3", `{"name":"deleted","gone":true}`},
	} {
		if known, err := b.Put(KindPlace, p.id, []byte(p.json)); err != nil || !known {
			t.Fatalf("Put(%s) = %v, %v", p.id, known, err)
		}
	}
	all := b.Places.All()
	if len(all) != b.Places.Len() || len(all) != 2 || all[0].Name != "first" || all[1].Name != "second" {
		t.Errorf("All() = %+v, want first, second", all)
	}
	if _, ok := b.Places.Get("p3"); ok {
		t.Error("Get returned a place that is gone")
	}
	if p, ok := b.Places.Any("p3"); !ok || p.Name != "deleted" || p.ID != "p3" {
		t.Errorf("Any(p3) = %+v, %v", p, ok)
	}
	if known, err := b.Put("from a later version", "x", []byte(`{}`)); known || err != nil {
		t.Errorf("unknown kind: known %v, err %v", known, err)
	}
	if _, err := b.Put(KindPlace, "p1", []byte(`{"name":7}`)); err == nil {
		t.Error("a number as a name was taken")
	}
	if p, _ := b.Places.Get("p1"); p.Name != "first" {
		t.Errorf("a refused record changed the build: %+v", p)
	}
}

// A deleted record is read when it is asked for, once, and an edit that came before that stays.
func TestPutLate(t *testing.T) {
	reads := map[string]int{}
	b := NewBuild("b1")
	late := func(id string) {
		b.PutLate(KindRun, id, func() {
			reads[id]++
			if _, err := b.Put(KindRun, id, []byte(`{"a":"`+id+`","gone":true}`)); err != nil {
				t.Error(err)
			}
		})
	}
	for _, id := range []string{"r1", "r2", "r3"} {
		late(id)
	}
	if b.Runs.Len() != 0 || len(reads) != 0 {
		t.Errorf("%d live, read %v", b.Runs.Len(), reads)
	}
	if _, ok := b.Runs.Get("r1"); ok {
		t.Error("Get returned a run that is gone")
	}
	for range 2 {
		if r, ok := b.Runs.Any("r1"); !ok || r.A != "r1" || reads["r1"] != 1 {
			t.Errorf("Any = %+v, %v, read %v", r, ok, reads)
		}
	}
	if _, err := b.Put(KindRun, "r2", []byte(`{"a":"back"}`)); err != nil {
		t.Fatal(err)
	}
	if r, ok := b.Runs.Get("r2"); !ok || r.A != "back" || b.Runs.Len() != 1 || reads["r2"] != 0 {
		t.Errorf("what came back = %+v, %v, read %v", r, ok, reads)
	}
	if gone := b.Runs.Gone(); len(gone) != 2 || gone[0].A != "r1" || gone[1].A != "r3" || reads["r1"] != 1 || reads["r3"] != 1 {
		t.Errorf("Gone() = %+v, read %v", gone, reads)
	}
}

func TestEncodeLeavesOutWhatIsZero(t *testing.T) {
	got, err := Encode(Place{Name: "split 4", Kind: Split})
	if want := `{"name":"split 4","kind":"split"}`; err != nil || string(got) != want {
		t.Errorf("Encode = %s, %v; want %s", got, err, want)
	}
}
