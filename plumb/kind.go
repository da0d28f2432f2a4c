package plumb

import "tapwright/plumb/unit"

// Tri is an answer that may be missing. The zero Tri is Unknown, so that a
// forgotten field never reads as "yes" or "no".
type Tri uint8

// The three answers.
const (
	Unknown Tri = iota
	Yes
	No
)

func (t Tri) String() string { return [...]string{"not known", "yes", "no"}[t] }

// Opt is a value that may be missing.
type Opt[T any] struct {
	V     T
	Known bool
}

// Some is a value that is known.
func Some[T any](v T) Opt[T] { return Opt[T]{V: v, Known: true} }

// Cite names a publication a verdict or a figure rests on.
type Cite struct {
	Work  string // title and edition: "ASME B1.20.1-2013"; or "common practice, no source"
	Where string // section, clause or table; may be empty
	// Memory is set when the publication's text was not seen for this figure;
	// such a cite is shown with the words "from memory".
	Memory bool
}

// Service is what a part is made to carry. A part may serve several.
type Service uint8

// Services are bits.
const (
	Water Service = 1 << iota // pressure side: drinking or other water
	Waste                     // gravity drain side
	Gas                       // made for fuel gas or air only
)

// Trait is something a kind of part does that rules and engines ask about.
type Trait uint32

// Traits are bits.
const (
	Shuts      Trait = 1 << iota // a person can shut the water off with it
	SelfActing                   // opens and shuts with nobody there (timer, solenoid, float)
	HandHeld                     // held in the hand in use; shuts when let go (nozzle)
	OneWay                       // passes water in one direction only
	Flexible                     // hose: moves, is dropped, is left lying
	PipeLike                     // pipe, tube, hose: is bought or cut by length
	Raises                       // can push water back: pump, raised tank, heater
	Adds                         // puts something into the water: injector, sprayer
	Cleans                       // filter, strainer, softener
	Holds                        // basin, tank or can: has a rim
	TrapSeal                     // holds a water seal
	Weeps                        // has a port that lets water out below or beside it (stop-and-waste, weep hole)
	Supply                       // where water comes from
	Receives                     // where waste goes
	Plugs                        // closes an end: cap, plug
	Divides                      // has several outlets: tee, wye, manifold, splitter
	Tempers                      // gives water of the temperature it is set to: heater, thermostatic mixing valve
)

// EndRole is one end of a kind of part, as the catalogue describes it.
type EndRole struct {
	Name string // unique in the kind: in, out, branch, left, cold …
	// Types lists the end types this end is sold with, the usual one first.
	// The single entry "OPEN" means water leaves here and nothing is put on.
	Types []string
	// Outlet is set where water leaves by design, even when something may be
	// put on: the spout of a tap, the hose thread of a hose bibb.
	Outlet bool
	// Swivel is set where this end turns freely on its part (a hose nut).
	Swivel bool
}

// Kind is a generic kind of part, one record of the catalogue.
type Kind struct {
	ID      string   // kebab-case: "hose-bibb"
	Title   string   // "hose bibb"
	Names   []string // trade names and abbreviations a phrase may use
	Group   string   // catalogue chapter: pipe, fitting, valve, tap, hose, backflow, drain …
	About   string   // one plain sentence: what it is, what to look for
	Service Service
	Traits  Trait
	Ends    []EndRole
	// Repeat is set where the last end may occur more than once (manifold).
	Repeat bool
	// Turnable kinds have no direction: the list may enter them by either end.
	Turnable bool
	// Layouts are the end-type sets the kind is sold in, outlet order as in
	// Ends; a phrase without ends gets one by its material.
	Layouts []Layout
	// Sizes are the nominal sizes the kind is really sold in; empty = any.
	Sizes []unit.Size
	// Materials it is sold in, the usual one first.
	Materials []string
	// Device is the backflow device this kind is, or nil.
	Device *Device
	// BuiltIn is the backflow device that some makes of the kind have inside
	// and others have not (hose bibbs); nil where that does not occur.
	BuiltIn *Device
	// BuiltInG is the one that makes with a G thread on their outlet have, where
	// that is another.
	BuiltInG *Device
	// Listed: is the kind as such made for drinking water? No for ordinary
	// hose, gas cocks, DWV; Unknown where it depends on the make.
	Listed  Tri
	Cites   []Cite // where the record comes from
	Typical bool   // generic, typical: no publication describes it
}

// Inside is the device that a part of the kind with these ends may have inside,
// nil if none has.
func (k *Kind) Inside(ends []End) *Device {
	if k.BuiltInG != nil {
		for i := range ends {
			if e := &ends[i]; e.Outlet && e.Kind != nil && e.Kind.Family == "iso228" {
				return k.BuiltInG
			}
		}
	}
	return k.BuiltIn
}

// Has reports whether the kind has every one of the traits.
func (k *Kind) Has(t Trait) bool { return k != nil && k.Traits&t == t }

// HasAny reports whether the kind has one of the traits.
func (k *Kind) HasAny(t Trait) bool { return k != nil && k.Traits&t != 0 }

// Layout is one way a kind's ends are made.
type Layout struct {
	Types     []string // end types in the order of the kind's ends
	Materials []string // where this layout is the usual one; empty = any
}

// Gender of an end.
type Gender uint8

// The genders. Plain is a tube or pipe end with nothing on it; Neither is a
// face, a union or an outlet.
const (
	Neither Gender = iota
	Male
	Female
	Plain
)

func (g Gender) String() string { return [...]string{"", "male", "female", "plain"}[g] }

// EndKind is a type of end, one record of the catalogue.
type EndKind struct {
	ID     string   // trade abbreviation, the name used in phrases: "MIP", "FHT", "C"
	Title  string   // "male pipe thread (NPT)"
	Names  []string // other abbreviations a phrase may use
	Gender Gender
	// Family groups ends of one joining system: npt, hose, npsm, npsh, iso7,
	// iso228, solder, tube, solvent, pex-crimp, pex-expansion, compression,
	// push, barb, flare, slip, hub, union, open, any.
	Family string
	// Sizing says what the trade size means for this end: "nps" (nominal pipe),
	// "cts" (nominal copper tube), "od" (tube outside diameter in inches),
	// "metric" (tube outside diameter in mm), "hose" (always 3/4), "bore"
	// (hose inside diameter), "tubular" (drain tube outside diameter).
	Sizing string
	Thread *Thread // nil where the end has none
	Cites  []Cite
}

// Thread is the form of a thread family.
type Thread struct {
	Standard string  // "ASME B1.20.1"
	Taper    bool    // taper 1:16 on diameter
	Angle    float64 // flank angle in degrees: 60 or 55
}

// Material is what a part is made of, one record of the catalogue.
type Material struct {
	ID      string
	Title   string
	Names   []string
	Class   string // copper-alloy, copper, ferrous, zinc-coated, stainless, aluminium, plastic, rubber, lead, stone …
	Plastic bool
	Metal   bool
	// LeadFree: Yes where the material has no lead by nature, No where it has,
	// Unknown where it depends on the alloy (brass, bronze, galvanising).
	LeadFree Tri
	// Cement: does it stand contact with fresh cement, mortar or concrete?
	Cement Tri
	// CementWhy says what happens in cement, in plain words.
	CementWhy string
	// Anodic is the anodic index in volts (relative to gold), if known.
	Anodic Opt[float64]
	// Dezincifies: brass with over 15 % zinc and no resistance mark.
	Dezincifies Tri
	Cites       []Cite
}

// Sealant is what may be put on a joint, one record of the catalogue.
type Sealant struct {
	ID     string
	Title  string
	Names  []string
	Class  string // tape, paste, string, anaerobic, washer, ring, silicone, putty, cement, solder, brazing, outer, none …
	Thread Tri    // is it a thread sealant for taper threads?
	// Potable: is it for drinking water? Unknown where the make decides.
	Potable Tri
	// Plastics: may it touch plastic threads?
	Plastics Tri
	// LeadFree: No for leaded solder; Unknown where the make decides.
	LeadFree Tri
	Cites    []Cite
}

// Hazard is how bad the water behind a device may be.
type Hazard uint8

// Low is objectionable only, High can harm health.
const (
	NoHazard Hazard = iota
	Low
	High
)

func (h Hazard) String() string { return [...]string{"none", "low", "high"}[h] }

// BackPressure is how much pressure from behind a device stands.
type BackPressure uint8

// The grades of back-pressure protection.
const (
	NoBackPressure  BackPressure = iota
	LowHead                      // a raised hose only; see Device.HoseHead
	AnyBackPressure              // made for it
)

// Device is a kind of backflow protection, one record of the catalogue.
type Device struct {
	ID           string
	Title        string
	Standards    []string // "ASSE 1011", "CSA B64.2", "EN 1717 HA"
	Hazard       Hazard   // the worst hazard it may stand against
	Siphonage    Tri      // stops back-siphonage
	BackPressure BackPressure
	// HoseHead is how far above the device a hose may be raised (LowHead).
	HoseHead Opt[unit.Length]
	// Continuous: may it stand under pressure all the time?
	Continuous Tri
	// MaxStanding is the longest it may stand under pressure where it may not
	// always.
	MaxStanding Opt[unit.Duration]
	// ValveAfter: may a shut-off be downstream of it?
	ValveAfter Tri
	// Above is how far its critical level must be over all piping and outlets
	// downstream.
	Above Opt[unit.Length]
	// Testable assemblies are tested by a certified tester.
	Testable Tri
	// HoseEnd devices are screwed on a hose thread.
	HoseEnd bool
	// AirGap is set for the air gap itself.
	AirGap bool
	// Fluid is what the device is rated for by EN 1717; zero for one that is not.
	Fluid Rating
	Cites []Cite
}

// Rating is the highest fluid category (EN 1717: 1 drinking water, 2 changed in
// taste or warmth, 3 slight hazard to health, 4 toxic, 5 germs) that a device
// stands against: where water is sucked back, and where it is pressed back.
// BackPressure is 0 where it stands against none.
type Rating struct {
	Siphonage, BackPressure int
	Cites                   []Cite
}

// Stands reports whether a device stands against a fluid category, and if water
// may be pressed back as well, against that. A free air gap does, whoever rated
// it; any other device that EN 1717 does not rate does not.
func (d *Device) Stands(category int, pressed bool) bool {
	switch {
	case d == nil:
		return false
	case d.Fluid.Siphonage == 0:
		return d.AirGap
	}
	return d.Fluid.Siphonage >= category && (!pressed || d.Fluid.BackPressure >= category)
}
