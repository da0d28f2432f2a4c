package mend

import (
	"tapwright/rules"
)

// remedy is what mend does about the findings of a rule.
type remedy struct {
	rule string
	does string // what it does; "" if nothing
	not  string // what it does not do and why; "" if it does all it can be asked for
	// mend gives corrections worth a try, the likeliest first; where it has none
	// for this finding, why. nil where the rule is never mended.
	mend func(*bench, *rules.Finding) ([]candidate, string)
}

// Doing tells what mend does about the findings of a rule, and what it does not
// do, with the reason. Both are "" for a rule that is not known here.
func Doing(rule string) (does, not string) {
	r := remedyFor(rule)
	if r == nil {
		return "", ""
	}
	return r.does, r.not
}

func remedyFor(rule string) *remedy {
	for i := range remedies {
		if remedies[i].rule == rule {
			return &remedies[i]
		}
	}
	return nil
}

func cannot(r *remedy) string {
	if r == nil {
		return "mend knows no correction for this rule"
	}
	return r.not
}

// Reasons that several rules share.
const (
	height   = "heights and gaps are measured on the site, or changed there; mend fills in none"
	site     = "what lies around a pipe is known on the site only; mend fills in no sleeve, wrap or access"
	layout   = "where a joint lies is for you to lay out; mend moves no pipe"
	label    = "what a label says is yours to read; mend fills in no claim"
	stands   = "the part stands already; whether another takes its place is for you to say"
	made     = "the joint is made already; take it apart, make it again, test it again, and then write it"
	tested   = "the run has been tested as it is written; change it, test it again, and write both"
	winter   = "what is done before winter is for you to say; mend fills it in nowhere"
	between  = "how a hose is left between uses is for you to say"
	drainage = "how a drain is laid, its falls, heights and vents, is for you to lay out; mend moves no pipe"
	sizes    = "another size wants other parts all along; which, is for you to lay out"
	material = "another pipe wants other fittings all along; which, is for you to lay out"
	unsaid   = "it is not said what the water is for; say it with `for:`, for this may then fall away"
	nothing  = "there is nothing in the text that mend could put right"
)

// remedies has one record for every rule of the book, in the book's order; a
// test holds it against the book.
var remedies = []remedy{
	{rule: "ends-do-not-mate",
		does: "writes the one other end or size that fits, if only one does and the part is to be bought; else puts the pieces between",
		not:  "parts that stand joined already must be measured again",
		mend: joinEnds},
	{rule: "look-alike-threads",
		does: "as for ends that do not mate",
		not:  "parts that stand joined already must be measured again",
		mend: joinEnds},
	{rule: "ends-not-known",
		not: "a size or thread that is not known has to be looked up on the part"},
	{rule: "adapter-wanted",
		does: "writes the shortest chain of pieces in place of the gap",
		not:  "both ends beside the gap must be known",
		mend: fillGap},
	{rule: "part-not-known",
		not: "what a part is, is known to whoever has it in hand; mend guesses none"},
	{rule: "words-not-understood",
		not: "what a word means is for you to say; mend guesses none"},
	{rule: "wrong-way-round",
		does: "exchanges the ends named in `enters by` and `leaves by`, or in the `from` of the run that begins there",
		not:  "a part that stands already has to be turned on the site",
		mend: turnRound},
	{rule: "open-end-under-pressure",
		does: "puts a cap or plug on an end that nothing is said of, or that is said to be open or shut",
		not:  "the end of a list may be where it goes on or where the water leaves, and a hose that is put on when needed wants a valve or a cap: that is for you to say",
		mend: closeEnd},
	{rule: "fed-by-nothing",
		not: "where the run hangs on the supply is for you to say"},
	{rule: "drain-begins-nowhere",
		not: "what runs into the drain is for you to say"},
	{rule: "heights-disagree", not: height},

	{rule: "taper-joint-unsealed",
		does: "writes a usual seal for the file, or a sealant in place of nothing",
		not:  made, mend: sealThreads},
	{rule: "seal-not-known",
		not: "what is on the joint is seen on the joint only"},
	{rule: "sealant-forbidden",
		does: "takes the sealant off the joint line, or writes what does make the joint tight",
		not:  made, mend: takeOff},
	{rule: "washer-missing",
		does: "writes a washer for a joint that is still to be made",
		not:  made, mend: putWasher},
	{rule: "not-a-thread-sealant",
		does: "writes a thread sealant in its place",
		not:  made, mend: otherSeal},
	{rule: "compound-attacks-plastic",
		does: "writes PTFE tape in its place",
		not:  made, mend: otherSeal},
	{rule: "metal-male-in-plastic-female",
		does: "turns the genders of the joint round, where both parts are to be bought",
		not:  stands, mend: turnGenders},
	{rule: "wrong-means",
		does: "writes the means made for the joint",
		not:  made, mend: otherSeal},
	{rule: "drain-joint-barred",
		does: "writes the means made for the joint",
		not:  made, mend: otherSeal},
	{rule: "two-sealants",
		does: "leaves one of the two on the joint",
		not:  made, mend: oneSealant},

	{rule: "not-lead-free",
		does: "writes a lead-free part in place of one that is to be bought",
		not:  stands, mend: onceUsed(buyLeadFree)},
	{rule: "lead-unknown",
		not: "whether it is lead-free is on its label, and mend fills in no claim; a part that you have yet to buy, choose so and write “lead-free”"},
	{rule: "lead-average",
		not: "the shares are the maker's, and which other part keeps the limit is on other makers' sheets"},
	{rule: "not-listed-potable",
		does: "writes one for drinking water in place of a part that is said not to be and is to be bought",
		not:  label, mend: onceUsed(buyListed)},
	{rule: "used-before", not: "what ran through it is known to whoever took it out"},
	{rule: "ordinary-hose",
		does: "writes a drinking-water hose, or a lead-free fitting, in place of one that is to be bought",
		not:  stands, mend: onceUsed(buyHose)},
	{rule: "drain-or-gas-part",
		does: "writes a part for drinking water, of another material or kind, in place of one that is to be bought",
		not:  "which pressure fitting takes a drain fitting's place is for you to choose",
		mend: onceUsed(buyWaterPart)},
	{rule: "sealant-not-potable",
		does: "writes a sealant for drinking water in place of another, or where a cement is not named",
		not:  label, mend: onceUsed(potableSeal)},
	{rule: "solder-not-lead-free",
		does: "writes lead-free solder in place of lead solder, or where none is named",
		not:  label, mend: onceUsed(leadFreeSolder)},
	{rule: "source-not-drinking",
		not: "what water a source gives, and what it is for, is for you to say"},
	{rule: "outlet-behind-injector",
		not: "the line for people has to branch off before the injector; how it runs then is for you to lay out"},

	{rule: "hose-tap-unprotected",
		does: "puts a hose vacuum breaker after the last shut-off on each way out",
		mend: protectHoses},
	{rule: "breaker-not-known",
		not: "whether there is a breaker inside is seen on the tap only"},
	{rule: "breaker-under-pressure",
		does: "moves a screwed-on breaker behind what shuts, one on each way out",
		not:  "a breaker built into a tap stays where it is, and how a tap stands between uses is for you to say",
		mend: moveBreaker},
	{rule: "breaker-too-low", not: height},
	{rule: "hose-raised-too-high", not: height},
	{rule: "air-gap-missing", not: height},
	{rule: "device-too-weak",
		does: "puts a hose vacuum breaker on the hose threads behind it as well",
		mend: protectMore},
	{rule: "category-not-covered",
		not: "which device goes where hangs on the ground, on heights and on frost; what stands against each category is named"},
	{rule: "chemicals-behind-weak-device",
		does: "puts a hose vacuum breaker before a sprayer that is held in the hand",
		not:  "before a fixed injector belongs a device that a certified tester sets up; where it stands is for you to lay out",
		mend: protectSprayer},
	{rule: "pump-behind-siphonage-device",
		does: "writes a reduced pressure assembly in place of the device, where that is to be bought",
		not:  stands, mend: buyAssembly},
	{rule: "second-source-joined",
		not: "how two sources are parted is for you to lay out; no one part does it"},
	{rule: "drain-joined-to-supply",
		not: "how the drain is parted from the supply is for you to lay out; no one part does it"},
	{rule: "breakers-in-series",
		does: "leaves one of two breakers out, where that one is to be bought",
		not:  stands, mend: oneBreaker},

	{rule: "separable-joint-cast-in", not: layout},
	{rule: "separable-joint-hidden", not: site},
	{rule: "slip-joint-hidden", not: site},
	{rule: "soldered-joint-in-slab",
		does: "writes brazed in place of soldered for a joint that is still to be made",
		not:  "whether a joint was brazed is known to whoever made it", mend: braze},
	{rule: "cast-in-joint-listing",
		not: "the maker's listing and the inspector decide; mend has neither"},
	{rule: "joint-place-not-known",
		not: "where the pipe comes out is seen on your drawing only"},
	{rule: "untested-before-covering",
		not: "only a test that was made can be written"},
	{rule: "test-before-covering-too-weak",
		not: "only a test that was made can be written"},
	{rule: "no-outer-seal", not: site},
	{rule: "metal-attacked-by-cement", not: site},
	{rule: "no-sleeve-through", not: site},
	{rule: "outer-seal-is-no-thread-seal",
		does: "writes a sealant for the thread, and what is wrapped round it under `around`",
		not:  made, mend: sealInside},

	{rule: "basin-outlet-open", not: "whether the outlet is led into the drain or closed is for you to say"},
	{rule: "drain-end-not-said", not: "where the drain goes is for you to say"},
	{rule: "trap-missing",
		does: "puts a P-trap of the outlet's size under the basin",
		not:  "whether there is a trap is seen under the basin only",
		mend: putTrap},
	{rule: "two-traps",
		does: "leaves the second trap out, or writes a coupling in its place, where it is to be bought",
		not:  "what joins the pipes in place of the second trap is for you to lay out",
		mend: oneTrap},
	{rule: "trap-form-barred",
		does: "writes a P-trap in place of one that is to be bought",
		not:  "how the trap is led on is for you to lay out",
		mend: otherTrap},
	{rule: "bottle-trap",
		does: "writes a P-trap in place of one that is to be bought",
		not:  "how the trap is led on is for you to lay out",
		mend: otherTrap},
	{rule: "trap-hangs-too-low", not: drainage},
	{rule: "trap-too-small", not: sizes},
	{rule: "trap-larger-than-drain", not: sizes},
	{rule: "trap-not-vented", not: drainage},
	{rule: "branch-needs-vent", not: drainage},
	{rule: "air-admittance-valve", not: "whether it is allowed, the building office says"},
	{rule: "trap-arm-too-long", not: drainage},
	{rule: "vent-at-crown", not: drainage},
	{rule: "vent-below-weir", not: drainage},
	{rule: "trap-arm-steep", not: drainage},
	{rule: "drain-fall", not: drainage},
	{rule: "drain-gets-smaller", not: sizes},
	{rule: "drain-fitting-turned", not: drainage},
	{rule: "plastic-tested-with-air", not: "only a test with water tells"},
	{rule: "pressure-fitting-in-drain", not: "a drainage fitting has other ends, so the parts beside it change too"},
	{rule: "hose-as-drain", not: drainage},
	{rule: "slip-joint-after-trap", not: drainage},
	{rule: "cleanout-missing", not: "where a cleanout can be reached with a rod is for you to say"},
	{rule: "drain-air-gap", not: height},
	{rule: "gully-end-under-water", not: height},
	{rule: "indirect-waste-untrapped",
		does: "puts a P-trap of the outlet's size under the basin",
		not:  "the pipe may be made shorter as well, which is for you to lay out",
		mend: putTrap},
	{rule: "drain-carries-too-much", not: sizes},
	{rule: "drain-pipe-too-shallow", not: drainage},
	{rule: "waste-to-storm-drain", not: "where the waste may go is for local law and for you to say"},
	{rule: "kitchen-waste-to-ground", not: "where the waste may go is for local law and for you to say"},
	{rule: "waste-to-soil", not: "where the waste may go is for local law and for you to say"},
	{rule: "water-pipe-near-waste", not: "where the trenches lie is for you to lay out"},

	{rule: "pressure-over-limit", not: "where a regulator stands and how it is set is for you to lay out"},
	{rule: "pressure-too-low", not: "why the pressure is low is found on the site only"},
	{rule: "pressure-over-rating", not: "which part stands more, or what a regulator is set to, is for you to choose"},
	{rule: "regulator-reading-side", not: "where the pressure was read is known to whoever read it"},
	{rule: "regulator-without-strainer", not: "whether it has a strainer inside is seen on the regulator, and where one can be cleaned is for you to say"},
	{rule: "drip-without-regulator", not: "which regulator suits the flow of the drippers is for you to choose"},
	{rule: "shut-off-missing", not: "where the water is turned off is for you to say"},
	{rule: "fixture-stop-missing", not: "where a stop can be reached is for you to say"},
	{rule: "hammer-arrestor-missing", not: "where an arrestor goes, and of which kind, hangs on the valve's own sheet"},
	{rule: "water-that-scalds", not: "how hot the water is, a thermometer says, and where a mixing valve goes is for you to lay out"},
	{rule: "heater-closed-in", not: "where the tank goes, and of which size, hangs on the heater"},
	{rule: "relief-shut-off", not: "what is to come out and how the pipe falls then is for you to lay out"},
	{rule: "pvc-on-hot-water", not: material},
	{rule: "pvc-indoors", not: material},
	{rule: "cpvc-thread-on-hot-water", not: material},
	{rule: "pex-in-sun", not: "where it lies is seen on the site only, and another pipe wants other fittings"},
	{rule: "plastic-in-sun-unpainted", not: "whether it is painted is seen on the pipe only"},

	{rule: "assembly-not-tested", not: label},
	{rule: "relief-opening-low", not: height},
	{rule: "weep-hole-hydrant", not: stands},
	{rule: "machine-gap-not-known", not: label},
	{rule: "weep-port-buried", not: layout},
	{rule: "type-m-in-ground", not: stands},
	{rule: "buried-plastic-unmarked", not: label},
	{rule: "cannot-be-taken-out", not: "where a union goes, and how the pipes are cut for it, is for you to say"},
	{rule: "out-of-reach", not: "where it can be reached is for you to say"},
	{rule: "test-clearance", not: "how it is set is for you to say"},
	{rule: "trap-cannot-be-opened", not: "whether this trap opens, or another is bought, is for you to say"},
	{rule: "other-water-unlabelled", not: "whether a label is there is for you to say"},
	{rule: "other-pipe-unmarked", not: "whether the pipe is marked is for you to say"},
	{rule: "winter-not-said", not: winter},
	{rule: "water-stays-in-frost", not: winter},
	{rule: "water-trapped-low", not: winter},
	{rule: "hose-left-on-frost-free-tap", not: winter},
	{rule: "breaker-left-on", not: winter},
	{rule: "ball-valve-left-shut", not: winter},
	{rule: "trap-left-full", not: winter},
	{rule: "winter-stop-not-seen", not: "whether there is a stop is seen indoors only, and where one goes is for you to say"},
	{rule: "water-pipe-too-shallow", not: height},

	{rule: "hose-covered", not: site},
	{rule: "hose-as-pipe", not: "whether the hose comes off, or pipe takes its place, is for you to say"},
	{rule: "hose-left-under-pressure", not: between},
	{rule: "hose-under-pressure-indoors", not: between},
	{rule: "closed-hose-in-sun", not: between},

	{rule: "copper-against-steel",
		does: "writes a fitting of brass or another metal in place of one that is to be bought",
		not:  stands, mend: otherMetal},
	{rule: "stainless-against-galvanised",
		does: "writes a fitting of brass or another metal in place of one that is to be bought",
		not:  stands, mend: otherMetal},
	{rule: "soft-metal-against-brass",
		does: "writes a fitting of another metal in place of one that is to be bought",
		not:  stands, mend: otherMetal},
	{rule: "galvanised-after-copper",
		does: "writes a part of another metal in place of one that is to be bought",
		not:  stands, mend: otherMetal},
	{rule: "dezincifying-brass-covered",
		does: "writes a part of another metal in place of one that is to be bought",
		not:  stands, mend: otherMetal},
	{rule: "metals-change-hidden", not: layout},
	{rule: "thin-pvc-threaded",
		does: "writes schedule 80 in place of a thinner wall",
		not:  stands, mend: thickerWall},
	{rule: "bonding-interrupted", not: "whether the pipe is an earth, an electrician sees"},

	{rule: rules.UnusedWaiver,
		does: "takes the waiver out",
		mend: dropWaiver},
}

// onceUsed leaves alone what stands only as long as nobody said what the water
// is for: then no other part need be bought.
func onceUsed(mend func(*bench, *rules.Finding) ([]candidate, string)) func(*bench, *rules.Finding) ([]candidate, string) {
	return func(b *bench, f *rules.Finding) ([]candidate, string) {
		if f.Unknown && b.useUnsaid(f) {
			return nil, unsaid
		}
		return mend(b, f)
	}
}
