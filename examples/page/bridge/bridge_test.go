package bridge

import (
	"encoding/json"
	"fmt"
	"log"
	"math"
	"slices"
	"strings"
	"testing"
)

// A tool asks what to weigh, in US measures, and reads numbers and texts.
func ExampleBridge_Answer() {
	b, err := New()
	if err != nil {
		log.Fatal(err)
	}
	var answer struct {
		Answer struct {
			Acid struct {
				Name      string  `json:"name"`
				MassGrams float64 `json:"mass_g"`
				MassText  string  `json:"mass_text"`
			} `json:"acid"`
		} `json:"answer"`
		Error *Problem `json:"error"`
	}
	for _, volume := range []string{"5 gal", "5"} {
		message := fmt.Sprintf(`{"call": "weigh", "units": "us", "request": {"volume": %q, "amount": "1 lb", "acid": "citric acid"}}`, volume)
		if err := json.Unmarshal(b.Answer([]byte(message)), &answer); err != nil {
			log.Fatal(err)
		}
		if p := answer.Error; p != nil {
			fmt.Printf("%s is %s: want %s\n", p.Field, p.Value, p.Want)
			continue
		}
		fmt.Printf("%.0f g, or %s, of %s\n", answer.Answer.Acid.MassGrams, answer.Answer.Acid.MassText, answer.Answer.Acid.Name)
	}
	// Output:
	// 76 g, or 2.7 oz, of Citric acid, anhydrous
	// volume is "5": want a unit such as tsp, tbsp, fl oz, cup, pt, qt, gal, mL, L at the end
}

// ask makes a call and returns its answer or its error as text.
func ask(t *testing.T, b *Bridge, call, request string) (map[string]any, *Problem) {
	t.Helper()
	var out struct {
		Version int
		Call    string
		Answer  map[string]any
		Error   *Problem
	}
	if err := json.Unmarshal(b.Answer([]byte(fmt.Sprintf(`{"version": 2, "call": %q, "request": %s}`, call, request))), &out); err != nil {
		t.Fatal(err)
	}
	if out.Version != Version || out.Call != call || (out.Answer == nil) == (out.Error == nil) {
		t.Fatalf("%s: version %d, call %s, answer %v, error %v", call, out.Version, out.Call, out.Answer, out.Error)
	}
	return out.Answer, out.Error
}

// day notes a life of a tub, invented, and returns its journal.
func day(t *testing.T, b *Bridge) string {
	t.Helper()
	text := ""
	for _, e := range []string{
		`"kind": "mixed", "at": "2026-03-02T18:00:00Z", "volume": "20 L", "water": "soft tap water", "temperature": "68 F", "reagent": "tetrasodium EDTA", "amount": "1 lb 2 oz"`,
		`"kind": "reading", "at": "2026-03-02T18:10:00Z", "ph": "11", "strip": "universal strip"`,
		`"kind": "added", "at": "2026-03-02T18:20:00Z", "reagent": "citric acid", "amount": "1/3 cup"`,
		`"kind": "dipped", "at": "2026-03-03T18:00:00Z", "rust": "fresh orange rust", "thickness": "25 µm", "area": "1 ft²", "note": "bench vise"`,
		`"kind": "stood", "at": "2026-03-04T08:00:00Z", "cover": "still", "bare_steel": "1 ft²"`,
		`"kind": "watered", "at": "2026-03-04T18:00:00Z", "volume": "1 qt", "hardness": "7 gpg"`,
	} {
		journal, err := json.Marshal(text)
		if err != nil {
			t.Fatal(err)
		}
		a, problem := ask(t, b, "note", fmt.Sprintf(`{"journal": %s, %s}`, journal, e))
		if problem != nil {
			t.Fatalf("%s: %s", e, problem.Text)
		}
		text = a["journal"].(string)
	}
	return text
}

// Every call answers, about the tub of a recipe and about that of a journal.
func TestCalls(t *testing.T) {
	b, err := New()
	if err != nil {
		t.Fatal(err)
	}
	text := day(t, b)
	if n := strings.Count(text, "\n"); n != 6 {
		t.Fatalf("%d lines: %s", n, text)
	}
	if !strings.Contains(text, measuredAs+"1/3 cup") {
		t.Errorf("the journal does not say how the acid was measured: %s", text)
	}
	journal, err := json.Marshal(text)
	if err != nil {
		t.Fatal(err)
	}
	requests := map[string]string{
		"time": `"rust": "old rust", "thickness": "2 mil", "area": "1 ft²"`, "parts": `"materials": ["chrome", "spring"]`,
		"days": `"cover": "still", "bare_steel": "0.2 m²"`,
	}
	bare := []string{"names", "weigh", "plan", "outlook"} // about no journal
	for name := range b.calls {
		if name == "note" {
			continue
		}
		rest, comma := requests[name], ""
		if rest != "" {
			comma = ", "
		}
		request := fmt.Sprintf(`{"journal": %s%s%s}`, journal, comma, rest)
		if slices.Contains(bare, name) {
			request = "{" + rest + "}"
		}
		if a, problem := ask(t, b, name, request); problem != nil || len(a) == 0 {
			t.Errorf("%s: %v", name, problem)
		}
	}
}

// What is refused names the field of the request.
func TestRefusals(t *testing.T) {
	b, err := New()
	if err != nil {
		t.Fatal(err)
	}
	journal, err := json.Marshal(day(t, b))
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range []struct{ call, request, field string }{
		{"weigh", `{"volume": "5"}`, "volume"}, {"weigh", `{"ph": "x"}`, "ph"}, {"weigh", `{"ph": "14"}`, "ph"}, {"weigh", `{"alkalinity": "some"}`, "alkalinity"},
		{"plan", `{"chelant": "salt"}`, "chelant"}, {"plan", `{"parts": ["unobtainium"]}`, "parts"}, {"plan", `{"acid_price": "9"}`, "acid_price"},
		{"weigh", `{"colour": "red"}`, "request"}, {"dance", `{}`, "call"}, {"next", `{"journal": "x", "base": "sugar"}`, "base"},
		{"read", `{"journal": "{}\n"}`, "journal"}, {"parts", `{"materials": ["unobtainium"]}`, "materials"}, {"days", `{"cover": "hat"}`, "cover"},
		{"note", fmt.Sprintf(`{"journal": %s, "kind": "amended", "number": 9, "ph": "8", "note": "a slip"}`, journal), "number"},
		{"note", fmt.Sprintf(`{"journal": %s, "kind": "amended", "number": 2, "ph": "15", "note": "a slip"}`, journal), "ph"},
		{"note", fmt.Sprintf(`{"journal": %s, "kind": "struck", "number": 3}`, journal), "note"},
		{"note", fmt.Sprintf(`{"journal": %s, "kind": "evaporated", "volume": "30 L"}`, journal), "volume"},
		{"note", fmt.Sprintf(`{"journal": %s, "kind": "added", "reagent": "citric acid"}`, journal), "amount"},
		{"note", fmt.Sprintf(`{"journal": %s, "kind": "reading", "ph": "15", "strip": "pH meter"}`, journal), "ph"},
	} {
		if _, problem := ask(t, b, x.call, x.request); problem == nil || problem.Field != x.field || problem.Text == "" {
			t.Errorf("%s %s: %+v, want it to be about %s", x.call, x.request, problem, x.field)
		}
	}
	for _, message := range []string{"", "{", `{"call": "names"} {}`, `{"version": 3, "call": "names"}`, `{"call": "names", "units": "stone"}`} {
		var out struct{ Error *Problem }
		if err := json.Unmarshal(b.Answer([]byte(message)), &out); err != nil || out.Error == nil {
			t.Errorf("%q is answered: %v", message, err)
		}
	}
}

// A reading that contradicts the label is said.
func TestMisfit(t *testing.T) {
	b, err := New()
	if err != nil {
		t.Fatal(err)
	}
	text := ""
	for _, e := range []string{
		`"kind": "mixed", "at": "2026-03-02T18:00:00Z", "volume": "20 L", "water": "moderately hard tap water", "temperature": "20 C", "reagent": "tetrasodium EDTA", "amount": "500 g"`,
		`"kind": "reading", "at": "2026-03-02T18:10:00Z", "ph": "11", "strip": "universal strip"`,
		`"kind": "reading", "at": "2026-03-02T18:20:00Z", "ph": "4", "strip": "universal strip"`,
	} {
		journal, _ := json.Marshal(text) // a string always can
		a, problem := ask(t, b, "note", fmt.Sprintf(`{"journal": %s, %s}`, journal, e))
		if problem != nil {
			t.Fatal(problem.Text)
		}
		text = a["journal"].(string)
	}
	journal, _ := json.Marshal(text)
	a, problem := ask(t, b, "next", fmt.Sprintf(`{"journal": %s}`, journal))
	if problem != nil {
		t.Fatal(problem.Text)
	}
	if flags, ok := a["advice"].(map[string]any)["flags"].([]any); !ok || len(flags) == 0 {
		t.Errorf("nothing is said of a reading of 4 in a bath that just read 11: %v", a["advice"])
	}
}

// The weighing list is that of the plan, in an open tub with carbonate as well.
func TestWeighing(t *testing.T) {
	b, err := New()
	if err != nil {
		t.Fatal(err)
	}
	for _, q := range []Recipe{{}, {Volume: "3 gal", Amount: "2 cups"}, {Chelant: "disodium EDTA", Acid: "washing soda"}, {Chelant: "disodium EDTA", Acid: "washing soda", Cover: "lidded"}} {
		w, err := b.Weigh(q)
		if err != nil {
			t.Fatal(err)
		}
		p, err := b.Plan(q)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(w.Acid.MassGrams/p.Acid.MassGrams-1) > 1e-6 || w.Chelant.MassGrams != p.Chelant.MassGrams || math.Abs(w.PHAfter-p.PHAfter) > 1e-6 {
			t.Errorf("%+v: the list says %g g and pH %.3f, the plan %g g and pH %.3f", q, w.Acid.MassGrams, w.PHAfter, p.Acid.MassGrams, p.PHAfter)
		}
	}
}
