package e2e

import (
	"cmp"
	"encoding/json"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// seeker finds the numbers of the page that is shown and returns those that nothing explains: text with digits and a unit, or in
// the letters of numbers, that is in nothing that opens a card and is not said again by something that does. Sizes of
// wires are names of what is bought, as W16 is the name of a wire.
const seeker = `(() => {
	const opener = '[aria-haspopup="dialog"]';
	const shown = el => el.checkVisibility() && !el.closest('[hidden], dialog, nav, input, textarea, .keys, .paper');
	const number = /\d[\d\u202f\u00a0 ]*(?:[.,]\d+)?(?: \d+\/\d+)?[\u202f\u00a0 ]?(?:mm(?![²2])|cm|in\b|ft\b|m\b|mΩ|Ω|ohm|V\b|A\b|°C|g\b|kg\b|%)/g;
	const given = NAMES; // what a person called something: "5 V"
	const plain = text => text.replace(/[\u202f\u00a0 ]/g, '').replace(/[^\d.,/]/g, '');
	const explained = new Set();
	for (const el of document.querySelectorAll(opener)) if (shown(el))
		for (const m of el.innerText.match(/\d[\d\u202f\u00a0 ]*(?:[.,]\d+)?/g) || []) explained.add(plain(m));
	const bare = [];
	const walk = document.createTreeWalker(document.querySelector('.shell'), NodeFilter.SHOW_TEXT);
	for (let n = walk.nextNode(); n; n = walk.nextNode()) {
		const el = n.parentElement;
		if (!shown(el) || el.closest(opener)) continue;
		const numeric = el.closest('.num, .big') && /^[\d\u202f\u00a0 .,]+$/.test(n.textContent) ? [n.textContent] : [];
		const said = given.reduce((text, name) => text.replaceAll(name, ''), n.textContent);
		for (const m of [...(said.match(number) || []), ...numeric]) if (!explained.has(plain(m))) bare.push(m + ' in: ' + n.textContent);
	}
	return bare;
})()`

// opened are the keys of all numbers on the page that is shown.
const opened = `[...document.querySelectorAll('[aria-haspopup="dialog"]')].filter(e => e.checkVisibility() && !e.closest('[hidden], dialog')).length`

// script returns the value of an expression as it is.
func script[T any](p *person, js string) T {
	p.t.Helper()
	v, err := chromedp.Run(p.ctx, chromedp.Evaluate[T](js))
	p.must(err)
	return v
}

// named are the names with digits in the demo that people gave, longest first, as a list of the page's language.
func named(t *testing.T) string {
	t.Helper()
	data, err := os.ReadFile("../../testdata/builds/roadster.build")
	if err != nil {
		t.Fatal(err)
	}
	var all []string
	for _, m := range regexp.MustCompile(`"(?:name|function|legend|title)":"([^"]*\d[^"]*)"`).FindAllStringSubmatch(string(data), -1) {
		if strings.ContainsAny(strings.ToLower(m[1]), "abcdefghijklmnopqrstuvwxyz") {
			all = append(all, m[1])
		}
	}
	slices.SortFunc(all, func(a, b string) int { return cmp.Or(len(b)-len(a), cmp.Compare(a, b)) })
	list, err := json.Marshal(slices.Compact(all))
	if err != nil {
		t.Fatal(err)
	}
	return string(list)
}

// unexplained opens the card of number i and says what it lacks: its name, its value, its terms, its source.
func (p *person) unexplained(i int) string {
	p.t.Helper()
	p.until(`!document.querySelector("dialog[open]")`)
	name := script[string](p, `(e => (e.click(), e.innerText.replaceAll("\n", " ")))([...document.querySelectorAll('[aria-haspopup="dialog"]')].filter(e => e.checkVisibility() && !e.closest('[hidden], dialog'))[`+strconv.Itoa(i)+`])`)
	p.until(`document.querySelector("dialog[open] h2")`)
	lacks := script[string](p, `(d => [[".big", "value"], [".term", "terms"], [".source", "source"], ["h2", "name"]].filter(([s]) => !d.querySelector(s)?.innerText.trim()).map(x => x[1]).join(", "))(document.querySelector("dialog[open]"))`)
	p.until(`(history.back(), true)`)
	p.until(`!document.querySelector("dialog[open]")`)
	if lacks == "" {
		return ""
	}
	return name + ": no " + lacks
}

// TestEveryNumberIsExplained walks the wires, the lists of work and the bundles of the demo, finds the numbers on each by
// itself, and opens the card of each on some of them. A number that is put there without one is found.
func TestEveryNumberIsExplained(t *testing.T) {
	h := newHost(t, appSite(t), "/")
	p := newPerson(t, strings.TrimSuffix(h.url("/"), "/"))
	p.open(h.url("/"))
	p.tap("Look at the demo")
	p.see("Wires")
	build := script[string](p, `new URLSearchParams(location.hash.slice(1)).get("b")`)
	seeker := strings.Replace(seeker, "NAMES", named(t), 1)
	walk := func(page, seen string, open int) {
		t.Helper()
		p.until(`(location.hash = "#b=` + build + page + `", true)`)
		p.see(seen)
		p.gone("Working it out…")
		if bare := script[[]string](p, seeker); len(bare) > 0 {
			t.Errorf("%s shows numbers that nothing explains: %q", page, bare)
		}
		n := script[int](p, opened)
		if n == 0 {
			t.Errorf("%s: no number opens a card", page)
		}
		for i := 0; i < min(n, open); i++ {
			if lacks := p.unexplained(i); lacks != "" {
				t.Errorf("%s: %s", page, lacks)
			}
		}
	}
	walk("&p=wires", "Search", 8)
	ids := script[[]string](p, `[...document.querySelectorAll(".split .pick")].slice(0, 24).map((e, i) => (e.dataset.i = i, e.innerText.split("\n")[0]))`)
	walk("&p=make&m=cut", "Still to cut", 12)
	walk("&p=make&m=trim", "Lay the loom into the car first", 12)
	walk("&p=looms", "Looms and bundles", 12)

	// Cards of wires: two of each kind, and all their numbers.
	for i, name := range ids {
		if i%6 > 1 {
			continue
		}
		p.until(`(location.hash = "#b=` + build + `&p=wires", true)`)
		p.see("Search")
		p.tap(name + " ")
		p.see("How it adds up")
		at := script[string](p, `"&p=wires&r=" + new URLSearchParams(location.hash.slice(1)).get("r")`)
		open := 0
		if i < 2 {
			open = 40
		}
		walk(at, "How it adds up", open)
	}

	// Bundles: two of them, and all their numbers.
	for i := range 2 {
		p.until(`(location.hash = "#b=` + build + `&p=looms", true)`)
		p.see("Looms and bundles")
		p.until(`(b => b && (b.click(), true))([...document.querySelectorAll(".split .row")][` + strconv.Itoa(i) + `])`)
		p.see("Wires in it")
		at := script[string](p, `"&p=looms&r=" + new URLSearchParams(location.hash.slice(1)).get("r")`)
		walk(at, "Wires in it", 20)
	}

	// A planted number is found.
	p.until(`(document.querySelector(".scroll p, .scroll div").append("it is 12.3 mm long"), true)`)
	if bare := script[[]string](p, seeker); len(bare) == 0 {
		t.Error("a number without a card is not found")
	}
}
