package main

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"go/types"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// A lint looks at one file and returns what is wrong with it, with the place.
type lint func(name string, file *ast.File, at func(ast.Node) string) []string

var lints = map[string]lint{
	"sleep": sleeps, "scope": scopes, "goes": goes, "clock": clocks, "skip": skips, "unfinished": unfinished,
}

func TestLints(t *testing.T) {
	files := 0
	err := eachGoFile("..", func(name string, file *ast.File, set *token.FileSet) {
		files++
		at := func(n ast.Node) string { return fmt.Sprintf("%s:%d", name, set.Position(n.Pos()).Line) }
		for _, l := range lints {
			for _, wrong := range l(name, file, at) {
				t.Error(wrong)
			}
		}
	})
	if err != nil {
		t.Fatal(err)
	}
	if files < 50 {
		t.Errorf("looked at %d files, the search is broken", files)
	}
}

func isTest(name string) bool {
	return strings.HasSuffix(name, "_test.go") || strings.HasPrefix(name, "build/e2e/")
}

// sleeps finds tests that wait for time: they are slow on a fast machine and fail on a slow one.
func sleeps(name string, file *ast.File, at func(ast.Node) string) (wrong []string) {
	if !isTest(name) {
		return nil
	}
	ast.Inspect(file, func(n ast.Node) bool {
		if call, ok := n.(*ast.CallExpr); ok && (calls(call, "time", "Sleep") || calls(call, "chromedp", "Sleep")) {
			wrong = append(wrong, at(n)+": a test sleeps; wait for a condition")
		}
		return true
	})
	return wrong
}

var event = regexp.MustCompile(`^On[A-Z][A-Za-z]*$`)

// scopes finds handlers made in a list without a scope. The framework tells handlers apart by their code and their
// scope only: after a row is gone, a handler without one answers for the row that stood there before.
func scopes(name string, file *ast.File, at func(ast.Node) string) (wrong []string) {
	if !strings.HasPrefix(name, "app/") || isTest(name) {
		return nil
	}
	inside := func(body ast.Node) {
		ast.Inspect(body, func(n ast.Node) bool {
			call, ok := n.(*ast.CallExpr)
			if !ok {
				return true
			}
			if sel, ok := call.Fun.(*ast.SelectorExpr); ok && event.MatchString(sel.Sel.Name) && len(call.Args) == 1 && builds(sel.X) {
				wrong = append(wrong, at(sel.Sel)+": a handler in a list needs a scope: "+sel.Sel.Name+"(h, id)")
			}
			return true
		})
	}
	ast.Inspect(file, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.ForStmt:
			inside(n.Body)
			return false
		case *ast.RangeStmt:
			inside(n.Body)
			return false
		case *ast.CallExpr:
			sel, ok := n.Fun.(*ast.SelectorExpr)
			if !ok || sel.Sel.Name != "Slice" && sel.Sel.Name != "Map" || len(n.Args) != 1 {
				return true
			}
			of, ok := sel.X.(*ast.CallExpr)
			if f, isFunc := n.Args[0].(*ast.FuncLit); ok && isFunc && calls(of, "app", "Range") {
				inside(f.Body)
				return false
			}
		}
		return true
	})
	return wrong
}

// goes finds buttons to a page whose scope is not the address of that page. All handlers that kit.To makes share their code,
// so with another scope, or none, a button keeps leading to where the one led that stood in its place before.
func goes(name string, file *ast.File, at func(ast.Node) string) (wrong []string) {
	if !strings.HasPrefix(name, "app/") || isTest(name) {
		return nil
	}
	ast.Inspect(file, func(n ast.Node) bool {
		button, ok := n.(*ast.CallExpr)
		if !ok {
			return true
		}
		made, ok := button.Fun.(*ast.SelectorExpr)
		if !ok || !event.MatchString(made.Sel.Name) && types.ExprString(made.X) != "kit" {
			return true
		}
		for i, arg := range button.Args {
			to, ok := arg.(*ast.CallExpr)
			if !ok || !calls(to, "kit", "To") || len(to.Args) != 1 {
				continue
			}
			address := types.ExprString(to.Args[0])
			if !slices.ContainsFunc(button.Args[i+1:], func(x ast.Expr) bool { return types.ExprString(x) == address }) {
				wrong = append(wrong, at(to)+": the scope of a button to a page is its address: kit.To("+address+"), "+address)
			}
		}
		return true
	})
	return wrong
}

// builds tells whether an expression makes an element: a chain of calls, as in app.Button().Type("button").
func builds(x ast.Expr) bool {
	_, ok := x.(*ast.CallExpr)
	return ok
}

// clocks finds arithmetic that looks at the clock or draws lots: the same input must give the same output.
func clocks(name string, file *ast.File, at func(ast.Node) string) (wrong []string) {
	if !strings.HasPrefix(name, "calc/") || isTest(name) {
		return nil
	}
	for _, i := range file.Imports {
		if slices.Contains([]string{`"math/rand"`, `"math/rand/v2"`, `"crypto/rand"`, `"os"`}, i.Path.Value) {
			wrong = append(wrong, at(i)+": arithmetic imports "+i.Path.Value+"; take it as a parameter")
		}
	}
	ast.Inspect(file, func(n ast.Node) bool {
		if call, ok := n.(*ast.CallExpr); ok {
			for _, f := range []string{"Now", "Since", "Until", "After", "AfterFunc", "Tick", "NewTimer", "NewTicker", "Sleep"} {
				if calls(call, "time", f) {
					wrong = append(wrong, at(n)+": arithmetic looks at the clock; take the time as a parameter")
				}
			}
		}
		return true
	})
	return wrong
}

// skips finds tests that leave themselves out for another reason than -short.
func skips(name string, file *ast.File, at func(ast.Node) string) (wrong []string) {
	if !isTest(name) && !strings.HasSuffix(name, "test.go") {
		return nil
	}
	allowed := map[ast.Node]bool{}
	ast.Inspect(file, func(n ast.Node) bool {
		if i, ok := n.(*ast.IfStmt); ok {
			if cond, ok := i.Cond.(*ast.CallExpr); ok && calls(cond, "testing", "Short") {
				ast.Inspect(i.Body, func(n ast.Node) bool { allowed[n] = true; return true })
			}
		}
		call, ok := n.(*ast.CallExpr)
		if !ok || allowed[n] {
			return true
		}
		if sel, ok := call.Fun.(*ast.SelectorExpr); ok && slices.Contains([]string{"Skip", "Skipf", "SkipNow"}, sel.Sel.Name) {
			wrong = append(wrong, at(n)+": a test leaves itself out; only -short may do that")
		}
		return true
	})
	return wrong
}

var unfinishedWord = regexp.MustCompile(`\b(TODO|FIXME|XXX)\b`)

// unfinished finds remarks about work that was not done.
func unfinished(_ string, file *ast.File, at func(ast.Node) string) (wrong []string) {
	for _, group := range file.Comments {
		for _, c := range group.List {
			if w := unfinishedWord.FindString(c.Text); w != "" && !strings.Contains(c.Text, "`") {
				wrong = append(wrong, at(c)+": "+w+" in a comment; finish it or say what is")
			}
		}
	}
	return wrong
}

// Each lint catches what it is for, and lets good source pass.
func TestLintsCatch(t *testing.T) {
	for _, tc := range []struct {
		lint, name, source string
		wrong              int
	}{
		{"sleep", "calc/unit/length_test.go", `func f() { time.Sleep(1) }`, 1},
		{"sleep", "build/e2e/walk_test.go", `func f() { chromedp.Do(ctx, chromedp.Sleep(1)) }`, 1},
		{"sleep", "storage/idb/store_js.go", `func f() { time.Sleep(1) }`, 0},
		{"scope", "app/walk/walk.go", `func f() { app.Range(x).Slice(func(i int) app.UI { return app.Button().Type("button").OnClick(h) }) }`, 1},
		{"scope", "app/walk/walk.go", `func f() { app.Range(x).Map(func(k string) app.UI { return app.Div().Body(app.Input().OnInput(h).OnChange(h, k)) }) }`, 1},
		{"scope", "app/walk/walk.go", `func f() { for _, x := range xs { b = append(b, app.Button().OnClick(h(x))) } }`, 1},
		{"scope", "app/walk/walk.go", `func f() { app.Range(x).Slice(func(i int) app.UI { return app.Button().OnClick(h, x[i].ID) }) }`, 0},
		{"scope", "app/walk/walk.go", `func f() { app.Button().OnClick(h) }`, 0},
		{"scope", "app/kit/shell.go", `func f() { for _, x := range xs { d.View.OnHidden(h) } }`, 0},
		{"goes", "app/walk/walk.go", `func f() { kit.Act("To the bench", kit.To(at.On("make")), at) }`, 1},
		{"goes", "app/walk/walk.go", `func f() { kit.Plain("Back", kit.To(at)) }`, 1},
		{"goes", "app/walk/walk.go", `func f() { app.Button().OnClick(kit.To(p.card(id)), id) }`, 1},
		{"goes", "app/walk/walk.go", `func f() { kit.Row("", name, "", kit.To(p.card(id)), p.card(id), n) }`, 0},
		{"clock", "calc/cut/cut.go", `func f() { time.Now() }`, 1},
		{"clock", "calc/cut/cut.go", "import \"math/rand/v2\"\nvar _ = rand.Int", 1},
		{"clock", "calc/cut/cut_test.go", "import \"math/rand/v2\"\nvar _ = rand.Int", 0},
		{"clock", "calc/cut/cut.go", `func f() { time.Parse(time.RFC3339, s) }`, 0},
		{"skip", "calc/cut/cut_test.go", `func f() { t.Skip("flaky") }`, 1},
		{"skip", "calc/cut/cut_test.go", `func f() { if testing.Short() { t.Skip("slow") } }`, 0},
		{"skip", "calc/cut/cut_test.go", `func f() { if err != nil { t.Skipf("no browser: %v", err) } }`, 1},
		{"unfinished", "calc/cut/cut.go", "// TO" + "DO: the rest\nfunc f() {}", 1},
		{"unfinished", "calc/cut/cut.go", "// Nothing to do.\nfunc f() {}", 0},
	} {
		set := token.NewFileSet()
		file, err := parser.ParseFile(set, tc.name, "package p\n"+tc.source+"\n", parser.ParseComments)
		if err != nil {
			t.Fatal(err)
		}
		wrong := lints[tc.lint](tc.name, file, func(n ast.Node) string { return set.Position(n.Pos()).String() })
		if len(wrong) != tc.wrong {
			t.Errorf("%s in %s: %q found %q, want %d", tc.lint, tc.name, tc.source, wrong, tc.wrong)
		}
	}
}
