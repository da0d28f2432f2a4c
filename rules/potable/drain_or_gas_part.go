package potable

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/rules"
)

func drainOrGasPart() *rules.Rule {
	return &rules.Rule{
		ID:    "drain-or-gas-part",
		Title: "a water line is made of parts for water under pressure",
		Why: "Drain pipe and tubular fittings hold no pressure and burst or come apart. Black iron rusts and colours " +
			"the water, and the metal and grease of gas parts were never meant for drinking.",
		Limits: "A part that once carried gas or waste and looks like a water part is not recognised.",
		Check: func(p *rules.Pass) {
			for i := range p.Run.Parts {
				part := &p.Run.Parts[i]
				if !readable(part) {
					continue
				}
				trade := wrongTrade(part)
				f := p.AtPart(i)
				switch trade {
				case "":
					continue
				case forWaste: // unfit whatever the water is for
					f.Message = p.Name(i) + " is made for drains and stands in a line under pressure"
					f.Remedy = "Put a pressure fitting in its place; what carries waste belongs under `drains:`."
					p.Report(f)
					continue
				case forGas:
					f.Message = p.Name(i) + " is made for gas, not for water"
				default:
					f.Message = fmt.Sprintf("%s is of %s, which is for gas and heating", p.Name(i), part.Material.Title)
				}
				if p.Facts.ForPeople(i) == plumb.No {
					continue
				}
				f.Remedy = "Put a part for drinking water in its place: copper, stainless steel, lead-free brass or listed plastic."
				p.Report(askUse(f, p.Facts.ForPeople(i)))
			}
		},
	}
}

// The trades whose parts stray into water lines.
const (
	forWaste  = "waste"
	forGas    = "gas"
	blackIron = "black iron"
)

// wrongTrade tells what a part in a water line is really made for, "" if water.
func wrongTrade(p *plumb.Part) string {
	switch k := p.Kind; {
	case k.Service&(plumb.Water|plumb.Waste) == plumb.Waste:
		return forWaste
	case k.Service&plumb.Water == 0 && k.Service&plumb.Gas != 0:
		return forGas
	case p.Material != nil && p.Material.ID == "black-steel" && !hoseWare(p) && !k.Has(plumb.Raises):
		return blackIron
	}
	return ""
}
