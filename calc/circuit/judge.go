package circuit

import (
	"errors"
	"slices"
	"strconv"
	"strings"

	"loomwright/calc/harness"
	"loomwright/calc/route"
	"loomwright/calc/sorting"
)

// The rules, in the order their findings come.
const (
	VitalRemoved   = "removed without reason" // a supply, ground, sensor ground or shield
	RemovedInUse   = "removed but wired"
	CavityTwice    = "cavity twice"
	SharedCavity   = "shared cavity" // without a reason
	SharedSeal     = "shared seal"
	NoPlug         = "no plug"
	NotJoined      = "not joined" // a terminal that its device needs, and that is no end of a circuit
	NoSupply       = "no supply"
	NoGround       = "no ground"
	NoReference    = "no 5 V"
	NoDrive        = "no drive"
	GroundsMixed   = "grounds mixed"
	CircuitOpen    = "circuit not joined"
	CircuitSingle  = "one end"
	FeedLost       = "feed lost"
	GoesNowhere    = "goes nowhere" // a lead in use
	KeptLoose      = "kept loose"
	TwistApart     = "twist apart"
	ShieldTwice    = "shield grounded twice"
	DropsOut       = "drops out" // a car wire that is dead while cranking
	TapUnmeasured  = "not measured"
	NoPlace        = "no place"
	NoRoute        = "no route"
	PlaceUndecided = "place undecided"
	LeadUndecided  = "undecided"
)

const common = "common practice"

// Judge returns what is not planned, or planned so that it will not work, by rule and then in the order of the records. The
// route may be nil: then nothing is said about ways. Cost: linear in the records, and a way for each wire.
func Judge(b *harness.Build, g *route.Graph) []harness.Finding {
	j := &judge{Net: NewNet(b), g: g}
	j.sort()
	j.leadsDecided()
	j.cavities()
	j.mark()
	j.devices()
	j.circuits()
	j.leadsEnd()
	j.twists()
	j.taps()
	j.places()
	rank := make(map[string]int, len(order))
	for i, r := range order {
		rank[r] = i
	}
	sorting.By(j.all, func(x, y harness.Finding) int { return rank[x.Rule] - rank[y.Rule] })
	return j.all
}

var order = []string{VitalRemoved, RemovedInUse, CavityTwice, SharedCavity, SharedSeal, NoPlug, NotJoined, NoSupply, NoGround, NoReference,
	NoDrive, GroundsMixed, CircuitOpen, CircuitSingle, FeedLost, GoesNowhere, KeptLoose, TwistApart, ShieldTwice, DropsOut, TapUnmeasured,
	NoPlace, NoRoute, PlaceUndecided, LeadUndecided}

type judge struct {
	*Net
	g     *route.Graph
	terms []*harness.Terminal // by place, then order
	all   []harness.Finding
	given map[string]gives // by root
}

// gives is what there is in a group of joined terminals.
type gives struct {
	supply, ground, sensorGround, reference, lead bool
	signals                                       map[harness.Signal]bool // of the leads in it
	place                                         string                  // of the first terminal, with its part
	spread                                        bool                    // it has terminals at several places or parts
}

// sort puts the terminals in the order of their places.
func (j *judge) sort() {
	terminals := j.b.Terminals.All()
	j.terms = make([]*harness.Terminal, len(terminals))
	rank := make(map[*harness.Terminal]int, len(terminals))
	for i := range terminals {
		j.terms[i] = &terminals[i]
		at, ok := j.placeRank[terminals[i].Place]
		if !ok {
			at = len(j.placeRank)
		}
		rank[j.terms[i]] = at
	}
	slices.SortStableFunc(j.terms, func(x, y *harness.Terminal) int { return rank[x] - rank[y] })
}

func (j *judge) add(rule string, severity harness.Severity, subject harness.Ref, field, what, do string) {
	j.all = append(j.all, harness.Finding{Rule: rule, Severity: severity, Subject: subject, What: what, Source: common,
		Fix: harness.Fix{At: subject, Field: field, Do: do}})
}

func ref(kind harness.Kind, id string) harness.Ref { return harness.Ref{Kind: kind, ID: id} }

// cavity returns what the cavity of a lead is called.
func (j *judge) cavity(l harness.Lead) string {
	if t, ok := j.b.Terminals.Get(l.Terminal); ok {
		return Cavity(t)
	}
	return l.Legend
}

func (j *judge) leadsDecided() {
	leads := j.b.Leads.All()
	for i := range leads {
		l := leads[i]
		at := ref(harness.KindLead, l.ID)
		name := j.cavity(l) + " " + l.Does()
		wired := slices.ContainsFunc(j.wired()[l.Terminal], func(w harness.Wire) bool { return w.Lead == l.ID })
		switch {
		case l.Decision == harness.Undecided:
			j.add(LeadUndecided, harness.Note, at, "decision", name+": nobody said what becomes of it", "use, keep or remove it")
		case l.Decision == harness.Remove && l.Signal.Vital() && strings.TrimSpace(l.DecisionWhy) == "":
			j.add(VitalRemoved, harness.Stop, at, "decisionWhy", name+" is to be removed, and it is a "+string(l.Signal), "say why, or use it")
		}
		if (l.Decision == harness.Remove || l.Decision == harness.Empty || l.Decision == harness.NeverFitted) && wired {
			j.add(RemovedInUse, harness.Stop, at, "decision", name+" is not there for the wire that is made of it", "use it, or make the wire of another")
		}
	}
}

// cavities looks at what is in each terminal.
func (j *judge) cavities() {
	seen := map[string]harness.Terminal{}
	sealed := map[[2]string]bool{}
	for _, c := range j.b.Connectors.All() {
		sealed[[2]string{c.Place, c.Name}] = c.Sealed
	}
	empty := map[string]bool{}
	for _, l := range j.b.Leads.All() {
		if !l.There() && l.Terminal != "" {
			empty[l.Terminal] = true
		}
	}
	for _, term := range j.terms {
		t := *term
		at := ref(harness.KindTerminal, t.ID)
		key := t.Place + "\x00" + t.Part + "\x00" + harness.FoldName(t.Connector) + "\x00" + harness.FoldName(t.Name)
		if other, twice := seen[key]; twice && t.Place != "" {
			j.add(CavityTwice, harness.Stop, at, "name", j.Name(t)+" is there twice", "give one of them another name, or delete it")
			j.all[len(j.all)-1].Also = []harness.Ref{ref(harness.KindTerminal, other.ID)}
		}
		seen[key] = t
		p, _ := j.b.Places.Get(t.Place)
		n := j.conductors(t)
		most := 1
		if p.Kind == harness.Inline {
			most = 2 // one from each side
		}
		inSeal := sealed[[2]string{t.Place, t.Connector}]
		switch {
		case n > most && !j.takesSeveral(t) && strings.TrimSpace(t.SharedWhy) == "":
			j.add(SharedCavity, harness.Warn, at, "sharedWhy", j.Name(t)+" holds "+strconv.Itoa(n)+" conductors", "say why, or join them in a splice")
		case n > most && inSeal:
			j.add(SharedSeal, harness.Warn, at, "", j.Name(t)+" holds "+strconv.Itoa(n)+" conductors, and a seal takes one", "join them in a splice")
		case n == 0 && inSeal && empty[t.ID] && !t.Plugged:
			j.add(NoPlug, harness.Warn, at, "plugged", j.Name(t)+" is empty and lets water in", "fit a blanking plug")
		}
	}
}

// conductors counts the leads in a terminal and the wires that are not made of them.
func (j *judge) conductors(t harness.Terminal) int {
	n := len(j.double[t.ID])
	if n == 0 && j.leads[t.ID].ID != "" {
		n = 1
	}
	for _, w := range j.wired()[t.ID] {
		if l, ok := j.b.Leads.Get(w.Lead); !ok || l.Terminal != t.ID {
			n++
		}
	}
	return n
}

// mark finds out what each group of joined terminals has.
func (j *judge) mark() {
	j.given = map[string]gives{}
	for _, term := range j.terms {
		t := *term
		root := j.root(t.ID)
		v, had := j.given[root]
		if !had {
			v.place = t.Place + t.Part
		}
		v.spread = v.spread || v.place != t.Place+t.Part
		p, _ := j.b.Places.Get(t.Place)
		signal := j.signal(t)
		part, isPart := j.b.Parts.Get(t.Part)
		switch {
		case p.Kind == harness.Ground || p.Kind == harness.Supply && (t.Name == "-" || signal == harness.PowerGround) || isPart && part.Kind == harness.Battery && t.Name == "-":
			v.ground = true
		case p.Kind == harness.Supply, p.Kind == harness.CarWire, isPart && (outOf(t) || part.Kind == harness.FeedBar || part.Kind == harness.Battery):
			v.supply = true
		case !isPart && p.Kind == harness.Panel && signal == harness.NoSignal && outOf(t):
			v.supply = true
		}
		if l, ok := j.leads[t.ID]; ok {
			v.lead = true
			v.sensorGround = v.sensorGround || l.Signal == harness.SensorGround
			v.reference = v.reference || l.Signal == harness.Reference5V
			v.ground = v.ground || l.Signal == harness.PowerGround
			v.supply = v.supply || l.Signal == harness.SwitchedPower
			if v.signals == nil {
				v.signals = map[harness.Signal]bool{}
			}
			v.signals[l.Signal] = true
		}
		j.given[root] = v
	}
}

// devices looks whether each terminal that a device needs has a partner.
func (j *judge) devices() {
	mixed := map[string]bool{}
	for _, term := range j.terms {
		t := *term
		at := ref(harness.KindTerminal, t.ID)
		root := j.root(t.ID)
		v, name := j.given[root], j.Name(t)
		if v.sensorGround && v.ground && !mixed[root] {
			mixed[root] = true
			if l, ok := j.leads[t.ID]; ok {
				at = ref(harness.KindLead, l.ID)
			}
			j.add(GroundsMixed, harness.Hurt, at, "circuit", name+" joins sensor ground to power ground: shared current shifts readings", "keep them apart")
		}
		if !j.Needed(t) && !j.neededOfRelay(t) {
			continue
		}
		if len(j.wired()[t.ID]) == 0 {
			if _, told := j.b.Circuits.Get(t.Circuit); !told { // else the circuit is the finding
				j.add(NotJoined, harness.Stop, at, "circuit", name+" is joined to nothing", "say which circuit it is an end of")
			}
			continue
		}
		signal := j.signal(t)
		switch {
		case (signal == harness.SupplyIn || t.Part != "" && t.Name == "30") && !v.supply:
			j.add(NoSupply, harness.Stop, at, "circuit", name+" has no supply", "join it to a fuse, a relay or the battery")
		case signal == harness.PowerGround && !v.ground:
			j.add(NoGround, harness.Stop, at, "circuit", name+" has no ground", "join it to a ground")
		case signal == harness.SensorGround && !v.sensorGround && !v.ground:
			j.add(NoGround, harness.Stop, at, "circuit", name+" has no sensor ground", "join it to the controller's sensor ground")
		case signal == harness.SensorGround && !v.sensorGround:
			j.add(GroundsMixed, harness.Warn, at, "circuit", name+" goes to a power ground: shared current shifts readings", "join it to the controller's sensor ground")
		case signal == harness.Reference5V && !v.reference && !v.supply:
			j.add(NoReference, harness.Stop, at, "circuit", name+" has no 5 V", "join it to the controller's 5 V output")
		case (signal == harness.InjectorOut || signal == harness.IgnitionOut) && !v.signals[signal]:
			j.add(NoDrive, harness.Stop, at, "circuit", name+" is driven by no "+string(signal), "join it to an output of the controller")
		case !v.spread:
			j.add(NotJoined, harness.Stop, at, "circuit", name+" is joined to nothing but itself", "say which circuit it is an end of")
		}
	}
}

// neededOfRelay reports whether a relay that is in use works only with this terminal joined: its coil, what it is fed by,
// and one of its contacts.
func (j *judge) neededOfRelay(t harness.Terminal) bool {
	part, ok := j.b.Parts.Get(t.Part)
	if !ok || part.Kind != harness.Relay || t.Name == "87a" {
		return false
	}
	used := func(name string) bool {
		return slices.ContainsFunc(j.of[part.ID], func(x harness.Terminal) bool { return (name == "" || x.Name == name) && len(j.wired()[x.ID]) > 0 })
	}
	return used("") && !(t.Name == "87" && used("87a"))
}

func (j *judge) circuits() {
	circuits := j.b.Circuits.All()
	for i := range circuits {
		c := circuits[i]
		at := ref(harness.KindCircuit, c.ID)
		ends := j.ends[c.ID]
		for _, id := range c.Feed {
			if _, ok := j.b.Parts.Get(id); !ok {
				j.add(FeedLost, harness.Warn, at, "feed", c.Name+" is fed by a part that was deleted", "choose what feeds it")
				break
			}
		}
		if len(ends) < 2 {
			j.add(CircuitSingle, harness.Warn, at, "", c.Name+" has "+count(len(ends), "end"), "add an end")
			continue
		}
		var apart []string
		for _, t := range ends[1:] {
			if !j.Joined(ends[0].ID, t.ID) {
				apart = append(apart, j.Name(t))
			}
		}
		if len(apart) > 0 {
			j.add(CircuitOpen, harness.Stop, at, "", c.Name+": no wire joins "+apart[0]+more(apart)+" to "+j.Name(ends[0]), "take the wires that are proposed, or draw them")
		}
	}
}

func more(all []string) string {
	if len(all) < 2 {
		return ""
	}
	return " and " + strconv.Itoa(len(all)-1) + " more"
}

// noWay says why a wire has none.
func noWay(err error) string {
	var n *route.NoPath
	if errors.As(err, &n) {
		return string(n.Trouble)
	}
	return err.Error()
}
