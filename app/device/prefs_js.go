package device

import (
	"strings"
	"syscall/js"
)

// prefs are in the browser's local storage, under a name that holds the app's path, so that a copy of the app beside
// this one has its own.
type prefs struct {
	prefix string
	memory memory // for what the browser did not keep
}

// notJSON stands before every value: the framework reads all of local storage at its start and takes JSON for its own.
// This sign is the one that its parser refuses with the least ado.
const notJSON = "'"

func newPrefs() *prefs {
	path := js.Global().Get("URL").New(root()).Get("pathname").String()
	return &prefs{prefix: "lw:" + path + ":pref:"}
}

func (p *prefs) Get(key string) string {
	if v := p.memory.Get(key); v != "" {
		return v
	}
	v, err := try(func() js.Value { return window().Get("localStorage").Call("getItem", p.prefix+key) })
	if err != nil || v.Type() != js.TypeString {
		return ""
	}
	return strings.TrimPrefix(v.String(), notJSON)
}

func (p *prefs) Put(key, value string) {
	_, err := try(func() js.Value {
		if value == "" {
			return window().Get("localStorage").Call("removeItem", p.prefix+key)
		}
		return window().Get("localStorage").Call("setItem", p.prefix+key, notJSON+value)
	})
	if err == nil {
		value = ""
	}
	p.memory.Put(key, value)
}
