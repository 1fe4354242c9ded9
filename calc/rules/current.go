package rules

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"loomwright/calc/harness"
	"loomwright/calc/unit"
	"loomwright/calc/wire"
)

// What counts where nobody named it, the kindest there usually is.
//
// Source: common practice; fluoropolymer is the best insulation that is usual in cars, cross-linked the best that a short
// is reckoned with.
const (
	bestInsulation = 150 // °C
	bestInShort    = 125 // °C
)

// batteryOhm is what a car's battery and its clamps have inside. Source: common practice, from memory: 5 to 15 mohm; the
// low end lets most current flow, so that fuses open soonest.
const batteryOhm = 0.005

// fromAmps is the current from which wires are looked at. Source: our choice; the thinnest wire in use carries it anywhere.
const fromAmps = 0.5

// current is what a wire may carry, or why that is not known.
type current struct {
	wire.Current
	err error
}

// may returns what a wire may carry where it runs.
func (f *facts) may(i int) current {
	if c, ok := f.carries[i]; ok {
		return c
	}
	c := f.mayAt(i, f.wires[i].size, f.wires[i].insulation)
	f.carries[i] = c
	return c
}

// mayAt is may for another size and insulation.
func (f *facts) mayAt(i int, size unit.Size, insulation int) current {
	c, err := wire.Ampacity(f.use(i, size, insulation))
	if err == nil && insulation == 0 {
		for k := range c.Terms {
			if c.Terms[k].Name == "insulation" {
				c.Terms[k].Formula = "nobody named it: the best that is usual"
			}
		}
	}
	return current{c, err}
}

// use is how a wire is used where it runs.
func (f *facts) use(i int, size unit.Size, insulation int) wire.Use {
	w := &f.wires[i]
	use := wire.Use{Rules: f.o.Rules, Size: size, Insulation: insulation, Ambient: &w.hot, EngineSpace: w.hot > roomCelsius, Bundled: 1}
	if use.Insulation == 0 {
		use.Insulation = bestInsulation
	}
	for _, id := range w.runs {
		use.Bundled = max(use.Bundled, f.runs[id].loaded)
	}
	return use
}

// ampacity looks whether each wire carries what flows in it. Where the insulation does not last whatever flows, that is told
// instead, see hot.
func (f *facts) ampacity() {
	for i := range f.wires {
		if !f.overloaded(i) {
			continue
		}
		w, c := &f.wires[i], f.may(i)
		at := harness.Ref{Kind: harness.KindWire, ID: w.ID}
		x := harness.Finding{Rule: Overload, Severity: harness.Hurt, Subject: at,
			What: w.name() + ": " + w.size.String() + " gets too hot with what flows in it",
			Got:  amperes(w.heat), Limit: amperes(c.Amps), Source: c.Rule + "; corrected for the heat around it (derived)",
			Terms: append([]unit.Term{{Name: "current", Value: w.heat, Unit: "A", Of: string(harness.KindWire), ID: w.ID}}, c.Terms...),
			Fix:   harness.Fix{At: at, Field: "size", Do: "take a thicker wire, better insulation, or another way"}}
		f.thicker(&x, i, w.heat)
		f.add(x)
	}
}

// overloaded reports whether more flows in a wire than it carries, where it is that which is told of it.
func (f *facts) overloaded(i int) bool {
	w := &f.wires[i]
	if w.heat < fromAmps || !w.size.Known() {
		return false
	}
	c := f.may(i)
	return c.err == nil && !(c.Fits() && w.heat <= c.Amps*(1+1e-9)) && (c.Fits() || w.insulation == 0)
}

// fewKelvin is the headroom from which better insulation helps more than copper. Source: our choice; at 20 K a wire carries
// about half of what it does at 80 K.
const fewKelvin = 20

// thicker makes the fix what lets a wire carry so much: better insulation where the heat around it leaves it little, else the
// smallest size that does.
func (f *facts) thicker(x *harness.Finding, i int, amps float64) {
	w := &f.wires[i]
	_, made := f.b.Leads.Get(w.Lead)
	if class := better(w.hot); !made && w.insulation > 0 && float64(w.insulation)-w.hot <= fewKelvin && class > w.insulation {
		if t := f.mayAt(i, w.size, class); t.err == nil && amps <= t.Amps {
			now := w.Wire
			now.Insulation, now.Edited = harness.Insulation(strconv.Itoa(class)+" C"), true
			at := harness.Ref{Kind: harness.KindWire, ID: w.ID}
			x.Fix = harness.Fix{At: at, Field: "insulation", Do: "take insulation for " + strconv.Itoa(class) + " °C", Put: []harness.Put{{Ref: at, Record: now}}}
			return
		}
	}
	for _, size := range sizesLike(w.size) {
		if t := f.mayAt(i, size, w.insulation); size.Compare(w.size) > 0 && t.err == nil && t.Fits() && amps <= t.Amps {
			x.Fix = harness.Fix{At: harness.Ref{Kind: harness.KindWire, ID: w.ID}, Field: "size"}
			f.resize(x, w, size)
			return
		}
	}
}

// resize makes a thicker wire the fix, in one tap where the wire is not made of a lead: that has the size it has.
func (f *facts) resize(x *harness.Finding, w *wireFacts, size unit.Size) {
	if _, made := f.b.Leads.Get(w.Lead); made {
		x.Fix.Do = "it needs " + size.String() + ": take a thicker lead, or a second one beside it"
		return
	}
	now := w.Wire
	now.Size, now.Edited = size.String(), true
	x.Fix.Do = "use " + size.String()
	x.Fix.Put = []harness.Put{{Ref: harness.Ref{Kind: harness.KindWire, ID: w.ID}, Record: now}}
}

// sizesLike returns the sizes of the system a size is of, thin first.
func sizesLike(size unit.Size) []unit.Size {
	if _, gauge := size.Gauge(); gauge {
		return wire.Sizes(wire.Solid)
	}
	return wire.Sizes(wire.ISO6722)
}

// chain is the way of the current from what feeds a node to that node, nearest first.
type chain struct {
	wires    []int // behind the fuse
	above    []int // between the fuse and the battery
	fuse     harness.Part
	passed   []harness.Part // what the current passes, nearest first
	complete bool           // it comes from the battery
	unsure   bool           // wires make a circle on the way
}

// chain follows the current of a node back to the battery.
func (f *facts) chain(at int) (c chain) {
	seen := map[int]bool{}
	for !seen[f.nodes[at].net] {
		n := &f.nets[f.nodes[at].net]
		seen[f.nodes[at].net] = true
		c.unsure = c.unsure || n.loop
		for f.nodes[at].up >= 0 {
			if c.fuse.ID == "" {
				c.wires = append(c.wires, f.nodes[at].up)
			} else {
				c.above = append(c.above, f.nodes[at].up)
			}
			at = f.far(f.nodes[at].up, at)
		}
		var s *source
		for k := range f.sources[f.nodes[at].net] {
			if x := &f.sources[f.nodes[at].net][k]; x.node == at {
				s = x
			}
		}
		if s == nil {
			return c
		}
		if s.part.ID == "" {
			c.complete = f.battery(f.nodes[at].terminal)
			return c
		}
		c.passed = append(c.passed, s.part)
		if c.fuse.ID == "" && (s.part.Kind == harness.Fuse || s.part.Kind == harness.BreakerPart) {
			c.fuse = s.part
		}
		if at = f.feedPoint(s.part); at < 0 {
			return c
		}
	}
	return c
}

// back returns the wires that bring the current of a device's supply back, as far as they are wires, nearest first.
func (f *facts) back(supply harness.Terminal) (wires []int) {
	at := -1
	for pass := range 2 { // first its ground, of the same pair where there are several; else what switches it
		for _, t := range f.byPlace[supply.Place] {
			n := f.at[t.ID]
			k, s := f.nets[f.nodes[n].net].kind, f.signal(t)
			if t.ID == supply.ID || len(f.nodes[n].wires) == 0 {
				continue
			}
			if pass == 0 && k == groundNet && s == harness.PowerGround && t.Name != "return" && (at < 0 || pair(t.Name) == pair(supply.Name) && pair(supply.Name) != "") ||
				pass == 1 && at < 0 && k == driveNet && (s == harness.InjectorOut || s == harness.SwitchedOut || s == harness.IgnitionOut) {
				at = n
			}
		}
	}
	for at >= 0 && f.nodes[at].up >= 0 {
		wires = append(wires, f.nodes[at].up)
		at = f.far(f.nodes[at].up, at)
	}
	return wires
}

// pair is what the terminals of one load have in common in their names: "1" of "1 +" and "1 -".
func pair(name string) string {
	first, _, more := strings.Cut(name, " ")
	if !more || first == "" || first[0] < '0' || first[0] > '9' {
		return ""
	}
	return first
}

// pieces are wires as the current passes them. What is not known of them counts as nothing: no size is left out.
func (f *facts) pieces(wires []int, amps float64, short bool) (all []wire.Piece) {
	for _, i := range wires {
		w := &f.wires[i]
		if !w.size.Known() {
			continue
		}
		if _, err := wire.Of(w.size, wire.Usual); err != nil {
			continue
		}
		p := wire.Piece{Name: w.name(), Of: string(harness.KindWire), ID: w.ID, Size: w.size, Length: f.metal(w), Amps: max(w.amps, amps), Celsius: w.warm, Insulation: w.insulation}
		if short && p.Insulation == 0 {
			p.Insulation = bestInShort
		}
		all = append(all, p)
	}
	return all
}

// supplied returns the ends of feeds at which a device or the controller is supplied, in their order.
func (f *facts) supplied(do func(at int, t harness.Terminal)) {
	for i := range f.nets {
		if f.nets[i].kind != feedNet {
			continue
		}
		for _, at := range f.nets[i].nodes {
			if t := f.nodes[at].terminal; f.nodes[at].ends > 0 && t.Part == "" && f.nodes[at].up >= 0 {
				do(at, t)
			}
		}
	}
}

// drops looks at what is lost on the way to each load and back, with all that is known to run at once running. What one wire
// is to blame for is told once, at the load that loses most.
func (f *facts) drops() {
	var all []loss
	at := map[int]int{} // wire to its loss
	f.supplied(func(end int, t harness.Terminal) {
		l, lost := f.loss(end, t, -1)
		if !lost {
			return
		}
		i, had := at[l.worst]
		switch {
		case !had:
			at[l.worst] = len(all)
			all = append(all, l)
		case l.drop.Volts/l.may > all[i].drop.Volts/all[i].may:
			l.others = append(all[i].others, all[i].t)
			all[i] = l
		default:
			all[i].others = append(all[i].others, t)
		}
	})
	for _, l := range all {
		f.add(f.dropped(l))
	}
}

// loss is too much lost on the way to a load.
type loss struct {
	t      harness.Terminal
	amps   float64
	wires  []int
	drop   wire.Drop
	share  float64 // of the supply that may be lost
	may    float64 // V
	worst  int     // the wire that loses most
	others []harness.Terminal
}

// loss works out what is lost on the way to a load; lost is false where that is no more than may be. With a wire that is not -1,
// it is worked out only where the way leads through that one.
func (f *facts) loss(end int, t harness.Terminal, through int) (l loss, lost bool) {
	l = loss{t: t, amps: f.nodes[end].draws, share: wire.AllowedOther}
	if l.amps < fromAmps {
		return l, false
	}
	c := f.chain(end)
	if c.unsure {
		return l, false
	}
	l.wires = append(append(c.wires[:len(c.wires):len(c.wires)], c.above...), f.back(t)...)
	if through >= 0 && !slices.Contains(l.wires, through) {
		return l, false
	}
	var err error
	if l.drop, err = wire.VoltDrop(f.pieces(l.wires, l.amps, false)); err != nil {
		return l, false
	}
	if f.critical(t) {
		l.share = wire.AllowedCritical
	}
	l.may = l.share * f.volts
	most := 0.0
	for _, p := range l.drop.Pieces {
		if p.Volts > most {
			most, l.worst = p.Volts, f.byID[p.ID]
		}
	}
	return l, l.drop.Volts > l.may*(1+1e-9)
}

func (f *facts) dropped(l loss) harness.Finding {
	w := &f.wires[l.worst]
	ref := harness.Ref{Kind: harness.KindWire, ID: w.ID}
	x := harness.Finding{Rule: VoltDrop, Severity: harness.Warn, Subject: ref, Also: []harness.Ref{{Kind: harness.KindTerminal, ID: l.t.ID}},
		Got: unit.Shown(l.drop.Volts) + " V", Limit: unit.Shown(l.may) + " V",
		Source: "ABYC E-11 as trade tables quote it: 3 % where it must not sag, 10 % elsewhere; Ohm's law",
		Terms: append(l.drop.Terms, unit.Term{Name: "loads", Text: "all that are known run at once", Source: "our choice: it happens"},
			unit.Term{Name: "supply", Value: f.volts, Unit: "V"},
			unit.Term{Name: "may be lost", Formula: "supply × " + unit.Shown(l.share*100) + " %", Value: l.may, Unit: "V"}),
		Fix: harness.Fix{At: ref, Field: "size", Do: "take thicker wires, or a shorter way"}}
	if l.drop.Volts > wire.AllowedOther*f.volts {
		x.Severity = harness.Stop
	}
	x.What = f.net.Name(l.t)
	for _, t := range l.others {
		x.Also = append(x.Also, harness.Ref{Kind: harness.KindTerminal, ID: t.ID})
	}
	if n := len(l.others); n > 0 {
		x.What += " and " + count(n, "more load")
	}
	x.What += " lose too much on the way there and back, most in " + w.name()
	if len(l.others) == 0 {
		x.What = f.net.Name(l.t) + " loses too much on the way there and back, most in " + w.name()
	}
	for _, size := range sizesLike(w.size) {
		if size.Compare(w.size) <= 0 {
			continue
		}
		pieces := f.pieces(l.wires, l.amps, false)
		for k := range pieces {
			if pieces[k].ID == w.ID {
				pieces[k].Size = size
			}
		}
		if less, err := wire.VoltDrop(pieces); err == nil && less.Volts <= l.may {
			f.resize(&x, w, size)
			break
		}
	}
	return x
}

// critical reports whether what is supplied here must not sag.
func (f *facts) critical(t harness.Terminal) bool {
	if f.places[t.Place].Kind == harness.Controller {
		return true
	}
	for _, i := range f.nodes[f.at[t.ID]].wires {
		if c := f.wires[i].class; c == harness.Injection || c == harness.Ignition {
			return true
		}
	}
	return false
}

func amperes(v float64) string { return unit.Shown(v) + " A" }

// seconds says a time, "never" of what has no end.
func seconds(v float64) string {
	if math.IsInf(v, 1) {
		return "never"
	}
	return unit.Shown(v) + " s"
}
