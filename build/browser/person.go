package browser

import (
	"context"
	_ "embed"
	"encoding/json"
	"errors"
	"fmt"
	"time"

	"github.com/chromedp/chromedp"
)

//go:embed person.js
var person string

// Patience is how long a thing may take to appear. It is long, because it only costs time when a test fails.
const Patience = 40 * time.Second

type spot struct{ X, Y float64 }

// Tap waits until something with that name can be tapped and is not covered, and taps it with a finger. The name is
// what a person reads on it, or its label; its beginning is enough if only one begins so.
func Tap(ctx context.Context, name string) error {
	return tap(ctx, "tappable", name)
}

// TapOn taps the first visible element of a CSS selector, for what has no words: the sketch.
func TapOn(ctx context.Context, selector string) error {
	return tap(ctx, "selector", selector)
}

func tap(ctx context.Context, how, what string) error {
	at, err := wait[spot](ctx, how, what)
	if err != nil {
		return err
	}
	return chromedp.Do(ctx, chromedp.TapXY(at.X, at.Y))
}

// Type puts text in place of what is in the field with that label.
func Type(ctx context.Context, label, text string) error {
	at, err := wait[spot](ctx, "field", label)
	if err != nil {
		return err
	}
	if err := chromedp.Do(ctx, chromedp.TapXY(at.X, at.Y)); err != nil {
		return err
	}
	return chromedp.Do(ctx,
		chromedp.Evaluate[chromedp.Void](`document.activeElement.select?.()`),
		chromedp.KeyEvent(text))
}

// See waits until the page shows the text; white space counts as one space.
func See(ctx context.Context, text string) error {
	_, err := wait[bool](ctx, "text", text)
	return err
}

// Gone waits until the page does not show the text.
func Gone(ctx context.Context, text string) error {
	_, err := wait[bool](ctx, "without", text)
	return err
}

// Read returns what the page shows, as one line of text, and the names of what can be tapped.
func Read(ctx context.Context) (string, error) {
	return chromedp.Run(ctx, chromedp.Evaluate[string](person+".page()"))
}

// wait asks the page again and again until it answers, over reloads too.
func wait[T any](ctx context.Context, how, what string) (T, error) {
	arg, err := json.Marshal(what)
	if err != nil {
		return *new(T), err
	}
	v, err := Until[T](ctx, fmt.Sprintf("%s.%s(%s)", person, how, arg))
	if err != nil {
		page, _ := Read(ctx)
		return v, fmt.Errorf("browser: %s %q: %w; the page shows: %s", how, what, err, page)
	}
	return v, nil
}

// Until evaluates an expression until it is neither null nor undefined nor false nor an error, over reloads too. It may
// be a promise.
func Until[T any](ctx context.Context, expression string) (T, error) {
	deadline, cancel := context.WithTimeout(ctx, Patience)
	defer cancel()
	tick := time.NewTicker(25 * time.Millisecond)
	defer tick.Stop()
	var last error
	for {
		v, err := chromedp.Run(deadline, chromedp.Evaluate[*T]("Promise.resolve("+expression+").then(v => v || null)", chromedp.EvalAwaitPromise))
		if err == nil && v != nil {
			return *v, nil
		}
		if err != nil && !errors.Is(err, context.DeadlineExceeded) {
			last = err
		}
		select {
		case <-tick.C:
		case <-deadline.Done():
			return *new(T), fmt.Errorf("not within %s: %w", Patience, errors.Join(context.Cause(deadline), last))
		}
	}
}
