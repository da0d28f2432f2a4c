package takeoff

import (
	"slices"

	"tapwright/plumb"
	"tapwright/plumb/unit"
)

// addTools adds the tools that the joints and cuts of the job want, and what
// its test wants.
func (b *build) addTools() {
	wanted := map[string][]int{} // tool → joints
	var sizes = map[string][]unit.Size{}
	for i := range b.run.Joints {
		j := &b.run.Joints[i]
		if j.Existing || j.Unseen || j.Fit.Verdict == plumb.No || j.Fit.Joint == "" {
			continue
		}
		size, _ := b.jointSize(j)
		for _, t := range b.joints[j.Fit.Joint].tools {
			wanted[t] = append(wanted[t], i)
			if size != "" && !slices.Contains(sizes[t], size) {
				sizes[t] = append(sizes[t], size)
			}
		}
	}
	var cut []string // kinds of pipe that are cut
	coated, water, waste := false, false, false
	for i := range b.run.Parts {
		p := &b.run.Parts[i]
		if p.Line < 0 || p.Existing || p.Kind == nil {
			continue
		}
		coated = coated || p.Coating != ""
		water = water || p.Service == plumb.Water
		waste = waste || p.Service == plumb.Waste
		if b.byLength(p) || p.Kind.ID == "drain-tube" {
			cut = append(cut, p.Kind.ID)
		}
	}
	for _, t := range b.tools {
		it := Item{Section: Tools, Unit: AsNeeded, Count: 1, Name: t.name, Note: t.note, Joints: wanted[t.id],
			Cites: []plumb.Cite{{Work: "common practice, no source"}}}
		if t.size {
			it.Sizes = sizes[t.id]
		}
		need := len(wanted[t.id]) > 0 || t.coated && coated || t.always && len(cut) > 0 ||
			slices.ContainsFunc(t.kinds, func(k string) bool { return slices.Contains(cut, k) })
		if t.test != "" {
			it.Section = TestKit
			need = t.test == "water" && water || t.test == "waste" && waste
		}
		if need {
			b.list.Items = append(b.list.Items, it)
		}
	}
	b.testCaps(water)
}

// testCaps adds the caps that hold the test pressure at hose threads where water
// leaves; the gauge takes one of them.
func (b *build) testCaps(water bool) {
	n := 0
	var parts []int
	for i := range b.run.Parts {
		p := &b.run.Parts[i]
		if p.Line < 0 || p.Service != plumb.Water || p.Kind.Has(plumb.Flexible) {
			continue
		}
		for k := range p.Ends {
			if e := &p.Ends[k]; e.Joint < 0 && e.Kind != nil && e.Kind.ID == "MHT" {
				n += max(1, p.Count)
				parts = append(parts, i)
			}
		}
	}
	if n < 2 || !water {
		return
	}
	it := Item{Section: TestKit, Name: "3/4 FHT hose cap", Count: n - 1, Note: "with a washer, for the time of the test; the gauge closes the other hose thread",
		Sizes: []unit.Size{"3/4"}, Cites: []plumb.Cite{{Work: "common practice, no source"}}}
	for _, i := range parts {
		it.Where = append(it.Where, b.where(&b.run.Parts[i]))
	}
	b.list.Items = append(b.list.Items, it)
}
