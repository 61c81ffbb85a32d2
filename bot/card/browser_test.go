package card

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"bowlwright/bot/say"
	"bowlwright/bot/talk"
	"bowlwright/nutrition"
	"bowlwright/planner"
	"bowlwright/planner/portions"
)

// browser is headless Chromium; without it the test is skipped, and where long
// ones are left out.
func browser(t *testing.T) context.Context {
	t.Helper()
	if testing.Short() {
		t.Skip("it starts a browser, which takes some seconds: left out with -short")
	}
	path, err := exec.LookPath("chromium")
	if err != nil {
		t.Skip("chromium is not here: apt-get install --no-install-recommends chromium")
	}
	o := append(slices.Clone(chromedp.DefaultExecAllocatorOptions[:]), chromedp.ExecPath(path), chromedp.NoSandbox, chromedp.DisableGPU, chromedp.WSURLReadTimeout(time.Minute),
		chromedp.Flag("disable-dev-shm-usage", true), chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true))
	alloc, stop := chromedp.NewExecAllocator(t.Context(), o...)
	t.Cleanup(stop)
	ctx, done := chromedp.NewContext(alloc)
	t.Cleanup(done)
	ctx, late := context.WithTimeout(ctx, 2*time.Minute)
	t.Cleanup(late)
	if err := chromedp.Run(ctx); err != nil {
		t.Skip("chromium does not start here: ", err) // a machine without what it needs
	}
	return ctx
}

// TestPage looks at pages in one browser, each test in a tab of its own.
func TestPage(t *testing.T) {
	t.Parallel()
	ctx := browser(t)
	for name, test := range map[string]func(*testing.T, context.Context){
		"Figures": pageFigures, "Refuses": pageRefuses, "ByKeyboard": pageByKeyboard, "Looks": pageLooks, "Harmless": pageHarmless,
	} {
		t.Run(name, func(t *testing.T) {
			tab, done := chromedp.NewContext(ctx)
			t.Cleanup(done)
			test(t, tab)
		})
	}
}

// open shows a page, and fails the test where it does not keep its own policy or
// its script fails.
func open(t *testing.T, ctx context.Context, page []byte) {
	t.Helper()
	at := filepath.Join(t.TempDir(), "card.html")
	if err := os.WriteFile(at, page, 0o600); err != nil {
		t.Fatal(err)
	}
	chromedp.ListenTarget(ctx, func(ev any) {
		switch ev := ev.(type) {
		case *runtime.EventExceptionThrown:
			t.Errorf("the script fails: %s", ev.ExceptionDetails.Error())
		case *log.EventEntryAdded:
			t.Errorf("the browser says: %s", ev.Entry.Text)
		}
	})
	do(t, ctx, log.Enable(), chromedp.Navigate("file://"+at), chromedp.WaitVisible("main", chromedp.ByQuery))
}

func do(t *testing.T, ctx context.Context, actions ...chromedp.Action) {
	t.Helper()
	if err := chromedp.Run(ctx, actions...); err != nil {
		t.Fatal(err)
	}
}

func pageOf(t *testing.T, text string, u planner.Units, p Publication) []byte {
	t.Helper()
	page, err := cardOf(t, text, u, p).HTML()
	if err != nil {
		t.Fatal(err)
	}
	return page
}

// shown is what the page says for a weight.
type shown struct {
	Said  string
	Rows  [][]string
	Doses []string
}

// entered types a weight and reads what the page shows for it.
const entered = `(typed, unit) => {
	document.getElementById("unit").value = unit;
	document.getElementById("weight").value = typed;
	document.getElementById("weight").dispatchEvent(new Event("input"));
	const texts = (all) => Array.from(all, e => e.textContent);
	const table = document.getElementById("amounts"), list = document.getElementById("doses");
	return { Said: document.getElementById("said").textContent,
		Rows: table.hidden ? [] : Array.from(table.tBodies[0].rows, r => texts(r.cells)),
		Doses: list.hidden ? [] : texts(list.children) };
}`

func enter(t *testing.T, ctx context.Context, typed, unit string) (s shown) {
	t.Helper()
	do(t, ctx, chromedp.Evaluate(fmt.Sprintf("(%s)(%q, %q)", entered, typed, unit), &s))
	return s
}

// wantFor is what the program itself says for a dog of a weight of which nothing
// else is known.
func wantFor(t *testing.T, turn *talk.Turn, r planner.Recipe, w nutrition.Kilograms) (kcal string, rows [][]string) {
	t.Helper()
	k := planner.NeedOf(planner.Dog{Weight: w}, cardDay).Kcal
	g, err := portions.BowlFor(r, turn.Foods, k, 2, planner.Units{})
	if err != nil {
		t.Fatal(err)
	}
	oz, err := portions.BowlFor(r, turn.Foods, k, 2, planner.Units{Ounces: true})
	if err != nil {
		t.Fatal(err)
	}
	inG, inOz := dayCells(r, g, planner.Units{}), dayCells(r, oz, planner.Units{Ounces: true})
	for i, in := range r.Ingredients {
		rows = append(rows, []string{turn.FoodName(in.Food), inG[i], inOz[i]})
	}
	return say.Kcal(k), append(rows, []string{"together", say.Figure(g.Day, planner.Units{}), say.Figure(oz.Day, planner.Units{Ounces: true})})
}

// The page says for a typed weight what the program says.
func pageFigures(t *testing.T, ctx context.Context) {
	for _, text := range []string{turkey, lamb, typed} {
		open(t, ctx, pageOf(t, text, planner.Units{}, Publication{}))
		turn, r := turnOf(t, text, planner.Units{})
		for typed, w := range map[string]nutrition.Kilograms{"1": 1, "2.3": 2.3, "5": 5, "6,4": 6.4, "12.35": 12.35, "19.6": 19.6, "28": 28, "34.8": 34.8, "61.7": 61.7, "90": 90} {
			kcal, rows := wantFor(t, turn, r, w)
			got := enter(t, ctx, typed, "kg")
			if !strings.HasPrefix(got.Said, kcal+" kcal a day") || !slices.EqualFunc(got.Rows, rows, slices.Equal[[]string]) {
				t.Errorf("%s kg: page\n%s\n%v\nprogram\n%s\n%v", typed, got.Said, got.Rows, kcal, rows)
			}
		}
		_, rows := wantFor(t, turn, r, 43*nutrition.KilosPerPound)
		if got := enter(t, ctx, "43", "lb"); !slices.EqualFunc(got.Rows, rows, slices.Equal[[]string]) {
			t.Errorf("43 lb: page %v, program %v", got.Rows, rows)
		}
		var all []struct{ Rows [][]string }
		do(t, ctx, chromedp.Evaluate("Array.from({length: 891}, (_, i) => ({Rows: day((i + 10) / 10, false).rows}))", &all))
		for i, got := range all {
			w := nutrition.Kilograms(i+10) / 10
			if _, rows := wantFor(t, turn, r, w); !slices.EqualFunc(got.Rows, rows, slices.Equal[[]string]) {
				t.Errorf("%.1f kg: page %v, program %v", w, got.Rows, rows)
			}
		}
	}
}

// Outside of the weights it has amounts for, and for what is no weight, it says
// so and shows none.
func pageRefuses(t *testing.T, ctx context.Context) {
	open(t, ctx, pageOf(t, lamb, planner.Units{}, Publication{}))
	for _, typed := range []string{"0.9", "90.1", "0", "-5", "puppy", "1e1", "5 kg or so", "."} {
		if got := enter(t, ctx, typed, "kg"); len(got.Rows)+len(got.Doses) > 0 || !strings.Contains(got.Said, "1 kg to 90 kg") {
			t.Errorf("%q: %+v", typed, got)
		}
	}
	if got := enter(t, ctx, "200", "lb"); len(got.Rows) > 0 || !strings.Contains(got.Said, "2.2 lb to 198.4 lb") {
		t.Errorf("200 lb: %+v", got)
	}
	if got := enter(t, ctx, "", "kg"); len(got.Rows) > 0 || got.Said != "" {
		t.Errorf("nothing typed: %+v", got)
	}
	if got := enter(t, ctx, "20", "kg"); len(got.Doses) != 1 || got.Doses[0] != "vitamin E 62 IU, every 2 days" {
		t.Errorf("20 kg: doses %q", got.Doses)
	}
	open(t, ctx, pageOf(t, turkey+"\nvitamin D 3000 IU, daily", planner.Units{}, Publication{}))
	small, large := enter(t, ctx, "3", "kg"), enter(t, ctx, "60", "kg")
	if len(small.Rows) > 0 || !strings.Contains(small.Said, "too much") || len(large.Rows) == 0 {
		t.Errorf("much vitamin D: 3 kg %+v, 60 kg %+v", small, large)
	}
}

// It can be used with a keyboard alone.
func pageByKeyboard(t *testing.T, ctx context.Context) {
	open(t, ctx, pageOf(t, turkey, planner.Units{}, Publication{Link: link}))
	focused := func() (id string) {
		do(t, ctx, chromedp.Evaluate(`document.activeElement.id + " " + getComputedStyle(document.activeElement).outlineStyle`, &id))
		return id
	}
	for n := 0; !strings.HasPrefix(focused(), "weight "); n++ {
		if n == 10 {
			t.Fatal("ten tabs do not reach the weight")
		}
		do(t, ctx, chromedp.KeyEvent(kb.Tab))
	}
	if got := focused(); got != "weight solid" {
		t.Errorf("the weight is focused without an outline: %q", got)
	}
	var said string
	do(t, ctx, chromedp.KeyEvent("43"), chromedp.KeyEvent(kb.Enter), chromedp.KeyEvent(kb.Tab), chromedp.KeyEvent("l"),
		chromedp.WaitVisible("#amounts", chromedp.ByQuery), chromedp.Text("#amounts tr.sum", &said, chromedp.ByQuery))
	turn, r := turnOf(t, turkey, planner.Units{})
	_, rows := wantFor(t, turn, r, 43*nutrition.KilosPerPound)
	if want := strings.Join(rows[len(rows)-1], "\t"); said != want {
		t.Errorf("43 lb by keyboard: %q, want %q", said, want)
	}
}

// Light and dark, all letters have contrast enough to be read (4.5 to 1, WCAG 2.2
// level AA); 360 pixels wide nothing goes over the side, no table either.
func pageLooks(t *testing.T, ctx context.Context) {
	long := strings.Replace(typed, "кролик", "Kaninchenfrikadellenmischung"+strings.Repeat("frikadellen", 8), 1)
	for _, text := range []string{turkey, lamb, long} {
		open(t, ctx, pageOf(t, text, planner.Units{}, Publication{Link: link}))
		for _, scheme := range []string{"light", "dark"} {
			do(t, ctx, emulation.SetEmulatedMedia().WithFeatures([]*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}))
			var worst struct {
				Ratio float64
				Text  string
			}
			do(t, ctx, chromedp.Evaluate(contrast, &worst))
			if worst.Ratio < 4.5 {
				t.Errorf("%s: contrast %.1f of %q", scheme, worst.Ratio, worst.Text)
			}
		}
		do(t, ctx, chromedp.EmulateViewport(360, 740))
		enter(t, ctx, "19.6", "kg")
		var wide int
		do(t, ctx, chromedp.Evaluate("document.documentElement.scrollWidth", &wide))
		var over int // of a table over its room
		do(t, ctx, chromedp.Evaluate("Math.max(...Array.from(document.querySelectorAll('.wide'), e => e.scrollWidth - e.clientWidth))", &over))
		if wide > 360 || over > 0 {
			t.Errorf("%.20s: %d pixels wide, a table %d too wide", text, wide, over)
		}
	}
}

// contrast finds the text with the least contrast to its ground.
const contrast = `(() => {
	const lum = c => { const v = c.map(x => { x /= 255; return x <= 0.04045 ? x / 12.92 : ((x + 0.055) / 1.055) ** 2.4; }); return 0.2126 * v[0] + 0.7152 * v[1] + 0.0722 * v[2]; };
	const rgb = s => s.match(/[\d.]+/g).map(Number);
	const ground = e => { for (; e; e = e.parentElement) { const c = rgb(getComputedStyle(e).backgroundColor); if (c.length < 4 || c[3] > 0) return c.slice(0, 3); } return [255, 255, 255]; };
	let worst = { Ratio: 99, Text: "" };
	for (const e of document.querySelectorAll("main *")) {
		if (e.closest("svg") || !Array.from(e.childNodes).some(n => n.nodeType === 3 && n.textContent.trim())) continue;
		const a = lum(rgb(getComputedStyle(e).color).slice(0, 3)), b = lum(ground(e));
		const ratio = (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
		if (ratio < worst.Ratio) worst = { Ratio: ratio, Text: e.textContent.slice(0, 40) };
	}
	return worst;
})()`

// What somebody typed is text; without its script the page still has the sizes.
func pageHarmless(t *testing.T, ctx context.Context) {
	const evil = `</script><script>document.title = "run"</script><img src=x onerror="document.title = 'run'">`
	page := pageOf(t, typed+"\n", planner.Units{}, Publication{About: evil, Author: evil, Link: link})
	open(t, ctx, page)
	var title, about string
	var marks int
	do(t, ctx, chromedp.Title(&title), chromedp.Evaluate(`document.querySelectorAll("main b, img").length`, &marks), chromedp.Text("section", &about, chromedp.ByQuery))
	if want := cardOf(t, typed, planner.Units{}, Publication{}).Name; title != want || marks > 0 || about != evil {
		t.Errorf("title %q, %d marks, about %q", title, marks, about)
	}
	var asked bool
	do(t, ctx, emulation.SetScriptExecutionDisabled(true), chromedp.Reload(), chromedp.WaitVisible(".wide table tbody tr", chromedp.ByQuery),
		chromedp.Evaluate(`!document.getElementById("weigh").hidden`, &asked))
	if asked {
		t.Error("without its script the page asks for a weight")
	}
}
