package pins

import (
	"testing"

	"loomwright/calc/harness"
	"loomwright/calc/table"
)

// A file that was taken for Windows-1252 reads right as UTF-8 once a person says so, also after a reload.
func TestEncodingIsChosenByHand(t *testing.T) {
	d := newDesk(t)
	data := []byte("Pin;Legend;Function\n1;INJ A;Düse 1\n2;INJ B;Düse 2\n")
	text, err := table.TextAs(data, table.Windows1252)
	if err != nil {
		t.Fatal(err)
	}
	d.page.beginFile(data, text, table.Windows1252)
	d.open("", partPreview)
	d.shows("DÃ¼se 1", "Its signs are", "UTF-16 little endian")
	d.page = &page{S: d.Session, At: d.page.At}
	d.page.follow()
	d.page.onEncoding(table.UTF8)(d.Ctx, noEvent)
	d.shows("Düse 1")
	d.page.replace(2, []string{"1;INJ A;Düse eins"})
	d.shows("Düse eins", "Rows were mended since")
	d.page.begin("Pin;Legend\n1;INJ A\n")
	if d.page.follow(); d.page.encodings() != nil {
		t.Error("what was pasted has an encoding to choose")
	}
}

// Pins go to the controller that was chosen, or to one that is made for them.
func TestPinsOfASecondController(t *testing.T) {
	d := newDesk(t)
	d.take(small)
	first := d.page.controllers()
	if len(first) != 1 {
		t.Fatalf("%d controllers", len(first))
	}
	d.page.begin(small)
	d.open("", partPreview)
	d.shows("Whose pins are they?", "A new controller")
	d.page.onWhose(freshController)(d.Ctx, noEvent)
	d.page.onFace(harness.WireSide)(d.Ctx, noEvent)
	d.page.onTake(d.Ctx, noEvent)
	all := d.page.controllers()
	if len(all) != 2 || all[1].Name != "Controller 2" || d.B().Leads.Len() != 8 {
		t.Fatalf("%+v, %d leads", all, d.B().Leads.Len())
	}
	d.page.begin("Pin\tLegend\nA9\tOUT 9\n")
	d.page.onTake(d.Ctx, noEvent)
	d.page.onWhose(first[0].ID)(d.Ctx, noEvent)
	d.page.begin("Pin\tLegend\nA9\tOUT 9\n")
	d.page.onTake(d.Ctx, noEvent)
	at := map[string]int{}
	for _, x := range d.B().Terminals.All() {
		at[x.Place]++
	}
	if at[first[0].ID] != 5 || at[all[1].ID]+at[all[0].ID] != 10 {
		t.Errorf("pins by controller: %v", at)
	}
}
