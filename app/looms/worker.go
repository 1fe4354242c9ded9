package looms

import (
	"errors"
	"sync"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/session"
	"loomwright/calc/bundle"
	"loomwright/calc/loom"
)

// worker packs the runs of the open build behind the pages, slice after slice, so that a tap never waits for it. What it
// packed it keeps: a wire that changes costs the runs that it is in.
type worker struct {
	s *session.Session

	build string // what the next ones belong to
	rev   int
	looms *loom.Looms
	facts []loom.Facts // by run; made when they are first asked for
	ready bool         // packed well, not roughly
	fine  map[string]bundle.Bundle

	mu      sync.Mutex
	want    *job // what to pack next
	running bool
	now     job // what is packed

	printing printing

	quick, thorough *bundle.Shelf // only the goroutine that packs touches them
}

// job is what to pack: all runs, and then one as well as it goes.
type job struct {
	looms *loom.Looms
	run   string
}

// rest is the pause between two slices, in which the browser draws and takes taps.
const rest = time.Millisecond

func newWorker(s *session.Session) *worker {
	w := &worker{s: s}
	between := func() bool {
		time.Sleep(rest)
		w.mu.Lock()
		defer w.mu.Unlock()
		return w.want == nil
	}
	w.quick, w.thorough = bundle.NewPaced(bundle.Quick, between), bundle.NewPaced(bundle.Thorough, between)
	return w
}

// follow gathers the runs of the open build anew where it changed.
func (w *worker) follow() {
	if w.looms != nil && w.build == w.s.ID() && w.rev == w.s.Log().Len() {
		return
	}
	w.build, w.rev = w.s.ID(), w.s.Log().Len()
	w.looms, w.facts, w.ready, w.fine = loom.New(w.s.B(), w.s.Graph()), nil, false, map[string]bundle.Bundle{}
}

// start packs what is not packed yet; a run is packed as well as it goes after that.
func (w *worker) start(ctx app.Context, run string) {
	if w.s.B() == nil {
		return
	}
	w.follow()
	if _, done := w.fine[run]; w.ready && (run == "" || done) {
		return
	}
	w.mu.Lock()
	defer w.mu.Unlock()
	if w.running && w.want == nil && w.now == (job{w.looms, run}) {
		return
	}
	w.want = &job{w.looms, run}
	if !w.running {
		w.running = true
		ctx.Async(func() { w.work(ctx) })
	}
}

// work packs until nothing is wanted any more.
func (w *worker) work(ctx app.Context) {
	for {
		w.mu.Lock()
		j := w.want
		w.want = nil
		if w.running = j != nil; !w.running {
			w.mu.Unlock()
			return
		}
		w.now = *j
		w.mu.Unlock()
		packed, err := j.looms.Pack(w.quick)
		if errors.Is(err, bundle.ErrStopped) {
			continue
		}
		w.s.Later(ctx, func(app.Context) {
			if j.looms == w.looms && err == nil {
				w.take(packed)
			}
		})
		r, ok := j.looms.Run(j.run)
		if !ok {
			continue
		}
		if b, err := bundle.Lay(bundle.Parts(r.Bundle.Wires, r.Sleeves), w.thorough.Pack); err == nil {
			w.s.Later(ctx, func(app.Context) {
				if j.looms == w.looms {
					w.refine(r.ID, b)
				}
			})
		}
	}
}

// take keeps the packings of all runs.
func (w *worker) take(packed []bundle.Packed) {
	w.ready, w.facts = true, make([]loom.Facts, len(packed))
	for i, p := range packed {
		w.facts[i] = w.looms.Facts(w.looms.Runs[i], w.better(p))
	}
}

// better is a packing, or the finer one of its run.
func (w *worker) better(p bundle.Packed) bundle.Packed {
	if b, ok := w.fine[p.Run]; ok && b.Diameter < p.Bundle.Diameter {
		p.Bundle = b
		for i := range p.Terms {
			if p.Terms[i].Name == "Bundle" {
				p.Terms[i].Value = b.Diameter
			}
		}
	}
	return p
}

// refine keeps the finer packing of a run.
func (w *worker) refine(run string, b bundle.Bundle) {
	w.fine[run] = b
	for i := range w.facts {
		if w.facts[i].ID == run {
			w.facts[i] = w.looms.Facts(w.looms.Runs[i], w.better(w.facts[i].Packed))
		}
	}
}

// all returns the facts of all runs: by rough packings until better ones are there.
func (w *worker) all() []loom.Facts {
	w.follow()
	if w.facts == nil {
		rough := w.s.Bundles()
		w.facts = make([]loom.Facts, len(w.looms.Runs))
		for i := range w.facts {
			p := bundle.Packed{}
			if i < len(rough) {
				p = rough[i]
			}
			w.facts[i] = w.looms.Facts(w.looms.Runs[i], p)
		}
	}
	return w.facts
}

// of returns the facts of a run.
func (w *worker) of(run string) (f loom.Facts, ok bool) {
	all := w.all()
	for i := range all {
		if all[i].ID == run {
			return all[i], true
		}
	}
	return f, false
}

// diameter is that of a run in mm; 0 is not known.
func (w *worker) diameter(run string) float64 {
	if f, _ := w.of(run); f.Packed.Bundle.Known() {
		return f.Packed.Bundle.Diameter
	}
	return 0
}

// together is the diameter in mm of what goes through a hole: that of the run beside it that holds the same wires, else as
// packed roughly. 0 is not known.
func (w *worker) together(h loom.Hole) float64 {
	for _, f := range w.all() {
		if (f.A == h.ID || f.B == h.ID) && len(f.Wires) == len(h.Bundle.Wires) {
			return w.diameter(f.ID)
		}
	}
	d, err := h.Diameter(bundle.NewShelf(bundle.Rough).Pack)
	if err != nil {
		return 0
	}
	return d
}
