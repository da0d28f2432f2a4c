package phrase

import (
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"tapwright/plumb"
)

// No word of the vocabulary is passed over: behind a whole phrase it is kept
// among the part's words, or it is a claim or an attribute, part of the kind's
// name, or a problem.
func TestNoWordIsDropped(t *testing.T) {
	r := reader(t)
	silent := []attr{aSkip, aSep, aWith, aUnit, aCount, aDN, aDegree, aBend, aOr} // say nothing by themselves, or are problems
	for _, base := range []string{"1/2 FIP x 3/4 MHT hose bibb, brass", "1/2 FIP ball valve, brass", "3/4 PVC pipe", "kitchen faucet"} {
		plain := r.Read(base)
		for _, l := range vocab().words {
			if slices.Contains(silent, l.attr) {
				continue
			}
			for _, w := range l.words {
				text := base + ", " + w
				x := r.Read(text)
				if len(x.Problems) > 0 {
					continue
				}
				assert.False(t, reflect.DeepEqual(bare(plain.Part), bare(x.Part)) && reflect.DeepEqual(plain.Notes, x.Notes),
					"%q reads as if %q were not there", text, w)
			}
		}
	}
}

// What is no claim grants nothing, whatever it is called.
func TestOnlyClaimsAreClaims(t *testing.T) {
	r := reader(t)
	claims := []attr{aLeadFree, aLowLead, aPotable, aBreaker, aAntiSiphon, aDZR, aBody}
	for _, base := range []string{"1/2 FIP x 3/4 MHT hose bibb", "1/2 FIP x 1/2 FIP ball valve, brass", "5/8 garden hose"} {
		was := r.Read(base).Part
		for _, l := range vocab().words {
			if slices.Contains(claims, l.attr) || l.amb == ambLF || l.amb == ambSS || l.attr == aSDR {
				continue // SS is stainless, which has no lead; DR without a number is DZR
			}
			for _, w := range l.words {
				for _, text := range []string{base + ", " + w, w + " " + base, base + " with " + w} {
					x := r.Read(text)
					if len(x.Problems) > 0 || x.Part.Kind != was.Kind {
						continue
					}
					for _, now := range [...]plumb.Tri{x.Part.LeadFree, x.Part.Breaker, x.Part.DZR} {
						assert.NotEqual(t, plumb.Yes, now, "%q", text)
					}
					assert.True(t, x.Part.Listed != plumb.Yes || was.Listed == plumb.Yes, "%q", text)
				}
			}
		}
	}
}

// A word on what a part does is a trait of the kind that is read, or a problem:
// on a valve, a tap or a faucet never a mere word.
func TestActsAreTraits(t *testing.T) {
	r := reader(t)
	for _, base := range []string{"1/2 FIP ball valve", "1/2 FIP x 3/4 MHT hose bibb", "3/8 COMP x 3/8 COMP kitchen faucet", "1/2 MIP basin tap"} {
		group := r.Read(base).Part.Kind.Group
		for _, l := range vocab().words {
			if l.attr != aActs {
				continue
			}
			rule := vocab().acts[l.rule]
			for _, w := range l.words {
				for _, text := range []string{base + ", " + w, base + " with " + w, w + " " + base} {
					x := r.Read(text)
					if len(x.Problems) > 0 || strings.HasPrefix(w, "with ") && strings.Contains(text, "with with") {
						continue
					}
					k := x.Part.Kind
					does := k.HasAny(rule.traits) || slices.Contains(rule.kinds, k.ID)
					for _, to := range rule.becomes {
						does = does || k.ID == to
					}
					if slices.Contains(rule.where, group) {
						assert.True(t, does, "%q became %s", text, k.ID)
					} else {
						assert.True(t, does || len(x.Notes) > 0 && len(x.Part.Words) > 0, "%q: %v", text, x.Notes)
					}
				}
			}
		}
	}
}

// Where a part lies is never read off its phrase.
func TestPlacesAreProblems(t *testing.T) {
	r := reader(t)
	for _, l := range vocab().words {
		if l.attr != aPlace {
			continue
		}
		for _, w := range l.words {
			for _, text := range []string{"3/4 PEX tube, " + w, "brass nipple " + w, w + " ball valve", "adapter for " + w, "3/4 MIP x 3/4 MIP brass nipple " + w + ", 6 in"} {
				x := r.Read(text)
				found := false
				for _, p := range x.Problems {
					found = found || strings.Contains(p.Want, "`in") || strings.Contains(p.Want, "`through")
				}
				assert.True(t, found, "%q: %v", text, x.Problems)
				assert.Equal(t, plumb.Place{}, x.Part.Place)
			}
		}
	}
}

// What is worth a remark gets it, in front, behind and behind "with".
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
				if len(x.Problems) > 0 || x.Part.Kind.ID != "hose-bibb" && x.Part.Kind.ID != "nipple" {
					continue // part of a kind's name: lined nipple
				}
				said := false
				for _, n := range x.Notes {
					said = said || strings.Contains(n.Msg, note)
				}
				assert.True(t, said, "%q became %s: %v", text, x.Part.Kind.ID, x.Notes)
				assert.NotEmpty(t, x.Part.Words, "%q", text)
			}
		}
	}
}
