package embedded

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/rules"
)

func castInJointListing() *rules.Rule {
	return &rules.Rule{
		ID:    "cast-in-joint-listing",
		Title: "a permanent joint that is cast in is listed for it",
		Why: "Cemented, crimped, pressed and expanded joints are permanent, and many may be cast in. For each make the " +
			"listing says whether, and the inspector has the last word.",
		Limits: "The listing of a make is not known here. Brazed joints are accepted without asking, once tested and wrapped; of " +
			"soft-soldered ones in mortar the inspector is asked.",
		Check: func(p *rules.Pass) {
			for _, g := range byHost(p, listingDecides) {
				j := &p.Run.Joints[g.joints[0]]
				f := atGroup(p, g)
				f.Unknown = true
				f.Message = fmt.Sprintf("%s %s %s; the maker's listing decides whether %s may",
					joints(p, g), verb(g, "lies", "lie"), j.Place.Medium.Where(), verb(g, "it", "they"))
				f.Remedy = "Look it up before you pour; if the listing allows it, waive this here with that as the reason."
				f.Ask = []plumb.Question{{
					What: "does the maker's sheet allow this joint in concrete or mortar?",
					How:  "look for “concealed” or “concrete” in the installation sheet, and ask the inspector",
					Answers: []plumb.Answer{
						{If: "yes", Then: "test it, wrap it as the sheet says, and waive this with that reason"},
						{If: "no, or nothing to be found", Then: "keep the joint in the open"},
					},
				}}
				if j.Fit.Joint == "soldered" { // no maker speaks for it
					f.Message = fmt.Sprintf("%s %s %s and %s not said to be brazed; the inspector decides whether soft solder may",
						joints(p, g), verb(g, "lies", "lie"), j.Place.Medium.Where(), verb(g, "is", "are"))
					f.Remedy = "Have it brazed and write it, or ask the inspector; if it is allowed, waive this here with that as the reason."
					f.Ask = []plumb.Question{{
						What: "is it brazed, or does the inspector let soft solder be cast in here?",
						How:  "ask whoever makes it; under a slab codes want brazing; for a pier no rule was found",
						Answers: []plumb.Answer{
							{If: "brazed", Then: "write joint: brazed, and this falls away"},
							{If: "soldered and allowed", Then: "wrap it, test it, and waive this with that reason"},
							{If: "soldered and not allowed", Then: "run the tube through in one piece"},
						},
					}}
				}
				p.Report(f)
			}
		},
	}
}

func listingDecides(j *plumb.Joint) bool {
	if !surely(j) || !j.Place.Medium.Cast() || j.Fit.Embed != plumb.Unknown || j.Existing {
		return false
	}
	if j.Fit.Joint == "soldered" { // brazed is allowed; in a slab a rule of its own speaks
		return filler(j) != "brazing" && !slab(j.Place.Medium)
	}
	return true
}
