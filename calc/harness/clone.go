package harness

// Clone returns a build of the same records that can be changed apart. Cost: linear in the records.
func (b *Build) Clone() *Build {
	c := &Build{Settings: b.Settings}
	c.Places = b.Places.clone()
	c.Runs = b.Runs.clone()
	c.Readings = b.Readings.clone()
	c.Looms = b.Looms.clone()
	c.Terminals = b.Terminals.clone()
	c.Leads = b.Leads.clone()
	c.Wires = b.Wires.clone()
	c.Joints = b.Joints.clone()
	c.Tags = b.Tags.clone()
	c.Connectors = b.Connectors.clone()
	c.Parts = b.Parts.clone()
	c.Taps = b.Taps.clone()
	c.Circuits = b.Circuits.clone()
	c.Dismissals = b.Dismissals.clone()
	c.Stocks = b.Stocks.clone()
	c.Ticks = b.Ticks.clone()
	c.Samples = b.Samples.clone()
	c.Hunts = b.Hunts.clone()
	c.Photos = b.Photos.clone()
	c.Amendments = b.Amendments.clone()
	c.Results = b.Results.clone()
	c.Expects = b.Expects.clone()
	c.Calipers = b.Calipers.clone()
	c.CoverSizes = b.CoverSizes.clone()
	return c
}
