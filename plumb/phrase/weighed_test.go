package phrase

import (
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"tapwright/plumb"
)

// phrasesWith puts a word of the vocabulary into phrases: in front, behind and after "with".
func phrasesWith(base, w string) []string {
	out := []string{base + ", " + w, w + " " + base}
	if !strings.HasPrefix(w, "with") && !strings.HasPrefix(w, "no ") {
		out = append(out, base+" with "+w)
	}
	return out
}

// No word of the vocabulary is passed over: behind a whole phrase it is kept among the
// part's words, or it is a claim or an attribute, part of the kind's name, or a question.
func TestNoWordIsDropped(t *testing.T) {
	r := reader(t)
	silent := []attr{aSkip, aSep, aWith, aUnit, aCount, aDN, aDegree, aBend, aOr, aExisting} // say nothing by themselves
	dropped := map[string]bool{}
	for _, base := range []string{"1/2 FIP x 3/4 MHT hose bibb, brass", "1/2 FIP ball valve, brass", "3/4 PVC pipe", "kitchen faucet"} {
		plain := r.Read(base)
		for _, l := range vocab().words {
			if slices.Contains(silent, l.attr) || l.attr == noAttr && len(l.ends) == 0 && l.material == "" {
				continue // a sign of its world alone
			}
			for _, w := range l.words {
				x := r.Read(base + ", " + w)
				if len(x.Questions) == 0 && reflect.DeepEqual(bare(plain.Part), bare(x.Part)) && reflect.DeepEqual(plain.Notes, x.Notes) {
					dropped[w] = true
				}
			}
		}
	}
	assert.Empty(t, dropped, "words that read as if they were not there")
}

// What is no claim grants nothing, whatever it is called.
func TestOnlyClaimsAreClaims(t *testing.T) {
	r := reader(t)
	claims := []attr{aLeadFree, aLowLead, aPotable, aBreaker, aAntiSiphon, aDZR, aBody}
	granted := map[string]bool{}
	for _, base := range []string{"1/2 FIP x 3/4 MHT hose bibb", "1/2 FIP x 1/2 FIP ball valve, brass", "5/8 garden hose"} {
		was := r.Read(base).Part
		for _, l := range vocab().words {
			if slices.Contains(claims, l.attr) || l.attr == aSDR || l.material != "" {
				continue // DR without a number is DZR; a material is free of lead or not by itself
			}
			for _, w := range l.words {
				for _, text := range phrasesWith(base, w) {
					p := r.Read(text).Part
					if w == "hd" { // the code of a device, which is a claim behind with
						continue
					}
					if p.Kind == was.Kind && p.Material == was.Material && (p.LeadFree == plumb.Yes || p.Breaker == plumb.Yes || p.DZR == plumb.Yes || p.Listed == plumb.Yes && was.Listed != plumb.Yes) {
						granted[text] = true
					}
				}
			}
		}
	}
	assert.Empty(t, granted, "phrases that grant what they do not say")
}

// A word on what a part does is a trait of the kind that is read, or a question: on a
// valve, a tap or a faucet never a mere word.
func TestActsAreTraits(t *testing.T) {
	r := reader(t)
	forgotten := map[string]string{}
	for _, base := range []string{"1/2 FIP ball valve", "1/2 FIP x 3/4 MHT hose bibb", "3/8 COMP x 3/8 COMP kitchen faucet", "1/2 MIP basin tap"} {
		group := r.Read(base).Part.Kind.Group
		for _, l := range vocab().words {
			if l.attr != aActs {
				continue
			}
			rule := &vocab().acts[l.rule]
			for _, w := range l.words {
				for _, text := range phrasesWith(base, w) {
					if x := r.Read(text); !weighs(&x, rule, slices.Contains(rule.where, group)) {
						forgotten[text] = summary(&x.Part)
					}
				}
			}
		}
	}
	assert.Empty(t, forgotten, "phrases whose word on what the part does is forgotten")
}

// weighs says whether a reading has what a rule says of it.
func weighs(x *Reading, rule *actRule, must bool) bool {
	k := x.Part.Kind
	if len(x.Questions) > 0 || k == nil {
		return true
	}
	does := k.HasAny(rule.traits) || slices.Contains(rule.kinds, k.ID)
	for _, to := range rule.becomes {
		does = does || k.ID == to
	}
	return does || !must && len(x.Notes) > 0 && len(x.Part.Words) > 0
}

// Where a part lies is never read off its phrase.
func TestPlacesAreAsked(t *testing.T) {
	r := reader(t)
	for _, l := range vocab().words {
		if l.attr != aPlace {
			continue
		}
		for _, w := range l.words {
			for _, text := range []string{"3/4 PEX tube, " + w, "brass nipple " + w, w + " ball valve", "adapter for " + w, "3/4 MIP x 3/4 MIP brass nipple " + w + ", 6 in"} {
				x := r.Read(text)
				found := false
				for _, p := range x.Questions {
					found = found || strings.Contains(p.Want, "`in") || strings.Contains(p.Want, "`through")
				}
				kept := slices.ContainsFunc(x.Part.Words, func(s string) bool { return strings.Contains(plainly(s), plainly(w)) })
				assert.True(t, found || kept, "%q: %v %s", text, x.Questions, summary(&x.Part))
				assert.Equal(t, plumb.Place{}, x.Part.Place, "%q", text)
			}
		}
	}
}

// What is worth a remark gets it, in front and behind.
func TestRemarks(t *testing.T) {
	r := reader(t)
	for _, l := range vocab().words {
		if l.attr != aRemark {
			continue
		}
		note := vocab().remarks[l.rule].note
		for _, w := range l.words {
			for _, text := range []string{"1/2 MIP x 3/4 MHT hose bibb, " + w, w + " 3/4 MIP x 3/4 MIP brass nipple, 6 in"} {
				x := r.Read(text)
				if e := r.lookup(w); e != nil && len(e.kinds) > 0 || x.Part.Kind == nil || x.Part.Kind.ID != "hose-bibb" && x.Part.Kind.ID != "nipple" {
					continue // part of a kind's name, or a name: lined nipple, well
				}
				said := slices.ContainsFunc(x.Notes, func(n Problem) bool { return strings.Contains(n.Msg, note) || strings.HasPrefix(n.Msg, quote(w)) })
				assert.True(t, said || len(x.Questions) > 0, "%q became %s: %v", text, x.Part.Kind.ID, x.Notes)
				assert.True(t, len(x.Part.Words) > 0 || len(x.Questions) > 0, "%q", text)
			}
		}
	}
}
