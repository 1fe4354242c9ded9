package faults

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strconv"
	"testing"

	"loomwright/calc/harness"
	"loomwright/calc/route"
	"loomwright/calc/rules"
	"loomwright/calc/survey"
)

var golden = flag.Bool("golden", false, "write the golden files anew")

const folder = "../../testdata/builds/faults"

func base(t *testing.T) *harness.Build {
	t.Helper()
	b, err := Base()
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func check(b *harness.Build) []harness.Finding {
	return rules.Check(b, route.New(b, survey.Adjust(b, nil)), rules.Options{})
}

func say(f harness.Finding) string {
	return fmt.Sprintf("%s, %s: %s (%s, %s)", f.Severity, f.Rule, f.What, f.Got, f.Limit)
}

func TestBaseIsClean(t *testing.T) {
	for _, f := range check(base(t)) {
		if f.Severity != harness.Note {
			t.Error(say(f))
		}
	}
}

// line is a record of a kept file.
type line struct {
	Variant string
	Kind    harness.Kind
	ID      string
	Set     json.RawMessage
}

// kept reads a file and puts the records of a variant into a build.
func kept(t *testing.T, b *harness.Build, name, variant string) {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(folder, name))
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	for d := json.NewDecoder(bytes.NewReader(data)); ; {
		var l line
		if err := d.Decode(&l); err == io.EOF {
			break
		} else if err != nil {
			t.Fatal(name, err)
		}
		if l.Variant == variant {
			n++
			if known, err := b.Put(l.Kind, l.ID, l.Set); err != nil || !known {
				t.Fatal(name, l.Kind, known, err)
			}
		}
	}
	if n == 0 {
		t.Fatalf("%s has nothing of variant %q", name, variant)
	}
}

// TestFaults plants each fault that is kept, in three variants: it is found, once, and nothing else severe is. A near miss
// stays silent.
func TestFaults(t *testing.T) {
	clean := harness.NewBuild(base(t).Settings.ID)
	kept(t, clean, "base.jsonl", "")
	if got, want := check(clean), check(base(t)); !reflect.DeepEqual(got, want) {
		t.Errorf("the kept base has other findings: %d, made anew %d", len(got), len(want))
	}
	if n := len(Faults()); n < 30 {
		t.Errorf("%d kinds of fault", n)
	}
	for _, fault := range Faults() {
		if len(fault.Variants) != 3 || fault.NearMiss == nil {
			t.Errorf("%s has %d variants", fault.Name, len(fault.Variants))
		}
		for variant := range len(fault.Variants) + 1 {
			name := "near miss"
			if variant > 0 {
				name = strconv.Itoa(variant)
			}
			b := clean.Clone()
			kept(t, b, fault.Name+".jsonl", name)
			t.Run(fault.Name+"/"+name, func(t *testing.T) {
				n := 0
				for _, f := range check(b) {
					switch {
					case f.Rule == fault.Rule && f.Severity <= fault.Severity:
						if n++; variant == 0 || n > 1 || f.Severity != fault.Severity {
							t.Error(say(f))
						}
					case f.Severity <= harness.Stop, variant == 0 && f.Severity < harness.Note:
						t.Error("besides:", say(f))
					}
				}
				if n == 0 && variant > 0 {
					t.Error("not found")
				}
			})
		}
	}
}

// TestFiles holds that the files are what is planted.
func TestFiles(t *testing.T) {
	clean := base(t)
	data, err := File(clean)
	if err != nil {
		t.Fatal(err)
	}
	keep(t, "base.jsonl", data)
	want := map[string]bool{"base.jsonl": true}
	for _, fault := range Faults() {
		data, err := fault.File(clean)
		if err != nil {
			t.Fatal(err)
		}
		keep(t, fault.Name+".jsonl", data)
		want[fault.Name+".jsonl"] = true
	}
	names, err := filepath.Glob(filepath.Join(folder, "*.jsonl"))
	if err != nil || len(names) != len(want) {
		t.Errorf("%d files, %d kinds of fault; %v", len(names), len(want), err)
	}
}

func keep(t *testing.T, name string, data []byte) {
	t.Helper()
	path := filepath.Join(folder, name)
	if *golden {
		if err := os.MkdirAll(folder, 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, data, 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	old, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(old, data) {
		t.Errorf("%s is not what is planted: write it with -golden and read the difference", name)
	}
}

// TestFixes takes each fix that one tap does: what it mends is not found again, and nothing severe comes in its place.
func TestFixes(t *testing.T) {
	clean := base(t)
	taken := map[string]bool{}
	for _, fault := range Faults() {
		for variant := range len(fault.Variants) {
			b, _, err := fault.Plant(clean, variant+1)
			if err != nil {
				t.Fatal(err)
			}
			found := check(b)
			for _, f := range found {
				if len(f.Fix.Put) == 0 {
					continue
				}
				mended := b.Clone()
				if err := mended.Apply(f.Fix.Put); err != nil {
					t.Error(fault.Name, err)
					continue
				}
				taken[f.Rule] = true
				for _, after := range check(mended) {
					if after.Rule == f.Rule && after.Subject == f.Subject {
						t.Errorf("%s, %d: after %q still %s", fault.Name, variant+1, f.Fix.Do, say(after))
					}
					is := func(x harness.Finding) bool { return x.Rule == after.Rule && x.Subject == after.Subject }
					if after.Severity <= harness.Stop && !slices.ContainsFunc(found, is) {
						t.Errorf("%s, %d: %q brings %s", fault.Name, variant+1, f.Fix.Do, say(after))
					}
				}
			}
		}
	}
	for _, rule := range []string{rules.Overload, rules.FuseSmall, rules.FuseLarge, rules.VoltDrop, rules.ThinStrap, rules.WrongLoom, rules.NoSlack, rules.NoDrip, rules.NameTwice} {
		if !taken[rule] {
			t.Errorf("no fix of %q was tried", rule)
		}
	}
}

// TestEveryFindingIsWhole holds that each finding says what, where from and what to do, and that its terms have a name and
// a value or a text.
func TestEveryFindingIsWhole(t *testing.T) {
	clean := base(t)
	for _, fault := range Faults() {
		for variant := range len(fault.Variants) + 1 {
			b, _, err := fault.Plant(clean, variant)
			if err != nil {
				t.Fatal(err)
			}
			for _, f := range check(b) {
				if f.Rule == "" || f.Severity == 0 || f.Subject.ID == "" || f.What == "" || f.Source == "" || f.Fix.Do == "" || f.Fix.At.ID == "" {
					t.Errorf("%+v", f)
				}
				for _, term := range f.Terms {
					if term.Name == "" || term.Unit == "" && term.Text == "" && term.Formula == "" && term.Source == "" {
						t.Errorf("%s: %+v", f.Rule, term)
					}
				}
			}
		}
	}
}

// TestDismissed holds that a finding that was dismissed comes last with its reason, and returns when the facts change.
func TestDismissed(t *testing.T) {
	b, _, err := Faults()[0].Plant(base(t), 1) // the fan's feed is too thin
	if err != nil {
		t.Fatal(err)
	}
	f := check(b)[0]
	d := rules.Dismiss(f, "it runs for a minute", "2026-03-14T09:10:00Z")
	if err := b.Apply([]harness.Put{{Ref: harness.Ref{Kind: harness.KindDismissal, ID: d.ID}, Record: d}}); err != nil {
		t.Fatal(err)
	}
	all := check(b)
	if last := all[len(all)-1]; last.Rule != f.Rule || last.Dismissed != "it runs for a minute" || all[0].Rule == f.Rule {
		t.Errorf("%+v", last)
	}
	same := &Edit{b: b}
	same.wire("fan feed", func(w *harness.Wire) { w.Note, w.Function = "red", "feed of the fan" })
	if all := check(b); all[len(all)-1].Dismissed == "" {
		t.Error("another name brings it back")
	}
	amps(same, "Fan", 13)
	if all := check(b); all[0].Rule != f.Rule || all[0].Dismissed != "" {
		t.Errorf("with another current it does not come back: %+v", all[0])
	}
}
