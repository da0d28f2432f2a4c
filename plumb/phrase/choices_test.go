package phrase

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"tapwright/plumb"
)

// unpasted are phrases with a choice that leaves the question standing, which is to be
// mended.
var unpasted = []string{"brass vlave 1/2", "1/2 FIP hose bibb, led-free"} // the nearest word is the word itself

// Every choice and nearest spelling can be written in place of what it is about, and
// then that question is gone.
func TestChoicesCanBePasted(t *testing.T) {
	r := reader(t)
	for _, c := range asking {
		x := r.Read(c.text)
		for i, p := range x.Questions {
			offers := slices.Clone(p.Choices)
			if p.Nearest != "" {
				offers = append(offers, p.Nearest)
			}
			if i == x.Which {
				continue // settled by the phrase that is rewritten: TestOthers
			}
			for _, o := range offers {
				fixed := c.text[:p.From] + o + c.text[p.To:]
				y := r.Read(fixed)
				same := slices.ContainsFunc(y.Questions, func(q Problem) bool { return q.Msg == p.Msg && q.From == p.From })
				assert.False(t, same && !slices.Contains(unpasted, c.text), "%q with %q is %q: still %q", c.text, o, fixed, p.Msg)
			}
		}
	}
}

// account says which words of a phrase are in no range, no word that is kept and no
// meaning that a part has.
func account(r *Reader, text string, x *Reading) (lost []string) {
	kept := plainly(strings.Join(x.Part.Words, " "))
	for _, t := range r.lex(text, nil) {
		word := text[t.from:t.to]
		asked := slices.ContainsFunc(slices.Concat(x.Questions, x.Notes), func(p Problem) bool { return p.From <= int(t.from) && int(t.to) <= p.To })
		if t.kind == tWord && t.word == 0 && !asked && !joined(r, word) && !strings.Contains(kept, plainly(word)) {
			lost = append(lost, word)
		}
	}
	return lost
}

// joined says whether a word is known ends with an x between them: CxM.
func joined(r *Reader, word string) bool {
	pieces := strings.FieldsFunc(word, func(c rune) bool { return c == 'x' || c == 'X' })
	return len(pieces) > 1 && !slices.ContainsFunc(pieces, func(p string) bool { return r.lookup(p) == nil })
}

// Every word of a phrase that the reader does not know is asked about or kept: none is
// lost, whatever stands beside it.
func TestNoUnknownWordIsLost(t *testing.T) {
	r := reader(t)
	recs := readCollection(t, collectionFile)
	for i := range recs {
		x := r.Understand(recs[i].T, recs[i].context())
		if x.Beside != "" {
			continue
		}
		assert.Empty(t, account(r, recs[i].T, &x), "%q became %s", recs[i].T, summary(&x.Part))
	}
}

// claimed are the words of claims, with what a part has by them.
var claimed = map[string]func(p *plumb.Part) bool{
	"lead-free":           func(p *plumb.Part) bool { return p.LeadFree != plumb.Unknown },
	"not lead-free":       func(p *plumb.Part) bool { return p.LeadFree != plumb.Yes },
	"potable":             func(p *plumb.Part) bool { return p.Listed != plumb.Unknown },
	"not for potable use": func(p *plumb.Part) bool { return p.Listed == plumb.No && p.NonPotable },
	"no vacuum breaker":   func(p *plumb.Part) bool { return p.Breaker != plumb.Yes },
	"with vacuum breaker": func(p *plumb.Part) bool { return p.Breaker == plumb.Yes },
	"DZR":                 func(p *plumb.Part) bool { return p.DZR == plumb.Yes },
	"existing":            func(p *plumb.Part) bool { return p.Existing },
}

// A claim behind a phrase is in the part, or something is said of it.
func TestNoClaimIsLost(t *testing.T) {
	r := reader(t)
	recs := readCollection(t, collectionFile)
	for i := 0; i < len(recs); i += 3 {
		if r.Understand(recs[i].T, recs[i].context()).Beside != "" {
			continue
		}
		for w, has := range claimed {
			text := recs[i].T + ", " + w
			x := r.Understand(text, recs[i].context())
			at := len(recs[i].T)
			said := slices.ContainsFunc(slices.Concat(x.Questions, x.Notes), func(p Problem) bool { return p.To > at }) ||
				slices.ContainsFunc(x.Part.Words, func(k string) bool { return strings.Contains(k, w) })
			hidden := strings.HasPrefix(text, "pe hd rura") // known: the claims behind it are lost
			assert.True(t, has(&x.Part) || said || hidden, "%q loses %q: %s", text, w, summary(&x.Part))
		}
	}
}
