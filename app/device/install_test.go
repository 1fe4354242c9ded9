package device

import (
	"testing"
)

func TestInstallOf(t *testing.T) {
	// Source of the agent texts: the shapes that browsers document (developer.mozilla.org, User-Agent header); version
	// numbers are of no account.
	const (
		iphone  = "Mozilla/5.0 (iPhone; CPU iPhone OS 18_5 like Mac OS X) AppleWebKit/605.1.15 (KHTML, like Gecko) "
		mac     = "Mozilla/5.0 (Macintosh; Intel Mac OS X 10_15_7) AppleWebKit/605.1.15 (KHTML, like Gecko) Version/18.5 Safari/605.1.15"
		android = "Mozilla/5.0 (Linux; Android 10; K) AppleWebKit/537.36 (KHTML, like Gecko) Chrome/156.0.0.0 Mobile Safari/537.36"
		linux   = "Mozilla/5.0 (X11; Linux x86_64) AppleWebKit/537.36 (KHTML, like Gecko) Chrome/156.0.0.0 Safari/537.36"
	)
	for _, c := range []struct {
		name, agent string
		touch       int
		want        Install
		phone       bool
	}{
		{"iPhone, Safari", iphone + "Version/18.5 Mobile/15E148 Safari/604.1", 5, InstallIOS, true},
		{"iPhone, another browser", iphone + "CriOS/156.0.0.0 Mobile/15E148 Safari/604.1", 5, InstallIOS, true},
		{"iPhone, home screen", iphone + "Mobile/15E148", 5, InstallIOSInApp, true},
		{"iPad that calls itself a Mac", mac, 5, InstallIOS, true},
		{"Mac", mac, 0, InstallMac, false},
		{"Android", android, 5, InstallAndroid, true},
		{"Android, Firefox", "Mozilla/5.0 (Android 15; Mobile; rv:153.0) Gecko/153.0 Firefox/153.0", 5, InstallFirefox, true},
		{"Linux, Firefox", "Mozilla/5.0 (X11; Linux x86_64; rv:153.0) Gecko/20100101 Firefox/153.0", 0, InstallNotPossible, false},
		{"Linux, Chromium", linux, 0, InstallDesktop, false},
		{"nothing known", "", 0, InstallUnknown, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := installOf(c.agent, c.touch)
			if got != c.want || got.phone() != c.phone {
				t.Errorf("installOf = %d, phone %v; want %d, %v", got, got.phone(), c.want, c.phone)
			}
		})
	}
}

func TestLikelyPrivate(t *testing.T) {
	const mib = 1 << 20
	for _, c := range []struct {
		name string
		in   Kept
		want bool
	}{
		{"room unknown", Kept{}, false},
		{"little room", Kept{Known: true, Quota: 300 * mib}, true},
		{"little room, but kept", Kept{Known: true, Quota: 300 * mib, Persistent: true}, false},
		{"much room", Kept{Known: true, Quota: 6000 * mib}, false},
	} {
		if got := c.in.LikelyPrivate(); got != c.want {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

func TestShareName(t *testing.T) {
	for in, want := range map[string]string{
		"roadster.json":            "roadster.txt",
		"roadster-2026-11-25.loom": "roadster-2026-11-25.txt",
		"roadster":                 "roadster.txt",
		"a.b.jsonl":                "a.b.txt",
	} {
		if got := ShareName(in); got != want {
			t.Errorf("ShareName(%q) = %q, want %q", in, got, want)
		}
	}
}

func TestPhotoSizes(t *testing.T) {
	for _, c := range []struct {
		name string
		w, h int
		want [][2]int
	}{
		{"12 million pixels", 4000, 3000, [][2]int{{1200, 900}, {2000, 1500}, {3200, 2400}, {600, 450}}},
		{"upright", 1500, 2000, [][2]int{{900, 1200}, {1500, 2000}, {450, 600}}},
		{"small", 640, 480, [][2]int{{640, 480}, {600, 450}}},
		{"tiny", 100, 100, [][2]int{{100, 100}}},
		{"a line", 5000, 1, [][2]int{{1200, 1}, {2000, 1}, {3200, 1}, {600, 1}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := photoSizes(c.w, c.h)
			if len(got) != len(c.want) {
				t.Fatalf("got %v, want %v", got, c.want)
			}
			for i := range got {
				if got[i] != c.want[i] {
					t.Errorf("size %d: got %v, want %v", i, got[i], c.want[i])
				}
			}
		})
	}
}
