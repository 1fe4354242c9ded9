package idb

import (
	"context"
	"fmt"
	"maps"
	"slices"
	"sync"
	"syscall/js"
	"time"

	"loomwright/calc/harness"
	"loomwright/storage"
)

// tabs is this tab among those on one database: who writes, by a Web Lock, and news between them, by a
// BroadcastChannel. A browser without locks has no second tab to guard against that we could see: there every tab
// writes, and the database refuses a second line of one name.
type tabs struct {
	lock    string   // name of the lock
	locks   js.Value // navigator.locks
	channel js.Value
	id      string
	news    func()        // called when another tab says that it wrote; must not wait
	joined  chan struct{} // closed when it is known whether this tab writes

	mu        sync.Mutex
	held      bool
	asking    bool     // it is not known yet whether this tab writes
	leaving   bool     // another tab is about to take over
	writes    int      // transactions under way
	idle      []func() // called when writes falls to 0
	letGo     js.Value // resolves the promise that holds the lock
	waiting   js.Value // AbortController of the request in the queue
	granted   chan struct{}
	closed    bool
	watchers  map[int]func(storage.Event)
	next      int
	queue     []storage.Event
	receive   js.Func
	delivered sync.Mutex
}

// message is what tabs send each other, as JSON.
type message struct {
	What  string `json:"what"` // changed, ask, granted
	Build string `json:"build,omitzero"`
	Tab   string `json:"tab,omitzero"` // who asks, or whom the answer is for
}

// patience is how long a tab that takes over waits for the writer to finish what it is writing. Our choice: many
// times what a write takes; a tab in the background that does not answer does not write either.
const patience = time.Second

func newTabs(name string, news func()) *tabs {
	t := &tabs{lock: name + " writer", news: news, joined: make(chan struct{}), watchers: map[int]func(storage.Event){}, letGo: js.Null(), waiting: js.Null(), channel: js.Null()}
	t.id = js.Global().Get("String").Invoke(js.Global().Get("Math").Call("random")).String()
	if navigator := js.Global().Get("navigator"); navigator.Truthy() {
		t.locks = navigator.Get("locks")
	}
	if class := js.Global().Get("BroadcastChannel"); class.Truthy() {
		t.channel = class.New(name)
		t.receive = js.FuncOf(func(_ js.Value, args []js.Value) any {
			t.onMessage(args[0].Get("data"))
			return nil
		})
		t.channel.Set("onmessage", t.receive)
	}
	return t
}

// join begins to find out whether this tab writes, and queues for it if not. Until it is known the tab takes itself for the
// writer: what it then wants to write waits for the answer, and nobody is told for a moment that another tab is open.
func (t *tabs) join() {
	if !t.locks.Truthy() {
		t.held = true
		close(t.joined)
		return
	}
	t.asking = true
	know := sync.OnceFunc(func() {
		t.mu.Lock()
		t.asking = false
		held := t.held
		t.mu.Unlock()
		close(t.joined)
		if !held {
			t.tell(storage.Event{What: storage.WriterLost})
		}
	})
	t.request(map[string]any{"ifAvailable": true}, func(ok bool) {
		if ok {
			know()
			return
		}
		t.wait(know)
		time.AfterFunc(grace, know)
	})
}

// grace is how long a tab that is not the writer yet waits before it says so: the page before it, after a reload, may not have
// let go yet. Our choice.
const grace = 500 * time.Millisecond

// wait queues for the lock. got is called when it is granted, before anybody is told.
func (t *tabs) wait(got func()) {
	controller := js.Global().Get("AbortController").New()
	t.mu.Lock()
	t.waiting = controller
	t.mu.Unlock()
	t.request(map[string]any{"signal": controller.Get("signal")}, func(ok bool) {
		if ok {
			got()
			t.tell(storage.Event{What: storage.WriterGained})
		}
	})
}

// request asks for the lock and calls got, which must not wait, with whether this tab has it now. The lock is held
// until leave, or until another tab steals it: then this tab queues for it.
func (t *tabs) request(options map[string]any, got func(ok bool)) {
	var hold, grant, end js.Func
	granted := false
	hold = js.FuncOf(func(_ js.Value, args []js.Value) any {
		t.mu.Lock()
		t.letGo = args[0]
		t.mu.Unlock()
		return nil
	})
	grant = js.FuncOf(func(_ js.Value, args []js.Value) any {
		t.mu.Lock()
		granted = args[0].Truthy() && !t.closed
		if granted {
			t.held, t.leaving, t.waiting = true, false, js.Null()
		}
		t.mu.Unlock()
		got(granted)
		if !granted {
			return js.Undefined()
		}
		return js.Global().Get("Promise").New(hold)
	})
	end = js.FuncOf(func(js.Value, []js.Value) any { // not granted, aborted in the queue, let go, or stolen
		t.mu.Lock()
		stolen := granted && !t.closed
		if stolen {
			t.held, t.letGo = false, js.Null()
		}
		t.mu.Unlock()
		if stolen {
			t.tell(storage.Event{What: storage.WriterLost})
		}
		go func() {
			hold.Release()
			grant.Release()
			end.Release()
			if stolen {
				t.wait(func() {})
			}
		}()
		return nil
	})
	t.locks.Call("request", t.lock, options, grant).Call("then", end, end)
}

// writer reports whether this tab may write, for all that is known.
func (t *tabs) writer() bool {
	t.mu.Lock()
	defer t.mu.Unlock()
	return t.held || t.asking
}

// writing begins a write, if this tab may; done ends it.
func (t *tabs) writing() (done func(), ok bool) {
	t.mu.Lock()
	defer t.mu.Unlock()
	if !t.held || t.leaving {
		return nil, false
	}
	t.writes++
	return func() {
		t.mu.Lock()
		t.writes--
		var idle []func()
		if t.writes == 0 {
			idle, t.idle = t.idle, nil
		}
		t.mu.Unlock()
		for _, f := range idle {
			f()
		}
	}, true
}

// takeOver asks the writer to finish what it is writing, waits for that, but not for ever, and takes the lock.
func (t *tabs) takeOver(ctx context.Context) error {
	answer := make(chan struct{})
	t.mu.Lock()
	if t.held || t.closed {
		held := t.held
		t.mu.Unlock()
		if !held {
			return fmt.Errorf("storage: take over: this tab is closed: %w", storage.ErrReadOnly)
		}
		return nil
	}
	t.granted = answer
	waiting := t.waiting
	t.waiting = js.Null()
	t.mu.Unlock()
	if waiting.Truthy() {
		waiting.Call("abort")
	}
	t.post(message{What: "ask", Tab: t.id})
	timer := time.NewTimer(patience)
	defer timer.Stop()
	select {
	case <-answer:
	case <-timer.C:
	case <-ctx.Done():
		t.wait(func() {})
		return ctx.Err()
	}
	got := make(chan bool, 1)
	t.request(map[string]any{"steal": true}, func(ok bool) { got <- ok })
	select {
	case ok := <-got:
		if !ok {
			return storage.ErrReadOnly
		}
		t.tell(storage.Event{What: storage.WriterGained})
		return nil
	case <-ctx.Done():
		return ctx.Err()
	}
}

// leave lets go of the lock and the channel.
func (t *tabs) leave() {
	t.mu.Lock()
	if t.closed {
		t.mu.Unlock()
		return
	}
	t.closed, t.held = true, false
	waiting, letGo := t.waiting, t.letGo
	t.mu.Unlock()
	if waiting.Truthy() {
		waiting.Call("abort")
	}
	if letGo.Truthy() {
		letGo.Invoke()
	}
	if t.channel.Truthy() {
		t.channel.Call("close")
		t.receive.Release()
	}
}

// changed tells the other tabs that a build was written to; "" is all of them.
func (t *tabs) changed(build string) { t.post(message{What: "changed", Build: build}) }

func (t *tabs) post(m message) {
	text, err := harness.Encode(m)
	if err != nil || !t.channel.Truthy() {
		return
	}
	_, _ = try(func() js.Value { return t.channel.Call("postMessage", string(text)) }) // a closed channel has nobody to tell
}

// onMessage handles news from another tab. It runs inside a browser event: it must not wait.
func (t *tabs) onMessage(data js.Value) {
	var m message
	if data.Type() != js.TypeString || harness.Decode([]byte(data.String()), &m) != nil {
		return
	}
	switch m.What {
	case "changed":
		t.news()
		t.tell(storage.Event{What: storage.Changed, Build: m.Build})
	case "granted":
		t.mu.Lock()
		if m.Tab == t.id && t.granted != nil {
			close(t.granted)
			t.granted = nil
		}
		t.mu.Unlock()
	case "ask":
		t.mu.Lock()
		defer t.mu.Unlock()
		if !t.held {
			return
		}
		t.leaving = true
		time.AfterFunc(2*patience, func() { // the other tab may be gone by now
			t.mu.Lock()
			defer t.mu.Unlock()
			t.leaving = false
		})
		grant := func() { t.post(message{What: "granted", Tab: m.Tab}) }
		if t.writes > 0 {
			t.idle = append(t.idle, grant)
		} else {
			grant()
		}
	}
}

// watch calls f for every event until stop.
func (t *tabs) watch(f func(storage.Event)) (stop func()) {
	t.mu.Lock()
	defer t.mu.Unlock()
	id := t.next
	t.next++
	t.watchers[id] = f
	return func() {
		t.mu.Lock()
		defer t.mu.Unlock()
		delete(t.watchers, id)
	}
}

// tell hands an event to the watchers, in order and never inside the browser event that it came from.
func (t *tabs) tell(e storage.Event) {
	t.mu.Lock()
	t.queue = append(t.queue, e)
	t.mu.Unlock()
	go func() {
		t.delivered.Lock()
		defer t.delivered.Unlock()
		t.mu.Lock()
		e := t.queue[0]
		t.queue = t.queue[1:]
		var watchers []func(storage.Event)
		for _, id := range slices.Sorted(maps.Keys(t.watchers)) {
			watchers = append(watchers, t.watchers[id])
		}
		t.mu.Unlock()
		for _, f := range watchers {
			f(e)
		}
	}()
}
