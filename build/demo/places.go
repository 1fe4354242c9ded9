package demo

import "loomwright/calc/harness"

// The looms, in the order a person lists them.
const (
	mainLoom  = "main"
	powerLoom = "power and ground"
	cabinLoom = "cabin"
)

// step is one step of the walk: a place, and the run that leads to it from a place where one stood before.
type step struct {
	place  string
	kind   harness.PlaceKind
	status harness.PlaceStatus
	ends   string // its terminals, "name" or "connector:name", with commas between
	from   string // empty for the place where the walk starts
	loom   string
	length string // as read off the string; empty where it was not measured yet
	flags  string // of the run, with commas between: hot, moves, wet, drip, sharp, clip, N corners
	note   string
}

// walk is every place once, in the order they were reached. Lengths are of a car with the controller behind the dash,
// left of the middle, the intake on the right of the engine and the exhaust on the left. Cylinder 1 is at the front.
//
// Source: our own invention, sizes of common practice.
var walk = []step{
	// Behind the dash.
	{"Controller", harness.Controller, harness.Mounted, "", "", "", "", "", "plugs A and B point left, rear faces reachable from below"},
	{"Controller split", harness.Split, harness.Decided, "", "Controller", mainLoom, "165", "", ""},
	{"Fuse panel", harness.Panel, harness.Mounted, "battery bus:in,main bus:in,F1:out,F2:out,F3:out,F4:out,F5:out,F6:out 1,F6:out 2,F6:out 3,F7:out,F8:out,F9:out,F10:out,F11:out,F12:out,F13:out,F14:out", "Controller split", mainLoom, "310", "", "lowers by 120 mm to reach the fuses"},
	{"Relay panel", harness.Panel, harness.Mounted, "K1:30,K1:85,K1:86,K1:87,K2:30,K2:85,K2:86,K2:87,K3:30,K3:85,K3:86,K3:87,K4:30,K4:85,K4:86,K4:87,K5:30,K5:85,K5:86,K5:87", "Controller split", mainLoom, "385", "", "relays with a resistor across the coil"},

	// Through the bulkhead to the engine.
	{"Main grommet", harness.PassThrough, harness.Mounted, "", "Controller split", mainLoom, "420", "sharp,1 corner", "hole 38 mm"},
	{"Engine split", harness.Split, harness.Decided, "", "Main grommet", mainLoom, "345", "moves,clip", "behind the cylinder head"},
	{"Engine ground", harness.Ground, harness.Mounted, "lug 1,lug 2,lug 3,lug 4,lug 5,lug 6,lug 7", "Engine split", mainLoom, "130", "", "M8 on the rear of the head, bare metal"},

	// Coils, on their own side.
	{"Coil split", harness.Split, harness.Decided, "", "Engine split", mainLoom, "265", "hot,clip", "between coils 2 and 3"},
	{"Coil 4", harness.Device, harness.Mounted, "supply,ground,trigger,return", "Coil split", mainLoom, "150", "hot", ""},
	{"Coil 3", harness.Device, harness.Mounted, "supply,ground,trigger,return", "Coil split", mainLoom, "75", "hot", ""},
	{"Coil 2", harness.Device, harness.Mounted, "supply,ground,trigger,return", "Coil split", mainLoom, "80", "hot", ""},
	{"Coil 1", harness.Device, harness.Mounted, "supply,ground,trigger,return", "Coil split", mainLoom, "155", "hot", ""},

	// Injectors and intake.
	{"Sensor splice", harness.Splice, harness.Decided, "", "Engine split", mainLoom, "75", "", "tied on both sides"},
	{"Injector split", harness.Split, harness.Decided, "", "Sensor splice", mainLoom, "410", "clip", "middle of the rail"},
	{"Injector 1", harness.Device, harness.Mounted, "supply,drive", "Injector split", mainLoom, "165", "", ""},
	{"Injector 2", harness.Device, harness.Mounted, "supply,drive", "Injector split", mainLoom, "85", "", ""},
	{"Injector 3", harness.Device, harness.Mounted, "supply,drive", "Injector split", mainLoom, "90", "", ""},
	{"Injector 4", harness.Device, harness.Mounted, "supply,drive", "Injector split", mainLoom, "170", "", ""},
	{"Throttle position", harness.Device, harness.Mounted, "5 V,signal,ground", "Injector split", mainLoom, "240", "", ""},
	{"Idle valve", harness.Device, harness.Mounted, "supply,drive", "Injector split", mainLoom, "215", "", ""},
	{"Manifold pressure", harness.Device, harness.Mounted, "5 V,signal,ground", "Injector split", mainLoom, "320", "1 corner", "on the bulkhead side of the plenum"},
	{"Knock", harness.Device, harness.Mounted, "signal,return", "Injector split", mainLoom, "260", "hot,1 corner", "on the block, below the runners of 2 and 3"},
	{"Purge valve", harness.Device, harness.Open, "supply,drive", "Injector split", mainLoom, "", "moves", "inner wing or plenum, not decided"},
	{"Front split", harness.Split, harness.Decided, "", "Injector split", mainLoom, "355", "clip", ""},
	{"Cam position", harness.Device, harness.Mounted, "5 V,signal,ground", "Front split", mainLoom, "140", "", ""},
	{"Coolant temperature", harness.Device, harness.Mounted, "signal,ground", "Front split", mainLoom, "125", "hot", "in the thermostat housing"},
	{"Crank position", harness.Device, harness.Mounted, "signal,return", "Front split", mainLoom, "470", "wet,drip,1 corner", "points down"},
	{"Intake air temperature", harness.Device, harness.Decided, "signal,ground", "Front split", mainLoom, "38.0 cm", "", "in the pipe behind the filter"},

	// Exhaust side and gearbox.
	{"Oil sensor", harness.Device, harness.Mounted, "5 V,pressure,temperature,ground", "Engine split", mainLoom, "520", "hot,2 corners", "pressure and temperature in one body"},
	{"Exhaust plug", harness.Inline, harness.Mounted, "pump,common,nernst,trim,heat +,heat -", "Engine split", mainLoom, "390", "hot,clip", "the hot leg behind it can be changed alone"},
	{"Wideband sensor", harness.Device, harness.Mounted, "pump,common,nernst,trim,heat +,heat -", "Exhaust plug", mainLoom, "460", "hot", ""},
	{"Road speed", harness.Device, harness.Mounted, "5 V,signal,ground", "Engine split", mainLoom, "640", "hot,clip,1 corner", "on the gearbox tail"},

	// Power and ground, through a grommet of its own.
	{"Power grommet", harness.PassThrough, harness.Mounted, "", "Fuse panel", powerLoom, "290", "sharp", "hole 25 mm"},
	{"Power split", harness.Split, harness.Decided, "", "Power grommet", powerLoom, "180", "", ""},
	{"Battery", harness.Supply, harness.Mounted, "+,fused 80 A,fused 125 A,-", "Power split", powerLoom, "260", "", "two fuses bolted to the positive clamp"},
	{"Body ground", harness.Ground, harness.Mounted, "lug 1,lug 2", "Power split", powerLoom, "340", "", "M8 on the chassis rail"},
	{"Starter", harness.Device, harness.Mounted, "30,50", "Power split", powerLoom, "690", "hot,moves,1 corner", ""},
	{"Nose split", harness.Split, harness.Decided, "", "Power split", powerLoom, "1180", "clip,wet", "along the right chassis rail"},
	{"Alternator", harness.Device, harness.Mounted, "B+,lamp,sense", "Nose split", powerLoom, "380", "hot,moves", ""},
	{"Radiator fans", harness.Device, harness.Mounted, "1 +,1 -,2 +,2 -", "Nose split", powerLoom, "430", "wet,drip", ""},
	{"Front ground", harness.Ground, harness.Decided, "lug 1,lug 2", "Nose split", powerLoom, "150", "wet", "M6 on the radiator frame"},

	// The cabin.
	{"Dash split", harness.Split, harness.Decided, "", "Controller split", cabinLoom, "360", "", ""},
	{"Terminal strip", harness.TerminalStrip, harness.Mounted, "1,2,3,4,5,6,7", "Dash split", cabinLoom, "150", "", "seven ways, behind the glove box lid"},
	{"Switch panel", harness.Device, harness.Decided, "fan,launch,map,common,light +,light -", "Terminal strip", cabinLoom, "480", "1 corner", ""},
	{"Dash display", harness.Device, harness.Mounted, "supply,ground,key,memory,CAN high,CAN low,check lamp,charge lamp", "Dash split", cabinLoom, "530", "", "end of the bus, resistor inside"},
	{"Diagnostic plug", harness.Inline, harness.Open, "supply,ground,CAN high,CAN low", "Dash split", cabinLoom, "", "", "within 300 mm of the bus"},
	{"Column wires", harness.CarWire, harness.Mounted, "15,50,brake", "Dash split", cabinLoom, "450", "", "15 must hold while cranking"},
	{"Dash ground", harness.Ground, harness.Mounted, "lug 1", "Dash split", cabinLoom, "210", "", "M6 on the scuttle tube"},
	{"Rear grommet", harness.PassThrough, harness.Mounted, "", "Dash split", cabinLoom, "1920", "clip,2 corners", "through the tunnel"},
	{"Tank split", harness.Split, harness.Decided, "", "Rear grommet", cabinLoom, "280", "", ""},
	{"Fuel pump", harness.Device, harness.Mounted, "+,-", "Tank split", cabinLoom, "210", "", "in the tank"},
	{"Fuel level", harness.Device, harness.Mounted, "signal,ground,tank body", "Tank split", cabinLoom, "180", "", ""},
	{"Rear ground", harness.Ground, harness.Open, "lug 1,lug 2", "Tank split", cabinLoom, "", "", ""},
}

// link is a run between two places that the walk had reached already.
type link struct {
	a, b, loom, length, flags string
}

var links = []link{
	{"Fuse panel", "Relay panel", powerLoom, "150", ""},
	{"Fuse panel", "Dash split", cabinLoom, "445", ""},
	{"Body ground", "Engine ground", powerLoom, "460", "moves"},
}

// again is a reading taken a second time, or over several runs at once.
type again struct {
	places []string
	length string
	method harness.Method
	note   string
}

// checks were read before anything was cut.
var checks = []again{
	{[]string{"Controller split", "Main grommet"}, "418", harness.ByTape, ""},
	{[]string{"Main grommet", "Engine split"}, "350", harness.ByString, "engine rocked towards the intake"},
	{[]string{"Engine split", "Coil split"}, "265", harness.ByString, ""},
	{[]string{"Sensor splice", "Injector split"}, "406", harness.ByString, ""},
	{[]string{"Front split", "Crank position"}, "475", harness.ByString, ""},
	{[]string{"Dash split", "Rear grommet"}, "1915", harness.ByTape, "tunnel cover off"},
	{[]string{"Controller", "Controller split", "Main grommet", "Engine split"}, "935", harness.ByString, "one string, end to end"},
}

// late was read after the alternator's wire was cut.
var late = again{[]string{"Power split", "Nose split"}, "1215", harness.ByString, "round the new air box bracket"}

// lowers is how far the mounts of these places move for service, in millimetres.
var lowers = map[string]int{"Fuse panel": 120}

// inCar are the splits that get their position when the loom lies in the car.
var inCar = []string{"Front split", "Nose split", "Tank split"}
