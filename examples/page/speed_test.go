package main

import (
	"encoding/json"
	"fmt"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"example.com/chelation/examples/page/bridge"
)

// mostBytes is what the page may weigh on its way to the phone, library and all, compressed.
const mostBytes = 2_500_000

func TestSize(t *testing.T) {
	files, err := made()
	if err != nil {
		t.Fatal(err)
	}
	total, plain := 0, 0
	for name, data := range files {
		plain += len(data)
		if name != "library.bin" { // which is compressed
			if data, err = pack(data); err != nil {
				t.Fatal(err)
			}
		}
		total += len(data)
	}
	t.Logf("the page is %d bytes compressed, %d of them the library, and %d from a host that compresses nothing", total, len(files["library.bin"]), plain)
	if total > mostBytes {
		t.Errorf("the page is %d bytes: want at most %d", total, mostBytes)
	}
}

// Every call in the browser's worker against the same call made here: times depend on
// the machine, ratios less. Prints them with -v.
func TestRatios(t *testing.T) {
	b := enter(t, phone).tab
	native, err := bridge.New()
	if err != nil {
		t.Fatal(err)
	}
	started := func() float64 {
		return eval[float64](b, `performance.getEntriesByType("mark").find((m) => m.name === "ready").startTime`)
	}
	t.Logf("ready after %.0f ms from nothing", started())
	b.wait(`navigator.serviceWorker.controller`)
	do(b, chromedp.Reload())
	b.ready()
	t.Logf("ready after %.0f ms from a warm cache", started())
	messages := []struct{ call, request string }{
		{"weigh", `{}`}, {"plan", `{}`}, {"outlook", `{}`},
		{"note", `{"journal": "", "at": "2026-03-02T18:00:00Z", "kind": "mixed", "volume": "20 L", "water": "soft tap water", "temperature": "20 C", "reagent": "tetrasodium EDTA", "amount": "500 g"}`},
		{"next", `{"journal": "", "unlabelled": true}`},
		{"time", `{"rust": "marine", "thickness": "50 µm", "area": "0.2 m²"}`}, {"days", `{"cover": "still", "bare_steel": "0.1 m²"}`}, {"away", `{}`},
	}
	once := func(call, request string) (there, here float64) {
		message, err := json.Marshal(map[string]any{"call": call, "request": json.RawMessage(request)})
		if err != nil {
			t.Fatal(err)
		}
		begin := time.Now()
		native.Answer(message)
		here = time.Since(begin).Seconds() * 1000
		return eval[float64](b, fmt.Sprintf(`import("./talk.js").then(async (m) => { await m.ask(%q, %s); return m.timings.at(-1).milliseconds; })`, call, request)), here
	}
	const rounds = 5 // of which the quickest counts: other programs run as well
	for _, m := range messages {
		there, here := once(m.call, m.request)
		best := [2]float64{there, here}
		for range rounds {
			x, y := once(m.call, m.request)
			best = [2]float64{min(best[0], x), min(best[1], y)}
		}
		t.Logf("%-8s first %7.1f ms in the browser, %6.2f ms natively: ratio %3.0f; further ones %6.1f and %6.2f: ratio %.1f", m.call, there, here, there/here, best[0], best[1], best[0]/best[1])
		if !(best[0] > 0 && best[1] > 0) {
			t.Errorf("%s took no time", m.call)
		}
	}
}

// The weighing list stands before the ranges, and these before the outlook; meanwhile
// the page never stops for as long as the library works.
func TestStepByStep(t *testing.T) {
	b := enter(t, phone).tab
	eval[any](b, `(() => {
		window.seen = [];
		new MutationObserver(() => {
			for (const id of ["weighing", "how-sure", "outlook"]) if (document.getElementById(id) && !seen.some((s) => s.id === id)) seen.push({ id, at: performance.now() });
		}).observe(document.querySelector("#mix-answer"), { childList: true, subtree: true });
		window.longest = 0;
		new PerformanceObserver((list) => { for (const e of list.getEntries()) longest = Math.max(longest, e.duration); }).observe({ type: "longtask" });
	})()`)
	b.press("#mix-form button")
	b.wait(`document.querySelector("#outlook")`)
	seen := eval[[]struct {
		ID string
		At float64
	}](b, `seen.map((s) => ({ ID: s.id, At: s.at }))`)
	if len(seen) != 3 || seen[0].ID != "weighing" || seen[1].ID != "how-sure" || seen[2].ID != "outlook" || !(seen[0].At < seen[1].At && seen[1].At < seen[2].At) {
		t.Errorf("seen in the order %v", seen)
	}
	worked := eval[float64](b, `import("./talk.js").then((m) => m.timings.reduce((s, x) => s + x.milliseconds, 0))`)
	longest := eval[float64](b, `longest`)
	t.Logf("the library worked for %.0f ms; the page stopped for %.0f ms at the longest", worked, longest)
	if longest > worked/2 {
		t.Errorf("the page stopped for %.0f ms of the %.0f that the library worked", longest, worked)
	}
}
