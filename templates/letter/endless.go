package letter

import (
	"fmt"
	"text/template"
	treeparse "text/template/parse"
)

// maxSteps is the most rounds of loops and calls of templates that one letter takes; ours take some thousands.
const maxSteps = 1 << 20

// maxNested is how deep templates may call each other; ours do not go deeper than three.
const maxNested = 100

// The functions that count: a round of a loop, the begin and the end of a template. No template writes them.
const stepName, beginName, endName = "countedRound", "countedBegin", "countedEnd"

// bounded returns the functions by which no template of an organisation runs without end or fills the memory: the counter,
// and those of text/template that make a text of their arguments, up to the size of a letter.
func (t *templates) bounded() template.FuncMap {
	capped := func(make func(...any) string) func(...any) (string, error) {
		return func(args ...any) (string, error) {
			n := 0
			for _, a := range args {
				switch s := a.(type) {
				case string:
					n += len(s)
				case Text:
					n += len(s)
				}
			}
			if n > maxRendered {
				return "", fmt.Errorf("the letter is larger than %d MB (a limit of this program)", maxRendered>>20)
			}
			return make(args...), nil
		}
	}
	step := func() (string, error) {
		if t.steps++; t.steps > maxSteps {
			return "", fmt.Errorf("more than %d rounds of loops and templates (a limit of this program)", maxSteps)
		}
		return "", nil
	}
	return template.FuncMap{
		stepName: step,
		beginName: func() (string, error) {
			if t.nested++; t.nested > maxNested {
				return "", fmt.Errorf("templates that call each other more than %d deep (a limit of this program)", maxNested)
			}
			return step()
		},
		endName:    func() string { t.nested--; return "" },
		"print":    capped(fmt.Sprint),
		"println":  capped(fmt.Sprintln),
		"html":     capped(template.HTMLEscaper),
		"js":       capped(template.JSEscaper),
		"urlquery": capped(template.URLQueryEscaper),
		"printf": func(format string, args ...any) (string, error) {
			return capped(func(a ...any) string { return fmt.Sprintf(format, a...) })(args...)
		},
	}
}

// countSteps puts the counter at the head of every template and of every loop.
func (t *templates) countSteps() {
	call := func(file, name string) treeparse.Node { // the file's name stands in errors
		return template.Must(template.New(file).Funcs(t.bounded()).Parse("{{" + name + "}}")).Root.Nodes[0]
	}
	for _, one := range t.set.Templates() {
		if one.Tree != nil && one.Root != nil {
			count(one.Root, call(one.ParseName, stepName))
			one.Root.Nodes = append(append([]treeparse.Node{call(one.ParseName, beginName)}, one.Root.Nodes...), call(one.ParseName, endName))
		}
	}
}

// count puts step at the head of every loop below a list.
func count(list *treeparse.ListNode, step treeparse.Node) {
	if list == nil {
		return
	}
	for _, n := range list.Nodes {
		switch n := n.(type) {
		case *treeparse.RangeNode:
			count(n.List, step)
			count(n.ElseList, step)
			n.List.Nodes = append([]treeparse.Node{step.Copy()}, n.List.Nodes...)
		case *treeparse.IfNode:
			count(n.List, step)
			count(n.ElseList, step)
		case *treeparse.WithNode:
			count(n.List, step)
			count(n.ElseList, step)
		}
	}
}
