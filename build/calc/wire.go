package calc

import (
	"fmt"
	"math"
	"strings"

	"loomwright/calc/unit"
	"loomwright/calc/wire"
)

// conductor is the fields that name a wire.
type conductor struct {
	Size   *string  `json:"size"`
	Length *float64 `json:"length_m"` // of conductor, out and back
	Warm   *float64 `json:"celsius"`
	Table  string   `json:"table"`
}

func (c conductor) piece(op string) (wire.Piece, error) {
	if err := need(op, field{"size", c.Size != nil}, field{"length_m", c.Length != nil}, field{"celsius", c.Warm != nil}); err != nil {
		return wire.Piece{}, err
	}
	size, err := unit.ParseSize(*c.Size)
	if err != nil {
		return wire.Piece{}, err
	}
	length, err := metres(op, *c.Length)
	if err != nil {
		return wire.Piece{}, err
	}
	table, err := named(op, "table", c.Table, wire.Tables)
	if err != nil {
		return wire.Piece{}, err
	}
	return wire.Piece{Size: size, Table: table, Length: length, Celsius: *c.Warm}, nil
}

// named finds a name of a list, whatever the case of its letters; empty is the first.
func named[T ~string](op, field, text string, all []T) (T, error) {
	if text == "" {
		return all[0], nil
	}
	var names []string
	for _, one := range all {
		if strings.EqualFold(text, string(one)) {
			return one, nil
		}
		if one != "" {
			names = append(names, string(one))
		}
	}
	return "", fmt.Errorf("calc: %s: there is no %s %q, there are %s", op, field, text, strings.Join(names, ", "))
}

type resistanceRequest struct {
	head
	conductor
}

func resistance(in resistanceRequest) (any, error) {
	p, err := in.piece("resistance")
	if err != nil {
		return nil, err
	}
	c, err := wire.Of(p.Size, p.Table)
	if err != nil {
		return nil, err
	}
	r, err := c.ResistanceOf(p.Length, p.Celsius)
	if err != nil {
		return nil, err
	}
	return struct {
		Ohm float64 `json:"ohm"`
	}{r.Ohm}, nil
}

type dropRequest struct {
	head
	conductor
	Amps *float64 `json:"amps"`
}

func drop(in dropRequest) (any, error) {
	p, err := in.piece("drop")
	if err != nil {
		return nil, err
	}
	if err := need("drop", field{"amps", in.Amps != nil}); err != nil {
		return nil, err
	}
	p.Amps = *in.Amps
	d, err := wire.VoltDrop([]wire.Piece{p})
	if err != nil {
		return nil, err
	}
	return struct {
		Volts float64 `json:"volts"`
	}{d.Volts}, nil
}

type ampacityRequest struct {
	head
	Size       *string  `json:"size"`
	Insulation *float64 `json:"insulation_c"`
	Engine     bool     `json:"engine_space"`
	Bundled    float64  `json:"bundled"` // wires that carry current side by side
	Ambient    *float64 `json:"ambient_c"`
	Rules      string   `json:"rules"`
	Loading    float64  `json:"loading"`
	Altitude   float64  `json:"altitude_m"`
}

func ampacity(in ampacityRequest) (any, error) {
	if err := need("ampacity", field{"size", in.Size != nil}, field{"insulation_c", in.Insulation != nil}); err != nil {
		return nil, err
	}
	size, err := unit.ParseSize(*in.Size)
	if err != nil {
		return nil, err
	}
	rules, err := named("ampacity", "rules", in.Rules, wire.RuleSets)
	if err != nil {
		return nil, err
	}
	if in.Bundled != math.Trunc(in.Bundled) || math.Abs(in.Bundled) > 1e6 {
		return nil, fmt.Errorf("calc: ampacity: bundled %v is not a number of wires", in.Bundled)
	}
	class, err := insulation("ampacity", in.Insulation)
	if err != nil {
		return nil, err
	}
	c, err := wire.Ampacity(wire.Use{Rules: rules, Size: size, Insulation: class, EngineSpace: in.Engine, Ambient: in.Ambient,
		Bundled: int(in.Bundled), Loading: in.Loading, Altitude: in.Altitude})
	if err != nil {
		return nil, err
	}
	return struct {
		Amps     float64 `json:"amps"`
		Rule     string  `json:"rule"`
		Headroom float64 `json:"headroom_k"`
	}{c.Amps, c.Rule, c.Headroom}, nil
}

// insulation is a class in whole degrees, 0 if it is not given.
func insulation(op string, celsius *float64) (int, error) {
	switch {
	case celsius == nil:
		return 0, nil
	case *celsius != math.Trunc(*celsius) || math.Abs(*celsius) > 1e4:
		return 0, fmt.Errorf("calc: %s: insulation_c %v is not a class in whole degrees", op, *celsius)
	}
	return int(*celsius), nil
}

type faultRequest struct {
	head
	conductor
	Volts      *float64 `json:"volts"`
	Source     *float64 `json:"source_ohm"`
	Fuse       *float64 `json:"fuse_a"`
	FuseOhm    float64  `json:"fuse_ohm"`
	Insulation *float64 `json:"insulation_c"`
	Blade      string   `json:"blade"`
}

func fault(in faultRequest) (any, error) {
	p, err := in.piece("fault")
	if err != nil {
		return nil, err
	}
	if err := need("fault", field{"volts", in.Volts != nil}, field{"source_ohm", in.Source != nil}, field{"fuse_a", in.Fuse != nil}); err != nil {
		return nil, err
	}
	if p.Insulation, err = insulation("fault", in.Insulation); err != nil {
		return nil, err
	}
	blade, err := named("fault", "blade", in.Blade, wire.Blades)
	if err != nil {
		return nil, err
	}
	f, err := wire.FaultAt(wire.Short{Volts: *in.Volts, SourceOhm: *in.Source, FuseOhm: in.FuseOhm, Rating: *in.Fuse, Blade: blade, Pieces: []wire.Piece{p}})
	if err != nil {
		return nil, err
	}
	if math.IsInf(f.Amps, 0) || math.IsNaN(f.Amps) {
		return nil, fmt.Errorf("calc: fault: no resistance stands in its way")
	}
	return struct {
		Amps     float64  `json:"amps"`
		Multiple float64  `json:"multiple"`
		Opens    string   `json:"opens"`          // "in time", "too late" or "never"
		Within   *float64 `json:"opens_within_s"` // null: it need not open
		Bears    *float64 `json:"wire_bears_s"`   // null: for ever
		Longest  *float64 `json:"longest_m"`      // null: no length was given
	}{f.Amps, f.Multiple, string(f.Opens), finite(f.Within), finite(f.Bears), finite(f.Longest)}, nil
}
