package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http/httptest"
	"os"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/browser"
	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// made is the page, made once for all tests.
var made = sync.OnceValues(site)

// chromium is one headless browser for all tests; each test has a profile of its own.
var chromium = sync.OnceValues(func() (context.Context, error) {
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.NoSandbox, chromedp.Flag("lang", "en-US"))
	allocator, _ := chromedp.NewExecAllocator(context.Background(), options...)
	browser, _ := chromedp.NewContext(allocator)
	return browser, chromedp.Do(browser)
})

func TestMain(m *testing.M) {
	code := m.Run()
	if browser, err := chromium(); err == nil {
		_ = chromedp.Cancel(browser)
	}
	os.Exit(code)
}

// hand is what holds the page: a screen, and a mouse or a finger.
type hand struct {
	width, height int64
	touch         bool
}

var (
	phone   = hand{360, 740, true}
	desktop = hand{1280, 900, false}
)

// shop is the page on its own host, in a profile of its own.
type shop struct {
	host *httptest.Server
	tab  *tab
}

// tab is a tab of a browser.
type tab struct {
	t   *testing.T
	ctx context.Context
	hand
}

func enter(t *testing.T, h hand) *shop {
	t.Helper()
	files, err := made()
	if err != nil {
		t.Fatal(err)
	}
	host := httptest.NewServer(handler(files))
	t.Cleanup(host.Close)
	browser, err := chromium()
	if err != nil {
		t.Fatalf("%v: the tests need Debian's chromium", err)
	}
	ctx, cancel := chromedp.NewContext(browser, chromedp.WithNewBrowserContext())
	t.Cleanup(cancel)
	s := &shop{host, &tab{t: t, ctx: ctx, hand: h}}
	s.tab.listen()
	s.tab.open(host.URL + "/")
	return s
}

// another opens the page in a second tab of the same profile.
func (s *shop) another() *tab {
	ctx, cancel := chromedp.NewContext(s.tab.ctx)
	s.tab.t.Cleanup(cancel)
	b := &tab{t: s.tab.t, ctx: ctx, hand: s.tab.hand}
	b.listen()
	b.open(s.host.URL + "/")
	return b
}

// listen notes errors of the page; a test that ends with one has failed.
func (b *tab) listen() {
	var lock sync.Mutex
	var complaints []string
	if err := chromedp.Listen(b.ctx, func(event any) {
		if thrown, ok := event.(runtime.EventExceptionThrown); ok {
			lock.Lock()
			defer lock.Unlock()
			complaints = append(complaints, fmt.Sprint(thrown.ExceptionDetails.Text, " ", thrown.ExceptionDetails.Exception))
		}
	}); err != nil {
		b.t.Fatal(err)
	}
	b.t.Cleanup(func() {
		lock.Lock()
		defer lock.Unlock()
		for _, c := range complaints {
			b.t.Errorf("the page threw %s", c)
		}
	})
}

// run takes a step in the tab, or gives up after a minute.
func do[T any](b *tab, action chromedp.Action[T]) T {
	b.t.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, time.Minute)
	defer cancel()
	out, err := chromedp.Run(ctx, action)
	if err != nil {
		b.picture("failed")
		b.t.Fatal(err)
	}
	return out
}

// tell sends the browser a command of its protocol.
func tell[P, R any](b *tab, command cdp.Command[P, R], with P) R {
	b.t.Helper()
	out, err := chromedp.Call(b.ctx, command, with)
	if err != nil {
		b.t.Fatal(err)
	}
	return out
}

func (b *tab) open(url string) {
	b.t.Helper()
	do(b, chromedp.EmulateViewport(b.width, b.height))
	tell(b, emulation.SetTouchEmulationEnabled, emulation.SetTouchEmulationEnabledParams{Enabled: b.touch})
	do(b, chromedp.Navigate(url))
	b.ready()
}

func (b *tab) ready() {
	b.t.Helper()
	b.wait(`document.body.dataset.ready === "yes"`)
}

// wait waits until an expression of the page is true.
func (b *tab) wait(expression string) {
	b.t.Helper()
	const patience = 20 * time.Second
	for start := time.Now(); !eval[bool](b, "!!("+expression+")"); time.Sleep(30 * time.Millisecond) {
		if time.Since(start) > patience {
			b.picture("failed")
			b.t.Fatalf("waited in vain for %s; the page says %s", expression, b.text("main"))
		}
	}
}

// eval returns what an expression of the page is, promises awaited.
func eval[T any](b *tab, expression string) T {
	b.t.Helper()
	return do(b, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
}

// quote writes a text for an expression.
func quote(s string) string {
	data, _ := json.Marshal(s) // a string always can
	return string(data)
}

// press presses an element as the hand does, where it is seen, once nothing that is
// still being worked out can move it away from under the finger.
func (b *tab) press(selector string) {
	b.t.Helper()
	b.settled()
	type place struct{ X, Y float64 }
	b.wait(fmt.Sprintf(`document.querySelector(%s)?.checkVisibility() && !document.querySelector(%[1]s).disabled`, quote(selector)))
	p := eval[place](b, fmt.Sprintf(`(async () => {
		const e = document.querySelector(%s);
		e.scrollIntoView({ block: "center", behavior: "instant" });
		await new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)));
		const r = e.getBoundingClientRect();
		return { X: r.x + r.width / 2, Y: r.y + r.height / 2 };
	})()`, quote(selector)))
	if b.touch {
		do(b, chromedp.TapXY(p.X, p.Y))
	} else {
		do(b, chromedp.MouseClickXY(p.X, p.Y))
	}
}

// write types into a field, in the place of what was there.
func (b *tab) write(selector, text string) {
	b.t.Helper()
	b.press(selector)
	eval[any](b, fmt.Sprintf(`document.querySelector(%s).select()`, quote(selector)))
	if text == "" {
		do(b, chromedp.KeyEvent(kb.Backspace))
		return
	}
	tell(b, input.InsertText, input.InsertTextParams{Text: text})
}

// choose takes an option of a select, as its list would.
func (b *tab) choose(selector, value string) {
	b.t.Helper()
	if !eval[bool](b, fmt.Sprintf(`(() => {
		const e = document.querySelector(%s);
		e.value = %s;
		e.dispatchEvent(new Event("input", { bubbles: true }));
		e.dispatchEvent(new Event("change", { bubbles: true }));
		return e.value === %[2]s;
	})()`, quote(selector), quote(value))) {
		b.t.Fatalf("%s has no %q", selector, value)
	}
}

// text returns what stands in an element.
func (b *tab) text(selector string) string {
	b.t.Helper()
	return eval[string](b, fmt.Sprintf(`document.querySelector(%s)?.innerText ?? ""`, quote(selector)))
}

// part turns to a part of the day.
func (b *tab) part(name string) {
	b.t.Helper()
	b.press(fmt.Sprintf(`nav a[href="#%s"]`, name))
	b.wait(fmt.Sprintf(`!document.getElementById(%s).hidden`, quote(name)))
}

// download presses what gives out a file and returns where the browser put it.
func (b *tab) download(selector string) string {
	b.t.Helper()
	folder := b.t.TempDir()
	with := browser.SetDownloadBehaviorParams{Behavior: browser.SetDownloadBehaviorBehaviorAllow, BrowserContextID: chromedp.FromContext(b.ctx).BrowserContextID, DownloadPath: folder}
	if _, err := chromedp.CallBrowser(b.ctx, browser.SetDownloadBehavior, with); err != nil {
		b.t.Fatal(err)
	}
	b.press(selector)
	for start := time.Now(); time.Since(start) < 20*time.Second; time.Sleep(30 * time.Millisecond) {
		if files, _ := filepath.Glob(filepath.Join(folder, "*.jsonl")); len(files) == 1 { // which has another name until it is whole
			return files[0]
		}
	}
	b.t.Fatalf("%s gave no file", selector)
	return ""
}

// settled waits until nothing is being worked out.
func (b *tab) settled() {
	b.t.Helper()
	b.wait(`!document.querySelector("[aria-busy=true]")`)
}

// picture keeps what is seen, where PICTURES names a folder.
func (b *tab) picture(name string) {
	folder := os.Getenv("PICTURES")
	if folder == "" {
		return
	}
	png, err := chromedp.Run(b.ctx, chromedp.FullScreenshot(100))
	err = errors.Join(err, os.WriteFile(filepath.Join(folder, fmt.Sprintf("%s-%d.png", name, b.width)), png, 0o644))
	if err != nil {
		b.t.Log(err)
	}
}
