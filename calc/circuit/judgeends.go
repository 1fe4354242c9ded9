package circuit

import (
	"slices"

	"loomwright/calc/harness"
)

// leadsEnd looks whether leads in use and kept leads end somewhere, and drains at one end only.
func (j *judge) leadsEnd() {
	leads := j.b.Leads.All()
	for i := range leads {
		l := leads[i]
		at := ref(harness.KindLead, l.ID)
		name := j.cavity(l) + " " + l.Does()
		t, ok := j.b.Terminals.Get(l.Terminal)
		wired := ok && len(j.wired()[t.ID]) > 0
		switch {
		case !l.There():
		case l.Decision == harness.Use && !ok:
			j.add(NoPlace, harness.Warn, at, "terminal", name+" sits in no cavity", "say which cavity it sits in")
		case l.Decision == harness.Use && !wired && t.Circuit == "":
			j.add(GoesNowhere, harness.Warn, at, "", name+" is in use and goes nowhere", "say where it goes, or keep it for later")
		case l.Decision == harness.Keep && !wired && l.Parked == "":
			j.add(KeptLoose, harness.Warn, at, "parked", name+" is kept, and nobody said where it ends", "cap it and say where, or lead it to a terminal strip")
		case l.Signal == harness.ShieldDrain && l.Decision == harness.Use:
			for _, w := range j.wired()[t.ID] {
				far := w.To
				if far.Terminal == t.ID {
					far = w.From
				}
				if place, _ := j.b.EndPlace(far); far.Terminal != "" && place != t.Place {
					j.add(ShieldTwice, harness.Warn, ref(harness.KindWire, w.ID), "to", name+" ends at a terminal at its far end too: current in it is noise",
						"ground it at one end, insulate the other")
				}
			}
		}
	}
}

// twists looks whether leads that are twisted together as supplied go together.
func (j *judge) twists() {
	far := map[string]string{}
	told := map[string]bool{}
	leads := j.b.Leads.All()
	for i := range leads {
		l := leads[i]
		if l.Twist == "" || l.Decision != harness.Use {
			continue
		}
		for _, w := range j.wired()[l.Terminal] {
			place, _ := j.b.EndPlace(w.To)
			if w.Lead != l.ID || place == "" {
				continue
			}
			if other, had := far[l.Twist]; had && other != place && !told[l.Twist] {
				told[l.Twist] = true
				j.add(TwistApart, harness.Warn, ref(harness.KindLead, l.ID), "", "the leads twisted as "+l.Twist+" go to different places", "lead them to one place, twisted as far as they go")
			}
			far[l.Twist] = place
		}
	}
}

// taps looks at the car's own wires that ours are joined to.
func (j *judge) taps() {
	taps := j.b.Taps.All()
	for i := range taps {
		t := taps[i]
		at := ref(harness.KindTap, t.ID)
		terminal, _ := j.b.Terminals.Get(t.Terminal)
		name := j.Name(terminal)
		if t.Terminal == "" {
			p, _ := j.b.Places.Get(t.Place)
			name = p.Name
		}
		feed := t.Run == harness.Live
		switch {
		case t.Crank != harness.NotMeasured && t.Crank != harness.Live && t.Holds == harness.Yes:
			j.add(DropsOut, harness.Stop, at, "crank", name+" is "+string(t.Crank)+" while cranking, and it must be live then", "take another wire of the car")
		case t.Crank != harness.NotMeasured && t.Crank != harness.Live && feed && t.Holds == harness.Unknown:
			j.add(DropsOut, harness.Warn, at, "holds", name+" is live at run and "+string(t.Crank)+" while cranking", "say whether it must hold while cranking")
		case t.Off == harness.NotMeasured || t.Run == harness.NotMeasured || t.Crank == harness.NotMeasured:
			j.add(TapUnmeasured, harness.Warn, at, "run", name+" was not measured with the key off, at run and while cranking", "measure it before it is joined")
		}
	}
}

// places looks for what has no place or no way, and for devices whose place is open.
func (j *judge) places() {
	wires := j.b.Wires.All()
	for i := range wires {
		w := wires[i]
		at := ref(harness.KindWire, w.ID)
		lost := ""
		for _, e := range []struct {
			end  harness.End
			name string
		}{{w.From, "from"}, {w.To, "to"}} {
			place, ok := j.b.EndPlace(e.end)
			if _, lives := j.b.Places.Get(place); lost == "" && (!ok || !lives) {
				lost = e.name
			}
		}
		if lost != "" {
			j.add(NoPlace, harness.Stop, at, lost, w.Name+" "+w.Function+" has an end at no place", "say where it ends")
			continue
		}
		if j.g == nil {
			continue
		}
		if _, err := j.g.Wire(w); err != nil {
			j.add(NoRoute, harness.Stop, at, "looms", w.Name+" "+w.Function+" has no way: "+noWay(err), "add the run that is missing, or let it use another loom")
		}
	}
	parts := j.b.Parts.All()
	for i := range parts {
		if _, ok := j.b.Places.Get(parts[i].Place); !ok {
			j.add(NoPlace, harness.Warn, ref(harness.KindPart, parts[i].ID), "place", parts[i].Name+" stands at no place", "say which panel it stands in")
		}
	}
	standing := []harness.PlaceKind{harness.Device, harness.Panel, harness.Controller, harness.TerminalStrip, harness.Ground, harness.Supply, harness.Inline}
	places := j.b.Places.All()
	for i := range places {
		if p := places[i]; p.Status == harness.Open && slices.Contains(standing, p.Kind) {
			j.add(PlaceUndecided, harness.Note, ref(harness.KindPlace, p.ID), "status", p.Name+": nobody decided where it goes", "decide, or mark it as mounted")
		}
	}
}
