package mend

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/rules"
)

// putTrap puts a P-trap into the first joint after a basin that takes one.
func putTrap(b *bench, f *rules.Finding) (list []candidate, why string) {
	basin := f.Parts[0]
	if f.Unknown || b.run.Parts[basin].Line < 0 {
		return nil, b.not
	}
	why = "mend finds no joint under " + b.facts.Name(basin) + " into which a P-trap goes"
	for i := range b.run.Joints {
		j := &b.run.Joints[i]
		a := b.run.End(j.A)
		if b.run.Parts[j.A.Part].Line != b.run.Parts[basin].Line || j.A.Part < basin || j.Existing || a.Size == "" {
			continue
		}
		k := b.cat.Kind("p-trap")
		trap := fmt.Sprintf("%s SJ x %s TUB %s", a.Size, a.Size, k.Title)
		if x, ok := b.understand(trap, plumb.Waste); !ok || x.Kind != k {
			continue
		}
		v, err := b.between(i, []string{trap}, []string{"out"})
		if err != nil {
			why = err.Error()
			continue
		}
		for _, edits := range v {
			list = append(list, candidate{fmt.Sprintf("buy a %s, to go under %s", trap, b.facts.Name(basin)), edits})
		}
		if len(list) >= 4 {
			break
		}
	}
	return list, why
}

// otherTrap writes a P-trap in place of a trap of a barred form.
func otherTrap(b *bench, f *rules.Finding) ([]candidate, string) {
	i := f.Parts[0]
	if no := b.held(i); no != "" {
		return nil, no
	}
	return b.otherKind(i, "p-trap", "", func(t string) string { return "buy a " + t + " in place of " + b.facts.Name(i) }), b.not
}

// oneTrap leaves the second of two traps out, or puts a coupling in its place.
func oneTrap(b *bench, f *rules.Finding) (list []candidate, why string) {
	i := f.Parts[0]
	if no := b.held(i); no != "" {
		return nil, no
	}
	v, err := b.without(i)
	if err != nil {
		return nil, err.Error()
	}
	for _, edits := range v {
		list = append(list, candidate{"leave " + b.facts.Name(i) + " out", edits})
	}
	list = append(list, b.otherKind(i, "dwv-coupling", "", func(t string) string { return "buy a " + t + " in place of " + b.facts.Name(i) })...)
	return list, b.not
}
