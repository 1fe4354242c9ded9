package faults

import (
	"slices"

	"loomwright/calc/circuit"
	"loomwright/calc/harness"
	"loomwright/calc/rules"
	"loomwright/calc/unit"
)

// electric are faults of current, fuses, grounds and buses.
func electric() []Fault {
	return []Fault{
		{"overload", rules.Overload, harness.Hurt, variants{
			sizeOf("fan feed", "0.75 mm2"), hotFan, func(e *Edit) { amps(e, "Coil", 14); rate(e, "F2", 20) },
		}, sizeOf("fan ground", "2.5 mm2")},
		{"fuse-too-late", rules.FuseLate, harness.Hurt, variants{rating("F1", 40), rating("F2", 60), rating("F5", 60)}, rating("F1", 10)},
		{"fuse-above-wire", rules.FuseLarge, harness.Hurt, variants{
			rating("F6", 15),
			func(e *Edit) { insulation(e, "injector feed, F1 out", "90 C"); rate(e, "F1", 15) },
			func(e *Edit) { insulation(e, "coil feed", "90 C"); rate(e, "F2", 10) },
		}, rating("F6", 4)},
		{"fuse-too-small", rules.FuseSmall, harness.Stop, variants{rating("F4", 10), rating("F3", 5), rating("F2", 1)}, rating("F4", 15)},
		{"fuse-at-start", rules.FuseStart, harness.Warn, variants{inrush("Fan", 60), inrush("Fuel pump", 30), func(e *Edit) { inrush("Fan", 45)(e); rate(e, "F4", 15) }}, inrush("Fan", 24)},
		{"contact-too-small", rules.ContactSmall, harness.Stop, variants{rating("K2", 10), rating("K1", 5), func(e *Edit) { amps(e, "Fan", 16); rate(e, "K2", 15) }}, rating("K2", 12)},
		{"no-fuse", rules.Unfused, harness.Hurt, variants{
			func(e *Edit) { move(e, "panel feed", "F0/out", "battery/+") },
			func(e *Edit) { move(e, "controller feed", "F5/out", "battery/+") },
			func(e *Edit) { move(e, "fan relay feed", "F4/out", "battery/+") },
		}, func(e *Edit) { e.wire("panel feed", func(w *harness.Wire) { w.Size = "25 mm2" }) }},
		{"volt-drop", rules.VoltDrop, harness.Stop, variants{
			func(e *Edit) { e.read("Power split – Fuel pump", 12000) },
			func(e *Edit) {
				size(e, "pump feed", "1.0 mm2")
				size(e, "pump ground", "1.0 mm2")
				e.read("Power split – Fuel pump", 5000)
			},
			func(e *Edit) { e.read("Power split – Fan", 8500) },
		}, func(e *Edit) { e.read("Power split – Fuel pump", 2900) }},
		{"volt-drop-critical", rules.VoltDrop, harness.Warn, variants{
			func(e *Edit) { e.read("Engine split – Coil", 1700); size(e, "coil feed", "0.35 mm2") },
			func(e *Edit) {
				size(e, "injector feed, F1 out", "0.35 mm2")
				e.read("Controller split – Panel", 2400)
			},
			func(e *Edit) {
				size(e, "injector feed, Injector 2 supply", "0.22 mm2")
				amps(e, "Injector 2", 1.5)
				e.read("Engine split – Injector 2", 1700)
			},
		}, func(e *Edit) { size(e, "coil feed", "1.0 mm2") }},
		{"supply-on-ground", rules.Shorted, harness.Hurt, variants{
			draw("F1/out", "Engine ground/lug 5"), draw("Dash/supply", "Body ground/lug 6"), draw("battery/+", "Body ground/lug 6"),
		}, func(e *Edit) {
			e.draw("second ground", "1.0 mm2", e.end("Engine ground/lug 4"), e.end("Engine ground/lug 5"))
		}},
		{"five-volts-on-battery", rules.FiveOnBattery, harness.Hurt, variants{
			draw("5 V", "F6/out"), draw("Throttle position/5 V", "Injector 1/supply"), draw("Cam position/5 V", "Coil/supply"),
		}, func(e *Edit) {
			share(e, "Throttle position/5 V")
			e.draw("second 5 V", "0.5 mm2", e.end("Throttle position/5 V"), harness.End{Joint: e.jointID("5 V")})
		}},
		{"fed-twice", rules.FedTwice, harness.Stop, variants{draw("F1/out", "F2/out"), draw("Dash/supply", "Coil/supply"), draw("F7/out", "K1/87")},
			func(e *Edit) { rate(e, "F7", 10) }},
		{"grounds-mixed", circuit.GroundsMixed, harness.Hurt, variants{
			draw("Coolant temperature/ground", "Engine ground/lug 5"), draw("sensor ground", "controller ground"), draw("Throttle position/ground", "Body ground/lug 6"),
		}, func(e *Edit) {
			share(e, "Coolant temperature/ground")
			e.draw("second sensor ground", "0.5 mm2", e.end("Coolant temperature/ground"), harness.End{Joint: e.jointID("sensor ground")})
		}},
		{"no-strap", rules.NoStrap, harness.Hurt, variants{
			func(e *Edit) {
				e.wire("strap", func(w *harness.Wire) { w.Gone = true })
				e.circuit("strap", func(c *harness.Circuit) { c.Gone = true })
				loose(e, "Body ground/lug 2", "Engine ground/lug 6")
			},
			func(e *Edit) {
				e.wire("battery ground", func(w *harness.Wire) { w.Gone = true })
				e.circuit("battery ground", func(c *harness.Circuit) { c.Gone = true })
				loose(e, "battery/-", "Body ground/lug 1")
			},
			func(e *Edit) {
				move(e, "strap", "Body ground/lug 2", "Engine ground/lug 5")
				e.circuit("strap", func(c *harness.Circuit) { c.Gone = true })
				loose(e, "Body ground/lug 2", "Engine ground/lug 6")
			},
		}, func(e *Edit) { // straight to the battery
			share(e, "battery/-")
			move(e, "strap", "Body ground/lug 2", "battery/-")
			e.circuit("strap", func(c *harness.Circuit) { c.Gone = true })
			loose(e, "Body ground/lug 2", "Engine ground/lug 6")
		}},
		{"thin-strap", rules.ThinStrap, harness.Stop, variants{sizeOf("strap", "6.0 mm2"), sizeOf("strap", "10 mm2"), sizeOf("strap", "6 AWG")}, sizeOf("strap", "3 AWG")},
		{"bus-ends", rules.BusEnds, harness.Stop, variants{
			bus(func(c *harness.Circuit) { c.Resistors = c.Resistors[:1] }), bus(func(c *harness.Circuit) {
				c.Resistors = append(slices.Clone(c.Resistors), id(harness.KindPlace, "Logger"))
			}),
			bus(func(c *harness.Circuit) {
				c.Resistors = []string{id(harness.KindPlace, "Panel"), id(harness.KindPlace, "Dash")}
			}),
		}, bus(func(c *harness.Circuit) { c.Resistors = []string{c.Resistors[1], c.Resistors[0]} })},
		{"bus-branch", rules.BusBranch, harness.Stop, variants{
			func(e *Edit) { e.read("Dash split – Logger", 400) },
			func(e *Edit) { e.read("Dash split – Logger", 1500); bus(speed(250e3))(e) },
			func(e *Edit) {
				bus(func(c *harness.Circuit) { c.Resistors = []string{c.Resistors[0], id(harness.KindPlace, "Logger")} })(e)
			},
		}, func(e *Edit) { e.read("Dash split – Logger", 900); bus(speed(250e3))(e) }},
		{"bus-not-twisted", rules.BusLoose, harness.Warn, variants{
			func(e *Edit) { twist(e, "CAN high", ""); twist(e, "CAN low", "") },
			func(e *Edit) { e.wire("CAN high, Dash CAN high", func(w *harness.Wire) { w.Twist = "" }) },
			func(e *Edit) { twist(e, "CAN high", "") },
		}, func(e *Edit) { e.wire("CAN high, Logger CAN high", func(w *harness.Wire) { w.Twist = "" }) }},
		{"drops-out", circuit.DropsOut, harness.Stop, variants{
			func(e *Edit) { e.tap("key", func(t *harness.Tap) { t.Crank = harness.Dead }) },
			func(e *Edit) { e.tap("key", func(t *harness.Tap) { t.Crank = harness.Pulsing }) },
			func(e *Edit) { e.tap("start", func(t *harness.Tap) { t.Crank = harness.Grounded }) },
		}, func(e *Edit) { e.tap("key", func(t *harness.Tap) { t.Accessory = harness.Live }) }},
	}
}

type variants = []func(*Edit)

func amps(e *Edit, place string, amps float64) {
	e.place(place, func(p *harness.Place) { p.Amps = &amps })
}

// hotFan leads the fan's feed past the exhaust, where the insulation that its ground has would last and its own carries little.
func hotFan(e *Edit) {
	e.run("Power split – Fan", func(r *harness.Run) { r.Hot = true })
	insulation(e, "fan ground", harness.Class150)
	amps(e, "Fan", 15)
}

func inrush(place string, amps float64) func(*Edit) {
	return func(e *Edit) { e.place(place, func(p *harness.Place) { p.Inrush = &amps }) }
}

func rate(e *Edit, part string, amps float64) {
	e.part(part, func(p *harness.Part) { p.Rating = &amps })
}

func rating(part string, amps float64) func(*Edit) { return func(e *Edit) { rate(e, part, amps) } }

func size(e *Edit, wire, text string) { e.wire(wire, func(w *harness.Wire) { w.Size = text }) }

func sizeOf(wire, text string) func(*Edit) { return func(e *Edit) { size(e, wire, text) } }

func insulation(e *Edit, wire string, class harness.Insulation) {
	e.wire(wire, func(w *harness.Wire) { w.Insulation = class })
}

func draw(from, to string) func(*Edit) {
	return func(e *Edit) { e.draw("one too many", "1.0 mm2", e.end(from), e.end(to)) }
}

// loose takes terminals out of their circuits.
func loose(e *Edit, terminals ...string) {
	for _, t := range terminals {
		e.terminal(t, func(t *harness.Terminal) { t.Circuit = "" })
	}
}

// move leads a wire from one terminal to another, and takes the first out of its circuit.
func move(e *Edit, function, from, to string) {
	was, now := e.end(from), e.end(to)
	e.wire(function, func(w *harness.Wire) {
		if w.From == was {
			w.From = now
		} else {
			w.To = now
		}
		w.Looms = nil
	})
	loose(e, from)
}

// share says that two wires may be at a terminal.
func share(e *Edit, terminal string) {
	e.terminal(terminal, func(t *harness.Terminal) { t.SharedWhy = "tried" })
}

// bus changes both circuits of the bus.
func bus(f func(*harness.Circuit)) func(*Edit) {
	return func(e *Edit) { e.circuit("CAN high", f); e.circuit("CAN low", f) }
}

func speed(bits float64) func(*harness.Circuit) {
	return func(c *harness.Circuit) { c.Bitrate = &bits }
}

func twist(e *Edit, lead, with string) { e.lead(lead, func(l *harness.Lead) { l.Twist = with }) }

const mm = unit.Millimetre
