package memory

import (
	"testing"

	"loomwright/storage"
	"loomwright/storage/storagetest"
)

func TestStore(t *testing.T) {
	storagetest.Run(t, storagetest.InMemory, func(*testing.T) func() storage.Store {
		first := New()
		opened := false
		return func() storage.Store {
			if !opened {
				opened = true
				return first
			}
			return first.Tab()
		}
	})
}
