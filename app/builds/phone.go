package builds

import (
	"context"
	"fmt"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/device"
	"loomwright/app/kit"
	"loomwright/app/session"
)

// phone is the page of the phone itself.
type phone struct {
	app.Compo
	S   *session.Session
	At  kit.Addr
	Rev int

	kept  device.Kept
	asked bool
	err   error
	erase bool // the first of the two taps that erase everything
}

// OnMount asks how safe the data is.
func (p *phone) OnMount(ctx app.Context) { p.ask(ctx, p.S.Device.Storage.Kept) }

func (p *phone) ask(ctx app.Context, how func(context.Context) (device.Kept, error)) {
	ctx.Async(func() {
		kept, err := how(context.Background())
		p.S.Later(ctx, func(app.Context) { p.kept, p.err, p.asked = kept, err, true })
	})
}

func (p *phone) onPersist(ctx app.Context, _ app.Event) { p.ask(ctx, p.S.Device.Storage.Persist) }

func (p *phone) onSkin(skin string) app.EventHandler {
	return func(ctx app.Context, _ app.Event) { p.S.Device.Prefs.Put("skin", skin) }
}

func (p *phone) onHand(hand string) app.EventHandler {
	return func(ctx app.Context, _ app.Event) { p.S.Device.Prefs.Put("hand", hand) }
}

func (p *phone) onInstall(ctx app.Context, _ app.Event) {
	ctx.Async(func() {
		_, err := p.S.Device.Shell.PromptInstall(context.Background())
		p.S.Later(ctx, func(app.Context) {
			if text := kit.Explain(err); text != "" {
				p.S.Say(session.Notice{Tone: "warn", Text: text})
			}
		})
	})
}

func (p *phone) onErase(ctx app.Context, _ app.Event) { p.erase = true }
func (p *phone) onKeep(ctx app.Context, _ app.Event)  { p.erase = false }
func (p *phone) onEraseNow(ctx app.Context, _ app.Event) {
	p.erase = false
	p.S.Erase(ctx, func(ctx app.Context, err error) {
		if err != nil {
			p.S.Say(session.Notice{Tone: "bad", Text: kit.Explain(err)})
			return
		}
		p.S.Say(session.Notice{Text: "All builds were erased from this phone. Backup files elsewhere still open here."})
		kit.Go(ctx, kit.Addr{})
	})
}

// Render draws the page.
func (p *phone) Render() app.UI {
	prefs := p.S.Device.Prefs
	skin, hand := kit.Skin(p.S), prefs.Get("hand")
	body := []app.UI{
		kit.Section("Looks", ""),
		kit.Even(
			kit.Choice("Day", "ink on paper", skin == "day", p.onSkin(""), "day"),
			kit.Choice("Night", "dark", skin == "night", p.onSkin("night"), "night"),
			kit.Choice("Sun", "black on white", skin == "sun", p.onSkin("sun"), "sun"),
		),
		kit.Even(
			kit.Choice("Right hand", "next under the right thumb", hand != "left", p.onHand(""), "right"),
			kit.Choice("Left hand", "mirrored", hand == "left", p.onHand("left"), "left"),
		),
		kit.Section("Safety of your builds", ""),
		kit.Lines(p.safety()...),
	}
	if p.asked && !p.kept.Persistent && p.err == nil {
		body = append(body, kit.Plain("Ask the browser to keep them for good", p.onPersist))
	}
	body = append(body, kit.Lines(BackupLine(p.S), "A backup is one file per build: open a build, tap Plan, then Save a backup. The file is yours and opens on any phone with this app."))
	body = append(body, kit.Section("On the home screen", ""), kit.Lines(InstallLines(p.S.Device.Shell.Install(), p.S.Device.Shell.Standalone())...))
	if p.S.Device.Shell.Installable() {
		body = append(body, kit.Plain("Put it on the home screen", p.onInstall))
	}
	body = append(body, kit.Section("Erase", ""))
	if p.erase {
		body = append(body, kit.Note("bad", "Every build on this phone would be gone.", "Backup files elsewhere stay. This cannot be undone."),
			kit.Even(kit.Plain("Keep everything", p.onKeep), kit.Danger("Erase everything now", p.onEraseNow)))
	} else {
		body = append(body, kit.Plain("Erase all data on this phone…", p.onErase))
	}
	return kit.Frame{S: p.S, Bare: true, Title: "This phone", Back: &kit.Addr{}, Body: body}.UI()
}

func (p *phone) safety() []string {
	lines := []string{"Getting ready to work with no signal: open the app once more where there is a signal."}
	if p.S.Device.Shell.Offline() {
		lines[0] = "Ready to work with no signal. The app never sends anything anywhere."
	}
	switch {
	case !p.asked:
		lines = append(lines, "Asking the browser how it keeps the data…")
	case p.err != nil:
		lines = append(lines, "This browser does not say how long it keeps the data. Make backups.")
	case p.kept.Persistent:
		lines = append(lines, "The browser keeps the data until you erase it.")
	default:
		lines = append(lines, "The browser may throw the data away when space runs short or the app is long unused. Put the app on the home screen and make backups.")
	}
	if p.asked && p.kept.Known {
		lines = append(lines, fmt.Sprintf("Used: %d kB of %d MB.", p.kept.Used>>10, p.kept.Quota>>20))
	}
	return lines
}

// InstallLines says how this browser puts the app on the home screen.
func InstallLines(how device.Install, standalone bool) []string {
	if standalone {
		return []string{"It runs from the home screen."}
	}
	switch how {
	case device.InstallIOS:
		return []string{"Tap the share button, then Add to Home Screen. Do it before the first entry: the home-screen app keeps its own data.", "Without it this browser throws data away after seven days unused."}
	case device.InstallIOSInApp:
		return []string{"You are inside another app. Open this page in the phone's own browser first, then add it to the home screen there."}
	case device.InstallAndroid:
		return []string{"Open the browser's menu and tap Install app or Add to Home screen."}
	case device.InstallFirefox:
		return []string{"Open the browser's menu and tap Add to Home screen."}
	case device.InstallDesktop:
		return []string{"Click the install sign at the right end of the address bar."}
	case device.InstallMac:
		return []string{"Choose File, then Add to Dock."}
	case device.InstallNotPossible:
		return []string{"This browser cannot install apps. Keep a bookmark; it works with no signal all the same."}
	}
	return []string{"Look in the browser's menu for Install or Add to Home Screen."}
}
