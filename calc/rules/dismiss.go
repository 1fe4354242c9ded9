package rules

import (
	"strconv"

	"loomwright/calc/harness"
)

// Stamp says what a finding is about in a few signs: the same rule, records and numbers make the same stamp, other ones
// another. Names are not in it, unless nothing else tells.
//
// Source: FNV-1a, 64 bits.
func Stamp(f harness.Finding) string {
	h := uint64(14695981039346656037)
	add := func(text string) {
		for i := range len(text) {
			h = (h ^ uint64(text[i])) * 1099511628211
		}
		h = (h ^ 0xff) * 1099511628211 // between two texts: in neither
	}
	add(f.Rule)
	add(strconv.Itoa(int(f.Severity)))
	add(string(f.Subject.Kind))
	add(f.Subject.ID)
	for _, r := range f.Also {
		add(string(r.Kind))
		add(r.ID)
	}
	add(f.Got)
	add(f.Limit)
	if f.Got == "" && f.Limit == "" {
		add(f.What)
	}
	return strconv.FormatUint(h, 36)
}

// Dismiss returns the record that dismisses a finding for a reason. Two people who dismiss one finding make one record.
func Dismiss(f harness.Finding, reason, at string) harness.Dismissal {
	id := harness.ProposedID(harness.KindDismissal, f.Rule, string(f.Subject.Kind), f.Subject.ID, Stamp(f))
	return harness.Dismissal{Record: harness.Record{ID: id}, Rule: f.Rule, On: f.Subject.Kind, Subject: f.Subject.ID, Reason: reason, Stamp: Stamp(f), At: at}
}

// dismiss marks what a person dismissed, as long as the facts are those of then. No reason dismisses nothing.
func (f *facts) dismiss() {
	why := map[string]string{}
	all := f.b.Dismissals.All()
	for i := range all {
		d := &all[i]
		why[d.Rule+"\x00"+d.Subject+"\x00"+d.Stamp] = d.Reason
	}
	if len(why) == 0 {
		return
	}
	for i := range f.all {
		x := &f.all[i]
		x.Dismissed = why[x.Rule+"\x00"+x.Subject.ID+"\x00"+Stamp(*x)]
	}
}
