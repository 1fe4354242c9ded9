package faults

import (
	"strconv"

	"loomwright/calc/circuit"
	"loomwright/calc/harness"
	"loomwright/calc/route"
	"loomwright/calc/rules"
	"loomwright/calc/unit"
	"loomwright/calc/wire"
)

// laid are faults of how the loom is laid, made and planned.
func laid() []Fault {
	return []Fault{
		{"beside-noise", rules.Beside, harness.Stop, variants{
			func(e *Edit) { bareLead(e, "crank signal"); bareLead(e, "crank return") },
			func(e *Edit) { bareLead(e, "crank signal") },
			func(e *Edit) {
				e.lead("crank signal", func(l *harness.Lead) { l.Shield = "" })
				bareLead(e, "crank return")
			},
		}, func(e *Edit) { e.lead("cam signal", func(l *harness.Lead) { l.Shield = ""; l.Twist = "cam pair" }) }},
		{"shield-not-grounded", rules.ShieldLoose, harness.Warn, variants{
			removed("crank shield"), removed("cam shield"),
			func(e *Edit) { e.lead("crank shield", func(l *harness.Lead) { l.Shield = "other cable" }) },
		}, func(e *Edit) { e.lead("crank shield", func(l *harness.Lead) { l.Note = "black" }) }},
		{"shield-twice", circuit.ShieldTwice, harness.Stop, variants{
			farEnd("crank shield", "Engine ground/lug 5"), farEnd("cam shield", "Engine ground/lug 5"), farEnd("crank shield", "Engine ground/lug 4"),
		}, func(e *Edit) {
			e.wire("crank shield", func(w *harness.Wire) { w.To = harness.End{Place: id(harness.KindPlace, "Engine split")} })
		}},
		{"wrong-loom", rules.WrongLoom, harness.Warn, variants{
			via("strap", "Controller split"), via("battery ground", "Dash split"), via("pump ground", "Controller split"),
		}, via("strap", "Power split")},
		{"shared-pass-through", rules.SharedHole, harness.Warn, variants{
			func(e *Edit) { quickTo(e, "Power hole") },
			func(e *Edit) { via("fan feed", "Bulkhead")(e); bareLead(e, "cam signal") },
			func(e *Edit) { via("pump feed", "Bulkhead")(e); bareLead(e, "cam signal") },
		}, func(e *Edit) { e.lead("cam signal", func(l *harness.Lead) { l.Shield, l.Twist = "", "cam pair" }) }},
		{"return-apart", rules.ReturnApart, harness.Warn, variants{
			via("sensor ground", "Power split"), via("throttle", "Power split"), via("crank return", "Power split"),
		}, via("sensor ground, Throttle position ground", "Engine ground")},
		{"too-hot", rules.TooHot, harness.Stop, variants{
			func(e *Edit) { hot(e, "Engine split – Crank position"); class(e, "crank signal", harness.Class105) },
			func(e *Edit) { hot(e, "Engine split – Throttle position"); class(e, "throttle", harness.Class100) },
			func(e *Edit) { class(e, "coolant", "80 C") },
		}, func(e *Edit) { hot(e, "Engine split – Crank position") }},
		{"too-hot-zone", rules.TooHot, harness.Stop, variants{
			func(e *Edit) { zone(e, "Throttle position", wire.NearExhaust); class(e, "throttle", harness.Class105) },
			func(e *Edit) { zone(e, "Coolant temperature", wire.NearExhaust); class(e, "coolant", harness.Class100) },
			func(e *Edit) { zone(e, "Crank position", wire.NearExhaust); class(e, "crank signal", harness.Class105) },
		}, func(e *Edit) { zone(e, "Throttle position", wire.NearExhaust) }},
		{"hole-too-small", rules.HoleSmall, harness.Stop, variants{
			opening("Bulkhead", 6, 0, ""), opening("Power hole", 7, 0, ""), opening("Bulkhead", 8, 6, "Engine split"),
		}, opening("Bulkhead", 20, 0, "")},
		{"grommet-too-small", rules.GrommetSmall, harness.Stop, variants{
			opening("Bulkhead", 0, 6, ""), opening("Power hole", 40, 6, ""), opening("Bulkhead", 30, 7, ""),
		}, opening("Bulkhead", 30, 20, "")},
		{"plug-does-not-pass", rules.NotThrough, harness.Stop, variants{
			func(e *Edit) { opening("Bulkhead", 20, 0, "Engine split")(e); plug(e, "Controller", 42, "") },
			func(e *Edit) { opening("Bulkhead", 20, 0, "Controller split")(e); plug(e, "Coil", 24, harness.Yes) },
			func(e *Edit) {
				opening("Bulkhead", 20, 0, "")(e)
				plug(e, "Controller", 42, "")
				plug(e, "Coil", 24, harness.Yes)
			},
		}, func(e *Edit) { opening("Bulkhead", 20, 0, "")(e); plug(e, "Controller", 42, "") }},
		{"cover-does-not-fit", rules.CoverNone, harness.Warn, variants{
			func(e *Edit) { cover(e, "Bulkhead – Engine split", "braid"); own(e, "braid", 4, 2) },
			func(e *Edit) {
				cover(e, "Bulkhead – Engine split", "heat-shrink 2:1")
				own(e, "heat-shrink 2:1", 60, 30)
			},
			func(e *Edit) {
				cover(e, "Controller split – Bulkhead", "slit tube")
				cover(e, "Bulkhead – Engine split", "slit tube")
				own(e, "slit tube", 5, 0)
			},
		}, func(e *Edit) { cover(e, "Bulkhead – Engine split", "slit tube") }},
		{"no-slack", rules.NoSlack, harness.Stop, variants{
			settings(0, nil), settings(0, func(e *Edit) { e.run("Power split – Fan", func(r *harness.Run) { r.Moves = true }) }),
			settings(0, func(e *Edit) { e.run("Power split – Starter", func(r *harness.Run) { r.Moves = false }) }),
		}, settings(40, nil)},
		{"splice-moves", rules.SpliceMoves, harness.Stop, variants{
			flexing("injector feed"), flexing("5 V"), flexing("sensor ground"),
		}, func(e *Edit) { e.run("Engine split – Injector 1", func(r *harness.Run) { r.Moves = true }) }},
		{"splice-in-a-hole", rules.SpliceInHole, harness.Stop, variants{joinAt("5 V", "Bulkhead"), joinAt("sensor ground", "Bulkhead"), joinAt("injector feed", "Bulkhead")}, joinAt("injector feed", "Controller split")},
		{"splice-in-a-signal", rules.SpliceSensitive, harness.Warn, variants{spliced("crank signal", "Crank position/signal"), spliced("crank return", "Crank position/return"), spliced("cam signal", "Cam position/signal")},
			spliced("coolant", "Coolant temperature/signal")},
		{"lead-too-short", rules.LeadShort, harness.Stop, variants{supplied("crank signal", 1200), supplied("coolant", 900), supplied("controller ground", 1000)}, supplied("crank signal", 1900)},
		{"cut-too-short", rules.CutShort, harness.Stop, variants{cutTo("fan feed", 1200), cutTo("coil feed", 1100), cutTo("strap", 400)}, cutTo("fan feed", 2400)},
		{"name-twice", rules.NameTwice, harness.Warn, variants{named("fan feed", "W1"), named("strap", "w 1"), named("coil feed", "W1O")}, named("fan feed", "W1A")},
		{"sharp-edge", rules.SharpEdge, harness.Warn, variants{sharp("Controller split – Panel"), sharp("Power split – Fan"), sharp("Engine split – Coil")}, sharp("Controller split – Bulkhead")},
		{"no-drip-loop", rules.NoDrip, harness.Warn, variants{wet("Power split – Fan"), wet("Engine split – Cam position"), wet("Power split – Fuel pump")}, wet("Controller split – Bulkhead")},
		{"not-joined", circuit.NotJoined, harness.Stop, variants{without("coil return", "Coil/return"), without("start signal", "Starter/50"), without("pump ground", "Fuel pump/-")},
			func(e *Edit) { e.terminal("Coil/return", func(t *harness.Terminal) { t.Need = harness.Yes }) }},
		{"removed-without-reason", circuit.VitalRemoved, harness.Stop, variants{
			spareLead(harness.PowerGround, harness.Remove), spareLead(harness.SupplyIn, harness.Remove), spareLead(harness.SensorGround, harness.Remove),
		},
			func(e *Edit) { spare(e, harness.PowerGround, harness.Remove, "the engine has three grounds") }},
		{"kept-loose", circuit.KeptLoose, harness.Warn, variants{spareLead(harness.AnalogueIn, harness.Keep), spareLead(harness.Reference5V, harness.Keep), spareLead(harness.SwitchedOut, harness.Keep)},
			func(e *Edit) { spare(e, harness.AnalogueIn, harness.Keep, ""); park(e, "Controller split") }},
		{"readings-contradict", string(route.ReadAgain), harness.Warn, variants{again("Controller split – Bulkhead", 520), again("Engine split – Coil", 180), again("Power split – Fan", 1300)}, again("Power split – Fan", 903)},
		{"run-lost", string(route.LostPlace), harness.Stop, variants{
			run("Controller split", ""), run("Engine split", "no such place"), run("Dash split", "another that is not there"),
		},
			func(e *Edit) { e.run("Dash split – Logger", func(r *harness.Run) { r.A, r.B = r.B, r.A }) }},
	}
}

// Faults are all kinds of fault, in the order of their files.
func Faults() []Fault { return append(electric(), laid()...) }

func bareLead(e *Edit, function string) {
	e.lead(function, func(l *harness.Lead) { l.Twist, l.Shield = "", "" })
}

// removed takes a lead out, with a reason, and the wire that is made of it.
func removed(function string) func(*Edit) {
	return func(e *Edit) {
		e.wire(function, func(w *harness.Wire) { w.Gone = true })
		e.lead(function, func(l *harness.Lead) { l.Decision, l.DecisionWhy = harness.Remove, "too stiff" })
	}
}

func farEnd(function, terminal string) func(*Edit) {
	return func(e *Edit) { e.wire(function, func(w *harness.Wire) { w.To = e.end(terminal) }) }
}

// via leads a wire through a place, in any loom.
func via(function, place string) func(*Edit) {
	return func(e *Edit) {
		e.wire(function, func(w *harness.Wire) { w.Looms, w.Via = nil, []string{id(harness.KindPlace, place)} })
	}
}

// quickTo leads the cam signal through a place with nothing round it.
func quickTo(e *Edit, place string) {
	bareLead(e, "cam signal")
	via("cam signal", place)(e)
}

func hot(e *Edit, run string) { e.run(run, func(r *harness.Run) { r.Hot = true }) }

func class(e *Edit, lead string, class harness.Insulation) {
	e.lead(lead, func(l *harness.Lead) { l.Insulation = class })
}

// settings allows so much for the movement of a run, and does what else there is to do.
func settings(allow int64, more func(*Edit)) func(*Edit) {
	return func(e *Edit) {
		now, length := e.b.Settings, unit.Length(allow)*mm
		now.Movement = &length
		e.set(harness.KindSettings, now.ID, now)
		if more != nil {
			more(e)
		}
	}
}

// run adds a run of the main loom.
func run(a, b string) func(*Edit) {
	return func(e *Edit) {
		r := harness.Run{A: id(harness.KindPlace, a), B: b, Loom: id(harness.KindLoom, "main"), Order: 1000}
		e.set(harness.KindRun, id(harness.KindRun, "one too many"), r)
	}
}

// flexing puts a splice into the run that moves, and joins a joint there.
func flexing(joint string) func(*Edit) {
	return func(e *Edit) {
		middle := id(harness.KindPlace, "Middle")
		e.set(harness.KindPlace, middle, harness.Place{Name: "Middle", Kind: harness.Splice, Status: harness.Decided, Order: 1000})
		e.run("Bulkhead – Engine split", func(r *harness.Run) { r.B = middle })
		e.set(harness.KindRun, id(harness.KindRun, "Middle – Engine split"), harness.Run{A: middle, B: id(harness.KindPlace, "Engine split"), Loom: id(harness.KindLoom, "main"), Moves: true, Order: 1000})
		for _, r := range []struct{ name, a, b string }{{"Bulkhead – Engine split", "Bulkhead", "Middle"}, {"Middle – Engine split", "Middle", "Engine split"}} {
			e.set(harness.KindReading, id(harness.KindReading, r.name), harness.Reading{Places: []string{id(harness.KindPlace, r.a), id(harness.KindPlace, r.b)},
				Runs: []string{id(harness.KindRun, r.name)}, Text: "175", Unit: unit.Metric, Value: 175 * mm})
		}
		e.joint(joint, func(j *harness.Joint) { j.Place = middle })
	}
}

func joinAt(joint, place string) func(*Edit) {
	return func(e *Edit) { e.joint(joint, func(j *harness.Joint) { j.Place = id(harness.KindPlace, place) }) }
}

// spliced joins the wire made of a lead to another at the engine split, and leads that to a terminal.
func spliced(lead, terminal string) func(*Edit) {
	return func(e *Edit) {
		joint := id(harness.KindJoint, "one too many")
		e.set(harness.KindJoint, joint, harness.Joint{Name: lead + " splice", Place: id(harness.KindPlace, "Engine split")})
		var w harness.Wire
		e.wire(lead, func(x *harness.Wire) { x.To = harness.End{Joint: joint}; w = *x })
		w.Record, w.Name, w.Function, w.Lead, w.From, w.To = harness.Record{ID: id(harness.KindWire, "rest")}, e.b.NextWireName(), lead+", rest", "", harness.End{Joint: joint}, e.end(terminal)
		e.set(harness.KindWire, w.ID, w)
	}
}

func supplied(lead string, length int64) func(*Edit) {
	return func(e *Edit) {
		e.lead(lead, func(l *harness.Lead) { v := unit.Length(length) * mm; l.Length = &v })
	}
}

func cutTo(function string, length int64) func(*Edit) {
	return func(e *Edit) {
		e.wire(function, func(w *harness.Wire) {
			w.Cut = &harness.Done{Length: unit.Length(length) * mm, At: "2026-03-14T09:10:00Z"}
		})
	}
}

func named(function, name string) func(*Edit) {
	return func(e *Edit) { e.wire(function, func(w *harness.Wire) { w.Name = name }) }
}

func sharp(run string) func(*Edit) {
	return func(e *Edit) { e.run(run, func(r *harness.Run) { r.Sharp = true }) }
}

func wet(run string) func(*Edit) {
	return func(e *Edit) { e.run(run, func(r *harness.Run) { r.Wet = true }) }
}

// without takes a wire away, its circuit, and the ends of that.
func without(function, terminal string) func(*Edit) {
	return func(e *Edit) {
		e.wire(function, func(w *harness.Wire) { w.Gone = true })
		e.circuit(function, func(c *harness.Circuit) { c.Gone = true })
		for _, t := range e.b.Terminals.All() {
			if t.Circuit == id(harness.KindCircuit, function) {
				t.Circuit = ""
				e.set(harness.KindTerminal, t.ID, t)
			}
		}
	}
}

// spare adds a lead that nothing is made of.
func spare(e *Edit, signal harness.Signal, decision harness.Decision, why string) {
	cavity := id(harness.KindTerminal, "spare")
	e.set(harness.KindTerminal, cavity, harness.Terminal{Place: id(harness.KindPlace, "Controller"), Connector: "A", Name: "30", Order: 1000})
	length := 3 * unit.Metre
	e.set(harness.KindLead, id(harness.KindLead, "spare"), harness.Lead{Terminal: cavity, Legend: "SPARE", Signal: signal, Size: "0.5 mm2", Length: &length, Insulation: harness.Class125,
		Decision: decision, DecisionWhy: why, Order: 1000})
}

func spareLead(signal harness.Signal, decision harness.Decision) func(*Edit) {
	return func(e *Edit) { spare(e, signal, decision, "") }
}

func park(e *Edit, place string) {
	e.lead("spare", func(l *harness.Lead) { l.Parked = id(harness.KindPlace, place) })
}

// again reads a run a second time.
func again(run string, length int64) func(*Edit) {
	return func(e *Edit) {
		r, _ := e.b.Readings.Get(id(harness.KindReading, run))
		r.ID, r.Value, r.Text = id(harness.KindReading, "again"), unit.Length(length)*mm, strconv.FormatInt(length, 10)
		e.set(harness.KindReading, r.ID, r)
	}
}
