package e2e

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/browser"
	"github.com/chromedp/chromedp"
)

func TestFilesInAndOut(t *testing.T) {
	p := scanPhone(t, scanServer(t), "")
	dir := t.TempDir()
	small, big := filepath.Join(dir, "small.loom"), filepath.Join(dir, "big.loom")
	for name, text := range map[string]string{small: "{}", big: strings.Repeat("x", 1001)} {
		if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	p.upload("open", small)
	p.waitLine("opened [small.loom={}] [nil]")
	p.upload("open", big)
	p.waitLine("too big [1001] [1000]")
	p.upload("open")
	p.waitLine("opened [=] [cancelled]")

	behave := browser.SetDownloadBehaviorParams{Behavior: browser.SetDownloadBehaviorBehaviorAllow, DownloadPath: dir, EventsEnabled: new(true)}
	if _, err := chromedp.CallBrowser(p.ctx, browser.SetDownloadBehavior, behave); err != nil {
		t.Fatal(err)
	}
	progress := chromedp.BrowserEvents(p.ctx, browser.DownloadProgress)
	p.press("save")
	p.waitLine("saved [false] [nil]")
	for e, err := range progress {
		if err != nil {
			t.Fatal(err)
		}
		if e.State == browser.DownloadProgressStateCompleted {
			break
		}
	}
	if got, err := os.ReadFile(filepath.Join(dir, "roadster.json")); err != nil || string(got) != "{}\n" {
		t.Errorf("downloaded %q, %v", got, err)
	}
	p.quiet()
}

// shareSheet is a phone whose share sheet takes text only; window.answer says how the person closes it.
const shareSheet = `Object.defineProperty(navigator, "userAgent", {value: "Mozilla/5.0 (Linux; Android 10; K) Chrome/156.0.0.0 Mobile"});
navigator.canShare = ({files}) => files[0].name.endsWith(".txt");
navigator.share = async ({files}) => {
  if (window.answer) throw new DOMException("", window.answer);
  window.shared = files[0].name + " " + files[0].type + " " + await files[0].text();
};`

func TestSaveThroughShareSheet(t *testing.T) {
	p := scanPhone(t, scanServer(t), shareSheet)
	p.press("save")
	p.waitLine("saved [true] [nil]")
	if !p.is(`shared === "roadster.txt text/plain {}\n"`) {
		t.Error("something else was shared")
	}
	p.eval(`window.answer = "AbortError"`)
	p.press("save")
	p.waitLine("saved [true] [cancelled]")
	p.eval(`window.answer = "NotAllowedError"`)
	p.press("save")
	p.waitLine("saved [true] [needs tap]")
	p.quiet()
}

// loaderScript stands for the loader of the app and its events, and counts what is asked of the phone.
const loaderScript = keepStream + `window.loomwright = {offline: false, updateWaiting: true, installPrompt: null,
  applyUpdate() { this.applied = true }};
const say = (name) => window.dispatchEvent(new CustomEvent("loomwright:" + name));
window.locks = 0;
navigator.wakeLock.request = async () => { locks++; return {async release() { locks-- }} };
navigator.clipboard.writeText = async (text) => { window.copied = text };
navigator.vibrate = (pattern) => { window.buzz = pattern.join() };`

func TestPhoneAroundTheApp(t *testing.T) {
	p := scanPhone(t, scanServer(t), loaderScript)
	p.waitLine("newer [true]") // it was waiting before anyone asked
	p.press("shell")
	p.waitLine("shell [" + p.url + "] [false] [false] [true] [false]")
	p.eval(`loomwright.offline = true; say("offline")`)
	p.waitLine("offline [true]")
	p.press("install")
	p.waitLine("install [false] [unavailable]")
	p.eval(`loomwright.installPrompt = {async prompt() {}, userChoice: Promise.resolve({outcome: "accepted"})}; say("install")`)
	p.waitLine("installable [true]")
	p.press("install")
	p.waitLine("install [true] [nil]")
	p.press("update")
	if !p.is("loomwright.applied") {
		t.Error("the update was not applied")
	}

	p.press("keep")
	p.waitLine("kept [true]")
	p.press("keep")
	if !p.is("locks === 1") {
		t.Error("no lock, or two")
	}
	p.eval(`locks = 0; hide("hidden"); hide("visible")`) // the browser lets the lock go when hidden
	p.waitLine("back")
	if !p.is("locks <= 1") {
		t.Error("two locks")
	}
	p.press("let")
	p.waitLine("let")
	if !p.is("locks <= 0") {
		t.Error("the lock was kept")
	}

	p.press("copy")
	p.waitLine("copied [nil]")
	p.press("signal")
	p.waitLine("signalled")
	if !p.is(`copied === "W12" && buzz === "30,20,30"`) {
		t.Error("not copied, or no buzz")
	}
	p.press("storage")
	p.waitLine("storage [true] [nil]")
	p.press("prefs")
	p.waitLine("theme [>sun]")
	if !p.is(`localStorage.getItem("lw:/a/:pref:theme") === "'sun"`) {
		t.Error("the preference is not in the browser")
	}
	p.eval(`Storage.prototype.getItem = Storage.prototype.setItem = () => { throw new Error("full") }`)
	p.clear()
	p.press("prefs")
	p.waitLine("theme [>sun]") // kept in memory
	p.quiet()

	// Nothing freezes when a page's own func goes wrong: the console tells, and the rest still answers.
	p.press("panic")
	p.waitLine("ready to panic")
	p.clear()
	p.eval(`hide("hidden")`)
	p.waitLine("gone")
	p.press("update")
	if lines := strings.Join(p.console(), "\n"); !strings.Contains(lines, "panic: on purpose") {
		t.Errorf("console: %s", lines)
	}
}
