package supply

import (
	"fmt"

	"tapwright/rules"
)

func dripWithoutRegulator() *rules.Rule {
	return &rules.Rule{
		ID:    "drip-without-regulator",
		Title: "drip tubing has a regulator before it that holds the pressure down",
		Why: "Drip tubing is made for a third of the pressure of a street. Under all of it the fittings come off one by one, " +
			"the drippers spray, and the bed nearest the tap drowns.",
		Limits: "A rain tank that stands open gives little pressure and is let be. Whether the regulator suits a flow as small " +
			"as that of drippers is not seen.",
		Params: []rules.Param{{Name: "highest", What: "the most that drip tubing is made for", Kind: rules.PressureParam}},
		Check: func(p *rules.Pass) {
			var z *zones
			said := map[int]bool{} // by zone
			for i := range p.Run.Parts {
				x := &p.Run.Parts[i]
				if !readable(x) || !x.Is("drip-tubing") || !p.Facts.Fed.Part(i) {
					continue
				}
				if z == nil {
					z = zonesOf(p)
				}
				zone := z.of[i]
				if zone < 0 || said[zone] || z.byGravity(zone) {
					continue
				}
				most := p.Pressure("highest")
				k, known := z.at(i)
				f := p.AtPart(i)
				switch {
				case known && k.pressure > most:
					f.Message = fmt.Sprintf("%s is made for %s at most, and %s", p.Name(i), most.Both(), k.tell(p))
					f.Related = []rules.Related{{Span: k.at, Text: "the pressure is said here"}}
				case known, z.regulated(zone):
					continue // low enough, or a regulator whose set point nobody wrote
				default:
					f.Message = fmt.Sprintf("%s is made for %s at most, and no regulator stands between it and %s", p.Name(i), most.Both(), p.Name(zone))
				}
				said[zone] = true
				f.Remedy = "Put a pressure regulator for drip lines before it, after the breaker and the filter."
				p.Report(f)
			}
		},
	}
}

// byGravity reports whether a zone's pressure is only the height of the water in
// an open tank.
func (z *zones) byGravity(zone int) bool {
	for i := range z.run.Sources {
		if s := &z.run.Sources[i]; s.Part == zone {
			return s.Level.Known || s.Water.InTank() && !s.KeptAt.Known
		}
	}
	return false
}
