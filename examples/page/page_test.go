package main

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"example.com/chelation/examples/page/bridge"
	"example.com/chelation/solution/journal"
	"example.com/chelation/tables"
)

// exported returns the journal that the page gives out as a file when its button is
// pressed, once the program journal has read it, and where it lies.
func exported(b *tab) (*journal.Journal, string) {
	b.t.Helper()
	b.part("book")
	path := b.download("#export")
	out, err := command(nil, "run", "example.com/chelation/examples/journal", "-file", path, "-json")
	if err != nil {
		b.t.Fatal(err)
	}
	var told struct {
		Tally struct {
			Events int `json:"events"`
		} `json:"tally"`
	}
	if err := json.Unmarshal(out, &told); err != nil || told.Tally.Events != events(b) {
		b.t.Errorf("the page shows %d events, the program journal %d of its file: %v", events(b), told.Tally.Events, err)
	}
	t, err := tables.Standard()
	if err != nil {
		b.t.Fatal(err)
	}
	j, err := journal.Open(t, path)
	if err != nil {
		b.t.Fatal(err)
	}
	return j, path
}

// mix plans the tool library's bath and writes it down.
func mix(b *tab) {
	b.t.Helper()
	b.press("#mix-form button")
	b.wait(`document.querySelector("#outlook")`)
	b.press("#mixed")
	b.wait(`location.hash === "#ph" && document.querySelector("#why")`)
}

// mark is the button for a mark of the strip.
func mark(pH string) string { return fmt.Sprintf(`[aria-label="It reads %s"]`, pH) }

// noted waits until the journal of the page has so many events and all is said.
func noted(b *tab, events int) {
	b.t.Helper()
	b.wait(fmt.Sprintf(`document.querySelectorAll("#events li").length === %d`, events))
	b.settled()
}

// The whole day, with a finger at 360 px and with a mouse.
func TestDay(t *testing.T) {
	for name, h := range map[string]hand{"phone": phone, "desktop": desktop} {
		t.Run(name, func(t *testing.T) {
			b := enter(t, h).tab
			mix(b)
			b.picture("ph")
			b.press(mark("11"))
			noted(b, 2)
			b.press(".poured")
			noted(b, 3)
			b.press(mark("8"))
			noted(b, 4)
			b.picture("ph-poured")
			for events := 4; strings.Contains(b.text("#next .do"), "stir in"); events += 2 {
				if events > 12 {
					t.Fatalf("no end of pouring: %s", b.text("#next"))
				}
				b.press(".poured")
				noted(b, events+1)
				b.press(mark("7"))
				noted(b, events+2)
			}
			if got := b.text("#next .do"); !strings.Contains(got, "Stop") {
				t.Errorf("the advice is %q: want to stop", got)
			}
			use(t, b)
			ask(t, b)
			b.part("book")
			b.picture("book")
			j, _ := exported(b)
			if events := j.Events(); events[0].Kind != journal.Mixed || events[len(events)-1].Kind != journal.DragOut {
				t.Errorf("the journal goes from %s to %s", events[0].Kind, events[len(events)-1].Kind)
			}
			sane(b)
			sheet(t, b)
		})
	}
}

// sane finds what a script writes where a value is missing.
func sane(b *tab) {
	b.t.Helper()
	all := eval[string](b, `document.querySelector("main").textContent`)
	for _, slip := range []string{"undefined", "NaN", "[object", "null"} {
		if i := strings.Index(all, slip); i >= 0 {
			b.t.Errorf("the page says %q", all[max(0, i-40):min(len(all), i+40)])
		}
	}
}

func use(t *testing.T, b *tab) {
	b.part("use")
	b.press("#dip-form button")
	b.wait(`document.querySelector("#dip-answer .do")`)
	if got := b.text("#dip-answer .do"); !strings.HasPrefix(got, "First look after ") {
		t.Errorf("when to look: %q", got)
	}
	b.press("#days-form button")
	b.wait(`document.querySelector("#days-answer table")`)
	n := eval[int](b, `document.querySelectorAll("#events li").length`)
	b.write(`#event-form [name=rust_mass]`, "12 g")
	b.write(`#event-form [name=note]`, "bench vise")
	b.press("#event-form button")
	noted(b, n+1)
	b.choose("#event-form [name=kind]", "stood")
	b.choose("#event-form [name=cover]", "still")
	b.write("#event-form [name=bare_steel]", "0.1 m²")
	b.press("#event-form button")
	noted(b, n+2)
	b.choose("#event-form [name=kind]", "drag-out")
	b.write(`#event-form [name=volume]`, "0.3 L")
	b.press("#event-form button")
	noted(b, n+3)
	b.picture("use")
	if got := b.text("#stand"); !strings.Contains(got, "So far 12 g of rust") {
		t.Errorf("after 12 g of rust the page says %q", got)
	}
}

func ask(t *testing.T, b *tab) {
	b.part("ask")
	for _, x := range []struct{ name, want string }{
		{"part", "zinc"}, {"time", "First look after"}, {"spent", "pH"}, {"after", "oil"}, {"away", "Not down the drain"},
	} {
		b.press("#" + x.name + "-form button")
		b.wait(fmt.Sprintf(`document.querySelector("#%s-answer").innerText`, x.name))
		if got := b.text("#" + x.name + "-answer"); !strings.Contains(got, x.want) {
			t.Errorf("%s: %q does not hold %q", x.name, got, x.want)
		}
	}
	b.press("#spent-form summary")
	b.press(`#signs [value="red-brown"]`)
	b.press("#spent-form button")
	b.wait(`document.querySelector("#causes")`)
	b.write(`#cost-form [name=chelant_price]`, "38 per 5 kg")
	b.write(`#cost-form [name=acid_price]`, "18 per 5 lb")
	b.press("#cost-form button")
	b.wait(`document.querySelector("#cost-answer .do")`)
	if got := b.text("#cost-answer"); !strings.Contains(got, "3.80 for the chelant") { // 38/5 per kg, 500 g
		t.Errorf("cost: %q", got)
	}
	b.picture("ask")
}

// sheet prints what goes on the wall.
func sheet(t *testing.T, b *tab) {
	eval[any](b, `window.print = () => { window.printed = true; }`) // in place of the browser's dialogue
	b.press("#sheet")
	b.wait(`window.printed`)
	tell(b, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"})
	got := b.text("body")
	for _, want := range []string{"Tetrasodium EDTA", "Take care", "To pH 7.0", "Work like this"} {
		if !strings.Contains(got, want) {
			t.Errorf("the sheet lacks %q", want)
		}
	}
	for _, not := range []string{"What to weigh", "Loading"} {
		if strings.Contains(got, not) {
			t.Errorf("the sheet holds %q", not)
		}
	}
	b.picture("sheet")
	if pdf := do(b, chromedp.PrintToPDF()); len(pdf) < 5000 {
		t.Errorf("a sheet of %d bytes", len(pdf))
	}
	tell(b, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{})
}

// What the page shows is what the library says: the same calls, made here.
func TestNumbers(t *testing.T) {
	b := enter(t, phone).tab
	native, err := bridge.New()
	if err != nil {
		t.Fatal(err)
	}
	b.choose("#units", "us")
	b.write("[name=volume]", "3 gal")
	b.write("#mix-form [name=amount]", "2 cups")
	b.press("#mix-form button")
	b.wait(`document.querySelector("#outlook")`)
	request := eval[json.RawMessage](b, `import("./mix.js").then((m) => m.said())`)
	answers := map[string]map[string]any{}
	for _, call := range []string{"names", "weigh", "plan", "outlook", "time", "parts", "away"} {
		with := request
		switch call {
		case "names":
			with = nil
		case "time":
			with = []byte(fmt.Sprintf(`{"recipe": %s, "rust": "marine", "thickness": "2 mil", "area": "2 ft²"}`, request))
		case "parts":
			with = []byte(fmt.Sprintf(`{"recipe": %s, "materials": ["spring", "chrome"]}`, request))
		case "away":
			with = []byte(fmt.Sprintf(`{"recipe": %s}`, request))
		}
		message, err := json.Marshal(map[string]any{"call": call, "units": "us", "request": with})
		if err != nil {
			t.Fatal(err)
		}
		var here struct {
			Answer map[string]any
			Error  any
		}
		if err := json.Unmarshal(native.Answer(message), &here); err != nil || here.Error != nil {
			t.Fatal(call, err, here.Error)
		}
		there := eval[map[string]any](b, fmt.Sprintf(`import("./talk.js").then((m) => m.ask(%q, %s))`, call, or(with, "{}")))
		// Texts are the same to the letter. Exponentials are rounded otherwise here than in
		// the browser, and what follows a bath through hours carries that on: 1.1e-9 was seen.
		if d := cmp.Diff(here.Answer, there, cmpopts.EquateApprox(1e-7, 1e-12)); d != "" {
			t.Errorf("%s, natively and in the browser:\n%s", call, d)
		}
		answers[call] = here.Answer
	}
	weighing := answers["weigh"]
	for _, portion := range []string{"chelant", "acid"} {
		want := weighing[portion].(map[string]any)["mass_text"].(string)
		if got := b.text("#weighing"); !strings.Contains(got, want) {
			t.Errorf("the list %q lacks the %s, %s", got, portion, want)
		}
	}
	for _, s := range answers["plan"]["steps"].([]any) {
		want := s.(map[string]any)["portion"].(map[string]any)["mass_text"].(string)
		if got := b.text("#steps"); !strings.Contains(got, want) {
			t.Errorf("the steps %q lack %s", got, want)
		}
	}
	if want := answers["outlook"]["takes_left_alone"].(map[string]any)["rust_text"].(string); !strings.Contains(b.text("#outlook"), want) {
		t.Errorf("the outlook lacks %s", want)
	}
}

func or(text []byte, usual string) string {
	if text == nil {
		return usual
	}
	return string(text)
}

// A typing error in any field is said at that field, with what is wanted.
func TestTypos(t *testing.T) {
	b := enter(t, phone).tab
	try := func(form, field, typo, restore string) {
		t.Helper()
		selector := fmt.Sprintf("#%s [name=%s]", form, field)
		eval[any](b, fmt.Sprintf(`document.querySelector(%q).closest("details")?.setAttribute("open", "")`, selector))
		b.write(selector, typo)
		b.press("#" + form + " button:not([type=button])")
		b.wait(fmt.Sprintf(`document.querySelector(%q).getAttribute("aria-invalid") === "true" && document.activeElement === document.querySelector(%[1]q)`, selector))
		said := eval[string](b, fmt.Sprintf(`document.getElementById(document.querySelector(%q).getAttribute("aria-describedby")).innerText`, selector))
		if !strings.Contains(said, "want ") {
			t.Errorf("%s %s %q: %q does not say what is wanted", form, field, typo, said)
		}
		b.write(selector, restore)
	}
	try("mix-form", "volume", "20", "20 L")
	try("mix-form", "volume", "-3 L", "20 L")
	try("mix-form", "temperature", "warm", "20 °C")
	try("mix-form", "hardness", "7", "")
	try("mix-form", "alkalinity", "some", "")
	try("mix-form", "amount", "2 heaped tbsp", "500 g")
	try("mix-form", "ph", "neutral", "7")
	try("mix-form", "chelant_price", "4.50", "")
	try("mix-form", "acid_price", "cheap", "")
	mix(b)
	b.choose("#read-form [name=strip]", "ph-meter")
	b.wait(`document.querySelector("#meter").checkVisibility()`)
	try("read-form", "ph", "blue", "")
	try("read-form", "ph", "15", "")
	try("add-form", "amount", "a bit", "")
	b.part("use")
	try("dip-form", "thickness", "thick", "25 µm")
	try("dip-form", "area", "3", "0.1 m²")
	try("event-form", "rust_mass", "much", "")
	try("event-form", "steel_mass", "1", "")
	b.choose("#event-form [name=kind]", "evaporated")
	try("event-form", "volume", "30 L", "") // of 20
	b.part("ask")
	try("time-form", "thickness", "1 parsec", "25 µm")
	try("cost-form", "chelant_price", "free", "")
	if n := eval[int](b, `document.querySelectorAll("#events li").length`); n != 1 {
		t.Errorf("%d events were noted: want the mixing alone", n)
	}
}

// A bag without a label, in US measures: the readings tell what it holds.
func TestUnlabelled(t *testing.T) {
	b := enter(t, phone).tab
	b.choose("#units", "us")
	b.press("#mix-form [name=unlabelled]")
	mix(b)
	if got := b.text("#next"); !strings.Contains(got, "Disodium EDTA dihydrate") {
		t.Errorf("before the first reading the bag may hold anything: %q", got)
	}
	b.press(mark("11"))
	noted(b, 2)
	got := b.text("#next")
	if !strings.Contains(got, "oz") || strings.Contains(got, " g ") {
		t.Errorf("the pour is not in US measures: %q", got)
	}
	if strings.Contains(b.text("#salts"), "Disodium EDTA dihydrate") {
		t.Errorf("at pH 11 it is no disodium salt: %q", b.text("#salts"))
	}
	b.picture("unlabelled")
	sane(b)
}

// A bag of disodium salt and washing soda: the gas is spoken of, and the soda poured.
func TestSoda(t *testing.T) {
	b := enter(t, phone).tab
	b.choose("#mix-form [name=chelant]", "edta-disodium")
	b.choose("#mix-form [name=acid]", "sodium-carbonate-monohydrate")
	b.press("#mix-form button")
	b.wait(`document.querySelector("#outlook") && document.querySelector("#gas")`)
	b.press("#mixed")
	b.wait(`location.hash === "#ph" && document.querySelector("#why")`)
	b.press(mark("5"))
	noted(b, 2)
	if got := b.text("#next .do"); !strings.Contains(got, "Sodium carbonate") {
		t.Errorf("at pH 5 the advice is %q", got)
	}
}
