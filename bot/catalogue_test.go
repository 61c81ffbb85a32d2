package bot

import (
	"bowlwright/bot/say"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// dynamic are the beginnings of keys that are made from a code, so that no
// source file spells them out.
var dynamic = []string{"meant.", "aisle.", "unit.", "moved.",
	"failing.", "overdose.", "supplement.ten-",
	"rotation-wrong.", "button.stand-", "transition.stool-", "button.transition-firm", "button.transition-soft", "button.transition-loose",
	"entry.", "fed.word-", "due.which-", "entry-short.", "due.about-", "treat.now-", "treat.sum", "treat.over",
	"button.remind-", "button.missed-", "remind.missed-", "remind.also-called.", "often.",
	"weigh-wrong.", "decide.", "goal.", "score.",
	"litter.ask-", "litter.over-", "button.litter-over-",
	"refuse.", "may.", "may-some.", "problem.", "trouble.", "condition.", "activity.", "activity-short.", "equation.", "equation-source.", "example.", "assumed.",
	"gate.", "profile.", "band.", "reason.", "dog.weight-more", "dog.weight-less", "remedy.add-", "remedy.cut-", "remedy.label-", "nutrient.elsewhere", "risk.", "button.risk-", "band-name.", "balance.", "balance-problem.", "button.take-", "gap.", "keeps.", "part.", "field.", "field-wrong.", "scale-wrong.", "ideal-from.", "caution.", "ask.dog-weight", "ask.dog-age", "ask.dog-health", "ask.dog-excludes", "ask.dog-ideal", "ask.dog-adult", "did.", "menu.", "tick-kind.", "growth-place.", "growth.vet-", "growth-gap.", "trend-ground.", "need.by-",
	"limit.", "lost.", "stage.", "number.", "number-of.", "ask.number-", "sex-short.", "ill.", "ill-why.", "ill-for.", "four.", "button.way-", "failing.short-", "kelp.", "button.view-", "ratio-of.",
}

// TestCatalogueComplete holds every key that the code names against the
// catalogue, and every entry of the catalogue against the code.
func TestCatalogueComplete(t *testing.T) {
	used := map[string][]string{} // key to the places it is given
	sources, _ := filepath.Glob("*.go")
	inRooms, _ := filepath.Glob("*/*.go")
	for _, file := range append(sources, inRooms...) {
		if strings.HasSuffix(file, "_test.go") {
			continue
		}
		f, err := parser.ParseFile(token.NewFileSet(), file, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		room, own := filepath.Dir(file), say.Catalogue{}
		if text, err := os.ReadFile(filepath.Join(room, "messages.txt")); err == nil && room != "say" {
			own = say.NewCatalogue(string(text))
		}
		ast.Inspect(f, func(n ast.Node) bool {
			call, ok := n.(*ast.CallExpr)
			if !ok || len(call.Args) == 0 {
				return true
			}
			for _, key := range keysOf(call) {
				if fun, bare := call.Fun.(*ast.Ident); bare && fun.Name == "msg" && room != "say" && !strings.HasSuffix(key, ".") && !own.Has(key) {
					t.Errorf("%s: %q is no message of this room", file, key)
				}
				places := []string{}
				if call.Ellipsis.IsValid() {
					places = nil // given as a list: not to be read off the source
					used[key] = nil
					continue
				}
				for i := 1; i < len(call.Args); i += 2 {
					place, _ := literal(call.Args[i])
					places = append(places, place)
				}
				used[key] = places
			}
			return true
		})
	}
	if len(used) < 100 {
		t.Fatalf("found only %d keys in the code: the search is broken", len(used))
	}
	all := rooms().Words.With()
	places := regexp.MustCompile(`\{([a-z0-9-]+)[|}]`)
	for key, given := range used {
		text, ok := all[key]
		if !ok {
			if !strings.HasSuffix(key, ".") {
				t.Errorf("messages.txt lacks %q", key)
			}
			continue
		}
		for _, m := range places.FindAllStringSubmatch(text, -1) {
			if given != nil && !slices.Contains(given, m[1]) && !strings.HasPrefix(key, "did.") {
				t.Errorf("%s wants {%s}; the code gives %v", key, m[1], given)
			}
		}
	}
	for key := range all {
		if _, ok := used[key]; !ok && !slices.ContainsFunc(dynamic, func(p string) bool { return strings.HasPrefix(key, p) }) {
			t.Errorf("messages.txt has %q, which nothing says", key)
		}
	}
}

// keysOf are the keys that a call says a message by: one, or one of two that say.Choose
// picks.
func keysOf(call *ast.CallExpr) (keys []string) {
	if !isMessageCall(call.Fun) {
		return nil
	}
	may := call.Args[:1]
	if pick, ok := may[0].(*ast.CallExpr); ok && len(pick.Args) == 3 {
		if sel, ok := pick.Fun.(*ast.SelectorExpr); ok && sel.Sel.Name == "Choose" {
			may = pick.Args[1:]
		}
	}
	for _, e := range may {
		if key, ok := literal(e); ok {
			keys = append(keys, key)
		}
	}
	return keys
}

func literal(e ast.Expr) (string, bool) {
	lit, ok := e.(*ast.BasicLit)
	if !ok || lit.Kind != token.STRING {
		return "", false
	}
	s, err := strconv.Unquote(lit.Value)
	return s, err == nil
}

// isMessageCall tells the functions whose first argument is a key.
func isMessageCall(fun ast.Expr) bool {
	switch f := fun.(type) {
	case *ast.Ident:
		return f.Name == "msg" || f.Name == "Msg"
	case *ast.SelectorExpr:
		return f.Sel.Name == "SayMsg" || f.Sel.Name == "Msg" || f.Sel.Name == "Mutate"
	}
	return false
}

// TestValueIsNotExpanded shows that what a carer typed is never read as a
// place of a message.
func TestValueIsNotExpanded(t *testing.T) {
	got := rooms().Words.Msg("dog.added", "dog", "{n|x|y}")
	if !strings.Contains(got, "{n|x|y}") {
		t.Errorf("a typed name was expanded: %q", got)
	}
}
