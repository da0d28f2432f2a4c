package takeoff

import (
	"cmp"
	"slices"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/unit"
)

// sort brings the items into the order of the list.
func (b *build) sort() {
	slices.SortStableFunc(b.list.Items, func(x, y Item) int {
		return cmp.Or(
			cmp.Compare(x.Section, y.Section),
			cmp.Compare(serviceRank(x), serviceRank(y)),
			cmp.Compare(slices.Index(groups, x.Group), slices.Index(groups, y.Group)),
			orderInGroup(x, y),
		)
	})
}

// orderInGroup orders parts by size, kind and name. Tools and supplies are in
// the order of their data already; only their sizes are sorted.
func orderInGroup(x, y Item) int {
	if x.Section != Buy && x.Section != There {
		return 0
	}
	return cmp.Or(
		cmp.Compare(largest(y.Sizes), largest(x.Sizes)),
		strings.Compare(kindID(x), kindID(y)),
		strings.Compare(x.Name, y.Name),
	)
}

// serviceRank puts water before waste. Supplies and tools serve the whole job.
func serviceRank(it Item) int {
	if it.Section != Buy && it.Section != There {
		return 0
	}
	return int(it.Service)
}

func kindID(it Item) string {
	if it.Kind == nil {
		return ""
	}
	return it.Kind.ID
}

// largest is the largest of some sizes, to order by and for nothing else; 0
// where none is known.
func largest(sizes []unit.Size) (most unit.Length) {
	for _, s := range sizes {
		most = max(most, measure(s))
	}
	return most
}

func measure(s unit.Size) unit.Length {
	if in, ok := s.Inches(); ok {
		return unit.Length(in) * unit.Inch
	}
	if mm, ok := s.MM(); ok {
		return unit.Length(mm) * unit.Millimetre
	}
	return 0
}

// attach puts the findings on the lines they touch.
func (b *build) attach(refs []Ref) {
	for _, r := range refs {
		touched := false
		for i := range b.list.Items {
			it := &b.list.Items[i]
			if it.Section == Tools || it.Section == TestKit {
				continue
			}
			if r.Joint >= 0 && slices.Contains(it.Joints, r.Joint) || slices.ContainsFunc(r.Parts, func(p int) bool { return slices.Contains(it.Parts, p) }) {
				it.Refs = append(it.Refs, r)
				touched = true
			}
		}
		if !touched {
			b.list.Refs = append(b.list.Refs, r)
		}
	}
}

// notes says what goes for the whole list.
func (b *build) notes() {
	buys := func(s plumb.Service) bool {
		return slices.ContainsFunc(b.list.Items, func(it Item) bool { return it.Section == Buy && it.Service == s })
	}
	note := func(text string) { b.list.Notes = append(b.list.Notes, text) }
	if buys(plumb.Water) {
		if b.worst.Known {
			note("Every part on the water side must stand at least " + b.worst.V.Both() + ", the highest pressure said in the file; look for the rating on the part.")
		} else {
			note("Every part on the water side must stand the highest pressure of the supply, which the file does not say: read it on a gauge with all taps shut, at night too, and look for the rating on the part.")
		}
	}
	b.list.Notes = append(b.list.Notes, b.unseen...)
}
