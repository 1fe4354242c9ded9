// Package scanning gives the drawn pictures of tags to the very code reader that ships, in a browser.
package scanning

import (
	"bytes"
	"context"
	_ "embed"
	"fmt"
	"image"
	"io"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"sync"

	"github.com/chromedp/chromedp"

	"loomwright/build/browser"
	"loomwright/build/frames"
	"loomwright/build/site"
)

var (
	//go:embed feed.html
	feedHTML []byte
	//go:embed feed.js
	feedJS []byte
	//go:embed plain.js
	plainJS []byte
)

// ours is where the part of the worker begins that is not the library.
const ours = "\n// The grid of a symbol"

// Answer is what a reader makes of one picture, and the milliseconds it takes.
type Answer struct {
	Texts []string
	Took  float64
}

// Result is what became of a frame.
type Result struct {
	Frame *frames.Frame
	Plain Answer   // of the library alone
	Tries []Answer // of the reader that ships, one picture after the other, until it reads something
}

// Right tells whether an answer is the text of the frame.
func (r *Result) Right(a Answer) bool {
	return !r.Frame.Empty && slices.Contains(a.Texts, r.Frame.Text)
}

// Wrong tells whether an answer holds a text that is not in the frame.
func (r *Result) Wrong(a Answer) bool {
	return slices.ContainsFunc(a.Texts, func(text string) bool { return r.Frame.Empty || text != r.Frame.Text })
}

// Read tells whether the reader that ships has read the frame.
func (r *Result) Read() bool { return r.Right(r.Tries[len(r.Tries)-1]) }

// Feed shows each of the frames to the reader up to held times, as a camera that is held still does; each picture may
// take budget milliseconds, 0 for as many as it needs. The tab's context is that of browser.Start, module the folder of
// the Go module.
func Feed(tab context.Context, module string, all []*frames.Frame, held int, budget float64) ([]Result, error) {
	pictures := make([]*image.Gray, len(all))
	for i, frame := range all {
		pictures[i] = frame.Image
	}
	results, err := feed(tab, module, pictures, held, budget, true)
	for i := range results {
		results[i].Frame = all[i]
	}
	return results, err
}

// Texts returns what the reader that ships reads in each of the pictures, given all the time that it needs.
func Texts(tab context.Context, module string, pictures []*image.Gray) ([][]string, error) {
	results, err := feed(tab, module, pictures, 1, 0, false)
	texts := make([][]string, len(results))
	for i, r := range results {
		texts[i] = r.Tries[0].Texts
	}
	return texts, err
}

func feed(tab context.Context, module string, pictures []*image.Gray, held int, budget float64, alone bool) ([]Result, error) {
	address, stop, err := serve(module, pictures)
	if err != nil {
		return nil, err
	}
	defer stop()
	if err := chromedp.Do(tab, chromedp.Navigate(address)); err != nil {
		return nil, fmt.Errorf("scanning: %w", err)
	}
	if _, err := browser.Until[bool](tab, `!!window.feed`); err != nil {
		return nil, err
	}
	results := make([]Result, len(pictures))
	for i, picture := range pictures {
		call := fmt.Sprintf("feed(%d, %d, %d, %d, %g, %t)", i, picture.Rect.Dx(), picture.Rect.Dy(), held, budget, alone)
		results[i], err = chromedp.Run(tab, chromedp.Evaluate[Result](call, chromedp.EvalAwaitPromise))
		if err != nil {
			return nil, fmt.Errorf("scanning: picture %d: %w", i, err)
		}
	}
	return results, nil
}

// Draw draws the frames of these numbers, several at once.
func Draw(numbers []int) []*frames.Frame {
	all := make([]*frames.Frame, len(numbers))
	var wait sync.WaitGroup
	for i, number := range numbers {
		wait.Go(func() { all[i] = frames.At(number) })
	}
	wait.Wait()
	return all
}

// serve offers the page, the readers and the pictures, with the policy of the site.
func serve(module string, all []*image.Gray) (address string, stop func(), err error) {
	folder := filepath.Join(module, "web", "reader")
	reader, err := os.ReadFile(filepath.Join(folder, "reader.js"))
	if err != nil {
		return "", nil, fmt.Errorf("scanning: %w", err)
	}
	wasm, err := os.ReadFile(filepath.Join(folder, "reader.wasm"))
	if err != nil {
		return "", nil, fmt.Errorf("scanning: %w", err)
	}
	library, _, ok := bytes.Cut(reader, []byte(ours))
	if !ok {
		return "", nil, fmt.Errorf("scanning: reader.js: %q does not stand in it", ours)
	}
	mux := http.NewServeMux()
	file := func(name, kind string, data []byte) {
		mux.HandleFunc("GET /"+name, func(w http.ResponseWriter, _ *http.Request) {
			w.Header().Set("Content-Type", kind)
			w.Header().Set("Content-Security-Policy", site.CSP)
			w.Write(data)
		})
	}
	file("{$}", "text/html; charset=utf-8", feedHTML)
	file("feed.js", "text/javascript", feedJS)
	file("reader.js", "text/javascript", reader)
	file("plain.js", "text/javascript", slices.Concat(library, []byte("\n"), plainJS))
	file("reader.wasm", "application/wasm", wasm)
	mux.HandleFunc("GET /frame/{number}", func(w http.ResponseWriter, r *http.Request) {
		i, err := strconv.Atoi(r.PathValue("number"))
		if err != nil || i < 0 || i >= len(all) {
			http.NotFound(w, r)
			return
		}
		io.Copy(w, bytes.NewReader(all[i].Pix))
	})
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		return "", nil, fmt.Errorf("scanning: %w", err)
	}
	server := &http.Server{Handler: mux}
	go server.Serve(listener)
	return "http://" + listener.Addr().String() + "/", func() { server.Close() }, nil
}
