package backflow

import (
	"fmt"
	"slices"

	"tapwright/plumb"
	"tapwright/plumb/topo"
	"tapwright/rules"
)

// lastOn finds, for any part that a walk reached, the device nearest before it on
// the way the walk took, the part itself included. It looks at each part once.
type lastOn struct {
	run   *plumb.Run
	reach topo.Reach
	memo  map[int]int // part → the device, -1 if there is none
}

func lastDevices(p *rules.Pass, r topo.Reach) *lastOn {
	return &lastOn{run: p.Run, reach: r, memo: map[int]int{}}
}

// of gives the device, -1 if there is none.
func (l *lastOn) of(part int) int {
	var way []int
	device := -1
	for at := part; at >= 0; at, _ = l.reach.Before(at) {
		if m, ok := l.memo[at]; ok {
			device = m
			break
		}
		way = append(way, at)
		if protects(&l.run.Parts[at]) {
			device = at
			break
		}
	}
	for _, at := range way {
		l.memo[at] = device
	}
	return device
}

func deviceTooWeak() *rules.Rule {
	return &rules.Rule{
		ID:    "device-too-weak",
		Title: "an outlet that may lie in harmful water has a device for high hazard",
		Why: "A dual check and its kin keep out what only tastes bad. A hose may lie in a pool, a bucket of weed killer or " +
			"a dog's bath, and for that they are not made.",
		Limits: "Every hose thread and loose hose is taken as high hazard, since nobody can say where it will lie; so is what " +
			"wets the soil, though some states let a double check stand before sprinklers.",
		Check: func(p *rules.Pass) {
			if len(devicesThat(p, func(d *plumb.Device) bool { return d.Hazard == plumb.Low })) == 0 {
				return
			}
			bare := reach(p, protects)
			weak := reach(p, func(x *plumb.Part) bool { return standsHigh(x) || mayProtect(x) })
			heads := hoseHeads(p, weak)
			last := lastDevices(p, weak)
			said := map[int]bool{}
			for _, o := range p.Facts.Outlets {
				part := o.End.Part
				x := &p.Run.Parts[part]
				if !weak.Part(part) || standsHigh(x) || mayProtect(x) || open(bare, p.Run, part, protects) {
					continue // protected well, or not at all: other rules say so
				}
				if heads.on(part) < 0 && !o.Loose && !wets(x) {
					continue // a fixed outlet: its air gap is looked at
				}
				d := last.of(part)
				if d < 0 || said[d] {
					continue
				}
				said[d] = true
				f := p.AtPart(d)
				f.Parts = append(f.Parts, part)
				f.Message = fmt.Sprintf("%s is made for low hazard only, and %s after it may lie in anything", p.Name(d), p.Name(part))
				if d == part {
					f.Message = p.Name(d) + " is made for low hazard only, and what is put on it may lie in anything"
				}
				f.Remedy = "Put " + p.Term("hose breaker") + " on the hose thread as well, or take a device for high hazard."
				if heads.on(part) < 0 && !x.Kind.Has(plumb.Flexible) {
					f.Message = fmt.Sprintf("%s is made for low hazard only, and %s after it draws from the soil", p.Name(d), p.Name(part))
					f.Remedy = "Put " + p.Term("pipe breaker") + " high above " + p.Name(part) + ", after the last shut-off, or take another device for high hazard."
				}
				f.Related = []rules.Related{{Span: x.Span, Text: "water leaves here: " + p.Name(part)}}
				p.Report(f)
			}
		},
	}
}

func chemicalsBehindWeakDevice() *rules.Rule {
	return &rules.Rule{
		ID:    "chemicals-behind-weak-device",
		Title: "what adds chemicals has a device for high hazard before it",
		Why: "An injector or a spray bottle turns the water after it into a poison, and its pump or its raised bottle can push " +
			"that back.",
		Limits: "What is added is taken from `adds:`; a word that is not known counts as dangerous.",
		Check: func(p *rules.Pass) {
			adding := partsThat(p, func(x *plumb.Part) bool {
				return x.AddsSomething() && !slices.Contains([]string{"nothing", "air"}, x.Puts)
			})
			if len(adding) == 0 {
				return
			}
			high := reach(p, standsHigh)
			both := reach(p, standsPressure)
			for _, i := range adding {
				x := &p.Run.Parts[i]
				if standsHigh(x) {
					continue // its own protection is made for what it adds
				}
				hand := x.Kind.Has(plumb.HandHeld)
				f := p.AtPart(i)
				switch {
				case hand && high.Part(i):
					f.Message = fmt.Sprintf("%s adds something to the water, and no device for high hazard is before it", p.Name(i))
					f.Remedy = "Put " + p.Term("hose breaker or better") + " before it, shut the tap after use, and never leave it under pressure."
				case !hand && both.Part(i):
					f.Message = fmt.Sprintf("%s adds something to the water, and no device that stands against harm and pressure is before it", p.Name(i))
					f.Remedy = "Put " + p.Term("pressure assembly") + ", set up and tested by " + p.Term("tester") + ", before it, or fill through an air gap."
				default:
					continue
				}
				p.Report(f)
			}
		},
	}
}

func pumpBehindSiphonageDevice() *rules.Rule {
	return &rules.Rule{
		ID:    "pump-behind-siphonage-device",
		Title: "what can push water back has a device that bears pressure before it",
		Why: "A pump, a pressure tank or a heater downstream can press water back through a breaker that was made against " +
			"suction only.",
		Limits: "Height alone presses water back too; the rules on heights look at that.",
		Check: func(p *rules.Pass) {
			pushing := partsThat(p, func(x *plumb.Part) bool { return x.Kind.Has(plumb.Raises) })
			if len(pushing) == 0 {
				return
			}
			bare := reach(p, protects)
			low := reach(p, standsPressure)
			last := lastDevices(p, low)
			for _, i := range pushing {
				if !low.Part(i) || bare.Part(i) {
					continue
				}
				d := last.of(i)
				if d < 0 || d == i || p.Run.Parts[d].Device.BackPressure == plumb.AnyBackPressure {
					continue // a device for low hazard that bears pressure: device-too-weak looks at it
				}
				f := p.AtPart(i)
				f.Parts = append(f.Parts, d)
				f.Message = fmt.Sprintf("%s can push water back through %s, which is made against suction only", p.Name(i), breakerName(p, d))
				f.Remedy = "Put " + p.Term("pressure assembly") + " before it, or let the water fall into a tank through an air gap and pump from there."
				f.Related = []rules.Related{{Span: p.Run.Parts[d].Span, Text: "made against suction only: " + breakerName(p, d)}}
				p.Report(f)
			}
		},
	}
}

func breakersInSeries() *rules.Rule {
	return &rules.Rule{
		ID:    "breakers-in-series",
		Title: "no plain breaker follows another",
		Why: "The second adds nothing but a loss of pressure, keeps the first from emptying, and the water between them freezes " +
			"and bursts it.",
		Limits: "A device for the whole house before a breaker at the tap is another matter and is not counted.",
		Check: func(p *rules.Pass) {
			plain := devicesThat(p, func(d *plumb.Device) bool { return d.Continuous == plumb.No })
			if len(plain) < 2 {
				return
			}
			r := p.Facts.View.Walk(topo.Down, plain, nil)
			isPlain := map[int]bool{}
			for _, d := range plain {
				isPlain[d] = true
			}
			said := map[int]bool{}
			for i := range p.Run.Joints {
				j := &p.Run.Joints[i]
				d := j.B.Part
				if !isPlain[d] || said[d] || !r.Part(j.A.Part) {
					continue
				}
				first := r.Root(j.A.Part)
				if first == d {
					continue
				}
				said[d] = true
				f := p.AtPart(d)
				f.Parts = append(f.Parts, first)
				f.Message = fmt.Sprintf("%s follows %s: one breaker on a way is enough", breakerName(p, d), breakerName(p, first))
				f.Remedy = "Keep the one after the last shut-off and leave the other out."
				f.Related = []rules.Related{{Span: p.Run.Parts[first].Span, Text: "the first: " + breakerName(p, first)}}
				p.Report(f)
			}
		},
	}
}
