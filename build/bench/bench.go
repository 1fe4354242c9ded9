// Package bench measures the app in Chromium as a slow phone would run it: the page's thread four times slower than
// this machine. hello is the framework's smallest program, the measure for what of a start is ours.
//
// A single start scatters by a factor of two, so starts are measured in pairs, ours and hello in turn, and the median
// counts. Taps are measured by the browser itself (Event Timing), from the touch to the next paint.
package bench

import (
	"context"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"loomwright/build/browser"
	"loomwright/build/demo"
	"loomwright/build/scanning"
	"loomwright/build/site"
	"loomwright/storage"
)

// Slower is how many times slower than this machine the page runs. Source: our choice, because throttled four times
// this class of machine starts the framework in about the time a phone of the middle class takes.
const Slower = 4

// startLimit is how many times as long as hello a start may take. Source: our choice.
const startLimit = 1.6

// Bench is one thing that is measured.
type Bench struct {
	Name, What string
	Limit      float64 // at most this
	Unit       string
	Run        func(ctx context.Context, l *Lab) (float64, error)
}

// All is every bench, in the order they run.
var All = []Bench{
	{"start", "warm start with the demo open, 5 000 edits, as a multiple of hello", startLimit, "×", func(ctx context.Context, l *Lab) (float64, error) {
		return l.startRatio(ctx, 5_000)
	}},
	{"start-long", "the same with 20 000 edits and a snapshot", startLimit, "×", func(ctx context.Context, l *Lab) (float64, error) {
		return l.startRatio(ctx, 20_000)
	}},
	{"walk", "tap to paint in the walk, p95", 100, "ms", walkTaps},
	{"wires", "tap to paint in a list of 1000 wires, p95", 100, "ms", wireTaps},
	{"pins", "tap to paint when 200 pins are decided, p95", 100, "ms", pinTaps},
	{"trace", "a tag scanned while the program runs, no network, from its code to what it is on, p95 of 30", 300, "ms", tracing},
	{"trace-link", "a tag's link with the program not running, no network, beyond 1.6 starts of hello, median", 200, "ms", traceLink},
	{"reading", "a check more in the demo, from the tap to the new lengths, p95", 100, "ms", readingTaps},
	{"adjust", "400 runs and 2000 readings adjusted in the browser, not slowed down, median of 11", 150, "ms", adjusting},
	{"whole", "the whole demo from nothing in the browser, not slowed down, median of 11", 250, "ms", whole},
	{"edit", "one edit of a wire, from the tap until all that its card shows is new, p95", 100, "ms", editTaps},
	{"card", "the card of a number opened, from the tap until its terms are there, p95", 100, "ms", cardTaps},
	{"large", "1000 wires on 300 runs from nothing in the browser, not slowed down, median of 11", 1.5, "s", large},
	{"growth", "100 to 3000 wires from nothing on this machine: the power of their number by which the time grows", 1.5, "", growth},
	{"record", "the whole record of the demo as PDF in the browser, from the tap, median of 5", 4, "s", recordFile},
	{"tags", "the label sheets of 345 tags as PDF in the browser, from the tap, median of 5", 1.5, "s", tagFile},
	{"stock", "a published cutting problem of 120 or 250 pieces planned in the browser, not slowed down, the slowest of 20", 3, "s", cuttingInBrowser},
	{"stock-native", "the same on this machine", 1, "s", cutting},
	{"blunders", "networks with runs read twice whose blunder's run is not named first", 5, "%", missed("TestBlunderIsTracedToItsRun", "its run named first in ")},
	{"faultfinding", "planted faults whose group is not among the first three, or that four measurements do not find", 5, "%", faultFinding},
	{"photos", "60 photos of 12 megapixels taken, kept over a kill, backed up and restored: what the page's process holds at most", 300, "MB", photoMemory},
	{"scan", "pictures of tags, oily, curved, small, dim, that are not read within five pictures of a camera held still", 10, "%", scan},
	{"scan-time", "one picture of a tag read, four times what it takes here, p95", 120, "ms", scanTime},
	{"blunders-thin", "networks with runs read once whose blunder is not in the set named", 5, "%", missed("TestBlunderIsInTheSetThatIsNamed", "the set named holds it in ")},
}

// Lab is where benches run: it makes sites and serves them until Close.
type Lab struct {
	Module string    // folder of the Go module
	Out    io.Writer // what is measured on the way
	dir    string
	closes []func()
	served map[string]string
	scans  []scanning.Result // of all frames, once they were fed
	places map[string]place  // by address
}

// place is a server and the folder it serves.
type place struct {
	server *http.Server
	folder string
}

// NewLab makes a lab. Close it.
func NewLab(module string, out io.Writer) (*Lab, error) {
	dir, err := os.MkdirTemp("", "loomwright-bench-")
	if err != nil {
		return nil, fmt.Errorf("bench: %w", err)
	}
	return &Lab{Module: module, Out: out, dir: dir, served: map[string]string{}, places: map[string]place{}}, nil
}

// Close ends all servers and browsers and removes what was made.
func (l *Lab) Close() {
	for _, f := range slices.Backward(l.closes) {
		f()
	}
	os.RemoveAll(l.dir)
}

// hello returns the address of the framework's smallest program.
func (l *Lab) hello(ctx context.Context) (string, error) {
	return l.serve(ctx, "hello", site.Options{Main: "./build/bench/hello"})
}

// app returns the address of the app, its demo build with at least that many edits.
func (l *Lab) app(ctx context.Context, edits int) (string, error) {
	name := fmt.Sprintf("app-%d", edits)
	build := filepath.Join(l.dir, name+".build")
	log, err := demo.Log(edits)
	if err != nil {
		return "", fmt.Errorf("bench: %w", err)
	}
	return l.appWith(ctx, name, build, log)
}

// appWith returns the address of the app with this build as its demo.
func (l *Lab) appWith(ctx context.Context, name, build string, log *storage.Log) (string, error) {
	f, err := os.Create(build)
	if err != nil {
		return "", fmt.Errorf("bench: %w", err)
	}
	defer f.Close()
	if err := storage.Encode(f, log, nil); err != nil {
		return "", fmt.Errorf("bench: %w", err)
	}
	return l.serve(ctx, name, site.Options{Demo: build})
}

// serve makes a site and serves it at a port of its own, once for each name.
func (l *Lab) serve(ctx context.Context, name string, o site.Options) (string, error) {
	if address, ok := l.served[name]; ok {
		return address, nil
	}
	o.Module, o.Out, o.Brotli = l.Module, filepath.Join(l.dir, name), 5
	if _, err := site.Make(ctx, o); err != nil {
		return "", err
	}
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		return "", fmt.Errorf("bench: %w", err)
	}
	l.served[name] = "http://" + listener.Addr().String() + "/"
	l.up(l.served[name], o.Out, listener)
	l.closes = append(l.closes, func() { l.places[l.served[name]].server.Close() })
	return l.served[name], nil
}

func (l *Lab) up(address, folder string, listener net.Listener) {
	server := &http.Server{Handler: site.Handler(folder)}
	l.places[address] = place{server, folder}
	go server.Serve(listener)
}

// down takes the servers of some addresses away, as no network does, until back is called.
func (l *Lab) down(addresses ...string) (back func() error) {
	for _, a := range addresses {
		l.places[a].server.Close()
	}
	return func() error {
		for _, a := range addresses {
			listener, err := net.Listen("tcp", strings.Trim(strings.TrimPrefix(a, "http:"), "/"))
			if err != nil {
				return fmt.Errorf("bench: %w", err)
			}
			l.up(a, l.places[a].folder, listener)
		}
		return nil
	}
}

// browser starts one with an empty profile.
func (l *Lab) browser(ctx context.Context) (context.Context, error) {
	profile, err := os.MkdirTemp(l.dir, "profile-")
	if err != nil {
		return nil, fmt.Errorf("bench: %w", err)
	}
	tab, stop, err := browser.Start(ctx, browser.Options{Profile: profile})
	if err != nil {
		return nil, err
	}
	l.closes = append(l.closes, stop)
	return tab, nil
}

// openDemo opens the app and its demo, waits until all is on the device, and returns the address of the build.
func openDemo(ctx context.Context, app string) (string, error) {
	if err := navigate(ctx, app); err != nil {
		return "", err
	}
	if _, err := browser.Until[bool](ctx, `window.loomwright?.offline`); err != nil {
		return "", err
	}
	if err := browser.Tap(ctx, "Look at the demo"); err != nil {
		return "", err
	}
	if err := browser.See(ctx, "Carry on measuring"); err != nil {
		return "", err
	}
	build, err := browser.Until[string](ctx, `location.href`)
	if err != nil {
		return "", err
	}
	// Every start but the first finds the snapshot that the app writes in a pause or when a build is left.
	if err := browser.Tap(ctx, "back"); err != nil {
		return "", err
	}
	_, err = browser.Until[bool](ctx, snapshotKept)
	return build, err
}

// snapshotKept tells that the store holds a snapshot.
const snapshotKept = `new Promise((done) => {
	const open = indexedDB.open("loomwright");
	open.onerror = () => done(false);
	open.onsuccess = () => {
		const db = open.result, count = db.transaction("snapshots").objectStore("snapshots").count();
		count.onsuccess = () => { db.close(); done(count.result > 0); };
		count.onerror = () => { db.close(); done(false); };
	};
})`
