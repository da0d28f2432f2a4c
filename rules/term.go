package rules

// Terms are the trade terms that remedies and questions use and each legal world
// has its own words for, devices and marks above all. A profile gives its words
// for every one of them, in the grammar that the note says.
var Terms = []string{
	// devices, with their article: "a device (STANDARD)"
	"hose breaker",           // screws on a hose thread, against suction
	"screw on breaker",       // what to do at a bare hose thread, beginning with "Screw"
	"hose breaker or better", // the same, or one with more behind it
	"tap with breaker",       // a tap with such a device built in
	"pipe breaker",           // against suction, set in pipe above all that follows
	"pressure assembly",      // stands against harm and against pressure from behind
	"standing devices",       // kinds that may stand under pressure with a valve after them, no article
	"tap breaker marks",      // what a tap with a device built in is marked
	"machine marks",          // what a machine is marked that is filled through an air gap inside
	"closed hydrant",         // a hydrant that does not drain into the ground
	"hammer arrestor",
	"tester", // who tests an assembly
	// marks and materials
	"marked lead-free", // after "a part that is": how it is known to be fit by its lead
	"lead marks",       // what to look for on a part
	"lead declaration", // where a maker says how much lead is in it
	"marked potable",   // after "one that is": fit for drinking water by its listing
	"potable mark",     // a noun: what is on a part for drinking water
	"lead-free mark",   // a noun: what is on a part that is fit by its lead
	"potable words",    // what to write in a phrase
	"potable marks",    // what to look for on pipe and fittings
	"hose marks",       // after a comma: how a hose with its ends is fit for drinking water
	"potable sealants", // sealants for drinking water
	"sealant marks",    // after "the tin says"
	"test",             // a test before covering as the file writes it
	"solder",           // solder without lead, by its standard
}

// Term gives the words of the profile for one of the Terms.
func (p *Pass) Term(name string) string { return p.prof.Terms[name] }

// Against names what stands against a fluid category, where water is sucked back
// and, if pressed is set, where it may be pressed back as well.
func (p *Pass) Against(category int, pressed bool) string {
	if pressed {
		return p.prof.Against[category].Pressed
	}
	return p.prof.Against[category].Sucked
}

// Fluids are the fluid categories of the profile, nil where it knows none.
func (p *Pass) Fluids() []Fluid { return p.prof.Fluids }
