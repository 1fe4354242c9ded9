package harness

import "testing"

func TestNextWireName(t *testing.T) {
	for _, row := range []struct {
		name string
		have []Wire
		want string
	}{
		{"first", nil, "W1"},
		{"one above the highest", []Wire{{Name: "W3"}, {Name: "W26"}, {Name: "W7"}}, "W27"},
		{"gaps are not filled", []Wire{{Name: "W1"}, {Name: "W3"}}, "W4"},
		{"a deleted wire keeps its name", []Wire{{Name: "W3"}, {Name: "W9", Record: Record{Gone: true}}}, "W10"},
		{"written in another way", []Wire{{Name: "w 2O"}}, "W21"},
		{"with a leading zero", []Wire{{Name: "W009"}}, "W10"},
		{"other names", []Wire{{Name: "FAN"}, {Name: ""}, {Name: "W"}, {Name: "W12A"}}, "W1"},
		{"a date is no number of wires", []Wire{{Name: "W20261125"}, {Name: "W4"}}, "W5"},
		{"not a negative number", []Wire{{Name: "W-5"}}, "W6"},
	} {
		t.Run(row.name, func(t *testing.T) {
			if got := wiresNamed(row.have...).NextWireName(); got != row.want {
				t.Errorf("%q, want %q", got, row.want)
			}
		})
	}
}

func TestWireNamed(t *testing.T) {
	b := wiresNamed(Wire{Name: "W20"}, Wire{Name: "Fan feed"}, Wire{Name: "W21", Record: Record{Gone: true}}, Wire{Name: ""})
	for _, row := range []struct {
		name, text, except, want string
	}{
		{"the same", "W20", "", "W20"},
		{"another case", "w20", "", "W20"},
		{"a space", "W 20", "", "W20"},
		{"O for 0", "W2O", "", "W20"},
		{"a dash", "fan-feed", "", "Fan feed"},
		{"deleted", "W21", "", "W21"},
		{"itself", "w20", "a", ""},
		{"free", "W22", "", ""},
		{"empty", " ", "", ""},
	} {
		t.Run(row.name, func(t *testing.T) {
			w, ok := b.WireNamed(row.text, row.except)
			if ok != (row.want != "") || w.Name != row.want {
				t.Errorf("%q, %v, want %q", w.Name, ok, row.want)
			}
		})
	}
}

// A name is free by both functions or by none.
func TestNextWireNameIsFree(t *testing.T) {
	b := wiresNamed()
	for i := range 50 {
		name := b.NextWireName()
		if w, ok := b.WireNamed(name, ""); ok {
			t.Fatalf("%q is the name of %q", name, w.Name)
		}
		w := Wire{Record: Record{ID: string(rune('a' + i)), Gone: i%3 == 0}, Name: name}
		b.Wires.put(w.ID, w, w.Gone, 0)
	}
}

func wiresNamed(wires ...Wire) *Build {
	b := NewBuild("b")
	for i, w := range wires {
		w.ID = string(rune('a' + i))
		b.Wires.put(w.ID, w, w.Gone, 0)
	}
	return b
}
