package rules

import (
	"fmt"
	"slices"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/src"
)

// A run whose text leaves several readings of a part comes with a variant for each
// of the others. Every variant is judged as the run itself is, and the findings are
// laid side by side: what all readings of a part have is found, and what only some
// have waits for the answer to which it is.

// doubt is a part that the text leaves several readings of. The readings are told by
// number: 0 is the run itself, k the variant k-1.
type doubt struct {
	part     int
	readings []int
	phrases  []string // by place in readings
}

// doubts groups the variants of a run by the part that they read otherwise.
func doubts(run *plumb.Run) (out []doubt) {
	for k, v := range run.Variants {
		i := slices.IndexFunc(out, func(d doubt) bool { return d.part == v.Part })
		if i < 0 {
			i = len(out)
			out = append(out, doubt{part: v.Part, readings: []int{0}, phrases: []string{ownWords(&run.Parts[v.Part])}})
		}
		out[i].readings, out[i].phrases = append(out[i].readings, k+1), append(out[i].phrases, v.Write)
	}
	for _, d := range out {
		if d.phrases[0] == somethingElse { // which is said last
			copy(d.readings, slices.Concat(d.readings[1:], d.readings[:1]))
			copy(d.phrases, slices.Concat(d.phrases[1:], d.phrases[:1]))
		}
	}
	return out
}

// somethingElse is what a part is of which the run itself does not know what it is.
const somethingElse = "something else"

// ownWords is what to write for a part as the run itself reads it: its phrase, unless
// that does not name its kind.
func ownWords(p *plumb.Part) string {
	switch {
	case p.Kind == nil:
		return somethingElse
	case strings.Contains(strings.ToLower(p.Phrase), strings.ToLower(p.Kind.Title)):
		return p.Phrase
	}
	return p.Kind.Title
}

// identity tells the findings of one reading apart, and names the same in another:
// the rule, the parts that it is about and the parts of its joint. The last of its
// fields counts those that are alike in all of this.
type identity struct {
	rule, parts, joint string
	count              int
}

// verdict is how a finding stands in one reading.
type verdict struct {
	found   bool
	level   Level
	unknown bool
}

// standing is a finding with how it stands in every reading.
type standing struct {
	Finding // the worst
	in      []verdict
}

// mergeVariants lays the findings of the readings of a run side by side, those of the
// run itself first.
func mergeVariants(run *plumb.Run, readings [][]Finding) (merged []Finding) {
	all := sideBySide(run, readings)
	list := doubts(run)
	hang := make([][]int, len(list)) // by doubt: what hangs on it
	for i := range all {
		for d := range list {
			if slices.ContainsFunc(list[d].readings, func(r int) bool { return all[i].in[r] != all[i].in[0] }) {
				hang[d] = append(hang[d], i)
			}
		}
	}
	asks := make([][]plumb.Question, len(all))
	for d := range list {
		if len(hang[d]) == 0 {
			continue
		}
		q := list[d].question(run, all, hang[d])
		for _, i := range hang[d] {
			asks[i] = append(asks[i], q)
			all[i].Related = slices.Concat(all[i].Related, list[d].pointer(run, &all[i].Finding))
		}
	}
	for i := range all {
		f := all[i].Finding
		if len(asks[i]) > 0 {
			f.Unknown = true
			f.Ask = append(asks[i], f.Ask...)
		}
		merged = append(merged, f)
	}
	return merged
}

// sideBySide finds the findings of every reading again in the others.
func sideBySide(run *plumb.Run, readings [][]Finding) (all []standing) {
	known := map[identity]int{}
	for r, found := range readings {
		of := run
		if r > 0 {
			of = run.Variants[r-1].Run
		}
		count := map[identity]int{}
		for _, f := range found {
			id := identify(of, &f)
			count[id]++
			id.count = count[id]
			i, ok := known[id]
			if !ok {
				i = len(all)
				known[id] = i
				if r > 0 {
					f.Joint = jointLike(run, of, f.Joint)
				}
				all = append(all, standing{Finding: f, in: make([]verdict, len(readings))})
			}
			s := &all[i]
			s.in[r] = verdict{true, f.Level, f.Unknown}
			if f.Level > s.Level || f.Level == s.Level && s.Unknown && !f.Unknown {
				f.Joint = s.Joint
				s.Finding = f
			}
		}
	}
	return all
}

func identify(run *plumb.Run, f *Finding) identity {
	parts := slices.Clone(f.Parts)
	slices.Sort(parts)
	id := identity{rule: f.Rule, parts: fmt.Sprint(parts)}
	if f.Joint >= 0 {
		id.joint = fmt.Sprint(sides(&run.Joints[f.Joint]))
	}
	return id
}

// sides are the parts that a joint joins, in the order of the run.
func sides(j *plumb.Joint) [2]int {
	return [2]int{min(j.A.Part, j.B.Part), max(j.A.Part, j.B.Part)}
}

// jointLike is the joint of a run between the parts that a joint of its variant joins,
// -1 where there is none.
func jointLike(run, variant *plumb.Run, joint int) int {
	if joint < 0 {
		return -1
	}
	want := sides(&variant.Joints[joint])
	if joint < len(run.Joints) && sides(&run.Joints[joint]) == want {
		return joint
	}
	return slices.IndexFunc(run.Joints, func(j plumb.Joint) bool { return sides(&j) == want })
}

// question asks which a part is; its answers say what stands then.
func (d *doubt) question(run *plumb.Run, all []standing, hang []int) plumb.Question {
	q := plumb.Question{
		What: "which is it: " + d.either() + "?",
		How:  "look at it, or read its packet or the maker's sheet",
		At:   run.Parts[d.part].Span,
	}
	for k, r := range d.readings {
		var stands []string
		for _, i := range hang {
			if all[i].in[r].found && !slices.Contains(stands, all[i].Rule) {
				stands = append(stands, all[i].Rule)
			}
		}
		then := "write that; nothing of what hangs on it is found then"
		if len(stands) > 0 {
			slices.Sort(stands)
			then = "write that; found then: " + strings.Join(stands, ", ")
		}
		if d.phrases[k] == somethingElse {
			then = "say what it is in other words; it is then judged as that"
		}
		q.Answers = append(q.Answers, plumb.Answer{If: d.phrases[k], Then: then})
	}
	return q
}

// either names what the part may be: "A or B".
func (d *doubt) either() string {
	var words []string
	for _, p := range d.phrases {
		if !slices.Contains(words, p) {
			words = append(words, p)
		}
	}
	return src.List(words, "or")
}

// pointer shows the part in doubt beside a finding that is about others.
func (d *doubt) pointer(run *plumb.Run, f *Finding) []Related {
	if slices.Contains(f.Parts, d.part) || !run.Parts[d.part].Span.Known() {
		return nil
	}
	return []Related{{Span: run.Parts[d.part].Span, Text: "hangs on what this is: " + d.either()}}
}
