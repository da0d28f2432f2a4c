package site

import (
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/google/cel-go/cel"
	"github.com/google/cel-go/common/ast"
	"github.com/google/cel-go/common/operators"
	"github.com/google/cel-go/common/types"
	"github.com/google/cel-go/common/types/ref"

	"tapwright/plumb/catalogue"
	"tapwright/plumb/src"
	"tapwright/plumb/unit"
	"tapwright/plumb/yamldoc"
)

// The limits that keep an expression from taking long. Costs are CEL's own
// units: one for each step, more for long texts and lists.
const (
	mostRequirements = 200
	longestText      = 2_000      // characters
	costOfOne        = 10_000     // for one part, joint or outlet
	costOfAll        = 50_000_000 // for one requirement over a whole run
)

// language compiles the expressions of site files.
type language struct {
	cat  *catalogue.Catalogue
	envs map[string]*cel.Env // by the variable that is bound
}

func newLanguage(cat *catalogue.Catalogue) (*language, error) {
	reg, err := types.NewRegistry()
	if err != nil {
		return nil, err
	}
	base, err := cel.NewEnv(
		cel.CustomTypeProvider(provider{reg}),
		cel.CrossTypeNumericComparisons(true),
		cel.ParserExpressionSizeLimit(longestText),
		cel.ParserRecursionLimit(50),
		cel.ExpressionNodeLimit(2_000),
		quantity("length"), quantity("pressure"), quantity("temperature"),
	)
	if err != nil {
		return nil, err
	}
	l := &language{cat: cat, envs: map[string]*cel.Env{}}
	for _, v := range variables {
		if l.envs[v], err = base.Extend(cel.Variable(v, typeOf(v))); err != nil {
			return nil, err
		}
	}
	return l, nil
}

// quantity is a function that reads a quantity with its unit.
func quantity(name string) cel.EnvOption {
	parse := quantities[name].parse
	return cel.Function(name, cel.Overload(name+"_of_text", []*cel.Type{cel.StringType}, cel.DoubleType,
		cel.UnaryBinding(func(arg ref.Val) ref.Val {
			s, ok := arg.(types.String)
			if !ok {
				return types.MaybeNoSuchOverloadErr(arg)
			}
			q, err := parse(string(s))
			if err != nil {
				return types.WrapErr(err)
			}
			return types.Double(q)
		})))
}

// provider tells CEL of our things.
type provider struct{ types.Provider }

func (p provider) FindStructType(name string) (*cel.Type, bool) {
	if thingOfType(name) != nil {
		return types.NewTypeTypeWithParam(cel.ObjectType(name)), true
	}
	return p.Provider.FindStructType(name)
}

func (p provider) FindStructFieldNames(name string) ([]string, bool) {
	if t := thingOfType(name); t != nil {
		return t.names(), true
	}
	return p.Provider.FindStructFieldNames(name)
}

func (p provider) FindStructFieldType(name, field string) (*types.FieldType, bool) {
	t := thingOfType(name)
	if t == nil {
		return p.Provider.FindStructFieldType(name, field)
	}
	f := t.fact(field)
	if f == nil {
		return nil, false
	}
	return &types.FieldType{
		Type: f.typ,
		IsSet: func(target any) bool {
			v, ok := target.(*value)
			return ok && !types.IsUnknown(v.get(f))
		},
		GetFrom: func(target any) (any, error) {
			switch x := target.(type) {
			case *value:
				return x.get(f), nil
			case *types.Unknown:
				return x, nil
			}
			return nil, errors.New("there is no " + field + " here")
		},
	}, true
}

func (p provider) NewValue(name string, fields map[string]ref.Val) ref.Val {
	if thingOfType(name) != nil {
		return types.NewErr("%s cannot be made up", name)
	}
	return p.Provider.NewValue(name, fields)
}

// compile checks an expression about one variable; its faults are complained
// about at their places in the site file.
func (l *language) compile(w *yamldoc.Walk, n *yamldoc.Node, what, of string) cel.Program {
	source, ok := w.String(n, what)
	if !ok || of == "" {
		return nil
	}
	fail := func(line, col, length int, p src.Problem) {
		from := offset(source, line, col)
		w.Fail(place(w.File, n, from, from+length), p)
	}
	if utf8.RuneCountInString(source) > longestText {
		w.Fail(n.Span, src.Problem{Msg: what + " is too long", Want: fmt.Sprintf("at most %d characters", longestText)})
		return nil
	}
	env := l.envs[of]
	parsed, issues := env.Parse(source)
	if issues.Err() != nil {
		e := issues.Errors()[0] // what follows the first comes of it
		msg := strings.TrimSpace(strings.TrimPrefix(e.Message, "Syntax error:"))
		fail(e.Location.Line(), e.Location.Column(), 1, src.Problem{Msg: what + " cannot be read here: " + firstOf(msg), Want: "an expression such as " + such(of)})
		return nil
	}
	checked, issues := env.Check(parsed)
	if issues.Err() != nil {
		for _, e := range issues.Errors() {
			p, length := l.explain(e, parsed, of)
			line, col := e.Location.Line(), e.Location.Column()
			if p.Nearest != "" || length > 0 { // the name stands behind its dot
				at := offset(source, line, col)
				if rest := source[at:]; strings.HasPrefix(rest, ".") {
					col++
				}
			}
			fail(line, col, max(length, 1), p)
		}
		return nil
	}
	if !checked.OutputType().IsExactType(cel.BoolType) {
		w.Fail(n.Span, src.Problem{Msg: fmt.Sprintf("%s gives a %s", what, typeWord(checked.OutputType())), Want: "yes or no, such as " + such(of)})
		return nil
	}
	good := true
	info := checked.NativeRep().SourceInfo()
	l.literals(checked.NativeRep(), func(id int64, length int, p src.Problem) {
		good = false
		at := info.GetStartLocation(id)
		fail(at.Line(), at.Column(), length, p)
	})
	if !good {
		return nil
	}
	prog, err := env.Program(checked, cel.CostLimit(costOfOne), cel.EvalOptions(cel.OptTrackCost))
	if err != nil {
		w.Fail(n.Span, src.Problem{Msg: what + " cannot be used: " + err.Error()})
		return nil
	}
	return prog
}

// such is an example of an expression.
func such(of string) string {
	return map[string]string{
		"part": `part.material == "brass"`, "joint": `joint.type != "soldered"`, "outlet": `outlet.gap >= length("1 in")`,
	}[of]
}

// firstOf cuts a message of the parser before its list of all that could stand
// there.
func firstOf(msg string) string {
	msg, _, _ = strings.Cut(msg, " expecting ")
	return strings.ReplaceAll(msg, "<EOF>", "the end")
}

var (
	noName  = regexp.MustCompile(`^undeclared reference to '([^']*)'`)
	noField = regexp.MustCompile(`^undefined field '([^']*)'`)
	noWay   = regexp.MustCompile(`^found no matching overload for '([^']*)' applied to '\(?([^']*?)\)?'$`)
	member  = regexp.MustCompile(`^([^.]+)\.\((.*)$`)
)

// explain puts what the checker says into plain words; length is that of the
// name to blame, 0 if there is none.
func (l *language) explain(e *cel.Error, parsed *cel.Ast, of string) (p src.Problem, length int) {
	switch {
	case noName.MatchString(e.Message):
		name := noName.FindStringSubmatch(e.Message)[1]
		p = src.Problem{Msg: fmt.Sprintf("there is no %q here", name), Want: of + " and its facts; length(…), pressure(…)"}
		if slices.Contains(variables, name) {
			p.Msg = fmt.Sprintf("this requirement is of each %s; there is no %s here", of, name)
		}
		p.Nearest, _ = src.Nearest(name, []string{of, "length", "pressure", "temperature", "true", "false", "has", "size"})
		return p, len(name)
	case noField.MatchString(e.Message):
		name := noField.FindStringSubmatch(e.Message)[1]
		var known []string
		if t := l.operand(parsed, e.ExprID, of); t != nil {
			known = t.names()
			p.Msg = fmt.Sprintf("a %s has no fact %q", t.name, name)
		} else {
			for _, t := range things {
				known = append(known, t.names()...)
			}
			p.Msg = fmt.Sprintf("there is no fact %q", name)
		}
		p.Want = strings.Join(known, ", ")
		p.Nearest, _ = src.Nearest(name, known)
		return p, len(name)
	case noWay.MatchString(e.Message):
		m := noWay.FindStringSubmatch(e.Message)
		args := m[2]
		if on := member.FindStringSubmatch(args); on != nil {
			args = on[1] + ", " + on[2]
		}
		return src.Problem{Msg: fmt.Sprintf("%s cannot be used on %s", operator(m[1]), strings.Join(plainTypes(args), " and ")),
			Want: "two values of one type"}, 0
	}
	return src.Problem{Msg: e.Message}, 0
}

// operator is an operator as it is written.
func operator(name string) string {
	if s, ok := operators.FindReverse(name); ok && s != "" {
		return s
	}
	if s, ok := operators.FindReverseBinaryOperator(name); ok && s != "" {
		return s
	}
	return name
}

// plainTypes gives the checker's types in words.
func plainTypes(args string) (words []string) {
	for _, a := range strings.Split(args, ", ") {
		switch a = strings.Trim(a, "() "); a {
		case "string":
			a = "text"
		case "int", "uint":
			a = "a whole number"
		case "double":
			a = "a number with a point"
		case "bool":
			a = "yes or no"
		default:
			if in, ok := strings.CutPrefix(a, "list("); ok {
				a = "a list of " + strings.Join(plainTypes(strings.TrimSuffix(in, ")")), "")
			} else if t := thingOfType(a); t != nil {
				a = "a " + t.name
			}
		}
		words = append(words, a)
	}
	return words
}

// operand finds the thing whose field an expression asks for, nil where it is
// not plain to see.
func (l *language) operand(parsed *cel.Ast, id int64, of string) *thing {
	var found *thing
	ast.PreOrderVisit(parsed.NativeRep().Expr(), ast.NewExprVisitor(func(e ast.Expr) {
		if e.Kind() == ast.SelectKind && e.ID() == id {
			found = thingOf(e.AsSelect().Operand(), of)
		}
	}))
	return found
}

// thingOf gives the thing that part, joint.upstream and the like are.
func thingOf(e ast.Expr, of string) *thing {
	switch e.Kind() {
	case ast.IdentKind:
		if e.AsIdent() == of {
			return thingNamed(of)
		}
	case ast.SelectKind:
		if t := thingOf(e.AsSelect().Operand(), of); t != nil {
			if f := t.fact(e.AsSelect().FieldName()); f != nil && f.typ.Kind() == types.StructKind {
				return thingOfType(f.typ.TypeName())
			}
		}
	}
	return nil
}

// literals looks at the words written in an expression: what is compared with a
// fact of few words must be one of them, since a misspelt word would never
// match and the requirement would hold by mistake; a quantity must be readable.
func (l *language) literals(checked *ast.AST, fail func(id int64, length int, p src.Problem)) {
	ast.PreOrderVisit(checked.Expr(), ast.NewExprVisitor(func(e ast.Expr) {
		if e.Kind() == ast.StructKind {
			fail(e.ID(), 1, src.Problem{Msg: "a " + e.AsStruct().TypeName() + " cannot be made up here"})
		}
		if e.Kind() != ast.CallKind {
			return
		}
		call := e.AsCall()
		args := call.Args()
		switch call.FunctionName() {
		case "length", "pressure", "temperature":
			q := quantities[call.FunctionName()]
			s, ok := textOf(args[0])
			if !ok {
				fail(e.ID(), 1, src.Problem{Msg: call.FunctionName() + " wants a quantity in quotes", Want: call.FunctionName() + `("` + q.sample + `")`})
				return
			}
			if _, err := q.parse(s); err != nil {
				fail(args[0].ID(), len(s)+2, src.Problem{Msg: err.Error(), Want: q.sample})
			}
		case operators.Equals, operators.NotEquals:
			l.compared(checked, args[0], args[1], fail)
			l.compared(checked, args[1], args[0], fail)
		case operators.In:
			if args[1].Kind() == ast.ListKind {
				for _, x := range args[1].AsList().Elements() {
					l.compared(checked, args[0], x, fail)
				}
			} else {
				l.compared(checked, args[1], args[0], fail)
			}
		}
	}))
}

// quantities are the functions that read a quantity into SI units, each with a
// sample of what it reads.
var quantities = map[string]struct {
	sample string
	parse  func(string) (float64, error)
}{
	"length":      {"24 in", plain(unit.ParseLength)},
	"pressure":    {"80 psi", plain(unit.ParsePressure)},
	"temperature": {"49 C", plain(unit.ParseTemperature)},
}

func plain[Q ~float64](parse func(string) (Q, error)) func(string) (float64, error) {
	return func(s string) (float64, error) { q, err := parse(s); return float64(q), err }
}

func (l *language) compared(checked *ast.AST, field, with ast.Expr, fail func(id int64, length int, p src.Problem)) {
	s, ok := textOf(with)
	if !ok || field.Kind() != ast.SelectKind {
		return
	}
	t := checked.GetType(field.AsSelect().Operand().ID())
	if t == nil || t.Kind() != types.StructKind || thingOfType(t.TypeName()) == nil {
		return
	}
	f := thingOfType(t.TypeName()).fact(field.AsSelect().FieldName())
	if f != nil && f.spelled != nil {
		if one, err := f.spelled(s); err != nil {
			fail(with.ID(), len(s)+2, src.Problem{Msg: err.Error()})
		} else if one != s {
			fail(with.ID(), len(s)+2, src.Problem{Msg: fmt.Sprintf("the %s is never spelled %q", spaced(f.name), s), Nearest: one})
		}
	}
	if f == nil || f.words == nil {
		return
	}
	words := f.words(l.cat)
	if slices.Contains(words, s) {
		return
	}
	p := src.Problem{Msg: fmt.Sprintf("%s is never %q", spaced(f.name), s)}
	if len(words) <= 12 {
		p.Want = strings.Join(words, ", ")
	}
	p.Nearest, _ = src.Nearest(s, words)
	fail(with.ID(), len(s)+2, p)
}

func textOf(e ast.Expr) (string, bool) {
	if e.Kind() != ast.LiteralKind {
		return "", false
	}
	s, ok := e.AsLiteral().(types.String)
	return string(s), ok
}

// offset turns CEL's place (lines from 1, characters from 0) into a byte of the
// text.
func offset(text string, line, col int) int {
	at := 0
	for ; line > 1; line-- {
		next := strings.IndexByte(text[at:], '\n')
		if next < 0 {
			return len(text)
		}
		at += next + 1
	}
	for ; col > 0 && at < len(text); col-- {
		_, n := utf8.DecodeRuneInString(text[at:])
		at += n
	}
	return at
}

// place finds a stretch of a scalar's text in the file. A text over several
// lines is followed word by word, since YAML takes away indents and line ends.
func place(file *src.File, n *yamldoc.Node, from, to int) src.Span {
	follow := func(to int) (int, bool) {
		at := n.Span.Start.Byte
		for i := 0; i < to && i < len(n.Text); {
			switch {
			case blank(n.Text[i]):
				i++
			case at < len(file.Text) && blank(file.Text[at]):
				at++
			case at < len(file.Text) && file.Text[at] == n.Text[i]:
				i, at = i+1, at+1
			default:
				return 0, false // an escape in quotes
			}
		}
		for to < len(n.Text) && at < len(file.Text) && blank(file.Text[at]) && !blank(n.Text[to]) {
			at++
		}
		return at, true
	}
	if span := n.Sub(file, from, to); span != n.Span {
		return span
	}
	start, ok := follow(from)
	if !ok {
		return n.Span
	}
	return file.Span(start, start+max(to-from, 0))
}

func blank(b byte) bool { return b == ' ' || b == '\t' || b == '\n' || b == '\r' }
