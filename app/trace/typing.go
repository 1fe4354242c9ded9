package trace

import (
	"fmt"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/calc/tag"
)

// keyBack takes one sign away.
const keyBack = "⌫"

// setTyped keeps what was typed, also over a reload.
func (p *page) setTyped(text string) {
	p.typed, p.failed = text, ""
	p.S.Device.Prefs.Put(prefTyped, text)
}

// press is a key of the pad.
func (p *page) press(key string) {
	text := tag.Normalise(p.typed)
	switch {
	case key == keyBack:
		signs := []rune(text)
		if len(signs) > 0 {
			text = string(signs[:len(signs)-1])
		}
	case len(text) < tag.CodeLength:
		text += key
	}
	p.setTyped(text)
}

func (p *page) onKey(key string) app.EventHandler {
	return func(app.Context, app.Event) { p.press(key) }
}

func (p *page) onText(ctx app.Context, _ app.Event) { p.setTyped(kit.Value(ctx)) }

func (p *page) onEnter(ctx app.Context, e app.Event) {
	if e.Get("key").String() == "Enter" {
		p.findTyped()
	}
}

func (p *page) onFind(ctx app.Context, _ app.Event) { p.findTyped() }

func (p *page) onClear(ctx app.Context, _ app.Event) { p.setTyped("") }

// findTyped looks up what was typed, if it is a code.
func (p *page) findTyped() {
	if s := tag.Parse(p.typed, p.own()); s.Found() {
		p.S.Device.Prefs.Put(prefTyped, "")
		p.found(s.Code)
	}
}

func (p *page) onTypedSuggestion(code string) app.EventHandler {
	return func(app.Context, app.Event) {
		p.setTyped(code)
		p.findTyped()
	}
}

// verdict says how what was typed looks so far, and which codes it may have been meant to be.
func verdict(typed string, own tag.Address) (tone, text string, repairs []string, ready bool) {
	code := tag.Normalise(typed)
	n := len([]rune(code))
	s := tag.Parse(typed, own)
	switch {
	case s.Found():
		return "good", "The check sign fits.", nil, true
	case n == 0:
		return "", "Eight signs, printed beside the square.", nil, false
	case n < tag.CodeLength:
		if strange := strangers(code); strange != "" {
			return "warn", fmt.Sprintf("%d of 8. Codes have no %s: it will be taken for what it looks like.", n, strange), nil, false
		}
		return "", fmt.Sprintf("%d of 8", n), nil, false
	case n > tag.CodeLength:
		return "bad", fmt.Sprintf("%d signs are too many: a code has 8.", n), nil, false
	}
	repairs = tag.Repair(code)
	if len(repairs) == 0 {
		return "bad", "A sign is wrong: the last one checks the others, and it does not fit.", nil, false
	}
	return "bad", "A sign is wrong. Did you mean one of these?", repairs, false
}

// strangers are the signs that codes do not have.
func strangers(code string) string {
	var out []string
	for _, r := range code {
		if s := string(r); !strings.Contains(tag.Alphabet, s) && !strings.Contains(strings.Join(out, " "), s) {
			out = append(out, s)
		}
	}
	return strings.Join(out, " ")
}

// typing is the pad for a code. A keyboard can be used as well.
func (p *page) typing() app.UI {
	tone, text, repairs, ready := verdict(p.typed, p.own())
	var said []app.UI
	for _, code := range repairs {
		said = append(said, kit.Choice(tag.Format(code), "", false, p.onTypedSuggestion(code), code))
	}
	keys := make([]app.UI, 0, len(tag.Alphabet)+1)
	for _, r := range tag.Alphabet {
		key := string(r)
		keys = append(keys, app.Button().Type("button").OnClick(p.onKey(key), key).Text(key))
	}
	keys = append(keys, app.Button().Type("button").Aria("label", "take back one sign").OnClick(p.onKey(keyBack), keyBack).Text(keyBack))
	return app.Div().Class("side").Body(
		app.Div().Class("scroll").Body(
			&kit.Text{Label: "The code on the tag", Value: p.typed, Class: "code", Mode: "none", On: p.onText, Keys: p.onEnter},
			app.P().Class(tone).Aria("live", "polite").Text(text),
			kit.Chips(said...),
			p.clear(),
		),
		app.Div().Class("foot").Body(kit.ActIf(ready, "Find it", "Find it", p.onFind, ready)),
		app.Div().Class("signs").Body(keys...),
	)
}

func (p *page) clear() app.UI {
	if p.typed == "" {
		return nil
	}
	return kit.Chips(kit.Plain("Begin again", p.onClear))
}
