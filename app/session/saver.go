package session

import (
	"context"
	"errors"
	"sync"
	"time"

	"loomwright/storage"
)

// Mark is how safe the work is.
type Mark struct {
	Open     bool  // a build is open
	Pending  int   // edits that the store has not confirmed yet
	Failed   bool  // the last try to save failed; the edits are kept in memory and tried again
	Err      error // why
	ReadOnly bool  // another tab writes
	N        int64 // the newest edit of this phone that the store has confirmed, in the open build
}

// saver writes lines to the store one batch after the other, in the order they were made, in a goroutine of its
// own. A failed batch stays at the head and is tried again: after a while, at the next edit, and when the app comes
// back into sight. It never gives up and never drops a line.
type saver struct {
	s *Session

	mu      sync.Mutex
	queue   []batch
	working bool
	err     error
	saved   map[string]int64 // by build: the newest confirmed n of this phone
	idle    *sync.Cond
}

type batch struct {
	about storage.About
	lines []storage.Line
}

func (v *saver) init(s *Session) {
	v.s, v.saved = s, map[string]int64{}
	v.idle = sync.NewCond(&v.mu)
}

func (v *saver) add(about storage.About, lines ...storage.Line) {
	v.mu.Lock()
	defer v.mu.Unlock()
	v.queue = append(v.queue, batch{about, lines})
	v.start()
}

// retry tries again at once.
func (v *saver) retry() {
	v.mu.Lock()
	defer v.mu.Unlock()
	v.start()
}

func (v *saver) start() {
	if v.working || len(v.queue) == 0 {
		return
	}
	v.working = true
	go v.work()
}

func (v *saver) work() {
	for {
		v.mu.Lock()
		if len(v.queue) == 0 {
			v.working = false
			v.idle.Broadcast()
			v.mu.Unlock()
			return
		}
		b := v.queue[0]
		v.mu.Unlock()

		err := v.s.Store.Append(context.Background(), b.about, b.lines)

		v.mu.Lock()
		v.err = err
		if err != nil {
			v.working = false
			v.idle.Broadcast()
			v.mu.Unlock()
			v.s.tell()
			if !errors.Is(err, storage.ErrStale) { // see Rebase
				time.AfterFunc(retryAfter, v.retry)
			}
			return
		}
		v.queue = v.queue[1:]
		for _, l := range b.lines {
			if l.Device == v.s.Phone && l.N > v.saved[b.about.Build] {
				v.saved[b.about.Build] = l.N
			}
		}
		v.mu.Unlock()
		v.s.tell()
	}
}

// retryAfter is how long a failed save waits. Our choice: short enough that a phone that freed space is not told to
// do anything, long enough not to drain it.
const retryAfter = 3 * time.Second

// withdraw takes back what is queued for a build.
func (v *saver) withdraw(build string) (lines []storage.Line) {
	v.mu.Lock()
	defer v.mu.Unlock()
	var kept []batch
	for _, b := range v.queue {
		if b.about.Build == build {
			lines = append(lines, b.lines...)
		} else {
			kept = append(kept, b)
		}
	}
	v.queue, v.err = kept, nil
	return lines
}

// settle waits until everything queued is saved or the last try failed.
func (v *saver) settle() error {
	v.mu.Lock()
	defer v.mu.Unlock()
	for v.working {
		v.idle.Wait()
	}
	return v.err
}

// Mark tells how safe the work is.
func (s *Session) Mark() Mark {
	s.saver.mu.Lock()
	defer s.saver.mu.Unlock()
	m := Mark{Open: s.log != nil, Failed: s.saver.err != nil, Err: s.saver.err, ReadOnly: s.began && !s.Store.Writer()}
	for _, b := range s.saver.queue {
		m.Pending += len(b.lines)
	}
	if s.log != nil {
		m.N = s.saver.saved[s.log.Build()]
	}
	return m
}

// Settle waits until everything is saved, or the last try failed, and returns why. Not from an event handler.
func (s *Session) Settle() error { return s.saver.settle() }

// Retry tries a failed save again at once.
func (s *Session) Retry() { s.saver.retry() }
