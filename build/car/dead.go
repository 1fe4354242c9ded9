package car

import (
	"loomwright/calc/circuit"
	"loomwright/calc/harness"
)

// plugged tells whether a terminal reaches what is behind its plug.
func (r *run) plugged(t harness.Terminal) bool {
	return !r.bad["plug:"+t.Place+t.Connector]
}

// controller tells whether the controller runs: it needs one of its supplies and one of its grounds.
func (r *run) controller() bool {
	supplies, grounds, supplied, grounded := 0, 0, 0, 0
	for _, p := range r.b.Places.All() {
		if p.Kind != harness.Controller {
			continue
		}
		if r.bad["device:"+p.ID] {
			return false
		}
		for _, t := range r.seen[p.ID] {
			l, _ := r.kinds.Lead(t.ID)
			ok := r.plugged(t) && !r.bad["output:"+t.ID]
			switch l.Signal {
			case harness.SupplyIn:
				supplies++
				if ok && r.plus["t:"+t.ID] {
					supplied++
				}
			case harness.PowerGround:
				grounds++
				if ok && r.minus["t:"+t.ID] {
					grounded++
				}
			}
		}
	}
	return (supplies == 0 || supplied > 0) && (grounds == 0 || grounded > 0)
}

// leads returns the pins of the controller that wires join to a node now, and whether any would as planned.
func (r *run) leads(n string) (now, planned bool) {
	pin := func(n string) (harness.Terminal, bool) {
		if len(n) < 2 || n[:2] != "t:" {
			return harness.Terminal{}, false
		}
		_, ok := r.kinds.Lead(n[2:])
		t, _ := r.b.Terminals.Get(n[2:])
		return t, ok
	}
	for x := range r.flood([]string{n}, false, nil) {
		if t, ok := pin(x); ok && r.plugged(t) && !r.bad["output:"+t.ID] {
			now = true
		}
	}
	whole := &run{Car: r.Car, bad: map[string]bool{}}
	for x := range whole.flood([]string{n}, false, nil) {
		if _, ok := pin(x); ok {
			planned = true
		}
	}
	return now, planned
}

// pulls tells whether the coil of a relay has current.
func (r *run) pulls(p harness.Part) bool {
	if r.bad["relay:"+p.ID] {
		return false
	}
	node := map[string]string{}
	for _, t := range r.kinds.PartEnds(p.ID) {
		if len(r.hop["t:"+t.ID]) > 0 {
			node[t.Name] = "t:" + t.ID
		}
	}
	if node["85"] == "" || node["86"] == "" {
		return true
	}
	for _, x := range [2][2]string{{"86", "85"}, {"85", "86"}} {
		plus, low := node[x[0]], node[x[1]]
		now, planned := r.leads(low)
		if r.plus[plus] && (r.minus[low] || r.grown[low] || planned && now && r.alive) {
			return true
		}
	}
	return false
}

// Dead tells whether a device, or the controller, does not work.
func (r *run) Dead(place string) bool {
	p, _ := r.b.Places.Get(place)
	if r.bad["device:"+place] {
		return true
	}
	if p.Kind == harness.Controller {
		return !r.alive
	}
	for _, t := range r.seen[place] {
		if r.kinds.Needed(t) && !r.works(p, t) {
			return true
		}
	}
	return false
}

func (r *run) works(p harness.Place, t harness.Terminal) bool {
	signal := t.Signal
	if signal == harness.NoSignal {
		kind, _ := circuit.DeviceOf(p.Device)
		need, _ := kind.Need(t.Name)
		signal = need.Signal
	}
	n := "t:" + t.ID
	switch signal {
	case harness.SupplyIn:
		return r.plugged(t) && r.plus[n]
	case harness.PowerGround:
		return r.plugged(t) && r.minus[n]
	}
	if !r.plugged(t) || r.grown[n] && signal != harness.SensorGround {
		return false
	}
	if now, planned := r.leads(n); planned {
		return now && r.alive
	}
	whole := &run{Car: r.Car, bad: map[string]bool{}}
	has := func(in map[string]bool, what harness.PlaceKind, part bool) bool {
		for x := range in {
			if len(x) < 2 || x[:2] != "t:" || x == n {
				continue
			}
			o, _ := r.b.Terminals.Get(x[2:])
			at := r.place(o)
			if part && (o.Part != "" || at.Kind == harness.Supply || at.Kind == harness.Ground) || !part && at.Kind == what && r.plugged(o) {
				return true
			}
		}
		return false
	}
	now, plan := r.flood([]string{n}, false, nil), whole.flood([]string{n}, false, nil)
	switch {
	case has(plan, harness.CarWire, false):
		return has(now, harness.CarWire, false)
	case has(plan, "", true):
		return has(now, "", true)
	case has(plan, harness.Device, false):
		return has(now, harness.Device, false)
	}
	return true
}
