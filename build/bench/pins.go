package bench

import (
	"context"
	"fmt"

	"github.com/google/uuid"

	"loomwright/build/browser"
	"loomwright/build/demo"
	"loomwright/calc/harness"
	"loomwright/storage"
)

// manyPins is how many pins deciding is measured with: a large controller has so many.
const manyPins = 200

// pins returns the demo with more leads in its controller, n in all; those are undecided.
func pins(n int) (*storage.Log, error) {
	log, err := demo.Log(0)
	if err != nil {
		return nil, fmt.Errorf("bench: %w", err)
	}
	b := log.State()
	first := b.Leads.All()[0]
	cavity, _ := b.Terminals.Get(first.Terminal)
	id := func(kind harness.Kind, i int) string {
		return uuid.NewSHA1(uuid.NameSpaceOID, fmt.Appendf(nil, "%s %d", kind, i)).String()
	}
	var changes []storage.Change
	for i := b.Leads.Len(); i < n; i++ {
		t := harness.Terminal{Place: cavity.Place, Connector: "Z", Name: fmt.Sprint(i), Order: float64(10_000 + i)}
		l := harness.Lead{Terminal: id(harness.KindTerminal, i), Legend: fmt.Sprintf("IN %d", i), Signal: harness.AnalogueIn, Size: "0.5 mm2", Order: t.Order}
		changes = append(changes, storage.Put(harness.KindTerminal, l.Terminal, harness.Terminal{}, t),
			storage.Put(harness.KindLead, id(harness.KindLead, i), harness.Lead{}, l))
	}
	if _, err := log.Commit("bench", log.About().At, changes); err != nil {
		return nil, fmt.Errorf("bench: %w", err)
	}
	return log, nil
}

// pinTaps measures deciding what becomes of leads: five decisions of one lead, then the next.
func pinTaps(ctx context.Context, l *Lab) (float64, error) {
	log, err := pins(manyPins)
	if err != nil {
		return 0, err
	}
	tab, err := l.open(ctx, "pins", log)
	if err != nil {
		return 0, err
	}
	if err := browser.Tap(tab, "Pins"); err != nil {
		return 0, err
	}
	if err := browser.See(tab, fmt.Sprintf("%d pins", manyPins)); err != nil {
		return 0, err
	}
	if err := browser.Tap(tab, "Next undecided"); err != nil {
		return 0, err
	}
	if err := browser.See(tab, "This lead"); err != nil {
		return 0, err
	}
	decisions := []string{"Use", "Keep for later", "Remove", "Keep for later", "Use"}
	return l.tapsOf(tab, func(i int) error {
		if i %= len(decisions) + 1; i < len(decisions) {
			return browser.Tap(tab, decisions[i])
		}
		return browser.Tap(tab, "Next undecided")
	})
}
