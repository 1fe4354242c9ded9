package trace

import (
	"fmt"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/kit"
	"loomwright/calc/harness"
	"loomwright/calc/tag"
	"loomwright/storage"
)

func title(a storage.About) string {
	if a.Title == "" {
		return "a build without a name"
	}
	return a.Title
}

// outcome explains a code that the build which is shown does not answer.
func (p *page) outcome(f *kit.Frame) {
	s := tag.Parse(p.text(), p.own())
	f.Title = "Trace"
	f.Foot = p.scanAnother()
	if !s.Found() {
		f.Body = explainScan(s, func(code string) app.UI {
			return kit.Choice(tag.Format(code), "", false, p.onSuggested(code), code)
		})
		return
	}
	f.Title = "Tag " + tag.Format(s.Code)
	switch {
	case p.failed != "":
		f.Body = []app.UI{kit.Note("bad", "Its build could not be opened.", p.failed)}
	case p.looking || p.code != s.Code:
		f.Body = []app.UI{app.P().Class("lede").Aria("live", "polite").Text("Looking through the builds on this phone…")}
	case len(p.answer.hits) == 0:
		f.Body = p.unknown(s.Code)
	case p.waiting():
		f.Body = []app.UI{app.P().Class("lede").Aria("live", "polite").Text("Opening its build…")}
	default:
		f.Body = p.elsewhere()
	}
}

// waiting tells that the build of the only answer is being opened.
func (p *page) waiting() bool {
	_, ok := p.answer.only()
	return ok && p.At.Build == ""
}

// scanAnother leads on to the next tag.
func (p *page) scanAnother() []app.UI {
	typing := p.home(partType)
	return []app.UI{
		kit.Even(kit.Plain("From a photo", p.onPhotoHere), kit.Plain("Type the eight signs", kit.To(typing), typing)),
		kit.Act("Scan another", p.onCamera),
	}
}

// unknown explains a good code that no build here has.
func (p *page) unknown(code string) []app.UI {
	out := []app.UI{
		app.P().Class("lede").Aria("live", "assertive").Text("No build on this phone knows this tag."),
		kit.Lines("The code " + tag.Format(code) + " is right: its check sign fits. So it was made on another phone, or it is on another car."),
		kit.Note("", "What to do:", "ask for that build's backup file and open it here. Then scan again."),
	}
	if n := len(p.answer.unread); n > 0 {
		var names []string
		for _, a := range p.answer.unread {
			names = append(names, title(a))
		}
		out = append(out, kit.Note("warn", fmt.Sprintf("%d of the builds here could not be read:", n), strings.Join(names, ", ")+". The tag may be in there."))
	}
	return append(out, kit.Plain("Open its backup file", kit.To(kit.Addr{}), kit.Addr{}))
}

// elsewhere lists the builds that know the code, where it is not the one that is shown.
func (p *page) elsewhere() []app.UI {
	hits := p.answer.hits
	lede := "This tag is in more than one build."
	switch {
	case len(hits) == 1 && hits[0].about.Gone:
		lede = "This tag is of a build that was deleted."
	case len(hits) == 1:
		lede = "This tag is of another build."
	}
	out := []app.UI{app.P().Class("lede").Aria("live", "assertive").Text(lede)}
	for _, h := range hits {
		out = append(out, p.hitCard(h))
	}
	return out
}

// hitCard names the build of a hit and leads to it.
func (p *page) hitCard(h hit) app.UI {
	a := h.about
	lines := []string{}
	if a.Car != "" {
		lines = append(lines, a.Car)
	}
	if h.copied {
		lines = append(lines, "It is a copy: there this tag has the code "+tag.Format(h.tag.Code)+".")
	}
	lines = append(lines, "Last touched "+kit.Day(a.At)+".")
	to := kit.Addr{Build: a.Build, Page: pageName, Record: p.code}
	do := kit.Plain("Show it in "+title(a), kit.To(to), to)
	if a.Gone {
		lines = append(lines, "The build was deleted on this phone. Nothing of it is lost.")
		do = kit.Plain("Bring back "+title(a)+" and show it", p.onBringBuildBack(a.Build), a.Build)
	}
	return app.Article().Class("note").Body(app.B().Text(title(a)), kit.Lines(lines...), do)
}

func (p *page) onBringBuildBack(build string) app.EventHandler {
	return func(app.Context, app.Event) {
		code := p.code
		p.S.Remove(p.ctx, build, false, func(_ app.Context, err error) {
			if err != nil {
				p.failed = kit.Explain(err)
				return
			}
			kit.Go(p.ctx, kit.Addr{Build: build, Page: pageName, Record: code})
		})
	}
}

// also names the other builds that know the code of the result that is shown.
func (p *page) also() []app.UI {
	var out []app.UI
	for _, h := range p.answer.hits {
		if h.about.Build == p.S.ID() || p.answerCode() != p.code {
			continue
		}
		to := kit.Addr{Build: h.about.Build, Page: pageName, Record: p.code}
		if h.about.Gone {
			continue
		}
		out = append(out, kit.Plain("Also in "+title(h.about), kit.To(to), to))
	}
	if len(out) == 0 {
		return nil
	}
	return append([]app.UI{kit.Section("The same tag elsewhere", "")}, out...)
}

func (p *page) answerCode() string { return tag.Parse(p.text(), p.own()).Code }

// deletedWords says when and on which phone a record was deleted, as far as the log that is loaded knows.
func (p *page) deletedWords(kind harness.Kind, id string) string {
	line, ok := deletion(p.S.Log(), kind, id)
	if !ok {
		return "Everything about it is kept."
	}
	by := "on another phone"
	if line.Device == p.S.Phone {
		by = "on this phone"
	}
	return "That was " + by + ", " + kit.Day(line.At) + ". Everything about it is kept."
}
