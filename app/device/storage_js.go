package device

import (
	"context"
	"fmt"
	"syscall/js"
)

type room struct{}

func (room) Kept(ctx context.Context) (Kept, error)    { return kept(ctx, "persisted") }
func (room) Persist(ctx context.Context) (Kept, error) { return kept(ctx, "persist") }

// kept asks the browser by "persisted" (tell) or "persist" (ask for it), and for the room there is.
func kept(ctx context.Context, ask string) (Kept, error) {
	manager := navigator().Get("storage")
	if !method(manager, ask) {
		return Kept{}, fmt.Errorf("device: storage: %w", ErrUnavailable)
	}
	var k Kept
	answer, err := await(ctx, func() js.Value { return manager.Call(ask) })
	if err != nil {
		return Kept{}, explain("storage", err, nil)
	}
	k.Persistent = answer.Truthy()
	if !method(manager, "estimate") {
		return k, nil
	}
	room, err := await(ctx, func() js.Value { return manager.Call("estimate") })
	if err != nil || room.Type() != js.TypeObject {
		return k, nil // the promise is known, the room is not
	}
	used, quota := room.Get("usage"), room.Get("quota")
	if used.Type() == js.TypeNumber && quota.Type() == js.TypeNumber {
		k.Known, k.Used, k.Quota = true, int64(used.Float()), int64(quota.Float())
	}
	return k, nil
}
