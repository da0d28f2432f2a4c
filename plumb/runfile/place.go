package runfile

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/src"
	"tapwright/plumb/unit"
	"tapwright/plumb/yamldoc"
)

// jointLine is a joint line while it is read.
type jointLine struct {
	span   src.Span
	seals  []plumb.SealUse
	place  plumb.Place
	around string
	at     src.Span // of around
	test   plumb.Test
}

// jointItem reads a joint line; ok is false when the item is none.
func (b *build) jointItem(n *yamldoc.Node) (*jointLine, bool) {
	node, ok := n.Get("joint")
	if n.Kind != yamldoc.Map || !ok {
		return nil, false
	}
	f := b.Map(n, "a joint", jointKeys...)
	j := &jointLine{span: n.Span}
	j.seals = b.seals(node, "what seals the joint")
	j.place = b.place(f.Get("in"), f.Get("through"))
	if a := f.Get("around"); a != nil {
		j.around, j.at = b.around(a), a.Span
	}
	j.test = b.tested(f.Get("tested"))
	return j, true
}

var placeWords = []string{"air", "sun", "wall", "wall with access", "soil", "pit", "mortar", "concrete", "under slab", "sleeve", "unknown"}

// place reads `in:` and `through:`; a part has one or the other.
func (b *build) place(in, through *yamldoc.Node) (p plumb.Place) {
	n := in
	if through != nil {
		if in != nil {
			b.ask(through.Span, "it lies in a medium or only passes through it, not both", "in: or through:", "")
			through = in // which hides more of it
		}
		n, p.Crosses = through, in == nil
	}
	text, ok := b.String(n, "where it lies")
	if !ok {
		return plumb.Place{}
	}
	p.Span = n.Span
	words := split(text)
	if p.Crosses && len(words) > 0 {
		words[0] = b.depth(&p, words[0])
	}
	for _, w := range words {
		switch w.text {
		case "sun":
			p.Sun = true
			continue
		case "sleeve":
			p.Sleeve = true
			continue
		case "unknown":
			continue
		}
		m, ok := plumb.MediumNamed(w.text)
		if !ok {
			b.word(n, w, "a place", placeWords)
			continue
		}
		if p.Medium != plumb.Unsaid && p.Medium != m {
			b.ask(n.Sub(b.File, w.from, w.to), fmt.Sprintf("it cannot lie in %s and in %s", p.Medium, m), "one medium", "")
			continue
		}
		p.Medium = m
	}
	return p
}

// depth takes a leading length off "8 in mortar".
func (b *build) depth(p *plumb.Place, w piece) piece {
	for _, medium := range placeWords {
		rest, ok := strings.CutSuffix(w.text, medium)
		if !ok || strings.TrimSpace(rest) == "" {
			continue
		}
		if v, err := unit.ParseLength(strings.TrimSpace(rest)); err == nil {
			p.Depth = plumb.Some(v)
			return piece{text: medium, from: w.to - len(medium), to: w.to}
		}
	}
	return w
}

// add takes what a second line says of the same joint.
func (j *jointLine) add(more *jointLine) {
	j.seals = append(j.seals, more.seals...)
	if more.place.Span.Known() {
		j.place = more.place
	}
	if more.around != "" {
		j.around, j.at = more.around, more.at
	}
	if more.test.Said {
		j.test = more.test
	}
}

// seals reads what is on a joint: "PTFE tape, potable", "tape and compound". Of words
// that name no sealant it is not known what they put on the joint; the rules ask.
func (b *build) seals(n *yamldoc.Node, what string) (uses []plumb.SealUse) {
	text, ok := b.String(n, what)
	if !ok {
		return nil
	}
	for k, w := range split(withoutRemark(text)) {
		if yes, isClaim := sealClaim(w.text); isClaim && k > 0 {
			for i := range uses {
				uses[i].Potable = yes
			}
			continue
		}
		if b.r.cat.Sealant(w.text) != nil || w.text == "unknown" {
			uses = append(uses, b.seal(n, w, plumb.Unknown))
			continue
		}
		name, potable := cutClaim(w)
		if b.r.cat.Sealant(name.text) != nil {
			uses = append(uses, b.seal(n, name, potable))
			continue
		}
		for _, one := range apart(name) { // two on one joint: "tape and compound"
			uses = append(uses, b.seal(n, one, potable))
		}
	}
	return uses
}

// seal is one sealant that is named; potable is what is said of it beside its name.
func (b *build) seal(n *yamldoc.Node, w piece, potable plumb.Tri) plumb.SealUse {
	u := plumb.SealUse{Text: w.text, Said: true, Span: n.Sub(b.File, w.from, w.to)}
	if u.Sealant = b.r.cat.Sealant(w.text); u.Sealant == nil {
		u.Unknown = true
		if w.text != "unknown" {
			u.Nearest = b.nearSealant(w.text)
		}
		return u
	}
	if u.Potable = potable; potable == plumb.Unknown {
		u.Potable = u.Sealant.Potable
	}
	return u
}

func (b *build) nearSealant(text string) string {
	var known []string
	for _, s := range b.r.cat.Sealants {
		known = append(append(known, s.Title), s.Names...)
	}
	near, _ := src.Nearest(text, known)
	return near
}

// withoutRemark is a text with the remark in brackets at its end left off. A remark that says
// something of drinking water stays.
func withoutRemark(text string) string {
	head, rest, ok := strings.Cut(text, " (")
	if !ok || !strings.HasSuffix(rest, ")") || strings.Contains(strings.ToLower(rest), "water") || strings.Contains(strings.ToLower(rest), "potable") {
		return text
	}
	return head
}

// cutClaim parts the name of a sealant from what is said of it behind: "hemp for
// drinking water".
func cutClaim(w piece) (name piece, potable plumb.Tri) {
	for i := range w.text {
		if w.text[i] != ' ' {
			continue
		}
		if yes, ok := sealClaim(w.text[i+1:]); ok {
			return piece{text: w.text[:i], from: w.from, to: w.from + i}, yes
		}
	}
	return w, plumb.Unknown
}

// apart cuts a text at "and" and "+".
func apart(w piece) (out []piece) {
	from := w.from
	for _, part := range strings.Split(strings.ReplaceAll(w.text, " + ", " and "), " and ") {
		at := max(strings.Index(w.text[from-w.from:], part), 0)
		t := strings.TrimSpace(part)
		out = append(out, piece{text: t, from: from + at, to: from + at + len(t)})
		from += at + len(part)
	}
	return out
}

// sealClaim reads the words that say whether a sealant is for drinking water.
func sealClaim(word string) (plumb.Tri, bool) {
	switch strings.ToLower(word) {
	case "potable", "for potable water", "for drinking water", "drinking water", "nsf 61", "nsf/ansi 61", "nsf/ansi/can 61":
		return plumb.Yes, true
	case "not potable", "non-potable", "not for potable water", "not for drinking water":
		return plumb.No, true
	}
	return plumb.Unknown, false
}

var aroundWords = []string{"tape", "wrap", "sleeve", "foam", "pipe insulation", "plastic sheath", "mastic", "nothing", "unknown"}

// around reads what keeps the casting off a joint; "" when it is not known.
func (b *build) around(n *yamldoc.Node) string {
	text, ok := b.String(n, "what is around the joint")
	if !ok || text == "unknown" {
		return ""
	}
	for _, w := range aroundWords {
		if text == w {
			return text
		}
	}
	if s := b.r.cat.Sealant(text); s != nil && s.Class == "outer" {
		return s.Title
	}
	near, _ := src.Nearest(text, aroundWords)
	b.ask(n.Span, fmt.Sprintf("%q is not something around a joint that is known here", text), strings.Join(aroundWords, ", "), near)
	return ""
}

// tested reads "75 psi for 15 min", "75 psi", "yes" or "no"; air or water may
// stand before the pressure, behind it or at the end.
func (b *build) tested(n *yamldoc.Node) (t plumb.Test) {
	text, ok := b.String(n, "the test")
	if !ok || text == "unknown" {
		return t
	}
	t.Said, t.Span = true, n.Span
	switch text {
	case "no", "not tested":
		t.None = true
		return t
	case "yes":
		return t
	}
	from := 0 // where the pressure begins
	for _, word := range [...]string{"air", "water"} {
		for _, link := range [...]string{" at ", ", ", " "} {
			if rest, ok := strings.CutPrefix(text[from:], word+link); ok {
				from, t.Air = len(text)-len(rest), airTest(word)
			}
		}
	}
	pressure, hold, both := strings.Cut(text[from:], " for ")
	at := from + len(pressure) + len(" for ")
	for _, end := range [...]*string{&pressure, &hold} {
		for _, word := range [...]string{"air", "water"} {
			for _, link := range [...]string{" with ", ", ", " "} {
				if rest, ok := strings.CutSuffix(*end, link+word); ok {
					*end, t.Air = rest, airTest(word)
				}
			}
		}
	}
	v, err := unit.ParsePressure(pressure)
	if err != nil {
		b.badValue(n, from, err)
		return plumb.Test{}
	}
	t.Pressure = plumb.Some(v)
	if both {
		d, err := unit.ParseDuration(hold)
		if err != nil {
			b.badValue(n, at, err)
			return plumb.Test{}
		}
		t.Hold = plumb.Some(d)
	}
	return t
}

// airTest tells whether a test was made with air, from the word said for it.
func airTest(word string) plumb.Tri {
	if word == "air" {
		return plumb.Yes
	}
	return plumb.No
}

func parsePercent(text string) (float64, bool) {
	number, ok := strings.CutSuffix(text, "%")
	if !ok {
		return 0, false
	}
	v, err := strconv.ParseFloat(strings.TrimSpace(number), 64)
	if err != nil || math.IsNaN(v) || v < 0 || v > 100 {
		return 0, false
	}
	return v / 100, true
}
