package service

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/plumb/unit"
	"tapwright/rules"
)

func testClearance() *rules.Rule {
	return &rules.Rule{
		ID:    "test-clearance",
		Title: "an assembly that is tested stands where a tester can work at it",
		Why: "These assemblies are tested every year: hoses and gauges go on below, and a test that cannot be made from the ground " +
			"is not made.",
		Limits: "Speaks only where the height is written or follows from its neighbours; the room around it is not known. Of a " +
			"reduced pressure assembly that is not above the ground at all relief-opening-low speaks.",
		Params: []rules.Param{
			{Name: "least", What: "least height of a tested assembly above the ground", Kind: rules.LengthParam},
			{Name: "platform", What: "height above which a fixed platform is asked for", Kind: rules.LengthParam},
		},
		Check: func(p *rules.Pass) {
			silent := false
			for i := range p.Run.Parts {
				x := &p.Run.Parts[i]
				if !x.Understood() || x.Device == nil || x.Device.Testable != plumb.Yes {
					continue
				}
				h := p.Facts.Height(i)
				f := p.AtPart(i)
				switch {
				case !h.Known:
					silent = true
					continue
				case h.V <= 0 && (x.Device.ID == "rp" || x.Device.ID == "ba"):
					continue // one cause: relief-opening-low says so, and raising it cures both
				case h.V < p.Length("least")-unit.Inch/1000:
					f.Message = fmt.Sprintf("%s stands %s above the ground; a tester needs %s below it", p.Name(i), h.V.Both(), p.Length("least").Both())
					f.Remedy = "Raise it."
				case h.V > p.Length("platform")+unit.Inch/1000:
					f.Level = rules.Note
					f.Message = fmt.Sprintf("%s stands %s above the ground; above %s a fixed platform is asked for", p.Name(i), h.V.Both(), p.Length("platform").Both())
					f.Remedy = "Lower it, or build a platform under it."
				default:
					continue
				}
				p.Report(f)
			}
			if silent {
				p.Skip("whether testers can work at assemblies whose height is not written")
			}
		},
	}
}
