package report

import (
	"bytes"
	"cmp"
	"fmt"
	"slices"
	"strings"

	"tapwright/plumb/src"
	"tapwright/rules"
	"tapwright/rules/mend"
)

// Mend is what mending a run file comes to.
type Mend struct {
	Head
	Name    string `json:"name"`
	Title   string `json:"title"`
	Read    string `json:"read"`
	Profile string `json:"profile"` // "" where nothing was checked
	// Written is set where the corrections stand in the file.
	Written  bool      `json:"written"`
	Problems []Problem `json:"problems"`
	Fixes    []Fix     `json:"fixes"`
	Cured    []Finding `json:"cured"`
	Left     []Left    `json:"left"`
	Diff     string    `json:"diff"` // unified; "" where nothing changes
}

// Fix is one correction.
type Fix struct {
	Title string `json:"title"`
	Rule  string `json:"rule"`
	Edits []Edit `json:"edits"`
}

// Edit puts another text in the place of a stretch of the file as it was.
type Edit struct {
	Span
	Old string `json:"old"`
	New string `json:"new"`
}

// Left is a finding that stays, and why.
type Left struct {
	Finding
	Reason string `json:"reason"`
}

// MendUnread is a file of which nothing could be used.
func MendUnread(tool Tool, name string, problems []src.Problem) *Mend {
	m := newMend(tool, name)
	m.Read, m.Problems = ReadNothing, problemsOf(problems)
	return m
}

func newMend(tool Tool, name string) *Mend {
	return &Mend{
		Head: Head{Schema, tool}, Name: name, Read: ReadWhole,
		Problems: []Problem{}, Fixes: []Fix{}, Cured: []Finding{}, Left: []Left{},
	}
}

// MendOf is what mending a file comes to; written tells that the corrections
// stand in it.
func MendOf(tool Tool, file *src.File, plan *mend.Plan, book []*rules.Rule, written bool) *Mend {
	m := newMend(tool, file.Name)
	m.Problems = problemsOf(plan.Problems)
	if plan.Before == nil {
		m.Read = ReadNothing
		return m
	}
	m.Title, m.Profile, m.Written = plan.Before.Run.Title, plan.Before.Profile.Name, written
	if len(plan.Problems) > 0 {
		m.Read = ReadPart
		return m
	}
	why := make(map[string]string, len(book))
	for _, r := range book {
		why[r.ID] = r.Why
	}
	var edits []mend.Edit
	for _, f := range plan.Fixes {
		fix := Fix{Title: f.Title, Rule: f.Rule, Edits: []Edit{}}
		for _, e := range f.Edits {
			edits = append(edits, e)
			fix.Edits = append(fix.Edits, Edit{span(file.Span(e.Start, e.End)), string(file.Text[e.Start:e.End]), e.New})
		}
		m.Fixes = append(m.Fixes, fix)
	}
	for i := range plan.Cured {
		m.Cured = append(m.Cured, finding(plan.Before.Run, &plan.Cured[i], why))
	}
	for i := range plan.Left {
		l := &plan.Left[i]
		m.Left = append(m.Left, Left{finding(plan.Before.Run, &l.Finding, why), l.Reason})
	}
	m.Diff = unified(file, edits)
	return m
}

// text writes what is done, the difference, and what is left with the reasons.
func (m *Mend) text(p *page) {
	for k := range m.Problems {
		m.Problems[k].text(p, m.Name)
	}
	lead := Clean(m.Name) + ": "
	switch {
	case m.Read == ReadNothing:
		p.para(lead, 4, "could not be read; nothing is mended")
		return
	case m.Read == ReadPart:
		p.para(lead, 4, fmt.Sprintf("could not be read in full (%s); put that right first, nothing is mended", count(len(m.Problems), "place")))
		return
	case len(m.Fixes)+len(m.Left) == 0:
		p.para(lead, 4, "nothing to mend: nothing was found; that is not a permit")
	case len(m.Fixes) == 0:
		p.para(lead, 4, fmt.Sprintf("nothing that mend can correct; %s left", count(len(m.Left), "finding")))
	case len(m.Left) == 0:
		p.para(lead, 4, fmt.Sprintf("%s for %s, none left; that is not a permit", count(len(m.Fixes), "correction"), count(len(m.Cured), "finding")))
	default:
		p.para(lead, 4, fmt.Sprintf("%s for %s; %s left", count(len(m.Fixes), "correction"), count(len(m.Cured), "finding"), count(len(m.Left), "finding")))
	}
	p.line("")
	if len(m.Fixes) > 0 {
		for i, f := range m.Fixes {
			p.para(fmt.Sprintf("%3d. ", i+1), 5, f.Title+" ["+f.Rule+"]")
		}
		p.line("")
		for l := range strings.Lines(m.Diff) { // as it is, so that a patch tool can take it
			if p.err == nil {
				_, p.err = fmt.Fprint(p.w, l)
			}
		}
		p.line("")
		if m.Written {
			p.para(lead, 4, "written")
		} else {
			p.para("", 0, "Nothing is written yet; --write does it.")
		}
		p.line("")
	}
	first := told{}
	for i := range m.Left {
		l := &m.Left[i]
		level := l.Level
		if l.Unknown {
			level = "unknown"
		}
		p.para(at(m.Name, l.Start)+": "+p.level(level)+": ", 4, fmt.Sprintf("%s [%s]", l.Message, l.Rule))
		reason := l.Reason
		if said := first.before(reason, i+1); said > 0 && reason != "" {
			reason = "as said above"
		}
		p.field(4, "left", reason)
		p.line("")
	}
	p.para("", 0, lastWord)
}

// around is how many lines stand before and after a change in a diff.
const around = 3

// block is some lines of a text in whose place others come.
type block struct {
	from, to int // lines of the old text, from 0, to excluded
	now      []string
}

// unified writes a unified diff. It knows the edits and need not look for them:
// each is widened to whole lines, and edits that share a line become one.
func unified(file *src.File, edits []mend.Edit) string {
	if len(edits) == 0 {
		return ""
	}
	old := split(file.Text)
	starts := make([]int, len(old)+1) // byte at which each line begins
	for i, l := range old {
		starts[i+1] = starts[i] + len(l)
	}
	var out strings.Builder
	fmt.Fprintf(&out, "--- %s\n+++ %s\n", file.Name, file.Name)
	slices.SortStableFunc(edits, func(a, b mend.Edit) int { return cmp.Compare(a.Start, b.Start) })
	blocks := blocksOf(old, starts, edits)
	shift := 0
	for i := 0; i < len(blocks); {
		j := i + 1
		for j < len(blocks) && blocks[j].from-blocks[j-1].to < 2*around {
			j++
		}
		from, to := max(0, blocks[i].from-around), min(len(old), blocks[j-1].to+around)
		var body strings.Builder
		added, at := 0, from
		for _, b := range blocks[i:j] {
			put(&body, ' ', old[at:b.from])
			put(&body, '-', old[b.from:b.to])
			put(&body, '+', b.now)
			added += len(b.now) - (b.to - b.from)
			at = b.to
		}
		put(&body, ' ', old[at:to])
		fmt.Fprintf(&out, "@@ -%s +%s @@\n", extent(from, to-from), extent(from+shift, to-from+added))
		out.WriteString(body.String())
		shift += added
		i = j
	}
	return out.String()
}

// blocksOf widens edits to whole lines, and leaves out again the lines at the
// edges that stay as they are.
func blocksOf(old []string, starts []int, edits []mend.Edit) (blocks []block) {
	whole := strings.Join(old, "")
	line := func(at int) int { // the line in which a byte lies
		i, found := slices.BinarySearch(starts, at)
		if !found {
			return i - 1
		}
		if i == len(old) && i > 0 && !strings.HasSuffix(whole, "\n") {
			return i - 1 // the end of a last line without an ending
		}
		return i
	}
	for i := 0; i < len(edits); {
		from := line(edits[i].Start)
		to, at := from, starts[from]
		var now strings.Builder
		for first := true; i < len(edits) && (first || line(edits[i].Start) < to); i++ {
			e := edits[i]
			now.WriteString(whole[at:e.Start] + e.New)
			first, at = false, e.End
			to = line(e.End)
			if e.End > starts[to] || now.Len() > 0 && !strings.HasSuffix(now.String(), "\n") {
				to = min(to+1, len(old)) // the rest of its line belongs to it
			}
		}
		now.WriteString(whole[at:starts[to]])
		b := block{from, to, split([]byte(now.String()))}
		for b.from < b.to && len(b.now) > 0 && old[b.from] == b.now[0] {
			b.from, b.now = b.from+1, b.now[1:]
		}
		for b.from < b.to && len(b.now) > 0 && old[b.to-1] == b.now[len(b.now)-1] {
			b.to, b.now = b.to-1, b.now[:len(b.now)-1]
		}
		if b.from == b.to && len(b.now) == 0 {
			continue // it changes nothing
		}
		if n := len(blocks) - 1; n >= 0 && blocks[n].to == b.from {
			blocks[n].to, blocks[n].now = b.to, append(blocks[n].now, b.now...)
			continue
		}
		blocks = append(blocks, b)
	}
	return blocks
}

// split cuts a text into lines, each with its ending.
func split(text []byte) (lines []string) {
	for l := range bytes.Lines(text) {
		lines = append(lines, string(l))
	}
	return lines
}

func put(b *strings.Builder, sign byte, lines []string) {
	for _, l := range lines {
		b.WriteByte(sign)
		b.WriteString(l)
		if !strings.HasSuffix(l, "\n") {
			b.WriteString("\n\\ No newline at end of file\n")
		}
	}
}

// extent writes where a hunk lies: the line before it where it has none.
func extent(from, n int) string {
	switch n {
	case 0:
		return fmt.Sprintf("%d,0", from)
	case 1:
		return fmt.Sprint(from + 1)
	}
	return fmt.Sprintf("%d,%d", from+1, n)
}
