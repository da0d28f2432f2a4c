package phrase

import "math/bits"

// endSet is a set of end types, by their place in the catalogue.
type endSet [2]uint64

func (s *endSet) add(i int16) { s[i>>6] |= 1 << (i & 63) }

func (s endSet) has(i int16) bool { return i >= 0 && s[i>>6]&(1<<(i&63)) != 0 }

func (s endSet) and(t endSet) endSet { return endSet{s[0] & t[0], s[1] & t[1]} }

func (s endSet) or(t endSet) endSet { return endSet{s[0] | t[0], s[1] | t[1]} }

func (s endSet) minus(t endSet) endSet { return endSet{s[0] &^ t[0], s[1] &^ t[1]} }

func (s endSet) empty() bool { return s[0]|s[1] == 0 }

func (s endSet) len() int { return bits.OnesCount64(s[0]) + bits.OnesCount64(s[1]) }

// only is the one member of a set, -1 where it has none or several.
func (s endSet) only() int16 {
	if s.len() != 1 {
		return -1
	}
	return s.first()
}

// first is the member that stands first in the catalogue, -1 of an empty set.
func (s endSet) first() int16 {
	switch {
	case s[0] != 0:
		return int16(bits.TrailingZeros64(s[0]))
	case s[1] != 0:
		return int16(64 + bits.TrailingZeros64(s[1]))
	}
	return -1
}

// each gives the members in order.
func (s endSet) each(yield func(int16) bool) {
	for i, w := range s {
		for ; w != 0; w &= w - 1 {
			if !yield(int16(i*64 + bits.TrailingZeros64(w))) {
				return
			}
		}
	}
}

// wordSet is a set of the first 64 tokens of a phrase.
type wordSet uint64

func span(from, to int) wordSet {
	var s wordSet
	for i := from; i < to && i < 64; i++ {
		s |= 1 << i
	}
	return s
}

func (s wordSet) has(i int) bool { return i >= 0 && i < 64 && s&(1<<i) != 0 }

func (s wordSet) len() int { return bits.OnesCount64(uint64(s)) }

func (s wordSet) last() int { return 63 - bits.LeadingZeros64(uint64(s)) }

func (s wordSet) first() int { return bits.TrailingZeros64(uint64(s)) }
