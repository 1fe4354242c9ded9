package trace

import (
	"context"
	"slices"

	"loomwright/calc/harness"
	"loomwright/calc/sorting"
	"loomwright/storage"
)

// hit is a tag that a code leads to, in one build.
type hit struct {
	about  storage.About
	tag    harness.Tag
	copied bool // the build is a copy: the code is on the original, this tag has another
}

// answer is what the builds of this phone know of a code.
type answer struct {
	hits   []hit           // by code before copies; each in the order of the builds
	unread []storage.About // builds that could not be read
	looked int             // builds that were

	log *storage.Log // that of the only hit, where it was opened to look
}

// open is what the build that is open knows of a code.
type open struct {
	build string // "" for no build
	hit   hit
	ok    bool
}

// only returns the hit, if there is just one and its build is not deleted.
func (a answer) only() (hit, bool) {
	if len(a.hits) == 1 && !a.hits[0].about.Gone {
		return a.hits[0], true
	}
	return hit{}, false
}

// find returns the tag of a code in a build, also a retired or deleted one; a living one is preferred. copied reports
// that the code is the original's, of which the build is a copy.
func find(b *harness.Build, code string) (t harness.Tag, copied, ok bool) {
	for _, of := range []bool{false, true} {
		for _, all := range []func() []harness.Tag{b.Tags.All, b.Tags.Gone} { // asked for in turn: the deleted ones are read late
			for _, t := range all() {
				if !of && t.Code == code || of && t.Of == code {
					return t, of, true
				}
			}
		}
	}
	return harness.Tag{}, false, false
}

// look searches builds for a code, in their order; the open one has been searched already. It waits for the store where
// there are others. Cost: that of opening each of those.
func look(ctx context.Context, store storage.Store, program string, builds []storage.About, code string, shown open) answer {
	var a answer
	for _, about := range builds {
		if about.Build == shown.build {
			a.looked++
			if shown.ok {
				a.hits = append(a.hits, hit{about, shown.hit.tag, shown.hit.copied})
			}
			continue
		}
		log, err := storage.Open(ctx, store, about.Build, program)
		if err != nil {
			a.unread = append(a.unread, about)
			continue
		}
		a.looked++
		if t, copied, ok := find(log.State(), code); ok {
			a.hits = append(a.hits, hit{about, t, copied})
			a.log = log
		}
	}
	if len(a.hits) != 1 {
		a.log = nil
	}
	sorting.By(a.hits, func(x, y hit) int {
		switch {
		case x.copied == y.copied:
			return 0
		case x.copied:
			return 1
		}
		return -1
	})
	return a
}

// deletion returns the last edit that deleted a record, if its line is loaded.
func deletion(l *storage.Log, kind harness.Kind, id string) (storage.Line, bool) {
	lines := l.History(kind, id)
	for _, line := range slices.Backward(lines) {
		for _, c := range line.Changes {
			if v, ok := c.Set.Get("gone"); ok && c.Kind == kind && c.ID == id && v.Kind() == 't' {
				return line, true
			}
		}
	}
	return storage.Line{}, false
}
