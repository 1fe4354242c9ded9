package circuit

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"loomwright/calc/harness"
)

// Assign proposes what leads with nothing to do are for, from what their functions say: a terminal of a device that is
// there, or a new device of the kind that the words name. All leads of one device are one proposal. The leads come decided
// as used. A function that says nothing known gives no proposal.
func Assign(b *harness.Build) []Proposal {
	a := &assigner{Net: NewNet(b), taken: map[string]bool{}, at: map[string]int{}}
	leads := b.Leads.All()
	for i := range leads {
		l := leads[i]
		t, ok := b.Terminals.Get(l.Terminal)
		free := ok && t.Circuit == "" && len(a.wired()[t.ID]) == 0
		if !free || !l.There() || l.Decision != harness.Undecided && l.Decision != harness.Use || l.Signal.Vital() || l.Signal == harness.Reference5V {
			continue
		}
		words := wordsOf(l.Does())
		if !a.known(l, t, words) {
			a.fresh(l, t, words)
		}
	}
	return a.all
}

type assigner struct {
	*Net
	all   []Proposal
	at    map[string]int  // in all, by the place
	taken map[string]bool // terminals that a proposal uses
}

// wordsOf splits a function into words and numbers, in lower case.
func wordsOf(text string) []string {
	var words []string
	last := 0 // 1 a letter, 2 a digit
	for _, r := range strings.ToLower(text) {
		kind := 0
		switch {
		case unicode.IsLetter(r):
			kind = 1
		case unicode.IsDigit(r):
			kind = 2
		case r == '+' || r == '-':
			words = append(words, string(r))
		}
		if kind != 0 {
			if kind != last {
				words = append(words, "")
			}
			words[len(words)-1] += string(r)
		}
		last = kind
	}
	return words
}

// holds reports whether all of these words are among words.
func holds(words, these []string) bool {
	for _, w := range these {
		if !slices.Contains(words, w) {
			return false
		}
	}
	return len(these) > 0
}

// known assigns a lead to a device that is there and whose name its function holds, the longest such name.
func (a *assigner) known(l harness.Lead, t harness.Terminal, words []string) bool {
	best, most := harness.Place{}, 0
	places := a.b.Places.All()
	for i := range places {
		p := &places[i]
		if name := wordsOf(p.Name); p.Kind == harness.Device && len(name) > most && holds(words, name) && !slices.Contains(name, "+") {
			best, most = *p, len(name)
		}
	}
	if most == 0 {
		return false
	}
	var free []harness.Terminal
	terminals := a.b.Terminals.All()
	for i := range terminals {
		x := terminals[i]
		if x.Place == best.ID && x.Circuit == "" && len(a.wired()[x.ID]) == 0 && !a.taken[x.ID] {
			free = append(free, x)
		}
	}
	end, ok := fit(free, l, words, func(x harness.Terminal) (string, harness.Signal) { return x.Name, a.signal(x) })
	if !ok {
		return false
	}
	p := a.proposal(best.ID, Assignment, best.Name+": ", "its function names the device")
	a.give(p, l, t, end)
	p.What += joinText(l.Does(), Cavity(t))
	return true
}

func joinText(function, cavity string) string { return function + " (" + cavity + ") " }

// fit returns the terminal for a lead: the one whose name its function holds, else the first that carries its signal.
func fit[T any](all []T, l harness.Lead, words []string, of func(T) (name string, signal harness.Signal)) (found T, ok bool) {
	input := func(s harness.Signal) bool {
		return s == harness.AnalogueIn || s == harness.FrequencyIn || s == harness.SwitchedIn
	}
	for _, byName := range [2]bool{true, false} {
		for _, x := range all {
			name, signal := of(x)
			same := signal == l.Signal || input(signal) && input(l.Signal)
			named := holds(words, wordsOf(name)) || name == "return" && slices.Contains(words, "-") && len(words) > 1
			if same && (named || !byName) {
				return x, true
			}
		}
	}
	return found, false
}

// proposal returns the proposal for a device, a new one for the first lead.
func (a *assigner) proposal(place string, kind ProposalKind, what, why string) *Proposal {
	i, ok := a.at[place]
	if !ok {
		i = len(a.all)
		a.at[place] = i
		a.all = append(a.all, Proposal{ID: string(kind) + " " + place, Kind: kind, Of: harness.Ref{Kind: harness.KindPlace, ID: place}, What: what, Why: why})
	}
	return &a.all[i]
}

// give makes a circuit of a lead's cavity and a terminal.
func (a *assigner) give(p *Proposal, l harness.Lead, cavity, end harness.Terminal) {
	c := harness.Circuit{Record: harness.Record{ID: harness.ProposedID(harness.KindCircuit, "lead", cavity.ID)}, Name: l.Does(), Signal: l.Signal,
		Order: l.Order}
	cavity.Circuit, end.Circuit, l.Decision = c.ID, c.ID, harness.Use
	a.taken[end.ID] = true
	p.Put.Circuits = append(p.Put.Circuits, c)
	p.Put.Leads = append(p.Put.Leads, l)
	p.Put.Terminals = append(p.Put.Terminals, cavity)
	if i := slices.IndexFunc(p.Put.Terminals, func(x harness.Terminal) bool { return x.ID == end.ID }); i >= 0 {
		p.Put.Terminals[i] = end
	} else {
		p.Put.Terminals = append(p.Put.Terminals, end)
	}
}

// fresh assigns a lead to a new device, of the first kind that a word of its function names and that takes its signal.
func (a *assigner) fresh(l harness.Lead, t harness.Terminal, words []string) {
	for _, d := range Devices {
		if !slices.ContainsFunc(d.Words, func(w string) bool { return slices.Contains(words, w) }) {
			continue
		}
		if _, ok := fit(d.Needs, l, words, func(n Need) (string, harness.Signal) { return n.Name, n.Signal }); !ok {
			continue
		}
		name := deviceName(l.Does(), d)
		place := harness.Place{Record: harness.Record{ID: harness.ProposedID(harness.KindPlace, "device", harness.FoldName(name))}, Name: name, Kind: harness.Device,
			Device: d.Key, Order: 1000 + l.Order}
		if _, had := a.b.Places.Any(place.ID); had {
			return // a person renamed or deleted it
		}
		_, begun := a.at[place.ID]
		p := a.proposal(place.ID, NewDevice, name+", "+d.Key+": ", "the function says what it is")
		if !begun {
			p.Put.Places = append(p.Put.Places, place)
			for i, n := range d.Needs {
				p.Put.Terminals = append(p.Put.Terminals, harness.Terminal{Record: harness.Record{ID: harness.ProposedID(harness.KindTerminal, place.ID, n.Name)},
					Place: place.ID, Name: n.Name, Signal: n.Signal, Order: float64(i + 1)})
			}
		}
		var free []harness.Terminal
		for _, x := range p.Put.Terminals {
			if x.Place == place.ID && x.Circuit == "" {
				free = append(free, x)
			}
		}
		if end, ok := fit(free, l, words, func(x harness.Terminal) (string, harness.Signal) { return x.Name, x.Signal }); ok {
			a.give(p, l, t, end)
			p.What += joinText(l.Does(), Cavity(t))
		}
		return
	}
}

// deviceName makes the name of a device of a function: without the words that name a terminal, the first letter large.
func deviceName(function string, d Device) string {
	fields := strings.FieldsFunc(function, func(r rune) bool { return unicode.IsSpace(r) || strings.ContainsRune("+-_/,;:()", r) })
	kept := slices.DeleteFunc(slices.Clone(fields), func(f string) bool {
		f = strings.ToLower(f)
		return f == "signal" || f == "drive" || f == "trigger" || f == "return" || slices.ContainsFunc(d.Needs, func(n Need) bool { return strings.ToLower(n.Name) == f })
	})
	if len(kept) == 0 || len(kept) == 1 && strings.Trim(kept[0], "0123456789") == "" {
		kept = fields
	}
	if len(kept) == 0 {
		return d.Name
	}
	return firstAs(strings.Join(kept, " "), unicode.ToUpper)
}

// firstAs returns a text with its first letter as to makes it.
func firstAs(text string, to func(rune) rune) string {
	r, n := utf8.DecodeRuneInString(text)
	if n == 0 {
		return ""
	}
	return string(to(r)) + text[n:]
}

// Share proposes the circuits that devices share: the supply of all devices of a kind, their ground, the controller's 5 V
// and its sensor ground, its supplies, and a ground lug for each of its power grounds. It looks at terminals that are no
// ends yet, and adds them to the circuit that their like are in, if there is one.
func Share(b *harness.Build) []Proposal {
	s := &sharer{Net: NewNet(b), there: map[string]string{}}
	var lugs []harness.Terminal
	byKey := map[string][]harness.Terminal{}
	var keys []string
	terminals := b.Terminals.All()
	for i := range terminals {
		t := terminals[i]
		p, _ := b.Places.Get(t.Place)
		bare := t.Circuit == "" && len(s.wired()[t.ID]) == 0
		key := s.key(t, p)
		switch {
		case bare && p.Kind == harness.Ground:
			lugs = append(lugs, t)
		case key == "":
		case !bare && s.there[key] == "":
			s.there[key] = t.Circuit
		case bare:
			if byKey[key] == nil {
				keys = append(keys, key)
			}
			byKey[key] = append(byKey[key], t)
		}
	}
	for _, key := range keys {
		ends := byKey[key]
		signal := s.signal(ends[0])
		if signal == harness.PowerGround && len(lugs) > 0 && s.there[key] == "" {
			ends, lugs = append(ends, lugs[0]), lugs[1:]
		}
		s.propose(key, signal, ends)
	}
	return s.all
}

// key is the same for terminals that share a circuit; it is empty for one that shares none.
func (s *sharer) key(t harness.Terminal, p harness.Place) string {
	signal := s.signal(t)
	if l, led := s.leads[t.ID]; led {
		switch {
		case l.Decision != harness.Use && l.Decision != harness.Undecided, signal == harness.ShieldDrain:
			return ""
		case signal == harness.PowerGround:
			return "cavity " + t.ID
		case signal.Vital(), signal == harness.Reference5V:
			return string(signal)
		}
		return ""
	}
	d, _ := DeviceOf(p.Device)
	need, _ := d.Need(t.Name)
	switch {
	case p.Kind != harness.Device, t.Need == harness.No, need.Spare && t.Need == harness.Unknown:
	case signal == harness.SensorGround, signal == harness.Reference5V:
		return string(signal)
	case signal == harness.SupplyIn, signal == harness.PowerGround:
		return d.Name + " " + shareName(signal) + "\x00" + t.Name
	}
	return ""
}

func shareName(s harness.Signal) string {
	if s == harness.SupplyIn {
		return "feed"
	}
	return "ground"
}

type sharer struct {
	*Net
	all   []Proposal
	there map[string]string // the circuit that terminals of a key are in
}

// propose proposes a circuit of these ends, or adds them to the one that is there.
func (s *sharer) propose(key string, signal harness.Signal, ends []harness.Terminal) {
	name, _, _ := strings.Cut(key, "\x00")
	switch {
	case key == string(harness.SupplyIn):
		name = "controller feed"
	case strings.HasPrefix(key, "cavity "):
		name = s.leads[ends[0].ID].Does()
	}
	if name == "" {
		name = "ground"
	}
	id := harness.ProposedID(harness.KindCircuit, "share", key)
	if _, lives := s.b.Circuits.Get(s.there[key]); lives {
		id = s.there[key]
	}
	c, lives := s.b.Circuits.Get(id)
	if _, had := s.b.Circuits.Any(id); had && !lives {
		return // a person deleted it
	}
	q := Proposal{ID: "share " + key, Kind: SharedFeed, Of: harness.Ref{Kind: harness.KindCircuit, ID: id}, Why: "what they need is the same"}
	if !lives {
		c = harness.Circuit{Record: harness.Record{ID: id}, Name: firstAs(name, unicode.ToLower), Signal: signal, Order: 500 + float64(len(s.all))}
		if strings.HasPrefix(key, "5 V") {
			c.Name = "5 V"
		}
		q.Put.Circuits = append(q.Put.Circuits, c)
	}
	for _, t := range ends {
		t.Circuit = id
		q.Put.Terminals = append(q.Put.Terminals, t)
		if l, ok := s.leads[t.ID]; ok && l.Decision == harness.Undecided {
			l.Decision = harness.Use
			q.Put.Leads = append(q.Put.Leads, l)
		}
	}
	q.What = c.Name + ": " + count(len(ends), "end")
	s.all = append(s.all, q)
}
