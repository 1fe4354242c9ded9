package walk

import (
	"cmp"
	"strconv"
	"strings"
	"sync"
	"time"

	"loomwright/app/kit"
	"loomwright/calc/harness"
	"loomwright/calc/sorting"
)

// kindWord is a kind of place as a name begins with it.
var kindWord = sync.OnceValue(func() map[harness.PlaceKind]string {
	return map[harness.PlaceKind]string{
		harness.Controller: "Controller", harness.Device: "Device", harness.Split: "Split", harness.PassThrough: "Pass-through",
		harness.Panel: "Panel", harness.TerminalStrip: "Terminal strip", harness.Splice: "Splice", harness.Ground: "Ground",
		harness.Supply: "Supply", harness.Inline: "Inline connector", harness.CarWire: "Car wire",
	}
})

// freeName is the name a new place of a kind gets when nobody gives it one: the word and the number after the highest of
// the living places. The first controller has no number.
func freeName(b *harness.Build, kind harness.PlaceKind) string {
	word := kindWord()[kind]
	if word == "" {
		word = "Place"
	}
	most, any := 0, false
	for _, p := range b.Places.All() {
		rest, ok := strings.CutPrefix(strings.ToLower(strings.TrimSpace(p.Name)), strings.ToLower(word))
		if !ok {
			continue
		}
		any = any || rest == ""
		if n, err := strconv.Atoi(strings.TrimSpace(rest)); err == nil {
			most, any = max(most, n), true
		}
	}
	if kind == harness.Controller && !any {
		return word
	}
	return word + " " + strconv.Itoa(most+1)
}

// reference says to which point of a place the tape reads.
//
// Source: common practice. Connectors to the rear face, because that is where a lead leaves; branches and holes to
// their middle, because that is what the string is marked at.
func reference(kind harness.PlaceKind) string {
	switch kind {
	case harness.Controller, harness.Device, harness.Inline:
		return "rear face of the connector"
	case harness.Split:
		return "centre of the breakout"
	case harness.PassThrough:
		return "middle of the hole"
	case harness.Panel:
		return "edge where the loom enters"
	case harness.TerminalStrip:
		return "middle of the strip"
	case harness.Splice:
		return "middle of the splice"
	case harness.Ground, harness.Supply:
		return "stud"
	case harness.CarWire:
		return "spot where it is tapped"
	}
	return "centre of it"
}

// methodWord says how a length was read.
func methodWord(m harness.Method) string {
	switch m {
	case harness.ByString:
		return "string"
	case harness.ByTape:
		return "tape"
	case harness.ByGuess:
		return "guess"
	case harness.ByDrawing:
		return "drawing"
	case harness.AsBuilt:
		return "finished loom"
	}
	return string(m)
}

// methods are the ways to read a length that are offered during a walk.
var methods = []harness.Method{harness.ByString, harness.ByTape, harness.ByGuess}

func statusWord(s harness.PlaceStatus) string {
	if s == harness.Open {
		return "open"
	}
	return string(s)
}

// farName is the name of the other end of a run.
func farName(b *harness.Build, r harness.Run, from string) string {
	far, _ := r.OtherEnd(from)
	return kit.PlaceName(b, far)
}

// newestFirst sorts readings by the time they say, the last one first; then by id.
func newestFirst(all []harness.Reading) {
	at := func(r harness.Reading) time.Time {
		t, _ := time.Parse(time.RFC3339, r.At)
		return t
	}
	sorting.By(all, func(a, b harness.Reading) int {
		return cmp.Or(at(b).Compare(at(a)), cmp.Compare(b.ID, a.ID))
	})
}

func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + many
}
