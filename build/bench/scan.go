package bench

import (
	"context"
	"fmt"
	"slices"

	"loomwright/build/frames"
	"loomwright/build/scanning"
)

// Source: our choice. heldStill is for how many pictures a code is held still: at the camera's pace they take three quarters
// of a second. readBudget is what the app allows for each, on a phone that is Slower times slower.
const (
	heldStill  = 5
	readBudget = 80.0 / Slower
)

// scanned feeds every frame to the code reader, as often as runs says, once for all benches. It prints what became of them
// in the run that took the least time, and returns that.
func (l *Lab) scanned(ctx context.Context) ([]scanning.Result, error) {
	if l.scans != nil {
		return l.scans, nil
	}
	tab, err := l.browser(ctx)
	if err != nil {
		return nil, err
	}
	numbers := make([]int, frames.Count())
	for i := range numbers {
		numbers[i] = i
	}
	all := scanning.Draw(numbers)
	for range runs {
		results, err := scanning.Feed(tab, l.Module, all, heldStill, readBudget)
		if err != nil {
			return nil, err
		}
		fmt.Fprintf(l.Out, "  %d frames: p95 %.1f ms\n", len(all), slowScan(results))
		if l.scans == nil || slowScan(results) < slowScan(l.scans) {
			l.scans = results
		}
	}
	fmt.Fprintf(l.Out, "  %-9s %6s %10s %12s %8s %6s %7s %7s\n", "kind", "frames", "plain", "first frame", "in five", "wrong", "p50", "p95")
	for _, kind := range slices.Concat(frames.Kinds, []frames.Kind{"all"}) {
		var n, plain, first, read, wrong int
		var times []float64
		for _, r := range l.scans {
			if kind != "all" && r.Frame.Kind != kind {
				continue
			}
			n++
			plain += one(r.Right(r.Plain))
			first += one(r.Right(r.Tries[0]))
			read += one(r.Read())
			for _, t := range r.Tries {
				wrong += one(r.Wrong(t))
				times = append(times, t.Took)
			}
		}
		fmt.Fprintf(l.Out, "  %-9s %6d %10d %12d %8d %6d %4.1f ms %4.1f ms\n",
			kind, n, plain, first, read, wrong, median(times), percentile(times, 0.95))
		if first < plain || wrong > 0 {
			return nil, fmt.Errorf("bench: scan: %s: %d read plainly, %d in the first frame; %d read wrong", kind, plain, first, wrong)
		}
	}
	return l.scans, nil
}

func one(yes bool) int {
	if yes {
		return 1
	}
	return 0
}

// scan returns how many frames with a code in a hundred are not read.
func scan(ctx context.Context, l *Lab) (float64, error) {
	all, err := l.scanned(ctx)
	if err != nil {
		return 0, err
	}
	n, read := 0, 0
	for _, r := range all {
		if !r.Frame.Empty {
			n++
			read += one(r.Read())
		}
	}
	return 100 * float64(n-read) / float64(n), nil
}

// scanTime returns the 95th percentile of what one picture takes in the worker, those that are not read too, for a phone
// that is Slower times slower: a worker cannot be slowed down as a page can.
func scanTime(ctx context.Context, l *Lab) (float64, error) {
	all, err := l.scanned(ctx)
	if err != nil {
		return 0, err
	}
	return Slower * slowScan(all), nil
}

// slowScan returns the 95th percentile of the milliseconds of all pictures.
func slowScan(results []scanning.Result) float64 {
	var times []float64
	for _, r := range results {
		for _, t := range r.Tries {
			times = append(times, t.Took)
		}
	}
	return percentile(times, 0.95)
}
