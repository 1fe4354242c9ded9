package bench

import (
	"slices"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/calc/harness"
	"loomwright/calc/tag"
)

// prefPrinted is the preference with the codes that were printed, of one build.
func prefPrinted(build string) string { return "printed:" + build }

// printed remembers the codes of tags that left the phone on a sheet, and what each said.
func (p *page) printed(codes []string) {
	if len(codes) == 0 {
		return
	}
	have := p.wasPrinted()
	for _, c := range codes {
		have[c] = ""
	}
	fresh := map[string]bool{}
	for _, c := range codes {
		fresh[c] = true
	}
	var text strings.Builder
	for _, t := range p.S.B().Tags.All() {
		said, was := have[t.Code]
		if !was {
			continue
		}
		if fresh[t.Code] {
			said = stampOf(p.S.B(), t)
		}
		text.WriteString(t.Code + ":" + said + " ")
	}
	p.S.Device.Prefs.Put(prefPrinted(p.S.ID()), text.String())
	p.sheet.stale = true
	p.replan()
}

func stampOf(b *harness.Build, t harness.Tag) string {
	l, _ := tag.Describe(b, t)
	return l.Stamp()
}

// wasPrinted returns the codes that were printed from this phone, with the stamp of what each said; it is empty where an earlier version
// of the app printed it, which kept none.
func (p *page) wasPrinted() map[string]string {
	text := p.S.Device.Prefs.Get(prefPrinted(p.S.ID()))
	have := map[string]string{}
	if !strings.Contains(text, ":") {
		for len(text) >= codeSigns {
			have[text[:codeSigns]], text = "", text[codeSigns:]
		}
		return have
	}
	for _, entry := range strings.Fields(text) {
		code, stamp, _ := strings.Cut(entry, ":")
		have[code] = stamp
	}
	return have
}

// stale returns the codes of printed tags that would say something else now.
func (p *page) stale() (codes []string) {
	have := p.wasPrinted()
	if len(have) == 0 {
		return nil
	}
	for _, t := range p.S.B().Tags.All() {
		if said := have[t.Code]; said != "" && !t.Retired && said != stampOf(p.S.B(), t) {
			codes = append(codes, t.Code)
		}
	}
	return codes
}

// reprint tells of printed tags that say what is no longer so, and offers to print them again.
func (p *page) reprint() []app.UI {
	codes := p.stale()
	if len(codes) == 0 || p.loadPick().Which == whichStale {
		return nil
	}
	var names []string
	for _, t := range p.S.B().Tags.All() {
		if len(names) < 6 && slices.Contains(codes, t.Code) {
			l, _ := tag.Describe(p.S.B(), t)
			names = append(names, strings.TrimSpace(l.Name+" "+tag.Format(t.Code)))
		}
	}
	more := ""
	if n := len(codes) - len(names); n > 0 {
		more = " and " + count(n, "more", "more")
	}
	return []app.UI{
		kit.Note("warn", count(len(codes), "printed tag says", "printed tags say")+" what is no longer so:", strings.Join(names, ", ")+more+". Their codes stay as they are and still lead here."),
		kit.Plain("Print those again", p.onWhich(whichStale), "stale"),
	}
}
