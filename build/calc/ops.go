package calc

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"github.com/go-json-experiment/json"

	"loomwright/calc/survey"
	"loomwright/calc/tag"
	"loomwright/calc/unit"
	"loomwright/calc/wire"
)

// op is one kind of request.
type op struct {
	name, takes, gives string
	answer             func(line []byte) (any, error)
}

var ops = []op{
	{"length", `{text, unit: "mm"|"in"}`, "{nm}", ask(length)},
	{"survey", "{readings: [{path: {run: coefficient}, value_mm, sigma_mm}]}", "{length_mm: {run}, sigma_mm: {run}, residual_mm: [], standardised: []}", ask(adjust)},
	{"resistance", "{size, length_m, celsius, table?}", "{ohm}", ask(resistance)},
	{"drop", "{size, length_m, amps, celsius, table?}", "{volts}", ask(drop)},
	{"ampacity", "{size, insulation_c, engine_space?, bundled?, ambient_c?, rules?, loading?, altitude_m?}", "{amps, rule, headroom_k}", ask(ampacity)},
	{"fault", "{volts, source_ohm, size, length_m, celsius, fuse_a, fuse_ohm?, insulation_c?, blade?, table?}",
		"{amps, multiple, opens, opens_within_s, wire_bears_s, longest_m}", ask(fault)},
	{"pull", "{size, standard?}", "{newtons, standard}", ask(pull)},
	{"bundle", `{diameters_mm: [], grade?: "thorough"|"quick"}`, "{diameter_mm, centres_mm: [[x, y]]}", ask(pack)},
	{"stock", "{stock_mm, lengths_mm: []}", "{stocks, lower_bound, plan: [[length in mm]]}", ask(cutStock)},
	{"tag", "{text, ecc?}", "{version, modules, mode}", ask(code)},
}

// Ops describes the requests, and what their fields of words may hold.
func Ops() string {
	var b strings.Builder
	for _, o := range ops {
		fmt.Fprintf(&b, "  %-10s %s\n             → %s\n", o.name, o.takes, o.gives)
	}
	fmt.Fprintln(&b)
	list(&b, "table", wire.Tables)
	list(&b, "rules", wire.RuleSets)
	list(&b, "blade", wire.Blades)
	list(&b, "standard", wire.PullStandards)
	return b.String()
}

// list names what a field may hold.
func list[T ~string](b *strings.Builder, field string, all []T) {
	var names []string
	for _, one := range all {
		if one != "" {
			names = append(names, string(one))
		}
	}
	fmt.Fprintf(b, "  %-10s %s\n", field, strings.Join(names, " | "))
}

// ask makes an op of a function of its fields. Fields that it does not have are refused: a slip of the pen would be left
// out in silence.
func ask[T any](f func(T) (any, error)) func([]byte) (any, error) {
	return func(line []byte) (any, error) {
		var in T
		if err := json.Unmarshal(line, &in, json.RejectUnknownMembers(true)); err != nil {
			return nil, plain(err)
		}
		return f(in)
	}
}

// plain says what is wrong with a request in words of the request, not of Go.
func plain(err error) error {
	var e *json.SemanticError
	if !errors.As(err, &e) {
		return fmt.Errorf("calc: not JSON: %w", err)
	}
	field := e.JSONPointer.LastToken()
	switch {
	case errors.Is(err, json.ErrUnknownName):
		return fmt.Errorf("calc: there is no field %q", field)
	case field == "":
		return errors.New("calc: a request is an object")
	case e.Err != nil:
		return fmt.Errorf("calc: field %q: %w", field, e.Err)
	}
	return fmt.Errorf("calc: field %q: %v does not belong there", field, e.JSONKind)
}

// head is what every request begins with.
type head struct {
	Op string `json:"op"`
}

// field is one that must be there.
type field struct {
	name string
	is   bool
}

func need(op string, fields ...field) error {
	for _, f := range fields {
		if !f.is {
			return fmt.Errorf("calc: %s: %s is missing", op, f.name)
		}
	}
	return nil
}

// finite is a number as JSON can write it, nil for what it cannot: infinite or unknown.
func finite(v float64) *float64 {
	if math.IsInf(v, 0) || math.IsNaN(v) {
		return nil
	}
	return &v
}

// metres is a length in nanometres.
func metres(op string, m float64) (unit.Length, error) {
	const most = 1e6
	if m < 0 || m > most {
		return 0, fmt.Errorf("calc: %s: length_m %v is not from 0 to %v", op, m, most)
	}
	return unit.Length(math.Round(m * float64(unit.Metre))), nil
}

type lengthRequest struct {
	head
	Text *string `json:"text"`
	Unit string  `json:"unit"`
}

func length(in lengthRequest) (any, error) {
	if err := need("length", field{"text", in.Text != nil}); err != nil {
		return nil, err
	}
	system := unit.Metric
	switch in.Unit {
	case "", "mm":
	case "in":
		system = unit.Imperial
	default:
		return nil, fmt.Errorf(`calc: length: unit %q is neither "mm" nor "in"`, in.Unit)
	}
	l, err := unit.ParseLength(*in.Text, system)
	if err != nil {
		return nil, err
	}
	return struct {
		NM int64 `json:"nm"`
	}{int64(l)}, nil
}

type surveyRequest struct {
	head
	Readings []struct {
		Path  map[string]float64 `json:"path"`
		Value *float64           `json:"value_mm"`
		Sigma *float64           `json:"sigma_mm"`
	} `json:"readings"`
}

func adjust(in surveyRequest) (any, error) {
	if err := need("survey", field{"readings", in.Readings != nil}); err != nil {
		return nil, err
	}
	var all []survey.Observation
	for i, r := range in.Readings {
		name := fmt.Sprintf("survey: reading %d", i+1)
		if err := need(name, field{"path", r.Path != nil}, field{"value_mm", r.Value != nil}, field{"sigma_mm", r.Sigma != nil}); err != nil {
			return nil, err
		}
		o := survey.Observation{Path: map[string]int64{}, Value: *r.Value, Sigma: *r.Sigma}
		for run, k := range r.Path {
			if k != math.Trunc(k) || math.Abs(k) > 1e9 {
				return nil, fmt.Errorf("calc: %s: the coefficient %v of a run is not a whole number", name, k)
			}
			o.Path[run] = int64(k)
		}
		all = append(all, o)
	}
	s, err := survey.Solve(all)
	if err != nil {
		return nil, err
	}
	out := struct {
		Length       map[string]float64 `json:"length_mm"`
		Sigma        map[string]float64 `json:"sigma_mm"`
		Residual     []float64          `json:"residual_mm"`
		Standardised []*float64         `json:"standardised"` // null where nothing checks it
	}{map[string]float64{}, map[string]float64{}, s.Residuals, nil}
	for i, name := range s.Names {
		out.Length[name], out.Sigma[name] = s.Values[i], s.Sigmas[i]
	}
	for _, w := range s.Standardised {
		out.Standardised = append(out.Standardised, finite(w))
	}
	return out, nil
}

type pullRequest struct {
	head
	Size     *string `json:"size"`
	Standard string  `json:"standard"`
}

func pull(in pullRequest) (any, error) {
	if err := need("pull", field{"size", in.Size != nil}); err != nil {
		return nil, err
	}
	size, err := unit.ParseSize(*in.Size)
	if err != nil {
		return nil, err
	}
	standard, err := wire.ParseStandard(in.Standard)
	if err != nil {
		return nil, err
	}
	newtons, by, err := wire.Pull(size, standard)
	if err != nil {
		return nil, err
	}
	return struct {
		Newtons  float64 `json:"newtons"`
		Standard string  `json:"standard"`
	}{newtons, string(by)}, nil
}

type tagRequest struct {
	head
	Text *string `json:"text"`
	ECC  string  `json:"ecc"`
}

func code(in tagRequest) (any, error) {
	if err := need("tag", field{"text", in.Text != nil}); err != nil {
		return nil, err
	}
	level := tag.FloorLevel
	if in.ECC != "" {
		i := strings.Index("LMQH", in.ECC)
		if len(in.ECC) != 1 || i < 0 {
			return nil, fmt.Errorf("calc: tag: ecc %q is none of L, M, Q, H", in.ECC)
		}
		level = tag.Level(i)
	}
	s, err := tag.NewSymbol(*in.Text, level)
	if err != nil {
		return nil, err
	}
	return struct {
		Version int    `json:"version"`
		Modules int    `json:"modules"`
		Mode    string `json:"mode"`
	}{s.Version, s.Modules(), tag.ModeOf(*in.Text).String()}, nil
}
