package demo

// joint is a shared feed or ground, spliced at a place.
type joint struct {
	name, place, note string
}

var joints = []joint{
	{"Controller feed", "Controller split", ""},
	{"Permanent feed", "Controller split", ""},
	{"Start request", "Controller split", ""},
	{"Sensor ground B", "Controller split", "never to power ground"},
	{"5 V B", "Engine split", ""},
	{"5 V A", "Sensor splice", ""},
	{"Sensor ground A", "Sensor splice", "never to power ground; 40 mm beside the 5 V splice"},
	{"Coil feed", "Coil split", ""},
	{"Coil ground", "Coil split", ""},
	{"Coil return", "Coil split", ""},
	{"Injector feed", "Injector split", ""},
	{"Valve feed", "Injector split", ""},
	{"Key on", "Dash split", ""},
	{"CAN high", "Dash split", "stub to the diagnostic plug under 300 mm"},
	{"CAN low", "Dash split", "stub to the diagnostic plug under 300 mm"},
	{"Dash feed", "Dash split", ""},
	{"Cabin power ground", "Dash split", ""},
}

// added is a wire cut from the spool: its ends are "place/terminal", "place/connector:terminal" or "joint name".
type added struct {
	function, from, to string
	size               string // mm2
	colour             string // base/tracer
	looms              string
	twist, note        string
}

// wires is what joins everything that the leads do not.
//
// Source: our own invention; sizes for the loads of common practice: injectors 1 A, coils 2 A mean, pump 8 A, fans 12 A
// each, heater 2 A, starter solenoid 10 A.
var wires = []added{
	// From the battery.
	{"starter", "Battery/+", "Starter/30", "25", "red", "power", "", "not fused, as short as it can be"},
	{"feed of the fuse panel", "Battery/fused 80 A", "Fuse panel/battery bus:in", "10", "red", "power", "", ""},
	{"alternator output", "Alternator/B+", "Battery/fused 125 A", "16", "red", "power", "", ""},
	{"battery ground", "Battery/-", "Body ground/lug 1", "25", "black", "power", "", ""},
	{"engine strap", "Body ground/lug 2", "Engine ground/lug 7", "25", "black", "power", "", ""},

	// From fuse to relay. Fuses 7 to 13 are on the battery bus, 1 to 6 and 14 on the main bus behind K1.
	{"main relay contact", "Fuse panel/F11:out", "Relay panel/K1:30", "4", "red/black", "power", "", ""},
	{"main bus", "Relay panel/K1:87", "Fuse panel/main bus:in", "4", "red/blue", "power", "", ""},
	{"pump relay contact", "Fuse panel/F8:out", "Relay panel/K2:30", "2.5", "red/orange", "power", "", ""},
	{"fan 1 relay contact", "Fuse panel/F7:out", "Relay panel/K3:30", "4", "red/grey", "power", "", ""},
	{"start relay contact", "Fuse panel/F9:out", "Relay panel/K4:30", "2.5", "red/violet", "power", "", ""},
	{"fan 2 relay contact", "Fuse panel/F12:out", "Relay panel/K5:30", "4", "red/brown", "power", "", ""},
	{"pump relay coil", "Fuse panel/F6:out 1", "Relay panel/K2:86", "0.5", "grey", "power", "", ""},
	{"fan 1 relay coil", "Fuse panel/F6:out 2", "Relay panel/K3:86", "0.5", "grey", "power", "", ""},
	{"fan 2 relay coil", "Fuse panel/F6:out 3", "Relay panel/K5:86", "0.5", "grey", "power", "", ""},

	// From relay to load.
	{"fuel pump", "Relay panel/K2:87", "Fuel pump/+", "2.5", "red/orange", "power+cabin", "", ""},
	{"fan 1", "Relay panel/K3:87", "Radiator fans/1 +", "4", "red/grey", "power", "", ""},
	{"starter solenoid", "Relay panel/K4:87", "Starter/50", "2.5", "red/violet", "power", "", ""},
	{"fan 2", "Relay panel/K5:87", "Radiator fans/2 +", "4", "red/brown", "power", "", ""},
	{"fan 1 ground", "Radiator fans/1 -", "Front ground/lug 1", "4", "black", "power", "", ""},
	{"fan 2 ground", "Radiator fans/2 -", "Front ground/lug 2", "4", "black", "power", "", ""},
	{"fuel pump ground", "Fuel pump/-", "Rear ground/lug 1", "2.5", "black", "cabin", "", ""},
	{"tank bond", "Fuel level/tank body", "Rear ground/lug 2", "1.5", "black", "cabin", "", "bleeds static from the filler"},

	// Feeds of the controller and the engine.
	{"controller feed", "Fuse panel/F3:out", "joint Controller feed", "2.5", "red/white", "main", "", ""},
	{"permanent feed, fuse", "Fuse panel/F10:out", "joint Permanent feed", "1.0", "red/yellow", "main", "", ""},
	{"main relay coil", "joint Permanent feed", "Relay panel/K1:86", "0.5", "red/yellow", "main", "", ""},
	{"dash memory", "joint Permanent feed", "Dash display/memory", "0.5", "red/yellow", "main+cabin", "", ""},
	{"injector feed", "Fuse panel/F1:out", "joint Injector feed", "1.5", "red/pink", "main", "", ""},
	{"injector 1 supply", "joint Injector feed", "Injector 1/supply", "0.75", "red/pink", "main", "", ""},
	{"injector 2 supply", "joint Injector feed", "Injector 2/supply", "0.75", "red/pink", "main", "", ""},
	{"injector 3 supply", "joint Injector feed", "Injector 3/supply", "0.75", "red/pink", "main", "", ""},
	{"injector 4 supply", "joint Injector feed", "Injector 4/supply", "0.75", "red/pink", "main", "", ""},
	{"coil feed", "Fuse panel/F2:out", "joint Coil feed", "2.5", "red/green", "main", "", ""},
	{"coil 1 supply", "joint Coil feed", "Coil 1/supply", "1.0", "red/green", "main", "", ""},
	{"coil 2 supply", "joint Coil feed", "Coil 2/supply", "1.0", "red/green", "main", "", ""},
	{"coil 3 supply", "joint Coil feed", "Coil 3/supply", "1.0", "red/green", "main", "", ""},
	{"coil 4 supply", "joint Coil feed", "Coil 4/supply", "1.0", "red/green", "main", "", ""},
	{"coil ground", "joint Coil ground", "Engine ground/lug 5", "2.5", "black", "main", "", ""},
	{"coil 1 ground", "joint Coil ground", "Coil 1/ground", "1.0", "black", "main", "", ""},
	{"coil 2 ground", "joint Coil ground", "Coil 2/ground", "1.0", "black", "main", "", ""},
	{"coil 3 ground", "joint Coil ground", "Coil 3/ground", "1.0", "black", "main", "", ""},
	{"coil 4 ground", "joint Coil ground", "Coil 4/ground", "1.0", "black", "main", "", ""},
	{"coil return", "joint Coil return", "Engine ground/lug 6", "1.0", "black/yellow", "main", "", ""},
	{"coil 1 return", "joint Coil return", "Coil 1/return", "0.75", "black/yellow", "main", "", ""},
	{"coil 2 return", "joint Coil return", "Coil 2/return", "0.75", "black/yellow", "main", "", ""},
	{"coil 3 return", "joint Coil return", "Coil 3/return", "0.75", "black/yellow", "main", "", ""},
	{"coil 4 return", "joint Coil return", "Coil 4/return", "0.75", "black/yellow", "main", "", ""},
	{"valve feed", "Fuse panel/F4:out", "joint Valve feed", "1.0", "red/violet", "main", "", ""},
	{"idle valve supply", "joint Valve feed", "Idle valve/supply", "0.75", "red/violet", "main", "", ""},
	{"purge valve supply", "joint Valve feed", "Purge valve/supply", "0.75", "red/violet", "main", "", ""},
	{"heater feed", "Fuse panel/F5:out", "Exhaust plug/heat +", "1.0", "red/black", "main", "", ""},

	// Sensors.
	{"throttle 5 V", "joint 5 V A", "Throttle position/5 V", "0.5", "orange", "main", "", ""},
	{"manifold pressure 5 V", "joint 5 V A", "Manifold pressure/5 V", "0.5", "orange", "main", "", ""},
	{"cam 5 V", "joint 5 V A", "Cam position/5 V", "0.5", "orange", "main", "", ""},
	{"throttle ground", "joint Sensor ground A", "Throttle position/ground", "0.5", "brown/white", "main", "", ""},
	{"manifold pressure ground", "joint Sensor ground A", "Manifold pressure/ground", "0.5", "brown/white", "main", "", ""},
	{"coolant ground", "joint Sensor ground A", "Coolant temperature/ground", "0.5", "brown/white", "main", "", ""},
	{"intake air ground", "joint Sensor ground A", "Intake air temperature/ground", "0.5", "brown/white", "main", "", ""},
	{"oil sensor 5 V", "joint 5 V B", "Oil sensor/5 V", "0.5", "orange/black", "main", "", ""},
	{"road speed 5 V", "joint 5 V B", "Road speed/5 V", "0.5", "orange/black", "main", "", ""},
	{"oil sensor ground", "joint Sensor ground B", "Oil sensor/ground", "0.5", "brown/black", "main", "", ""},
	{"road speed ground", "joint Sensor ground B", "Road speed/ground", "0.5", "brown/black", "main", "", ""},
	{"fuel level ground", "joint Sensor ground B", "Fuel level/ground", "0.5", "brown/black", "main+cabin", "", ""},
	{"switch ground", "joint Sensor ground B", "Terminal strip/6", "0.5", "brown/black", "main+cabin", "", ""},
	{"hot leg, pump current", "Exhaust plug/pump", "Wideband sensor/pump", "0.5", "grey/red", "main", "", "fluoropolymer insulation"},
	{"hot leg, common", "Exhaust plug/common", "Wideband sensor/common", "0.5", "grey/yellow", "main", "", "fluoropolymer insulation"},
	{"hot leg, cell", "Exhaust plug/nernst", "Wideband sensor/nernst", "0.5", "grey/black", "main", "", "fluoropolymer insulation"},
	{"hot leg, trim", "Exhaust plug/trim", "Wideband sensor/trim", "0.5", "grey/green", "main", "", "fluoropolymer insulation"},
	{"hot leg, heater feed", "Exhaust plug/heat +", "Wideband sensor/heat +", "0.75", "red/black", "main", "", "fluoropolymer insulation"},
	{"hot leg, heater", "Exhaust plug/heat -", "Wideband sensor/heat -", "0.75", "grey/blue", "main", "", "fluoropolymer insulation"},

	// The cabin.
	{"key feed of the car", "Column wires/15", "joint Key on", "0.75", "red/green", "cabin", "", ""},
	{"key on, dash", "joint Key on", "Dash display/key", "0.5", "red/green", "cabin", "", ""},
	{"start signal of the car", "Column wires/50", "joint Start request", "0.75", "violet", "main+cabin", "", ""},
	{"start relay coil", "joint Start request", "Relay panel/K4:86", "0.75", "violet", "main", "", ""},
	{"dash CAN high", "joint CAN high", "Dash display/CAN high", "0.5", "yellow", "cabin", "dash bus", ""},
	{"dash CAN low", "joint CAN low", "Dash display/CAN low", "0.5", "green", "cabin", "dash bus", ""},
	{"diagnostic CAN high", "joint CAN high", "Diagnostic plug/CAN high", "0.5", "yellow", "cabin", "diagnostic bus", ""},
	{"diagnostic CAN low", "joint CAN low", "Diagnostic plug/CAN low", "0.5", "green", "cabin", "diagnostic bus", ""},
	{"dash feed", "Fuse panel/F14:out", "joint Dash feed", "1.0", "red/black", "cabin", "", ""},
	{"dash supply", "joint Dash feed", "Dash display/supply", "0.75", "red/black", "cabin", "", ""},
	{"diagnostic supply", "joint Dash feed", "Diagnostic plug/supply", "0.75", "red/black", "cabin", "", ""},
	{"switch light", "joint Dash feed", "Switch panel/light +", "0.35", "red/black", "cabin", "", ""},
	{"cabin ground", "joint Cabin power ground", "Dash ground/lug 1", "1.5", "black", "cabin", "", ""},
	{"dash ground", "joint Cabin power ground", "Dash display/ground", "0.75", "black", "cabin", "", ""},
	{"diagnostic ground", "joint Cabin power ground", "Diagnostic plug/ground", "0.75", "black", "cabin", "", ""},
	{"switch light ground", "joint Cabin power ground", "Switch panel/light -", "0.35", "black", "cabin", "", ""},
	{"check lamp, dash", "Terminal strip/1", "Dash display/check lamp", "0.35", "pink", "cabin", "", ""},
	{"charge lamp, dash", "Terminal strip/2", "Dash display/charge lamp", "0.35", "blue", "cabin", "", ""},
	{"charge lamp, alternator", "Alternator/lamp", "Terminal strip/2", "0.75", "blue", "power+cabin", "", ""},
	{"alternator sense", "Fuse panel/F13:out", "Alternator/sense", "0.75", "blue/grey", "power", "", ""},
	{"fan switch, panel", "Terminal strip/3", "Switch panel/fan", "0.35", "pink/black", "cabin", "", ""},
	{"launch switch, panel", "Terminal strip/4", "Switch panel/launch", "0.35", "pink/blue", "cabin", "", ""},
	{"map switch, panel", "Terminal strip/5", "Switch panel/map", "0.35", "pink/green", "cabin", "", ""},
	{"switch ground, panel", "Terminal strip/6", "Switch panel/common", "0.35", "brown/black", "cabin", "", ""},
	{"brake signal of the car", "Column wires/brake", "Terminal strip/7", "0.5", "pink/red", "cabin", "", ""},
}

// fuses are the ratings, by the fuse's name, in amperes.
var fuses = map[string]string{
	"F1": "10", "F2": "15", "F3": "10", "F4": "7.5", "F5": "7.5", "F6": "5", "F7": "25", "F8": "15", "F9": "20",
	"F10": "5", "F11": "40", "F12": "25", "F13": "3", "F14": "5",
}

// relays are what the relays switch.
var relays = map[string]string{
	"K1": "main relay", "K2": "fuel pump relay", "K3": "fan 1 relay", "K4": "start relay", "K5": "fan 2 relay",
}

// piece is a wire that was cut, or a lead that was trimmed, and to what length.
type piece struct {
	function string
	mm       int
}

// done is as it was needed then. Later the alternator's run turned out to be longer.
var done = []piece{
	{"main relay contact", 565},
	{"main bus", 565},
	{"pump relay contact", 565},
	{"injector feed", 2020},
	{"starter", 1560},
	{"battery ground", 1120},
	{"alternator output", 2430},
	{"main relay", 825},
	{"pump relay", 825},
	{"fan 1 relay", 825},
}
