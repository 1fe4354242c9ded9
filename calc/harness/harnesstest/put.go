// Package harnesstest helps tests to make builds.
package harnesstest

import (
	"testing"

	"loomwright/calc/harness"
)

// Put puts a record into a build.
func Put(t testing.TB, b *harness.Build, kind harness.Kind, id string, record any) {
	t.Helper()
	object, err := harness.Encode(record)
	if err == nil {
		_, err = b.Put(kind, id, object)
	}
	if err != nil {
		t.Fatal(err)
	}
}
