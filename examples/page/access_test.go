package main

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// violation is what the rules found fault with.
type violation struct {
	ID    string `json:"id"`
	Help  string `json:"help"`
	Nodes []struct {
		HTML           string `json:"html"`
		FailureSummary string `json:"failureSummary"`
	} `json:"nodes"`
}

// Every part of the day is held to the accessibility rules, at both widths, by day
// and in the dark: WCAG 2.2 A and AA, best practice, and contrast of 7:1 (AAA).
func TestAccess(t *testing.T) {
	rules, err := os.ReadFile("node_modules/axe-core/axe.min.js")
	if err != nil {
		t.Fatalf("%v: npm ci brings the rules", err)
	}
	for name, h := range map[string]hand{"phone": phone, "desktop": desktop} {
		t.Run(name, func(t *testing.T) {
			b := enter(t, h).tab
			mix(b)
			b.press(mark("11"))
			noted(b, 2)
			b.part("use")
			b.press("#dip-form button")
			b.wait(`document.querySelector("#dip-answer").innerText`)
			b.part("ask")
			for _, form := range []string{"part", "time", "spent", "after", "away"} {
				b.press("#" + form + "-form button")
				b.wait(fmt.Sprintf(`document.querySelector("#%s-answer").innerText`, form))
			}
			b.press("#cost-form button") // without a price: an error is to be seen, too
			b.wait(`document.querySelector("#cost-form [aria-invalid]")`)
			eval[any](b, `document.querySelectorAll("details").forEach((d) => d.open = true)`)
			// The policy of the page lets no script in: the rules come over the protocol.
			eval[any](b, string(rules)+";0")
			const all = `{ runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"], rules: { "color-contrast-enhanced": { enabled: true } } }`
			const colours = `{ runOnly: { type: "rule", values: ["color-contrast", "color-contrast-enhanced"] } }` // all that the dark changes
			schemes := map[string]string{"light": all}
			if h == phone {
				schemes["dark"] = colours // the same at any width
			}
			for scheme, rules := range schemes {
				tell(b, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}})
				for _, part := range []string{"mix", "ph", "use", "ask", "book"} {
					b.part(part)
					b.settled()
					found := eval[[]violation](b, fmt.Sprintf(`axe.run(%s).then((r) => r.violations)`, rules))
					for _, v := range found {
						for _, n := range v.Nodes {
							t.Errorf("%s, %s: %s: %s\n%s\n%s", part, scheme, v.ID, v.Help, n.HTML, n.FailureSummary)
						}
					}
					if scheme == "light" {
						reach(t, b, part)
					}
				}
			}
		})
	}
}

// reach checks that all that can be pressed is 44 px high and wide, lies apart, and
// that nothing has to be scrolled to from the side.
func reach(t *testing.T, b *tab, part string) {
	t.Helper()
	const small = `[...document.querySelectorAll("a, button, input, select, summary")].filter((e) => {
		if (!e.checkVisibility() || e.matches("p a, .skip")) return false;
		const r = (e.closest("label.tick, label.button") ?? e).getBoundingClientRect();
		return r.height < 44 || r.width < 44;
	}).map((e) => e.outerHTML.slice(0, 120))`
	for _, e := range eval[[]string](b, small) {
		t.Errorf("%s: smaller than 44 px: %s", part, e)
	}
	if over := eval[int](b, `document.documentElement.scrollWidth - innerWidth`); over > 0 {
		t.Errorf("%s: %d px wider than the screen", part, over)
	}
}

// The keyboard alone goes through Mix and writes the bath down.
func TestKeyboard(t *testing.T) {
	b := enter(t, desktop).tab
	tabTo := func(selector string) {
		t.Helper()
		for range 60 {
			do(b, chromedp.KeyEvent(kb.Tab))
			if eval[bool](b, fmt.Sprintf(`document.activeElement === document.querySelector(%q)`, selector)) {
				return
			}
		}
		t.Fatalf("no way to %s by the tabulator", selector)
	}
	tabTo(".skip")
	do(b, chromedp.KeyEvent(kb.Enter))
	tabTo("#mix-form [name=volume]")
	do(b, chromedp.KeyEvent("10 L"))
	do(b, chromedp.KeyEvent(kb.Enter))
	b.wait(`document.querySelector("#outlook")`)
	if got := b.text("#weighing"); !strings.Contains(got, "10 L") {
		t.Errorf("the list is %q", got)
	}
	tabTo("#mixed")
	do(b, chromedp.KeyEvent(kb.Enter))
	b.wait(`location.hash === "#ph"`)
	tabTo(mark("11"))
	do(b, chromedp.KeyEvent(" "))
	noted(b, 2)
}
