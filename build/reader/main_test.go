package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

const shipped = "../../web/reader"

func TestShippedFilesArePinned(t *testing.T) {
	if _, err := pinned(filepath.Join(shipped, "reader.wasm"), wasmSum); err != nil {
		t.Error(err)
	}
	js, err := os.ReadFile(filepath.Join(shipped, "reader.js"))
	if err != nil {
		t.Fatal(err)
	}
	// The library names the wasm it was made with.
	for _, want := range []string{wasmSum, version} {
		if !bytes.Contains(js, []byte(want)) {
			t.Errorf("reader.js does not hold %s", want)
		}
	}
	if !strings.HasPrefix(string(js), header) || !strings.HasSuffix(string(js), grid+"\n"+handler) {
		t.Error("reader.js is not what this program writes: make it again")
	}
}

func TestWorkerHasNoNetwork(t *testing.T) {
	js, err := os.ReadFile(filepath.Join(shipped, "reader.js"))
	if err != nil {
		t.Fatal(err)
	}
	text := strings.ToLower(string(js))
	for _, word := range []string{
		"fetch", "xmlhttp", "importscripts", "import(", "websocket", "eventsource", "webtransport", "rtcpeer", "beacon",
		"http:", "https:", "new worker", "eval(", "new function", "instantiatestreaming",
	} {
		if strings.Contains(text, word) {
			t.Errorf("the worker holds %q", word)
		}
	}
	for _, c := range changes {
		if strings.Contains(string(js), c.old) {
			t.Errorf("still there: %s", c.name)
		}
	}
}

func TestOfflineRefusesAnotherText(t *testing.T) {
	var whole strings.Builder
	for _, c := range changes {
		whole.WriteString(c.old + ";")
	}
	if _, err := offline(whole.String()); err != nil {
		t.Fatalf("the texts themselves: %v", err)
	}
	for _, c := range changes {
		if _, err := offline(strings.Replace(whole.String(), c.old, "", 1)); err == nil {
			t.Errorf("missing %s was not noticed", c.name)
		}
		if _, err := offline(whole.String() + c.old); err == nil {
			t.Errorf("doubled %s was not noticed", c.name)
		}
	}
}
