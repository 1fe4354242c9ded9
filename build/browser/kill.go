package browser

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"strconv"
	"strings"
	"syscall"

	"github.com/chromedp/chromedp"
)

// Kill ends the browser and all its processes at once with SIGKILL, as a phone that runs out of memory or battery does:
// nothing of it gets to put anything in order. It returns how many there were. Linux only. Call stop afterwards.
func Kill(ctx context.Context) (int, error) {
	c := chromedp.FromContext(ctx)
	if c == nil || c.Browser == nil || c.Browser.Process() == nil {
		return 0, errors.New("browser: kill: no browser in this context")
	}
	all, err := descendants(c.Browser.Process().Pid)
	if err != nil {
		return 0, fmt.Errorf("browser: kill: %w", err)
	}
	for _, pid := range all {
		if err := syscall.Kill(pid, syscall.SIGKILL); err != nil && !errors.Is(err, syscall.ESRCH) {
			return 0, fmt.Errorf("browser: kill %d: %w", pid, err)
		}
	}
	return len(all), nil
}

// descendants returns a process and all that it and its children started, parents first.
func descendants(root int) ([]int, error) {
	entries, err := os.ReadDir("/proc")
	if err != nil {
		return nil, err
	}
	children := map[int][]int{}
	for _, e := range entries {
		pid, err := strconv.Atoi(e.Name())
		if err != nil {
			continue
		}
		stat, err := os.ReadFile("/proc/" + e.Name() + "/stat")
		if err != nil {
			continue // it ended meanwhile
		}
		// pid (name, which may hold anything) state parent …
		fields := strings.Fields(string(stat[bytes.LastIndexByte(stat, ')')+1:]))
		if len(fields) < 2 {
			continue
		}
		if parent, err := strconv.Atoi(fields[1]); err == nil {
			children[parent] = append(children[parent], pid)
		}
	}
	all := []int{root}
	for i := 0; i < len(all); i++ {
		all = append(all, children[all[i]]...)
	}
	return all, nil
}
