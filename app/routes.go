// Package app is what a person sees. This file is the one list of its pages.
package app

import (
	"slices"

	ui "github.com/maxence-charriere/go-app/v9/pkg/app"

	"loomwright/app/bench"
	"loomwright/app/builds"
	"loomwright/app/circuits"
	"loomwright/app/figure"
	"loomwright/app/kit"
	"loomwright/app/looms"
	"loomwright/app/pins"
	"loomwright/app/plan"
	"loomwright/app/prove"
	"loomwright/app/session"
	"loomwright/app/trace"
	"loomwright/app/walk"
	"loomwright/app/wires"
	"loomwright/calc/unit"
)

// Pages lists every page, those with a step in the order of the job.
func Pages(s *session.Session) []kit.Page {
	return slices.Concat(
		builds.Pages(s),
		[]kit.Page{plan.Page(s), pins.Page(s)},
		circuits.Pages(s),
		walk.Pages(s),
		[]kit.Page{wires.Page(s), looms.Page(s), bench.Page(s), prove.Page(s)},
		trace.Pages(s),
	)
}

// Register makes the app show its shell. There is one document, and one path: the page, the build and the record are in
// the fragment.
func Register(s *session.Session) {
	pages := Pages(s)
	ui.RouteFunc("/", func() ui.Composer {
		return &kit.Shell{S: s, Pages: pages, Figure: func(key string) unit.Figure { return figure.Of(s, key) }}
	})
}
