package browser

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"strconv"
	"strings"
	"time"

	"github.com/chromedp/chromedp"
)

// Memory is what the processes of a browser hold, in bytes: the share that is theirs (PSS), in which a page of memory that
// n processes map counts for 1/n.
type Memory struct {
	Page int64 // the largest process that runs pages
	Rest int64 // all others
}

// Peak holds the most that was seen of each.
func (m Memory) Peak(other Memory) Memory {
	return Memory{max(m.Page, other.Page), max(m.Rest, other.Rest)}
}

// Watch looks at the memory of the browser again and again until stop, which returns the most that was seen. Linux only.
func Watch(ctx context.Context, every time.Duration) (stop func() (Memory, error), err error) {
	c := chromedp.FromContext(ctx)
	if c == nil || c.Browser == nil || c.Browser.Process() == nil {
		return nil, errors.New("browser: memory: no browser in this context")
	}
	root := c.Browser.Process().Pid
	peak, err := memory(root)
	if err != nil {
		return nil, err
	}
	end, ended := make(chan struct{}), make(chan struct{})
	go func() {
		defer close(ended)
		tick := time.NewTicker(every)
		defer tick.Stop()
		for {
			select {
			case <-end:
				return
			case <-tick.C:
			}
			now, failed := memory(root)
			if failed != nil {
				err = failed
				return
			}
			peak = peak.Peak(now)
		}
	}()
	return func() (Memory, error) {
		close(end)
		<-ended
		return peak, err
	}, nil
}

// memory adds up what a process and all that it started hold.
func memory(root int) (m Memory, err error) {
	all, err := descendants(root)
	if err != nil {
		return m, fmt.Errorf("browser: memory: %w", err)
	}
	for _, pid := range all {
		folder := "/proc/" + strconv.Itoa(pid)
		command, err := os.ReadFile(folder + "/cmdline")
		if err != nil {
			continue // it ended meanwhile
		}
		rollup, err := os.ReadFile(folder + "/smaps_rollup")
		if err != nil {
			continue
		}
		for line := range strings.Lines(string(rollup)) {
			rest, ok := strings.CutPrefix(line, "Pss:")
			if !ok {
				continue
			}
			kB, err := strconv.ParseInt(strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(rest), "kB")), 10, 64)
			if err != nil {
				return m, fmt.Errorf("browser: memory: %q: %w", line, err)
			}
			size := kB << 10
			if bytes.Contains(command, []byte("--type=renderer")) && size > m.Page {
				m.Page, size = size, m.Page
			}
			m.Rest += size
		}
	}
	if m.Page == 0 {
		return m, fmt.Errorf("browser: memory: process %d runs no page", root)
	}
	return m, nil
}
