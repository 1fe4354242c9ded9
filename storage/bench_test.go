package storage

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"testing"

	"loomwright/calc/harness"
	"loomwright/calc/unit"
)

// bigLog returns a log of many edits as taps make them: about 600 records, half of the edits on runs and wires.
func bigLog(b *testing.B, edits int) *Log {
	b.Helper()
	rng := rand.New(rand.NewPCG(1, 2))
	l := New("5b1f4f0e-98a8-4f0e-8a55-0c6c5b7d1a01")
	id := func(kind string, n int) string { return fmt.Sprintf("%s-4f0e-8a55-0c6c5b7d1a01-%04d", kind, n) }
	for i := range edits {
		var c Change
		switch n := rng.IntN(200); i % 4 {
		case 0:
			old, _ := l.State().Places.Any(id("place", n))
			now := old
			now.Name, now.Kind, now.Order = fmt.Sprint("Split ", i), harness.Split, float64(i)
			c = Put(harness.KindPlace, id("place", n), old, now)
		case 1, 2:
			old, _ := l.State().Wires.Any(id("wire", n))
			now := old
			now.Name, now.Function, now.Size, now.Base = fmt.Sprint("W", i), "coolant temperature signal", "0.75", "YE"
			now.From, now.To = harness.End{Place: id("place", n), Terminal: id("term", i)}, harness.End{Place: id("place", i%200)}
			now.Looms = []string{id("loom", i%3)}
			c = Put(harness.KindWire, id("wire", n), old, now)
		default:
			c = Put(harness.KindReading, id("reading", n), harness.Reading{}, harness.Reading{
				Places: []string{id("place", n), id("place", i%200)}, Runs: []string{id("run", n)}, Text: "368", Unit: unit.Metric,
				Value: unit.Length(i) * unit.Millimetre, At: "2026-03-01T12:00:00Z",
			})
		}
		if _, err := l.Commit("d290f1ee6c54", "2026-03-01T12:00:00Z", []Change{c}); err != nil {
			b.Fatal(err)
		}
	}
	return l
}

const benchEdits = 20_000

func BenchmarkCommit(b *testing.B) {
	l := bigLog(b, 5000)
	b.ResetTimer()
	for i := range b.N {
		id := fmt.Sprintf("place-4f0e-8a55-0c6c5b7d1a01-%04d", i%200)
		old, _ := l.State().Places.Any(id)
		now := old
		now.Name = fmt.Sprint("now ", i)
		if _, err := l.Commit("d290f1ee6c54", "2026-03-01T12:00:00Z", []Change{Put(harness.KindPlace, id, old, now)}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkParse20000(b *testing.B) {
	raw := rawLines(bigLog(b, benchEdits))
	b.SetBytes(int64(len(raw)))
	b.ResetTimer()
	for range b.N {
		if _, err := ParseSaved(raw); err != nil {
			b.Fatal(err)
		}
	}
}

func rawLines(l *Log) []byte {
	var raw []byte
	for _, line := range l.Lines() {
		raw = append(append(raw, line.Raw...), '\n')
	}
	return raw
}

func BenchmarkFold20000(b *testing.B) {
	lines := bigLog(b, benchEdits).Lines()
	b.ResetTimer()
	for range b.N {
		if _, err := New("b").Add(lines); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkSnapshot(b *testing.B) {
	l := bigLog(b, benchEdits)
	b.ResetTimer()
	for range b.N {
		l.Snapshot("1")
	}
}

func BenchmarkOpenSnapshot(b *testing.B) {
	s := bigLog(b, benchEdits).Snapshot("1")
	b.SetBytes(int64(len(s.Data)))
	b.ResetTimer()
	for range b.N {
		if _, err := OpenSnapshot(s, nil); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkAddHistory20000(b *testing.B) {
	l := bigLog(b, benchEdits)
	s := l.Snapshot("1")
	b.ResetTimer()
	for range b.N {
		b.StopTimer()
		from, err := OpenSnapshot(s, nil)
		if err != nil {
			b.Fatal(err)
		}
		b.StartTimer()
		if err := from.AddHistory(l.Lines()); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkEncode20000(b *testing.B) {
	l := bigLog(b, benchEdits)
	b.ResetTimer()
	for range b.N {
		if err := Encode(new(bytes.Buffer), l, nil); err != nil {
			b.Fatal(err)
		}
	}
}

// A thousand steps back, a thousand forward, and again.
func BenchmarkUndoRedo(b *testing.B) {
	l := bigLog(b, benchEdits)
	b.ResetTimer()
	for i := range b.N {
		do := l.Undo
		if i/1000%2 == 1 {
			do = l.Redo
		}
		if _, _, err := do("d290f1ee6c54", ""); err != nil {
			b.Fatal(err)
		}
	}
}
