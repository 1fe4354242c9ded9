package storage

import (
	"cmp"
	"maps"
	"slices"

	"github.com/go-json-experiment/json/jsontext"

	"loomwright/calc/harness"
)

// WithoutHistory returns the build as it stands, in a log of its own under the same build id: one edit of a fresh
// device for each living record, unknown fields and kinds with it, and nothing of what was deleted or changed before.
// A copy that comes back merges: what neither side changed is equal, so only real differences are conflicts.
func WithoutHistory(l *Log, device, at string) (*Log, error) {
	return rewrite(l, l.build, device, at, func(*Change) error { return nil })
}

// Copy returns the build as it stands as another build: one edit of a fresh device for each living record. The
// settings name the original in "of". Records keep their ids, so that what the app proposes for both has one id; only
// the settings take the new build's. Each tag takes a new code from newCode and names the original's in "of", unless it
// names one already: printed tags of the original are found through it.
func Copy(l *Log, build, device, at string, newCode func() string) (*Log, error) {
	return rewrite(l, build, device, at, func(c *Change) error {
		switch c.Kind {
		case harness.KindSettings:
			if c.ID == l.build {
				c.ID = build
				return c.text("of", l.build)
			}
		case harness.KindTag:
			code, ok := c.Set.Get("code")
			if !ok {
				return nil
			}
			if _, ok := c.Set.Get("of"); !ok {
				c.Set = append(c.Set, Field{"of", code})
			}
			return c.text("code", newCode())
		}
		return nil
	})
}

// text sets a field to a text.
func (c *Change) text(name, s string) error {
	v, err := jsontext.AppendQuote(nil, s)
	if err != nil {
		return err
	}
	c.Set = slices.DeleteFunc(c.Set, func(f Field) bool { return f.Name == name })
	c.Set = append(c.Set, Field{name, v})
	return nil
}

// rewrite returns a new log with one edit for each living record, by kind and id.
func rewrite(l *Log, build, device, at string, alter func(*Change) error) (*Log, error) {
	out := New(build)
	for _, r := range l.sorted() {
		if r.gone() {
			continue
		}
		c := Change{Kind: r.kind, ID: r.id}
		for _, f := range r.fields {
			if f.value != nil {
				c.Set = append(c.Set, Field{f.name, f.value})
			}
		}
		if err := alter(&c); err != nil {
			return nil, err
		}
		if _, err := out.Commit(device, at, []Change{c}); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// sorted returns the records by kind and id.
func (l *Log) sorted() []*record {
	return slices.SortedFunc(maps.Values(l.whole()), func(a, b *record) int {
		return cmp.Or(cmp.Compare(a.kind, b.kind), cmp.Compare(a.id, b.id))
	})
}
