package bot

import (
	"go/ast"
	"go/parser"
	"go/token"
	"strconv"
	"testing"
)

// TestEveryEntryHasWords: the day's list has a word for each kind of entry that
// the journal may hold.
func TestEveryEntryHasWords(t *testing.T) {
	f, err := parser.ParseFile(token.NewFileSet(), "../planner/journal.go", nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	kinds := 0
	typed := false
	ast.Inspect(f, func(n ast.Node) bool {
		v, ok := n.(*ast.ValueSpec)
		if !ok || len(v.Values) != 1 {
			return true
		}
		id, named := v.Type.(*ast.Ident)
		typed = named && id.Name == "EntryKind"
		if lit, ok := v.Values[0].(*ast.BasicLit); ok && typed {
			kinds++
			kind, _ := strconv.Unquote(lit.Value)
			if !rooms().Words.Has("entry-short." + kind) {
				t.Errorf("no word for %q", kind)
			}
		}
		return true
	})
	if kinds < 15 {
		t.Errorf("only %d kinds found", kinds)
	}
}
