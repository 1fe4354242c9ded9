package survey

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"loomwright/calc/harness"
	"loomwright/calc/sorting"
)

// inOrder returns the living readings from the first to the last: by the time they say, then by id. The phone's time
// decides only which of two readings of one path was the later; a time that cannot be read counts as the earliest.
func inOrder(b *harness.Build) []harness.Reading {
	type stamped struct {
		at time.Time
		r  harness.Reading
	}
	var all []stamped
	for _, r := range b.Readings.All() {
		at, err := time.Parse(time.RFC3339, r.At)
		if err != nil {
			at = time.Time{}
		}
		all = append(all, stamped{at, r})
	}
	sorting.By(all, func(a, b stamped) int {
		return cmp.Or(a.at.Compare(b.at), cmp.Compare(a.r.ID, b.r.ID))
	})
	out := make([]harness.Reading, len(all))
	for i, s := range all {
		out[i] = s.r
	}
	return out
}

// tracer follows runs to what became of them.
type tracer struct {
	b       *harness.Build
	between map[[2]string][]string // living runs by their two places, the smaller first; made when needed
}

// path returns the runs that a reading passes today, or why it cannot be used.
func (t *tracer) path(r harness.Reading) ([]string, Because) {
	if r.Value <= 0 {
		return nil, NoValue
	}
	passed := r.Runs
	if len(passed) == 0 {
		if passed = t.fromPlaces(r.Places); passed == nil {
			return nil, NoPath
		}
	}
	var runs []string
	for i, id := range passed {
		run, ok := t.b.Runs.Any(id)
		if !ok {
			return nil, LostRun
		}
		if len(r.Places) == len(passed)+1 && !joins(run, r.Places[i], r.Places[i+1]) {
			return nil, MovedRun
		}
		parts := t.parts(run, nil)
		if len(parts) > 1 && i+1 <= len(r.Places)-1 {
			parts = t.facing(parts, r.Places[i])
		}
		runs = append(runs, parts...)
	}
	sorted := slices.Sorted(slices.Values(runs))
	if len(slices.Compact(sorted)) < len(runs) {
		return nil, PassTwice
	}
	return runs, ""
}

func joins(r harness.Run, a, b string) bool {
	return r.A == a && r.B == b || r.A == b && r.B == a
}

// fromPlaces finds the living runs between places that follow each other, if each pair has exactly one.
func (t *tracer) fromPlaces(places []string) []string {
	if len(places) < 2 {
		return nil
	}
	if t.between == nil {
		t.between = map[[2]string][]string{}
		for _, r := range t.b.Runs.All() {
			key := pair(r.A, r.B)
			t.between[key] = append(t.between[key], r.ID)
		}
	}
	var runs []string
	for i := range len(places) - 1 {
		found := t.between[pair(places[i], places[i+1])]
		if len(found) != 1 {
			return nil
		}
		runs = append(runs, found[0])
	}
	return runs
}

func pair(a, b string) [2]string { return [2]string{min(a, b), max(a, b)} }

// parts returns the runs that a run consists of today: itself, or, where it was split, those of its parts. A run whose
// parts do not lead from its one end to the other stays itself; above holds the runs being followed, against circles.
func (t *tracer) parts(r harness.Run, above []string) []string {
	if !r.Gone || len(r.Became) < 2 || slices.Contains(above, r.ID) || !t.chain(r.Became, r.A, r.B) {
		return []string{r.ID}
	}
	above = append(above, r.ID)
	var parts []string
	for _, id := range r.Became {
		part, _ := t.b.Runs.Any(id)
		parts = append(parts, t.parts(part, above)...)
	}
	return parts
}

// facing returns the parts of a run in the order in which they are met when it is entered at place.
func (t *tracer) facing(parts []string, place string) []string {
	first, _ := t.b.Runs.Any(parts[0])
	last, _ := t.b.Runs.Any(parts[len(parts)-1])
	if first.A != place && first.B != place && (last.A == place || last.B == place) {
		slices.Reverse(parts)
	}
	return parts
}

// split returns, for each run of a path that is part of a run that was split, the one that was read.
func (t *tracer) split(r record) map[string]string {
	var was map[string]string
	for _, id := range r.Runs {
		old, ok := t.b.Runs.Any(id)
		if !ok || !old.Gone {
			continue
		}
		for _, part := range t.parts(old, nil) {
			if part != id {
				if was == nil {
					was = map[string]string{}
				}
				was[part] = id
			}
		}
	}
	return was
}

// chain reports whether runs, in any order, lead from a to b without a fork: each place in between is met twice, a and b
// once.
func (t *tracer) chain(runs []string, a, b string) bool {
	odd := map[string]bool{}
	for _, id := range runs {
		r, ok := t.b.Runs.Any(id)
		if !ok || r.A == "" || r.B == "" {
			return false
		}
		odd[r.A] = !odd[r.A]
		odd[r.B] = !odd[r.B]
	}
	odd[a] = !odd[a]
	odd[b] = !odd[b]
	for _, o := range odd {
		if o {
			return false
		}
	}
	return true
}

// joined returns, for each run that others were joined to, those others, by id.
func (t *tracer) joined() (into []string, from map[string][]string) {
	from = map[string][]string{}
	for _, r := range t.b.Runs.Gone() {
		if len(r.Became) == 1 && r.Became[0] != r.ID {
			if len(from[r.Became[0]]) == 0 {
				into = append(into, r.Became[0])
			}
			from[r.Became[0]] = append(from[r.Became[0]], r.ID)
		}
	}
	slices.Sort(into)
	return into, from
}

// pathKey is the same for two paths of the same runs, walked either way.
func pathKey(runs []string) string {
	return strings.Join(slices.Sorted(slices.Values(runs)), "\x00")
}

// record is a reading with the runs it passes today: split runs replaced by their parts.
type record struct {
	harness.Reading
	runs []string
}
