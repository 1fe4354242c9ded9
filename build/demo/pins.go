package demo

// pin is one cavity of the controller, the lead that came in it, and where the lead goes.
type pin struct {
	cavity   string // "A14"
	legend   string // as printed on the lead
	size     string // mm2; empty where no lead is fitted
	colour   string // base/tracer
	supplied int    // mm
	function string // what it does in this car; empty where it does nothing
	to       string // see end
	looms    string // "main", "main+cabin", …
	twist    string
	note     string
}

// pins is the controller: 34 cavities in plug A, most of them for the engine, and 26 in plug B, for the body.
//
// Source: our own invention; kinds of pin, sizes and colours of common practice. CAN high yellow and CAN low green:
// SAE J1939-11.
var pins = []pin{
	{"A1", "12V IN A", "1.5", "red", 2500, "controller feed 1", "joint Controller feed", "main", "", ""},
	{"A2", "12V IN B", "1.5", "red", 2500, "controller feed 2", "joint Controller feed", "main", "", ""},
	{"A3", "PWR GND A", "1.5", "black", 2500, "controller ground 1", "Engine ground/lug 1", "main", "", ""},
	{"A4", "PWR GND B", "1.5", "black", 2500, "controller ground 2", "Engine ground/lug 2", "main", "", ""},
	{"A5", "PWR GND C", "1.5", "black", 2500, "controller ground 3", "Engine ground/lug 3", "main", "", ""},
	{"A6", "INJ A", "0.75", "blue/black", 2500, "injector 1", "Injector 1/drive", "main", "", ""},
	{"A7", "INJ B", "0.75", "blue/red", 2500, "injector 2", "Injector 2/drive", "main", "", ""},
	{"A8", "INJ C", "0.75", "blue/white", 2500, "injector 3", "Injector 3/drive", "main", "", ""},
	{"A9", "INJ D", "0.75", "blue/yellow", 2500, "injector 4", "Injector 4/drive", "main", "", ""},
	{"A10", "IGN A", "0.75", "green/black", 2500, "coil 1 trigger", "Coil 1/trigger", "main", "", ""},
	{"A11", "IGN B", "0.75", "green/red", 2500, "coil 2 trigger", "Coil 2/trigger", "main", "", ""},
	{"A12", "IGN C", "0.75", "green/white", 2500, "coil 3 trigger", "Coil 3/trigger", "main", "", ""},
	{"A13", "IGN D", "0.75", "green/yellow", 2500, "coil 4 trigger", "Coil 4/trigger", "main", "", ""},
	{"A14", "PWM OUT A", "0.75", "violet/white", 2500, "idle valve", "Idle valve/drive", "main", "", ""},
	{"A15", "PWM OUT B", "0.75", "violet/yellow", 2500, "purge valve", "Purge valve/drive", "main", "", ""},
	{"A16", "CRANK +", "0.5", "white", 2750, "crank signal", "Crank position/signal", "main", "crank", ""},
	{"A17", "CRANK -", "0.5", "brown", 2750, "crank return", "Crank position/return", "main", "crank", ""},
	{"A18", "CRANK SHLD", "0.5", "black/white", 2750, "crank shield", "Crank position", "main", "", "grounded in the controller only: cut back and insulated at the sensor"},
	{"A19", "CAM SIG", "0.5", "grey/white", 2500, "cam signal", "Cam position/signal", "main", "cam", ""},
	{"A20", "CAM GND", "0.5", "brown/grey", 2500, "cam ground", "Cam position/ground", "main", "cam", ""},
	{"A21", "KNOCK +", "0.5", "white/green", 2500, "knock signal", "Knock/signal", "main", "knock", ""},
	{"A22", "KNOCK -", "0.5", "brown/green", 2500, "knock return", "Knock/return", "main", "knock", ""},
	{"A23", "KNOCK SHLD", "0.5", "black/green", 2500, "knock shield", "Knock", "main", "", "grounded in the controller only: cut back and insulated at the sensor"},
	{"A24", "5V OUT A", "0.5", "orange", 2500, "5 V for the intake side", "joint 5 V A", "main", "", ""},
	{"A25", "SENS GND A", "0.5", "brown/white", 2500, "sensor ground, intake side", "joint Sensor ground A", "main", "", ""},
	{"A26", "ANALOG 1", "0.5", "yellow/blue", 2500, "throttle position", "Throttle position/signal", "main", "", ""},
	{"A27", "TEMP 1", "0.5", "yellow/red", 2500, "coolant temperature", "Coolant temperature/signal", "main", "", ""},
	{"A28", "TEMP 2", "0.5", "yellow/white", 2250, "intake air temperature", "Intake air temperature/signal", "main", "", ""},
	{"A29", "ANALOG 2", "0.5", "yellow/black", 2500, "manifold pressure", "Manifold pressure/signal", "main", "", ""},
	{"A30", "WB PUMP", "0.5", "grey/red", 1700, "wideband pump current", "Exhaust plug/pump", "main", "", ""},
	{"A31", "WB COM", "0.5", "grey/yellow", 1700, "wideband common", "Exhaust plug/common", "main", "", ""},
	{"A32", "WB CELL", "0.5", "grey/black", 1700, "wideband cell", "Exhaust plug/nernst", "main", "", ""},
	{"A33", "WB TRIM", "0.5", "grey/green", 1700, "wideband trim", "Exhaust plug/trim", "main", "", ""},
	{"A34", "WB HEAT", "0.75", "grey/blue", 1700, "wideband heater", "Exhaust plug/heat -", "main", "", ""},

	{"B1", "12V PERM", "0.75", "red/yellow", 1800, "permanent feed", "joint Permanent feed", "main", "", ""},
	{"B2", "KEY IN", "0.5", "red/green", 1800, "key on", "joint Key on", "main+cabin", "", ""},
	{"B3", "START IN", "0.5", "violet", 1800, "start request", "joint Start request", "main+cabin", "", ""},
	{"B4", "RELAY A", "0.5", "white/red", 1800, "main relay", "Relay panel/K1:85", "main", "", ""},
	{"B5", "RELAY B", "0.5", "white/blue", 1800, "pump relay", "Relay panel/K2:85", "main", "", ""},
	{"B6", "RELAY C", "0.5", "white/yellow", 1800, "fan 1 relay", "Relay panel/K3:85", "main", "", ""},
	{"B7", "LOW SIDE 1", "0.5", "white/violet", 1800, "fan 2 relay", "Relay panel/K5:85", "main", "", ""},
	{"B8", "TACHO", "", "", 0, "", "", "", "", "lead pulled, in the bag of spares: the dash reads the bus"},
	{"B9", "LOW SIDE 2", "0.5", "pink", 1800, "check lamp", "Terminal strip/1", "main+cabin", "", ""},
	{"B10", "CAN H", "0.5", "yellow", 1800, "CAN high", "joint CAN high", "main+cabin", "bus", ""},
	{"B11", "CAN L", "0.5", "green", 1800, "CAN low", "joint CAN low", "main+cabin", "bus", ""},
	{"B12", "5V OUT B", "0.5", "orange/black", 1800, "5 V for the oil and speed sensors", "joint 5 V B", "main", "", ""},
	{"B13", "SENS GND B", "0.5", "brown/black", 1800, "sensor ground, body side", "joint Sensor ground B", "main", "", ""},
	{"B14", "ANALOG 3", "0.5", "yellow/violet", 1800, "oil pressure", "Oil sensor/pressure", "main", "", ""},
	{"B15", "ANALOG 4", "0.5", "yellow/orange", 1800, "fuel level", "Fuel level/signal", "main+cabin", "", ""},
	{"B16", "FREQ IN", "0.5", "grey/orange", 1800, "road speed", "Road speed/signal", "main", "", ""},
	{"B17", "SWITCH 1", "0.5", "pink/black", 1800, "fan switch", "Terminal strip/3", "main+cabin", "", ""},
	{"B18", "SWITCH 2", "0.5", "pink/blue", 1800, "launch switch", "Terminal strip/4", "main+cabin", "", ""},
	{"B19", "SWITCH 3", "0.5", "pink/green", 1800, "map switch", "Terminal strip/5", "main+cabin", "", ""},
	{"B20", "TEMP 3", "0.5", "yellow/grey", 1400, "oil temperature", "Oil sensor/temperature", "main", "", ""},
	{"B21", "ANALOG 5", "0.5", "yellow/pink", 1800, "", "", "", "", "kept for later: fuel pressure. Capped, folded back behind the controller split"},
	{"B22", "SWITCH 4", "0.5", "pink/red", 1800, "brake switch", "Terminal strip/7", "main+cabin", "", ""},
	{"B23", "SPARE", "", "", 0, "", "", "", "", "never fitted, plugged"},
	{"B24", "LOW SIDE 3", "0.5", "white/green", 1800, "start permit", "Relay panel/K4:85", "main", "", ""},
	{"B25", "PWR GND D", "1.0", "black", 1800, "controller ground 4", "Engine ground/lug 4", "main", "", ""},
	{"B26", "TEMP 4", "0.5", "yellow/green", 1800, "", "", "", "", "kept for later: gearbox temperature. Capped, folded back behind the controller split"},
}
