package mend

import (
	"slices"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/yamldoc"
	"tapwright/rules"
)

// bench is where the corrections of one page are thought of.
type bench struct {
	*desk
	*page
	not string // what mend does not do about findings of this rule
}

// usualTape is the sealant that mend names where none suits yet: tape goes on
// every taper thread, metal or plastic (common practice, no source), and marked
// for drinking water it may stand in every line.
const usualTape = "PTFE tape, potable"

// saying finds where the seal that a finding speaks of is written: the value of
// a joint line, or of the file's usual seal.
func (b *bench) saying(f *rules.Finding) (n *yamldoc.Node, line *item, usual bool) {
	at := f.Span.Start.Byte
	if u, ok := b.root.Get("usual seal"); ok && u.Span.Start.Byte <= at && at < u.Span.End.Byte {
		return u, nil, true
	}
	if f.Joint < 0 {
		return nil, nil, false
	}
	if line = b.jointLine(f.Joint); line != nil {
		return line.phrase, line, false
	}
	return nil, nil, false
}

// isMade reports whether a joint is there already: between parts that stand, or
// in a run that has been tested.
func (b *bench) isMade(j *plumb.Joint) bool {
	return j.Existing || b.tested(b.run.Parts[j.B.Part].Line)
}

// forPeople reports whether people may take in the water of a joint.
func (b *bench) forPeople(j *plumb.Joint) bool {
	return b.facts.ForPeople(j.A.Part) != plumb.No || b.facts.ForPeople(j.B.Part) != plumb.No
}

// means lists what can be written for a joint so that it is tight, the usual
// first.
func (b *bench) means(j *plumb.Joint) (out []string) {
	if j.Fit.Sealant == plumb.SealantNeeded {
		if u := b.cat.Sealant(strings.Split(b.usual, ",")[0]); u != nil && u.Thread == plumb.Yes {
			out = append(out, b.usual)
		}
		return append(out, usualTape)
	}
	for _, id := range j.Fit.Seals {
		s := b.cat.Sealant(id)
		if s == nil {
			continue
		}
		name := strings.ReplaceAll(s.ID, "-", " ")
		if strings.EqualFold(name, s.Title) || b.cat.Sealant(name) != s {
			name = s.Title
		}
		if s.Class == "cement" && s.Potable == plumb.Unknown && b.forPeople(j) {
			name += ", potable"
		}
		out = append(out, name)
	}
	return out
}

// write makes candidates that write one of several texts into a value.
func (b *bench) write(n *yamldoc.Node, title func(string) string, texts ...string) (out []candidate, why string) {
	why = nothing
	for _, t := range texts {
		e, err := b.set(n, t)
		if err != nil {
			why = err.Error()
			continue
		}
		out = append(out, candidate{title(t), []Edit{e}})
	}
	return out, why
}

// said puts words that have a comma in them in quotes.
func said(t string) string {
	if strings.Contains(t, ",") {
		return "“" + t + "”"
	}
	return t
}

func inPlace(n *yamldoc.Node) func(string) string {
	return func(t string) string { return "use " + said(t) + " in place of " + said(n.Text) }
}

// anyMade reports whether a joint was made already with what a finding speaks of.
func (b *bench) anyMade(f *rules.Finding, usual bool) bool {
	if !usual {
		return b.isMade(&b.run.Joints[f.Joint])
	}
	for i := range b.run.Joints {
		j := &b.run.Joints[i]
		if slices.ContainsFunc(j.Seals, func(u plumb.SealUse) bool { return u.Usual }) && b.isMade(j) && !j.Existing {
			return true
		}
	}
	return false
}

func otherSeal(b *bench, f *rules.Finding) ([]candidate, string) {
	n, _, usual := b.saying(f)
	switch {
	case n == nil:
		return nil, nothing
	case b.anyMade(f, usual):
		return nil, made
	case f.Unknown && f.Rule == "wrong-means":
		return nil, "which of the two clamps it is can be seen on the joint only"
	}
	return b.write(n, inPlace(n), b.means(&b.run.Joints[f.Joint])...)
}

func sealThreads(b *bench, f *rules.Finding) ([]candidate, string) {
	if n, _, usual := b.saying(f); n != nil { // said to be dry
		if b.anyMade(f, usual) {
			return nil, made
		}
		return b.write(n, inPlace(n), usualTape)
	}
	if _, ok := b.root.Get("usual seal"); ok {
		return nil, nothing
	}
	e, err := b.addTop("usual seal", usualTape)
	if err != nil {
		return nil, err.Error()
	}
	return []candidate{{"put " + said(usualTape) + " on the pipe threads", []Edit{e}}}, ""
}

// takeOff takes a sealant from a joint that seals by itself.
func takeOff(b *bench, f *rules.Finding) (out []candidate, why string) {
	n, line, usual := b.saying(f)
	if n == nil || usual {
		return nil, nothing
	}
	j := &b.run.Joints[f.Joint]
	if b.isMade(j) {
		return nil, made
	}
	var stay []string
	word := n.Text
	for k := range j.Seals {
		if s := &j.Seals[k]; s.Span == f.Span {
			word = s.Text
		} else {
			stay = append(stay, sealText(s))
		}
	}
	title := func(string) string { return "leave " + said(word) + " off" }
	switch {
	case len(stay) > 0:
		out, why = b.write(n, title, strings.Join(stay, " and "))
	case len(line.node.Entries) == 1:
		e, err := b.remove(line)
		if err != nil {
			return nil, err.Error()
		}
		out = []candidate{{title(""), []Edit{e}}}
	}
	more, no := b.write(n, inPlace(n), b.means(j)...)
	if why == "" {
		why = no
	}
	return append(out, more...), why
}

// sealText writes a seal as it was said, with the claim that stood behind it.
func sealText(s *plumb.SealUse) string {
	switch {
	case s.Sealant == nil || s.Potable == s.Sealant.Potable:
		return s.Text
	case s.Potable == plumb.Yes:
		return s.Text + ", potable"
	case s.Potable == plumb.No:
		return s.Text + ", not potable"
	}
	return s.Text
}

func oneSealant(b *bench, f *rules.Finding) (out []candidate, why string) {
	n, _, _ := b.saying(f)
	j := &b.run.Joints[f.Joint]
	switch {
	case n == nil:
		return nil, nothing
	case b.isMade(j):
		return nil, made
	}
	var keep []string
	for _, tape := range []bool{true, false} { // tape is for every thread, compound is not
		for k := range j.Seals {
			if s := &j.Seals[k]; s.Sealant != nil && s.Sealant.Thread == plumb.Yes && (s.Sealant.Class == "tape") == tape {
				keep = append(keep, sealText(s))
			}
		}
	}
	return b.write(n, func(t string) string { return "use " + said(t) + " alone" }, keep...)
}

func putWasher(b *bench, f *rules.Finding) ([]candidate, string) {
	j := &b.run.Joints[f.Joint]
	if b.isMade(j) {
		return nil, made
	}
	var washers []string
	for _, m := range b.means(j) {
		if s := b.cat.Sealant(m); s != nil && s.Class == "washer" {
			washers = append(washers, m)
		}
	}
	title := func(t string) string { return "put a new " + t + " in before " + b.facts.Name(j.B.Part) }
	if n, _, _ := b.saying(f); n != nil {
		return b.write(n, title, washers...)
	}
	return b.addJoint(j, title, washers...)
}

// addJoint gives a joint without a line of its own one.
func (b *bench) addJoint(j *plumb.Joint, title func(string) string, seals ...string) (out []candidate, why string) {
	it := b.part(j.B.Part)
	if b.run.Parts[j.B.Part].Line < 0 || it == nil || it.list == nil || j.Loop {
		return nil, odd.Error()
	}
	for _, s := range seals {
		e, err := b.insertItem(it.list, it.index, []string{"joint: " + s})
		if err != nil {
			return nil, err.Error()
		}
		out = append(out, candidate{title(s), []Edit{e}})
	}
	return out, nothing
}

func potableSeal(b *bench, f *rules.Finding) ([]candidate, string) {
	j := &b.run.Joints[f.Joint]
	n, _, usual := b.saying(f)
	if n == nil { // a cement that nobody named
		if b.isMade(j) || j.Fit.Joint != "solvent" {
			return nil, label
		}
		return b.addJoint(j, func(t string) string { return "buy " + said(t) }, b.means(j)...)
	}
	if b.anyMade(f, usual) {
		return nil, made
	}
	var texts []string
	for k := range j.Seals {
		s := &j.Seals[k]
		if s.Sealant == nil || s.Potable == plumb.Yes {
			continue
		}
		switch {
		case s.Sealant.Class == "tape" && s.Potable == plumb.Unknown:
			return nil, label // the roll at hand may be marked; nothing else would be another thing
		case j.Fit.Sealant == plumb.SealantNeeded:
			texts = append(texts, usualTape)
		case s.Potable == plumb.No:
			texts = append(texts, s.Text+", potable")
		default:
			return nil, label
		}
	}
	return b.write(n, func(t string) string { return "buy " + said(t) + " in place of " + said(n.Text) }, texts...)
}

func leadFreeSolder(b *bench, f *rules.Finding) ([]candidate, string) {
	const solder = "lead-free solder"
	j := &b.run.Joints[f.Joint]
	n, _, _ := b.saying(f)
	switch {
	case b.isMade(j):
		return nil, made
	case n == nil || !slices.ContainsFunc(j.Seals, func(s plumb.SealUse) bool { return s.Sealant != nil && s.Sealant.Class == "solder" }):
		if n != nil {
			return nil, label
		}
		return b.addJoint(j, func(string) string { return "buy " + solder }, solder)
	case f.Unknown && !leaded(j):
		return nil, label // solder is named, and its spool has to be read
	}
	return b.write(n, func(string) string { return "buy " + solder + " in place of " + said(n.Text) }, solder)
}

func leaded(j *plumb.Joint) bool {
	return slices.ContainsFunc(j.Seals, func(s plumb.SealUse) bool { return s.Sealant != nil && s.Sealant.LeadFree == plumb.No })
}

func braze(b *bench, f *rules.Finding) ([]candidate, string) {
	n, _, _ := b.saying(f)
	switch {
	case n == nil || f.Unknown:
		return nil, "whether it is brazed is known to whoever makes it"
	case b.isMade(&b.run.Joints[f.Joint]):
		return nil, made
	}
	return b.write(n, func(string) string { return "have the joint brazed" }, "brazed")
}

// sealInside puts what lies around a thread under `around`, and a sealant on the
// thread.
func sealInside(b *bench, f *rules.Finding) ([]candidate, string) {
	n, line, usual := b.saying(f)
	if n == nil || usual {
		return nil, nothing
	}
	j := &b.run.Joints[f.Joint]
	if b.isMade(j) {
		return nil, made
	}
	outer := ""
	for k := range j.Seals {
		if s := &j.Seals[k]; s.Span.Start == f.Span.Start {
			outer = s.Text
		}
	}
	var out []candidate
	for _, tape := range b.means(j) {
		e, err := b.set(n, tape)
		if err != nil {
			return nil, err.Error()
		}
		edits := []Edit{e}
		if j.Around == "" {
			add, err := b.addKey(line, "around", outer, nil, outer)
			if err != nil {
				return nil, err.Error()
			}
			edits = append(edits, add...)
		}
		out = append(out, candidate{"use " + said(tape) + " on the thread, and " + said(outer) + " around the joint only", edits})
	}
	return out, nothing
}

// dropWaiver takes out a waiver that matches nothing.
func dropWaiver(b *bench, f *rules.Finding) ([]candidate, string) {
	conf, _ := b.root.Get("rules")
	list, _ := conf.Get("waive")
	if list == nil || list.Kind != yamldoc.List {
		return nil, nothing
	}
	at := f.Span.Start.Byte
	for i, n := range list.Items {
		start, end, err := b.raw(n)
		if err != nil {
			return nil, err.Error()
		}
		if at < start || at >= end {
			continue
		}
		title := "take out the waiver that matches nothing"
		var e Edit
		switch {
		case len(list.Items) > 1 && !list.Flow:
			e, err = b.remove(&item{node: n, list: list, index: i})
		case len(list.Items) > 1:
			from, to := start, end
			if i > 0 {
				_, from, err = b.raw(list.Items[i-1])
			} else {
				to, _, err = b.raw(list.Items[1])
			}
			if b.comment(from, to) >= 0 {
				err = odd
			}
			e = Edit{Start: from, End: to}
		default:
			e, err = b.dropKey(conf, "waive")
		}
		if err != nil {
			return nil, err.Error()
		}
		return []candidate{{title, []Edit{e}}}, ""
	}
	return nil, nothing
}

// dropKey takes a key out of the map under the file's key `rules`, and that key
// with its last one.
func (b *bench) dropKey(conf *yamldoc.Node, name string) (Edit, error) {
	holder, at := conf, key(conf, name)
	if len(conf.Entries) == 1 {
		holder, at = b.root, key(b.root, "rules")
	}
	_, end, err := b.raw(at.Value)
	if err != nil {
		return Edit{}, err
	}
	if !holder.Flow {
		line, _, _ := b.lineOf(at.KeySpan.Start.Byte)
		return b.cut(line, end, b.column(at.KeySpan.Start.Byte)), nil
	}
	from := at.KeySpan.Start.Byte
	for i := range holder.Entries {
		if &holder.Entries[i] != at {
			continue
		}
		if i > 0 {
			_, from, err = b.raw(holder.Entries[i-1].Value)
		} else {
			end = holder.Entries[1].KeySpan.Start.Byte
		}
	}
	if b.comment(from, end) >= 0 {
		return Edit{}, odd
	}
	return Edit{Start: from, End: end}, err
}
