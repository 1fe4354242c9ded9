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
	if len(all) != 2 || all[0].Name != "first" || all[1].Name != "second" {
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

func TestEncodeLeavesOutWhatIsZero(t *testing.T) {
	got, err := Encode(Place{Name: "split 4", Kind: Split})
	if want := `{"name":"split 4","kind":"split"}`; err != nil || string(got) != want {
		t.Errorf("Encode = %s, %v; want %s", got, err, want)
	}
}
