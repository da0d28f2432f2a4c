package fit

import (
	"fmt"
	"slices"

	"tapwright/plumb"
	"tapwright/plumb/src"
	"tapwright/rules"
)

func wordsNotUnderstood() *rules.Rule {
	return &rules.Rule{
		ID:    "words-not-understood",
		Title: "every word of the file is understood, or nothing hangs on it",
		Why: "A word that was passed over may be the one that matters: a size, a thread, a material, or that the part is not for " +
			"drinking water.",
		Limits: "It cannot tell a word that matters from one that does not.",
		Check: func(p *rules.Pass) {
			for i := range p.Run.Parts {
				x := &p.Run.Parts[i]
				if x.Line < 0 || x.Kind == nil || x.Wanted {
					continue // of a part that is not known, all that is asked stands in one finding
				}
				for _, q := range x.Questions {
					f := whatDoesItSay(p.Name(x.Index), q)
					f.Parts = []int{x.Index}
					p.Report(f)
				}
			}
			for _, q := range p.Run.Questions {
				p.Report(whatDoesItSay("", q))
			}
		},
	}
}

// whatDoesItSay asks about words of a part's phrase, or of the file where part is "".
func whatDoesItSay(part string, q src.Problem) rules.Finding {
	f := rules.Finding{Unknown: true, Span: q.Span, Joint: -1, Message: saidOf(q)}
	ask := plumb.Question{What: q.Msg + ": what is meant?", How: "look at the place, or ask who wrote the list"}
	if part != "" {
		f.Message = part + ": " + f.Message
		ask.What = fmt.Sprintf("%s of %s: what is meant?", q.Msg, part)
		ask.How = "read it again on the part, its packet or the maker's sheet"
	}
	if q.Want != "" {
		ask.How += "; what is wanted: " + q.Want
	}
	readings := slices.Clone(q.Choices)
	if q.Nearest != "" && !slices.Contains(readings, q.Nearest) {
		readings = append([]string{q.Nearest}, readings...)
	}
	for _, c := range readings {
		ask.Answers = append(ask.Answers, plumb.Answer{If: c, Then: "write that in its place; it is then judged"})
	}
	ask.Answers = append(ask.Answers,
		plumb.Answer{If: "something else", Then: "say it in other words"},
		plumb.Answer{If: "nothing that matters for the joint or the water", Then: "leave it out"})
	f.Ask = []plumb.Question{ask}
	switch {
	case len(q.Choices) > 0:
		f.Remedy = fmt.Sprintf("Write %s.", src.List(readings, "or"))
	case q.Nearest != "":
		f.Remedy = fmt.Sprintf("Write “%s” if that is what it says.", q.Nearest)
	case q.Want != "":
		f.Remedy = fmt.Sprintf("Write %s.", q.Want)
	default:
		f.Remedy = "Say it in other words, or leave it out if nothing hangs on it."
	}
	return f
}

// saidOf is what a question of a phrase says, with the nearest spelling.
func saidOf(q src.Problem) string {
	if q.Nearest != "" {
		return fmt.Sprintf("%s; did you mean “%s”?", q.Msg, q.Nearest)
	}
	return q.Msg
}
