package harness

// EndPlace returns the place where a wire's end is: the place of its joint, of its terminal, or the one it names. It is
// empty where none is chosen; ok is false also where the record that would tell is gone or was never there.
func (b *Build) EndPlace(e End) (place string, ok bool) {
	switch {
	case e.Joint != "":
		j, found := b.Joints.Get(e.Joint)
		return j.Place, found && j.Place != ""
	case e.Terminal != "":
		if t, found := b.Terminals.Get(e.Terminal); found && t.Place != "" {
			return t.Place, true
		}
	}
	return e.Place, e.Place != ""
}

// OtherEnd returns the place at the far end of a run, and false if the run does not end at place.
func (r Run) OtherEnd(place string) (far string, ok bool) {
	switch place {
	case r.A:
		return r.B, true
	case r.B:
		return r.A, true
	}
	return "", false
}
