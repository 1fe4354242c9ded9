//go:build !js

package device

import "testing"

func TestNativeDeviceIsWhole(t *testing.T) {
	d := New()
	d.Prefs.Put("theme", "sun")
	if got := d.Prefs.Get("theme"); got != "sun" {
		t.Errorf("theme = %q", got)
	}
	d.Prefs.Put("theme", "")
	if got := d.Prefs.Get("theme"); got != "" {
		t.Errorf("forgotten theme = %q", got)
	}
	if _, err := d.Camera.Start(t.Context(), "v"); err != ErrUnavailable {
		t.Errorf("camera: %v", err)
	}
	d.View.OnHidden(nil)()
	d.Wake.Keep()
	d.Signal.Click()
}
