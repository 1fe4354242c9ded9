package device

import (
	"path"
	"strings"
)

// Install is how the app gets onto the home screen, by kind of browser.
type Install int

const (
	InstallUnknown     Install = iota // the browser's menu, if it has such an entry
	InstallIOS                        // share button, Add to Home Screen; before the first record, its storage is separate
	InstallIOSInApp                   // inside another program on iOS: open in Safari first
	InstallAndroid                    // menu, Install app, or the prompt
	InstallFirefox                    // Firefox on Android: menu, Add to Home screen
	InstallDesktop                    // Chromium on a computer: icon in the address bar, or the prompt
	InstallMac                        // Safari on a computer: File menu, Add to Dock
	InstallNotPossible                // Firefox on a computer: use a bookmark
)

// installOf reads the way to install from what a browser says of itself. touch is its number of touch points, which
// alone tells an iPad from a Mac.
func installOf(agent string, touch int) Install {
	has := func(s string) bool { return strings.Contains(agent, s) }
	switch {
	case has("iPhone"), has("iPad"), has("iPod"), has("Macintosh") && touch > 1:
		// Since iOS 16.4 other browsers can add to the home screen too, with the same share button; a browser inside
		// another program cannot, and says neither Safari nor a version of its own.
		if has("Safari/") || has("CriOS/") || has("FxiOS/") || has("EdgiOS/") {
			return InstallIOS
		}
		return InstallIOSInApp
	case has("Android") && has("Firefox/"):
		return InstallFirefox
	case has("Android"):
		return InstallAndroid
	case has("Firefox/"):
		return InstallNotPossible
	case has("Chrome/"):
		return InstallDesktop
	case has("Macintosh") && has("Safari/"):
		return InstallMac
	}
	return InstallUnknown
}

// phone tells whether the share sheet is the usual way to hand a file over. On a computer that is the download folder.
func (i Install) phone() bool {
	switch i {
	case InstallIOS, InstallIOSInApp, InstallAndroid, InstallFirefox:
		return true
	}
	return false
}

// LikelyPrivate is a hint that the browser forgets everything when its window is closed: it gives little room. It says
// false when the room is not known, and newer browsers hide it, so false proves nothing.
//
// Source: our choice of 1 GiB: from memory, a private window gets a share of the working memory, a usual one 60 % of
// the disk.
func (k Kept) LikelyPrivate() bool {
	return k.Known && !k.Persistent && k.Quota < 1<<30
}

// ShareName is the name under which a file of text passes a share sheet that knows only some endings:
// "roadster.json" becomes "roadster.txt".
//
// Source: developer.mozilla.org, Navigator: share() method, shareable file types (txt is on the list, json is not).
func ShareName(name string) string {
	return strings.TrimSuffix(name, path.Ext(name)) + ".txt"
}
