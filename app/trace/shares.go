package trace

import (
	"slices"
	"strconv"
	"strings"

	"loomwright/calc/circuit"
	"loomwright/calc/harness"
	"loomwright/calc/route"
)

// namesShown is how many names stand in one line of what is shared.
const namesShown = 6

func listed(names []string) string {
	if n := len(names) - namesShown; n > 0 {
		return strings.Join(names[:namesShown], ", ") + " and " + strconv.Itoa(n) + " more"
	}
	return strings.Join(names, ", ")
}

// shares is what feeds a wire, where it is grounded, and what else hangs on the same fuse, circuit and pass-through: what
// else is dead when it is.
func shares(b *harness.Build, w harness.Wire, p route.Path) []fact {
	n := circuit.NewNet(b)
	var out []fact
	add := func(label string, names []string) {
		if len(names) > 0 {
			out = append(out, fact{label: label, text: listed(names)})
		}
	}
	own, _ := b.Circuits.Get(w.Circuit)
	feeds, grounds := fedAndGrounded(b, n, own)
	add("Fed by", feeds)
	add("Grounded at", grounds)
	var mates []string
	for _, t := range n.Ends(own.ID) {
		if t.ID != w.From.Terminal && t.ID != w.To.Terminal {
			mates = append(mates, n.Name(t))
		}
	}
	add("On the same circuit", mates)
	if len(own.Feed) > 0 {
		var same []string
		circuits := b.Circuits.All()
		for i := range circuits {
			if c := &circuits[i]; c.ID != own.ID && len(c.Feed) > 0 && c.Feed[len(c.Feed)-1] == own.Feed[len(own.Feed)-1] {
				same = append(same, c.Name)
			}
		}
		add("On the same fuse", same)
	}
	var passes []string
	for _, id := range p.Places {
		if at, _ := b.Places.Get(id); at.Kind == harness.PassThrough {
			passes = append(passes, at.Name)
		}
	}
	add("Passes through", passes)
	return out
}

// fedAndGrounded names the parts that feed a circuit, or the devices at its ends, from the battery on, and the grounds that
// take the current back.
func fedAndGrounded(b *harness.Build, n *circuit.Net, own harness.Circuit) (feeds, grounds []string) {
	feed := func(c harness.Circuit) {
		var names []string
		for _, id := range c.Feed {
			part, _ := b.Parts.Get(id)
			names = append(names, strings.TrimSpace(part.Name+" "+part.Label))
		}
		if text := strings.Join(names, " → "); text != "" && !slices.Contains(feeds, text) {
			feeds = append(feeds, text)
		}
	}
	ground := func(c harness.Circuit) {
		for _, t := range n.Ends(c.ID) {
			if at, _ := b.Places.Get(t.Place); at.Kind == harness.Ground && !slices.Contains(grounds, n.Name(t)) {
				grounds = append(grounds, n.Name(t))
			}
		}
	}
	feed(own)
	ground(own)
	for _, e := range n.Ends(own.ID) {
		at, _ := b.Places.Get(e.Place)
		if at.Kind != harness.Device || len(n.Ends(own.ID)) > 2 {
			continue
		}
		terminals := b.Terminals.All()
		for i := range terminals {
			if t := &terminals[i]; t.Place == at.ID && t.Circuit != own.ID {
				c, _ := b.Circuits.Get(t.Circuit)
				feed(c)
				ground(c)
			}
		}
	}
	return feeds, grounds
}
