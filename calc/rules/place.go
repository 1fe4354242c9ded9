package rules

import (
	"strconv"

	"loomwright/calc/cut"
	"loomwright/calc/harness"
	"loomwright/calc/unit"
)

// around looks at what runs go through: heat, sharp edges, water, and movement.
func (f *facts) around() {
	f.hot()
	runs := f.b.Runs.All()
	for i := range runs {
		r := runs[i]
		at := harness.Ref{Kind: harness.KindRun, ID: r.ID}
		a, b := f.places[r.A], f.places[r.B]
		name := a.Name + " – " + b.Name
		if len(f.runs[r.ID].wires) == 0 {
			continue
		}
		if r.Sharp && a.Kind != harness.PassThrough && b.Kind != harness.PassThrough {
			f.add(harness.Finding{Rule: SharpEdge, Severity: harness.Warn, Subject: at, What: name + " passes a sharp edge with no grommet: it rubs through", Source: common,
				Fix: harness.Fix{At: at, Do: "add a pass-through with a grommet, or edging"}})
		}
		if r.Wet && !r.Drip && (a.Kind == harness.Device || b.Kind == harness.Device) {
			now := r
			now.Drip = true
			f.add(harness.Finding{Rule: NoDrip, Severity: harness.Warn, Subject: at, What: name + " is wet and has no drip loop: water runs along it into the connector",
				Source: "FAA AC 43.13-1B chapter 11: a low point before a connector", Fix: harness.Fix{At: at, Field: "drip", Do: "add a drip loop", Put: []harness.Put{{Ref: at, Record: now}}}})
		}
	}
	f.slack()
}

// hot looks for insulation that does not last where its wire runs. One finding for the wires of a class in a zone.
func (f *facts) hot() {
	told := map[string]int{} // to its finding
	others := map[int]int{}
	for i := range f.wires {
		w := &f.wires[i]
		if w.insulation == 0 || w.hot < float64(w.insulation) {
			continue
		}
		hot := ""
		for _, id := range w.runs {
			if hot == "" && f.zones[id].celsius() == w.hot {
				hot = id
			}
		}
		at := harness.Ref{Kind: harness.KindWire, ID: w.ID}
		key := string(f.zones[hot].Zone) + " " + strconv.Itoa(w.insulation)
		if k, had := told[key]; had {
			x := &f.all[k]
			x.Also = append(x.Also, at)
			others[k]++
			continue
		}
		told[key] = len(f.all)
		z := f.zones[hot]
		f.add(harness.Finding{Rule: TooHot, Severity: harness.Stop, Subject: at, Also: []harness.Ref{{Kind: harness.KindRun, ID: hot}},
			What: w.name() + " runs " + string(z.Zone) + ", where its insulation does not last", Got: unit.Shown(float64(w.insulation)) + " °C", Limit: "above " + unit.Shown(w.hot) + " °C",
			Source: "ISO 6722-1 classes, from memory; what is around it is judgement of practice",
			Terms: []unit.Term{{Name: "insulation", Value: float64(w.insulation), Unit: "°C", Of: string(harness.KindWire), ID: w.ID},
				{Name: "around it", Formula: string(z.Zone) + ": " + z.because, Value: w.hot, Unit: "°C", Source: "judgement of practice: replace it by a measurement", Of: string(harness.KindRun), ID: hot}},
			Fix: harness.Fix{At: at, Field: "insulation", Do: "take insulation for " + unit.Shown(float64(better(w.hot))) + " °C, or another way"}})
	}
	for k, n := range others {
		f.all[k].What += ", and " + count(n, "more wire") + " of its class there"
	}
}

// better is the class of insulation that bears a temperature with something to spare.
func better(celsius float64) int {
	for _, c := range []int{100, 105, 125, 150, 175} {
		if float64(c) >= celsius+20 {
			return c
		}
	}
	return 200
}

// slack looks whether runs between engine and body get slack at all.
func (f *facts) slack() {
	moving := ""
	n := 0
	runs := f.b.Runs.All()
	for i := range runs {
		if runs[i].Moves && len(f.runs[runs[i].ID].wires) > 0 {
			n++
			if moving == "" {
				moving = runs[i].ID
			}
		}
	}
	if n == 0 || f.b.Settings.AllowBy != harness.AllowTerms {
		return
	}
	if each, _ := cut.Allowance(f.b.Settings, cut.Movement); each > 0 {
		return
	}
	at := harness.Ref{Kind: harness.KindSettings, ID: f.b.Settings.ID}
	now := f.b.Settings
	now.Movement = nil
	f.add(harness.Finding{Rule: NoSlack, Severity: harness.Stop, Subject: harness.Ref{Kind: harness.KindRun, ID: moving}, What: count(n, "run") + " between engine and body: none gets slack for the movement",
		Got: f.length(0), Limit: f.length(cut.DefaultMovement), Source: "common practice: a loop of 50 to 100 mm",
		Fix: harness.Fix{At: at, Field: "movement", Do: "allow " + f.length(cut.DefaultMovement) + " for each", Put: []harness.Put{{Ref: at, Record: now}}}})
}

// splices looks where wires are joined: not where the loom moves, not in a hole, and not in a signal of some millivolts.
func (f *facts) splices() {
	next := map[string][]harness.Run{}
	runs := f.b.Runs.All()
	for i := range runs {
		next[runs[i].A] = append(next[runs[i].A], runs[i])
		next[runs[i].B] = append(next[runs[i].B], runs[i])
	}
	joints := f.b.Joints.All()
	for i := range joints {
		j := joints[i]
		at := harness.Ref{Kind: harness.KindJoint, ID: j.ID}
		p := f.places[j.Place]
		n, wired := f.at[j.ID]
		if !wired || p.ID == "" {
			continue
		}
		moves := 0
		for _, r := range next[p.ID] {
			if r.Moves {
				moves++
			}
		}
		switch {
		case p.Kind == harness.PassThrough:
			f.add(harness.Finding{Rule: SpliceInHole, Severity: harness.Stop, Subject: at, What: j.Name + " is joined in the hole of " + p.Name + ": it cannot be pulled through or reached", Source: common,
				Fix: harness.Fix{At: at, Field: "place", Do: "join it at a split beside it"}})
		case moves > 0 && moves == len(next[p.ID]) && (p.Kind == harness.Splice || p.Kind == harness.Split):
			f.add(harness.Finding{Rule: SpliceMoves, Severity: harness.Stop, Subject: at, What: j.Name + " is joined at " + p.Name + ", where the loom moves: it breaks there",
				Source: "workmanship standards: no splice where a loom flexes", Fix: harness.Fix{At: at, Field: "place", Do: "join it where the loom is tied on both sides"}})
		}
		for _, k := range f.nodes[n].wires {
			c, _ := f.b.Circuits.Get(f.wires[k].Circuit)
			if f.wires[k].class == harness.Sensitive && (c.Signal == harness.FrequencyIn || c.Signal == harness.AnalogueIn) {
				f.add(harness.Finding{Rule: SpliceSensitive, Severity: harness.Warn, Subject: at, What: j.Name + " is a splice in " + f.wires[k].name() + ", a signal that a splice may spoil", Source: common,
					Fix: harness.Fix{At: at, Do: "lead it in one piece"}})
				break
			}
		}
	}
}

// lengths looks at leads that do not reach, and at wires that were cut and are too short by now.
func (f *facts) lengths() {
	for i := range f.wires {
		w := &f.wires[i]
		at := harness.Ref{Kind: harness.KindWire, ID: w.ID}
		lead, made := f.b.Leads.Get(w.Lead)
		var done *harness.Done
		var now cut.Change
		switch {
		case w.Trimmed != nil:
			done, now = w.Trimmed, cut.AfterTrim(*w.Trimmed, *f.cut(w))
		case w.Cut != nil:
			done, now = w.Cut, cut.After(*w.Cut, *f.cut(w))
		}
		if done != nil {
			if now.Known && now.Truly {
				f.add(harness.Finding{Rule: CutShort, Severity: harness.Stop, Subject: at, What: w.name() + " was cut, and does not reach any more", Got: f.length(now.Was), Limit: f.length(f.cut(w).Least),
					Source: "the runs on its way and one strip and crimp", Terms: cutTerms(*f.cut(w)), Fix: harness.Fix{At: at, Do: "cut it anew, or lead it another way"}})
			}
			continue
		}
		if !made || !lead.There() || lead.Length == nil || *lead.Length <= 0 || !f.cut(w).Known() || *lead.Length >= f.cut(w).Least {
			continue
		}
		x := harness.Finding{Rule: LeadShort, Severity: harness.Stop, Subject: at, Also: []harness.Ref{{Kind: harness.KindLead, ID: lead.ID}}, What: w.name() + ": its lead does not reach",
			Got: f.length(*lead.Length), Limit: f.length(f.cut(w).Least), Source: "the runs on its way and one strip and crimp", Terms: cutTerms(*f.cut(w)), Fix: harness.Fix{At: at}}
		mends := cut.LeadOf(f.b, f.g, w.Wire, *f.cut(w)).Mends
		for k, m := range mends {
			if m.Kind == cut.OtherRoute && m.Enough {
				free := w.Wire
				free.Looms, free.Via, free.Edited = nil, nil, true
				x.Fix.Field, x.Fix.Do, x.Fix.Put = "looms", "lead it the shorter way", []harness.Put{{Ref: at, Record: free}}
				break
			}
			if k > 0 {
				x.Fix.Do += ", or "
			}
			x.Fix.Do += string(m.Kind)
		}
		f.add(x)
	}
}

// cutTerms are the terms of a length as they are shown.
func cutTerms(r cut.Result) (terms []unit.Term) {
	for _, t := range r.Terms {
		terms = append(terms, unit.Term{Name: t.Name, Formula: t.Reason, Value: t.Value.MM(), Unit: "mm", Source: t.Source, Of: string(t.Of), ID: t.ID})
	}
	return terms
}

// names looks for wires that cannot be told apart on a tag.
func (f *facts) names() {
	first := map[string]int{}
	for i := range f.wires {
		w := &f.wires[i]
		fold := harness.FoldName(w.Name)
		if fold == "" {
			continue
		}
		other, had := first[fold]
		if !had {
			first[fold] = i
			continue
		}
		at := harness.Ref{Kind: harness.KindWire, ID: w.ID}
		now := w.Wire
		now.Name, now.Edited = f.b.NextWireName(), true
		f.add(harness.Finding{Rule: NameTwice, Severity: harness.Warn, Subject: at, Also: []harness.Ref{{Kind: harness.KindWire, ID: f.wires[other].ID}},
			What: w.name() + " and " + f.wires[other].name() + " cannot be told apart on a tag", Source: common,
			Fix: harness.Fix{At: at, Field: "name", Do: "call it " + now.Name, Put: []harness.Put{{Ref: at, Record: now}}}})
	}
}
