package adapt

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/phrase"
	"tapwright/plumb/src"
	"tapwright/plumb/unit"
)

// measureWords are the words ReadMeasured takes, for "did you mean".
var measureWords = []string{"outside", "inside", "pitch", "tpi", "tapered", "straight", "male", "female"}

// measureWant says how a measurement is written.
const measureWant = "measurements such as outside 1.05 in, 14 tpi, tapered"

// ReadMeasured reads what was measured, one thing after the other with commas
// between: "outside 26.4 mm", "inside 0.95 in", "14 tpi", "pitch 1.8 mm", "10
// threads in 18 mm", "tapered" or "straight", "male" or "female".
func ReadMeasured(text string) (m Measured, problems []phrase.Problem) {
	at := 0
	seen := map[string]bool{}
	for _, raw := range strings.Split(text, ",") {
		from := at + len(raw) - len(strings.TrimLeft(raw, " \t"))
		at += len(raw) + 1
		clause := strings.TrimSpace(raw)
		where := phrase.Range{From: from, To: from + len(clause)}
		what, p := readClause(&m, clause)
		switch {
		case p != nil:
			p.Range = where
			problems = append(problems, *p)
		case seen[what]:
			problems = append(problems, phrase.Problem{Range: where, Msg: "the " + what + " is said twice", Want: "it once"})
		}
		seen[what] = true
	}
	return m, problems
}

// readClause reads one thing and says which it was.
func readClause(m *Measured, clause string) (what string, p *phrase.Problem) {
	words := strings.Fields(strings.ToLower(clause))
	if len(words) == 0 {
		return "", &phrase.Problem{Msg: "nothing stands here", Want: measureWant}
	}
	rest := strings.Join(words[1:], " ")
	length := func(to *plumb.Opt[unit.Length]) *phrase.Problem {
		v, err := unit.ParseLength(rest)
		if err == nil && (v <= 0 || v > 0.5) {
			return &phrase.Problem{Msg: fmt.Sprintf("%s is no measure of a thread", rest), Want: "a length up to 500 mm"}
		}
		if err != nil {
			return unitProblem(err)
		}
		*to = plumb.Some(v)
		return nil
	}
	switch words[0] {
	case "outside", "od", "outer":
		return "outside", length(&m.Outside)
	case "inside", "id", "inner":
		return "inside", length(&m.Inside)
	case "pitch":
		var pitch plumb.Opt[unit.Length]
		if p := length(&pitch); p != nil {
			return "pitch", p
		}
		return "pitch", m.turns(1, pitch.V)
	case "taper", "tapered", "tapers", "conical":
		m.Taper, what = plumb.Yes, "taper"
	case "straight", "parallel":
		m.Taper, what = plumb.No, "taper"
	case "male":
		m.Gender, what = plumb.Male, "gender"
	case "female":
		m.Gender, what = plumb.Female, "gender"
	default:
		return "pitch", count(m, words)
	}
	if rest != "" {
		return what, &phrase.Problem{Msg: fmt.Sprintf("%q after %q is not understood", rest, words[0]), Want: "a comma between two things"}
	}
	return what, nil
}

// count reads "14 tpi", "14 threads per inch" and "10 threads in 18 mm".
func count(m *Measured, words []string) *phrase.Problem {
	n, err := strconv.ParseFloat(words[0], 64)
	if err != nil && strings.HasSuffix(words[0], "tpi") { // 14tpi
		n, err = strconv.ParseFloat(strings.TrimSuffix(words[0], "tpi"), 64)
		words = append([]string{"", "tpi"}, words[1:]...)
	}
	if err != nil || !(n > 0 && n < 1000) {
		near, _ := src.Nearest(words[0], measureWords)
		return &phrase.Problem{Msg: fmt.Sprintf("%q is not understood", strings.Join(words, " ")), Want: measureWant, Nearest: near}
	}
	unitWords := strings.Join(words[1:], " ")
	switch {
	case unitWords == "tpi", unitWords == "threads per inch", unitWords == "threads to the inch", unitWords == "threads an inch":
		return m.turns(n, unit.Inch)
	case strings.HasPrefix(unitWords, "threads in "):
		v, err := unit.ParseLength(strings.TrimPrefix(unitWords, "threads in "))
		if err != nil {
			return unitProblem(err)
		}
		return m.turns(n, v)
	}
	return &phrase.Problem{Msg: fmt.Sprintf("it is not said what %s is", words[0]), Want: measureWant,
		Choices: []string{"outside " + strings.Join(words, " "), "inside " + strings.Join(words, " "), words[0] + " tpi"}}
}

// turns takes a count of threads over a length.
func (m *Measured) turns(n float64, over unit.Length) *phrase.Problem {
	tpi := n * float64(unit.Inch/over)
	if !(tpi >= 3 && tpi <= 100) {
		return &phrase.Problem{Msg: fmt.Sprintf("%.3g threads per inch is no thread of this trade", tpi), Want: "3 to 100 threads per inch"}
	}
	m.TPI = plumb.Some(tpi)
	return nil
}

func unitProblem(err error) *phrase.Problem {
	p := &phrase.Problem{Msg: err.Error()}
	var e *unit.Error
	if errors.As(err, &e) {
		p.Msg, p.Want, p.Nearest, p.Choices = e.Msg, e.Want, e.Nearest, e.Choices
	}
	return p
}
