package wire

import (
	"loomwright/calc/unit"
)

// Load is what a fuse feeds.
type Load struct {
	Amps   float64 // all that may run at once, without end
	Inrush float64 // the greatest current when it starts; 0 is none
	Start  float64 // s, how long that lasts
}

// School is a way to choose a fuse for a load.
type School struct {
	Name   string
	Least  float64 // A, the least rating by its rule
	Rating float64 // A, the next that is sold and rides through the inrush; 0 if none is
	Fits   bool    // Rating is no more than the smallest wire carries
}

// Fuse is the choice between what a load needs and what the smallest wire behind the fuse bears.
type Fuse struct {
	Blade   Blade
	OneHalf School  // at least 1.5 times the load
	FourOf5 School  // a load of at most 80 %, less in the heat
	Wire    float64 // A, the greatest rating that the smallest wire carries; 0 if it carries none
	Most    float64 // A, the greatest rating up to 150 % of what it carries, for where nothing else fits
	Rating  float64 // A, the advice: the smaller of the two schools' that fits; 0 is none
	Terms   []unit.Term
}

// FuseFor chooses a fuse for a load by both schools, with the smallest wire behind it carrying wireAmps and the fuse
// sitting at a temperature in °C. Rating is 0 where no fuse guards the wire and bears the load: the wire is too thin. A
// load of nothing gets the smallest fuse there is. Values that are no amperes are an *UnknownError.
//
// Source: 1.5 times the load is a training course's rule (8 A of injectors: 12 A, so 15 A); its reason is that a fuse
// blows long before a wire heats, so it may exceed what the wire carries for ever; here it never does silently. At most
// 80 % of the fuse is common practice, with −0.12 %/K above 25 °C, both from memory. 150 % is 33 CFR 183.455, from memory.
func FuseFor(load Load, wireAmps, celsius float64, blade Blade) (Fuse, error) {
	const what = "the fuse"
	if len(blade.ratings()) == 0 {
		return Fuse{}, unknown(what, "there is no kind of fuse %q", string(blade))
	}
	for _, err := range []error{
		inRange(what, "load", load.Amps, 0, MostAmps), inRange(what, "inrush", load.Inrush, 0, MostAmps),
		inRange(what, "time of the inrush", load.Start, 0, MostAmps), inRange(what, "current of the wire", wireAmps, 0, MostAmps),
		inRange(what, "temperature", celsius, Coldest, 200),
	} {
		if err != nil {
			return Fuse{}, err
		}
	}
	hot := 1 - 0.0012*max(0, celsius-25)
	f := Fuse{Blade: blade, Wire: below(blade, wireAmps), Most: below(blade, 1.5*wireAmps)}
	f.OneHalf = school("1.5 times the load", 1.5*load.Amps, load, wireAmps, blade)
	f.FourOf5 = school("80 % of the fuse", load.Amps/(0.8*hot), load, wireAmps, blade)
	for _, s := range []School{f.OneHalf, f.FourOf5} {
		if s.Fits && (f.Rating == 0 || s.Rating < f.Rating) {
			f.Rating = s.Rating
		}
	}
	f.Terms = []unit.Term{
		{Name: "load", Value: load.Amps, Unit: "A"},
		{Name: "inrush", Value: load.Inrush, Unit: "A"},
		{Name: "inrush lasts", Value: load.Start, Unit: "s"},

		{Name: "by 1.5 times, at least", Formula: "1.5 × load", Value: f.OneHalf.Least, Unit: "A", Source: "training course rule"},

		{Name: "by 1.5 times, fuse", Formula: "the next that is sold and rides through the inrush", Value: f.OneHalf.Rating, Unit: "A", Source: "ISO 8820-3 ratings and times, partly from memory"},

		{Name: "hot factor of the fuse", Formula: "1 − 0.0012 × (temperature − 25)", Value: hot, Source: "common practice, from memory"},

		{Name: "by 80 %, at least", Formula: "load/(0.8 × hot factor)", Value: f.FourOf5.Least, Unit: "A", Source: "common practice, from memory"},

		{Name: "by 80 %, fuse", Formula: "the next that is sold and rides through the inrush", Value: f.FourOf5.Rating, Unit: "A", Source: "ISO 8820-3 ratings and times, partly from memory"},
		{Name: "smallest wire carries", Value: wireAmps, Unit: "A"},

		{Name: "greatest fuse for the wire", Formula: "the next below that is sold", Value: f.Wire, Unit: "A", Source: "common practice: a fuse is never above what its wire carries"},

		{Name: "greatest if nothing else is sold", Formula: "the next below 150 % of it", Value: f.Most, Unit: "A", Source: "33 CFR 183.455, from memory"},

		{Name: "fuse", Formula: "the smaller of the two that the wire carries", Value: f.Rating, Unit: "A", Source: "our choice: it guards the wire best"},
	}
	if f.Rating == 0 {
		last := &f.Terms[len(f.Terms)-1]
		last.Text = "none: the wire is too thin for the load"
		if f.OneHalf.Rating == 0 && f.FourOf5.Rating == 0 {
			last.Text = "none of this kind bears the load"
		}
	}
	return f, nil
}

func school(name string, least float64, load Load, wireAmps float64, blade Blade) School {
	s := School{Name: name, Least: least}
	for _, r := range blade.ratings() {
		if r >= least*(1-1e-12) && (load.Inrush <= r || blade.Holds(r, load.Inrush, load.Start)) {
			s.Rating, s.Fits = r, r <= wireAmps*(1+1e-12)
			break
		}
	}
	return s
}

// below is the greatest rating up to a current, 0 if there is none.
func below(blade Blade, amps float64) (rating float64) {
	for _, r := range blade.ratings() {
		if r <= amps*(1+1e-12) {
			rating = r
		}
	}
	return rating
}
