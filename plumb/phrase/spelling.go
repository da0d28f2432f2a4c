package phrase

import (
	"strings"

	"github.com/agnivade/levenshtein"
)

// respell takes words that nobody knows for the known ones they are spelled like.
func (w *work) respell() {
	w.spelled = w.spelled[:0]
	for i := w.start; i < len(w.toks); i++ {
		t := &w.toks[i]
		if t.kind != tWord || t.word != 0 || len(w.spelled) == mostSpelled {
			continue
		}
		text := w.s[t.from:t.to]
		near := w.r.known(text)
		if near == "" {
			continue
		}
		t.word = w.r.words[near]
		w.spelled = append(w.spelled, spelled{Range{int(t.from), int(t.to)}, near})
	}
}

// mostSpelled is how many words of a phrase are respelled: each costs a search.
const mostSpelled = 6

// known remembers what misspelt found: lists repeat their mistakes.
func (r *Reader) known(word string) string {
	if near, ok := r.spellings.Load(word); ok {
		return near.(string)
	}
	near := r.misspelt(word)
	if r.remembered.Add(1) < mostRemembered {
		r.spellings.Store(word, near)
	}
	return near
}

const mostRemembered = 4096

// misspelt gives the one known word that an unknown one is spelled like, "" if
// there is none or it is too far: one letter in a word of four to six, two in a
// longer one. Letters that changed places count as one.
func (r *Reader) misspelt(word string) string {
	word = strings.ToLower(word)
	n := len(word)
	if n < 4 || n >= len(r.near)-2 || strings.ContainsAny(word, "0123456789") {
		return ""
	}
	most := 1
	if n > 6 {
		most = 2
	}
	if r.words[word] != 0 {
		return ""
	}
	best, found, tie := most*8+8, "", false
	for l := max(3, n-most); l <= min(n+most, len(r.near)-1); l++ {
		for _, known := range r.near[l] {
			d := distance(word, known, most)
			if d > most || r.promises(known) {
				continue
			}
			score := d * 8
			if known[0] != word[0] {
				if n < 6 {
					continue
				}
				score += 6
			}
			if l != n {
				score++
			}
			switch {
			case score < best:
				best, found, tie = score, known, false
			case score == best && known != found:
				tie = true
			}
		}
	}
	if found == "" || tie && best > 8 || r.stem(word, found) {
		return ""
	}
	return found
}

// promises says whether a word claims something of a part, or denies it: nothing is
// taken for such a word that is not spelled so. Portable is not potable.
func (r *Reader) promises(known string) bool {
	e := r.nodes[r.first[r.words[known]]]
	if e == nil {
		return false
	}
	switch e.attr {
	case aLeadFree, aLowLead, aLeaded, aPotable, aNonPotable, aBreaker, aNoBreaker, aAntiSiphon, aDZR, aWith, aMatters, aExisting, aUnknown, aWanted:
		return true
	}
	return false
}

// stem says whether two words differ by what turns the sense round.
func (r *Reader) stem(word, known string) bool {
	for _, p := range [...]string{"un", "non", "in"} {
		if strings.TrimPrefix(word, p) == known || strings.TrimPrefix(known, p) == word {
			return true
		}
	}
	return false
}

// distance counts the letters changed, two that changed places as one; more than
// most means further than that.
func distance(a, b string, most int) int {
	if swapped(a, b) {
		return 1
	}
	return levenshtein.ComputeDistance(a, b)
}

func swapped(a, b string) bool {
	if len(a) != len(b) {
		return false
	}
	i := 0
	for i < len(a) && a[i] == b[i] {
		i++
	}
	return i+1 < len(a) && a[i] == b[i+1] && a[i+1] == b[i] && a[i+2:] == b[i+2:]
}

// nearest gives the known word nearest to one that is not taken for any. It remembers
// what it found.
func (r *Reader) nearest(word string) string {
	key := "?" + word
	if near, ok := r.spellings.Load(key); ok {
		return near.(string)
	}
	near := r.search(word)
	if r.remembered.Add(1) < mostRemembered {
		r.spellings.Store(key, near)
	}
	return near
}

func (r *Reader) search(word string) string {
	n := len(word)
	if n < 3 || n >= len(r.near)-1 {
		return ""
	}
	word = strings.ToLower(word)
	best, found := 1<<30, ""
	slack := min(2, n/3)
	for l := max(3, n-slack); l <= min(n+slack, len(r.near)-1); l++ {
		for _, w := range r.near[l] {
			d := distance(word, w, slack)
			if d == 0 || d > slack+1 || d >= n { // a word known only inside a name helps nobody
				continue
			}
			score := d * 8
			if l != n {
				score += 2
			}
			if w[0] != word[0] {
				score++
			}
			if score < best {
				best, found = score, w
			}
		}
	}
	return found
}
