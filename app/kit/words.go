package kit

import (
	"encoding/json"
	"fmt"
	"strings"
	"sync"
	"time"

	"github.com/go-json-experiment/json/jsontext"

	"loomwright/calc/harness"
	"loomwright/calc/unit"
	"loomwright/storage"
)

// fieldWords are the words for the fields of records whose JSON names are not words themselves.
var fieldWords = sync.OnceValue(func() map[string]string {
	return map[string]string{
		"a": "from", "b": "to", "allowBy": "how allowances are made", "allowFlat": "flat allowance", "allowPercent": "allowance in per cent",
		"stripCrimp": "strip and crimp", "serviceLoop": "service loop", "spliceEnd": "splice", "dripLoop": "drip loop",
		"passThrough": "pass-through", "cornerEach": "each corner", "fixed": "where the split is fixed", "travel": "how far the mount moves",
		"gone": "deleted", "became": "became", "base": "colour", "via": "must pass", "on": "what it is on", "of": "copy of",
		"unit": "counts in", "volts": "supply volts", "drip": "drip loop", "at": "read at", "text": "as typed", "twist": "twisted with",
		"sigma": "give or take", "thick": "string's thickness", "zero": "tape at the start", "out": "thrown out", "outWhy": "thrown out because",
		"stringThick": "string's thickness", "margin": "how sure a cut must be",
		"bore": "grommet inside", "across": "size of the connector", "made": "finished before pulling", "pull": "pulled from", "outside": "over the insulation",
		"kerf": "lost at each cut", "offcut": "shortest rest kept", "buyStep": "sold in steps of",
		"crimpBy": "crimps are pulled by", "spareWire": "spare wire, per cent", "sparePins": "spare terminals, per cent", "extendAt": "spliced on at", "extendWhy": "spliced because",
		"pullUp": "pull-up, ohm", "polarity": "polarity", "sensor": "sensor type", "coil": "coil type", "injector": "injector type", "outcome": "came out as", "turn": "time tested", "celsius": "degrees C",
		"leads": "meter leads, ohm", "plus": "red probe", "minus": "black probe", "low": "at least", "high": "at most",
		"extended": "the piece spliced on was cut to", "stock": "cut from",
	}
})

// FieldWord is what a field is called on screen.
func FieldWord(field string) string {
	if w, ok := fieldWords()[field]; ok {
		return w
	}
	return field
}

// lengthFields are the fields that hold a length in nanometres.
var lengthFields = sync.OnceValue(func() map[string]bool {
	return map[string]bool{
		"allowFlat": true, "stripCrimp": true, "rework": true, "serviceLoop": true, "tail": true, "breakout": true, "spliceEnd": true,
		"movement": true, "dripLoop": true, "passThrough": true, "cornerEach": true, "travel": true, "value": true, "length": true,
		"sigma": true, "thick": true, "zero": true, "stringThick": true, "kerf": true, "offcut": true, "buyStep": true,
		"hole": true, "bore": true, "across": true, "outside": true, "inside": true, "least": true, "wall": true,
	}
})

// ValueWord shows a raw field of a record in words: ids as names, lengths in the build's unit.
func ValueWord(b *harness.Build, field string, raw jsontext.Value) string {
	switch raw.Kind() {
	case 0, 'n':
		return "nothing"
	case 't':
		return "yes"
	case 'f':
		return "no"
	case '"':
		var text string
		if json.Unmarshal(raw, &text) != nil {
			return "?"
		}
		return idWord(b, text)
	case '0':
		var n int64
		if lengthFields()[field] && json.Unmarshal(raw, &n) == nil {
			return unit.Length(n).Format(b.Settings.Unit)
		}
		return string(raw)
	case '[':
		var ids []string
		if json.Unmarshal(raw, &ids) != nil {
			return "a list"
		}
		for i := range ids {
			ids[i] = idWord(b, ids[i])
		}
		return strings.Join(ids, ", ")
	case '{':
		return objectWord(b, raw)
	}
	return "?"
}

func objectWord(b *harness.Build, raw jsontext.Value) string {
	var done harness.Done
	if json.Unmarshal(raw, &done) == nil && done.Length > 0 {
		return done.Length.Format(b.Settings.Unit)
	}
	var end harness.End
	if json.Unmarshal(raw, &end) == nil {
		return EndName(b, end)
	}
	return "a value of a newer version"
}

// idWord is the name of the record with this id, or the text itself if it is no id of this build.
func idWord(b *harness.Build, text string) string {
	if text == "" {
		return "nothing"
	}
	if _, ok := b.Places.Any(text); ok {
		return PlaceName(b, text)
	}
	if l, ok := b.Looms.Any(text); ok {
		return nameOr(l.Name, "a loom without a name")
	}
	if r, ok := b.Runs.Any(text); ok {
		return RunName(b, r)
	}
	if w, ok := b.Wires.Any(text); ok {
		return w.Name
	}
	if t, ok := b.Terminals.Any(text); ok {
		return PlaceName(b, t.Place) + " " + TerminalName(b, text)
	}
	if j, ok := b.Joints.Any(text); ok {
		return nameOr(j.Name, "a joint without a name")
	}
	return text
}

// RecordWord names a record by its kind and what it is called.
func RecordWord(b *harness.Build, kind harness.Kind, id string) string {
	switch kind {
	case harness.KindSettings:
		return "the build"
	case harness.KindWire:
		if w, ok := b.Wires.Any(id); ok {
			return strings.TrimSpace("wire " + w.Name + " " + w.Function)
		}
	case harness.KindReading:
		if r, ok := b.Readings.Any(id); ok && len(r.Places) > 1 {
			return "reading " + PlaceName(b, r.Places[0]) + " to " + PlaceName(b, r.Places[len(r.Places)-1])
		}
	case harness.KindLead:
		if l, ok := b.Leads.Any(id); ok {
			return strings.TrimSpace("lead " + l.Legend)
		}
	case harness.KindTag:
		if t, ok := b.Tags.Any(id); ok {
			return "tag " + t.Code
		}
	case harness.KindTick:
		if t, ok := b.Ticks.Any(id); ok {
			return "step " + t.What
		}
	case harness.KindResult:
		if r, ok := b.Results.Any(id); ok {
			return "test " + r.What
		}
	case harness.KindStock:
		if s, ok := b.Stocks.Any(id); ok {
			return strings.TrimSpace("wire on hand " + SizeWord(s.Size) + " " + s.Base)
		}
	default:
		if name := idWord(b, id); name != id {
			return string(kind) + " " + name
		}
	}
	return string(kind)
}

// EditWords says what an edit did, a line for each record, at most six.
func EditWords(b *harness.Build, e storage.Edit) []string {
	if len(e.Seen) > 0 && len(e.Changes) == 0 {
		return []string{"merged what another phone did"}
	}
	var lines []string
	for i, c := range e.Changes {
		if i == 6 {
			lines = append(lines, fmt.Sprintf("and %d more", len(e.Changes)-i))
			break
		}
		lines = append(lines, RecordWord(b, c.Kind, c.ID)+": "+changeWords(b, c))
	}
	if e.Undoes != 0 && len(lines) > 0 {
		lines[0] = "taken back: " + lines[0]
	}
	return lines
}

func changeWords(b *harness.Build, c storage.Change) string {
	if len(c.Was) == 0 && len(c.Set) > 2 {
		return "new"
	}
	var parts []string
	for _, f := range c.Set {
		if f.Name == "gone" {
			if f.Value.Kind() == 't' {
				return "deleted"
			}
			return "brought back"
		}
		if was, ok := c.Was.Get(f.Name); ok {
			parts = append(parts, fmt.Sprintf("%s %s, was %s", FieldWord(f.Name), ValueWord(b, f.Name, f.Value), ValueWord(b, f.Name, was)))
		} else {
			parts = append(parts, FieldWord(f.Name)+" "+ValueWord(b, f.Name, f.Value))
		}
	}
	return strings.Join(parts, "; ")
}

// Day shows a phone's time; what is not a time is unknown.
func Day(at string) string {
	t, err := time.Parse(time.RFC3339, at)
	if err != nil {
		return "at an unknown time"
	}
	return t.Local().Format("2 Jan 2006, 15:04")
}
