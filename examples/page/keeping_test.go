package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/storage"
	"github.com/chromedp/chromedp"

	"example.com/chelation/solution/journal"
)

// events counts those that the page shows.
func events(b *tab) int {
	b.t.Helper()
	return eval[int](b, `document.querySelectorAll("#events li").length`)
}

// Without a network, and without the host: the page starts again and works.
func TestOffline(t *testing.T) {
	s := enter(t, phone)
	b := s.tab
	b.wait(`navigator.serviceWorker.controller`)
	eval[any](b, `navigator.serviceWorker.ready.then(() => true)`)
	mix(b)
	s.host.CloseClientConnections()
	s.host.Close()
	do(b, chromedp.Reload())
	b.ready()
	if n := events(b); n != 1 {
		t.Errorf("%d events after a reload without a host: want 1", n)
	}
	b.part("mix")
	b.press("#mix-form button")
	b.wait(`document.querySelector("#outlook")`)
	b.part("ph")
	b.press(mark("11"))
	noted(b, 2)
}

// A reload in the middle of the day loses nothing, and neither does one in the middle
// of a form.
func TestReload(t *testing.T) {
	b := enter(t, phone).tab
	b.write("#mix-form [name=amount]", "450 g")
	do(b, chromedp.Reload())
	b.ready()
	if got := eval[string](b, `document.querySelector("#mix-form [name=amount]").value`); got != "450 g" {
		t.Errorf("the form says %q after a reload", got)
	}
	mix(b)
	b.press(mark("11"))
	noted(b, 2)
	b.press(".poured")
	noted(b, 3)
	before := b.text("#next")
	do(b, chromedp.Reload())
	b.ready()
	noted(b, 3)
	if after := b.text("#next"); after != before {
		t.Errorf("the advice was\n%s\nand is after a reload\n%s", before, after)
	}
}

// Two tabs that write at the same time lose nothing, and each shows what the other
// wrote.
func TestTwoTabs(t *testing.T) {
	s := enter(t, phone)
	first := s.tab
	mix(first)
	second := s.another()
	noted(second, 1)
	const each = 6
	for _, b := range []*tab{first, second} {
		eval[any](b, fmt.Sprintf(`import("./bath.js").then((m) => { window.all = (async () => { for (let i = 0; i < %d; i++) await m.note({ kind: "filtered", note: "a round" }); })(); })`, each))
	}
	for _, b := range []*tab{first, second} {
		eval[any](b, `window.all`)
	}
	for _, b := range []*tab{first, second} {
		noted(b, 1+2*each)
	}
	j, _ := exported(second)
	if n := len(j.Events()); n != 1+2*each {
		t.Errorf("the journal holds %d events: want %d", n, 1+2*each)
	}
}

// A finger that slipped: the event is struck out, or amended, with a reason; the journal
// keeps both, advice and the program journal go by what stands.
func TestMistake(t *testing.T) {
	b := enter(t, phone).tab
	mix(b)
	b.press(mark("11"))
	noted(b, 2)
	want := b.text("#next")
	b.press(mark("3"))
	noted(b, 3)
	if got := b.text("#next"); got == want {
		t.Errorf("a reading of 3 changes nothing: %s", got)
	}
	b.part("book")
	wrote := func(event, events int, ph string) {
		t.Helper()
		b.press(fmt.Sprintf(`[aria-label="Event %d was a mistake"]`, event))
		if ph != "" {
			b.write("#events [name=ph]", ph)
		}
		b.press("#events form button")
		noted(b, events)
	}
	wrote(3, 4, "")
	b.part("ph")
	b.settled()
	if got := b.text("#next"); got != want {
		t.Errorf("the advice was\n%s\nand is, once the mistake is out,\n%s", want, got)
	}
	b.part("book")
	wrote(4, 5, "") // which undoes it
	if n := eval[int](b, `document.querySelectorAll("#events s").length`); n != 1 {
		t.Errorf("%d events are struck out: want the one that struck out another", n)
	}
	wrote(3, 6, "11")
	b.press(`[aria-label="Event 2 was a mistake"]`)
	b.write("#events [name=ph]", "15")
	b.press("#events form button")
	b.wait(`document.querySelector("#events [aria-invalid]")`) // at its field
	b.picture("mistake")
	j, _ := exported(b)
	last := j.Events()[5]
	if last.Kind != journal.Amended || last.Number != 3 || *last.As[0].PH != 11 || last.Note != "a slip of the finger" {
		t.Errorf("the last line of the file is %+v", last)
	}
	sane(b)
}

// When the browser has no room the page says so, keeps what it had, and gives out
// what it could not keep.
func TestFull(t *testing.T) {
	s := enter(t, phone)
	b := s.tab
	b.wait(`navigator.serviceWorker.controller`) // all of the page is stored
	room := 60e3 + eval[float64](b, `navigator.storage.estimate().then((e) => e.usage)`)
	tell(b, storage.OverrideQuotaForOrigin, storage.OverrideQuotaForOriginParams{Origin: s.host.URL, QuotaSize: &room})
	mix(b)
	b.part("use")
	b.choose("#event-form [name=kind]", "filtered")
	b.write("#event-form [name=note]", strings.Repeat("far too long ", 8000))
	b.press("#event-form button")
	b.wait(`document.querySelector("#event-form p.wrong").checkVisibility()`)
	if got := b.text("#event-form p.wrong"); !strings.Contains(got, "NOT written down") || !strings.Contains(got, "as a file") {
		t.Errorf("with the storage full the page says %q", got)
	}
	b.picture("full")
	if n := events(b); n != 1 {
		t.Errorf("%d events are shown: want the one that is kept", n)
	}
	saved, err := os.ReadFile(b.download("#event-form p.wrong button"))
	if err != nil || !strings.Contains(string(saved), "far too long") {
		t.Errorf("what could not be kept is not in the file of %d bytes that is given out: %v", len(saved), err)
	}
	tell(b, storage.OverrideQuotaForOrigin, storage.OverrideQuotaForOriginParams{Origin: s.host.URL})
	b.press("#event-form button:not([type=button])")
	noted(b, 2)
	do(b, chromedp.Reload())
	b.ready()
	noted(b, 2)
}

// Files in and out: a sound one is taken in, a torn one but for its last line, a
// damaged one not at all, with the line that is to blame.
func TestFiles(t *testing.T) {
	b := enter(t, desktop).tab
	mix(b)
	b.press(mark("11"))
	noted(b, 2)
	b.press(".poured")
	noted(b, 3)
	_, path := exported(b)
	sound, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	b.part("book")
	for _, x := range []struct {
		name, content string
		baths, events int
		says          string
	}{
		{"damaged.jsonl", strings.Replace(string(sound), `"ph":11`, `"ph":12`, 1), 1, 3, "line 2"},
		{"nothing.jsonl", "", 1, 3, "no event"},
		{"picture.jsonl", "\x89PNG\r\n\x1a\n", 1, 3, "not taken in"},
		{"sound.jsonl", string(sound), 2, 3, ""},
		{"torn.jsonl", string(sound[:len(sound)-9]), 3, 2, "cut off"},
	} {
		t.Run(x.name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), x.name)
			if err := os.WriteFile(path, []byte(x.content), 0o644); err != nil {
				t.Fatal(err)
			}
			eval[any](b, `window.was = document.querySelector("#import").value = ""`)
			do(b, chromedp.SetUploadFiles(chromedp.CSS("#import"), []string{path}))
			b.wait(fmt.Sprintf(`document.querySelectorAll("#bath option").length === %d`, x.baths))
			if x.says != "" {
				b.wait(fmt.Sprintf(`document.querySelector("#import-wrong").innerText.includes(%q)`, x.says))
			}
			noted(b, x.events)
		})
	}
	b.picture("files")
}
