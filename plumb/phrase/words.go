package phrase

// attr is what a word says apart from naming a kind, an end or a material.
type attr uint8

const (
	noAttr attr = iota
	aHarmless
	aSkip        // carries nothing, not kept: the, a, of
	aSep         // by, to: between two sizes or ends
	aUnit        // arg is the unit
	aCount       // ea, pcs: a quantity before it
	aQty         // qty: a quantity after it
	aExisting    // stands already
	aUnknown     // stands for a size or an end
	aWanted      // adapter wanted
	aWith        // what follows is no part of its own
	aLeadFree    //
	aLowLead     //
	aLeaded      //
	aPotable     //
	aNonPotable  //
	aBreaker     //
	aNoBreaker   //
	aAntiSiphon  //
	aSwivel      //
	aWasher      //
	aNoWasher    //
	aDZR         //
	aCoat        // arg is the finish
	aSeries      // arg is the series
	aType        // type K, L, M
	aSchedule    // schedule 40
	aSDR         // SDR 9; arg is the spelling kept
	aDWV         //
	aRole        // arg is the name of an end
	aOD          // sized by outside diameter
	aBody        // a standards body; arg is its spelling
	aMark        // a standard's number by itself; arg is its spelling
	aClass       // class 125
	aWays        // 4-way, 4 outlets
	aBend        // 1/8 bend
	aDegree      // 90 degrees
	aClose       // close nipple
	aDeep        // a word after a basin's dimension
	aThreadedTPI // TPI after a figure
	aOf          // 2 handles, 4 ends: what a figure before it counts
	aLong        // the figure before is a length
	aOr          // between two ways to use one end
	aDrain       // outlet behind a size, else a plain word
	aDN          //
	aBore        //
	aThing       // a piece that is no part by itself: nut, clamp
)

// amb is a token the trade reads in more than one way.
type amb uint8

const (
	noAmb amb = iota
	ambC
	ambCC
	ambS
	ambSS
	ambH
	ambNH
	ambNST
	ambPE
	ambM
	ambF
	ambMale
	ambFemale
	ambMI
	ambFI
	ambL
	ambST
	ambSTR
	ambSP
	ambFP
	ambNPT
	ambIPS
	ambNPS
	ambGHT
	ambBSP
	ambBSPT
	ambG
	ambR
	ambNPSM
	ambNPSH
	ambFlare
	ambPEX
	ambSlip
	ambPress
	ambPRV
	ambDC
	ambWH
	ambPB
	ambDI
	ambLF
	ambRP
	ambBlack
	ambGrooved
	ambAG
)

// lexeme is a row of the vocabulary: spellings that say the same, separated
// by |.
type lexeme struct {
	words string
	attr  attr
	amb   amb
	arg   string
}

// vocabulary are the words that are neither kinds, ends nor materials; those
// stand in the catalogue. Abbreviations are common practice without a source
// unless a line says otherwise; the letters C, F, FTG and M for ends are those
// of ASME B16.22 (1998, section 3).
var vocabulary = []lexeme{
	{"the|a|an|of|each of|made of|and|some|one|type of|size|sized|in size|diameter|dia|nominal|is|as", aSkip, 0, ""},
	{"by|to", aSep, 0, ""},
	{"or", aOr, 0, ""},
	{"in|inch|inches", aUnit, 0, "in"},
	{"ft|foot|feet|linear feet|linear ft|lin ft|lft", aUnit, 0, "ft"},
	{"yd|yard|yards", aUnit, 0, "yd"},
	{"mm|millimetre|millimetres|millimeter|millimeters", aUnit, 0, "mm"},
	{"cm|centimetre|centimetres|centimeter|centimeters", aUnit, 0, "cm"},
	{"metre|metres|meter|meters", aUnit, 0, "m"},
	{"psi|psig", aUnit, 0, "psi"},
	{"wog|cwp|lb wog|lb cwp|wsp|lb|lbs|pound", aUnit, 0, "wog"},
	{"bar", aUnit, 0, "bar"},
	{"kpa", aUnit, 0, "kpa"},
	{"mpa", aUnit, 0, "mpa"},
	{"gpm|gph|l/min|lpm|gal|gallon|gallons|litre|litres|liter|liters|gauge|v|volt|volts|zone|zones|stage|micron|kg|oz|year|hour|hours|min|minute|minutes|day|days|program|dial|pattern|patterns|position|positions", aUnit, 0, "other"},
	{"ea|each|pc|pcs|pce|pieces|off", aCount, 0, ""},
	{"qty|quantity", aQty, 0, ""},
	{"existing|old existing|already there", aExisting, 0, ""},
	{"unknown|not known|unsure|unknown size|unknown end|unknown thread", aUnknown, 0, ""},
	{"adapter wanted|adaptor wanted|wanted|adapter needed|wanted adapter", aWanted, 0, ""},
	{"with|w/|for|incl|including|includes|from|on|onto|into|at|plus|w", aWith, 0, ""},

	{"lead free|no lead|nl|leadfree|lead free certified|unleaded|nolead", aLeadFree, 0, ""},
	{"low lead|ll", aLowLead, 0, ""},
	{"not lead free|leaded|contains lead|non lead free|has lead|not lead-free certified", aLeaded, 0, ""},
	{"potable|for potable water|potable water|drinking water|for drinking water|drinking water safe|food grade|safe for drinking water|listed for drinking water|potable water rated", aPotable, 0, ""},
	{"non potable|nonpotable|not for potable use|not for potable water|not potable|not for drinking|not for drinking water|non potable use|not for potable|non potable water|irrigation only|not drinking water|for irrigation only|for irrigation use only|non-potable water only", aNonPotable, 0, ""},
	{"with vacuum breaker|built in vacuum breaker|with built in vacuum breaker|integral vacuum breaker|with integral vacuum breaker|w/ vacuum breaker|w/vb|with vb|w/ vb|vacuum breaker built in|with breaker|with built in breaker|built in breaker|vacuum breaker included|with anti siphon|with antisiphon|with anti siphon device", aBreaker, 0, ""},
	{"no vacuum breaker|without vacuum breaker|w/o vacuum breaker|no vb|without vb|no breaker|without breaker|no built in vacuum breaker|without built in vacuum breaker|not anti siphon|non anti siphon", aNoBreaker, 0, ""},
	{"anti siphon|antisiphon|anti syphon", aAntiSiphon, 0, ""},
	{"swivel|with swivel|w/ swivel|with swivel nut|swivelling|swiveling|rotating|loose nut|swivel nut", aSwivel, 0, ""},
	{"with washer|washer included|washers included|with washers|incl washer|washer in place|w/ washer|with rubber washer|with new washer", aWasher, 0, ""},
	{"no washer|without washer|w/o washer|washer missing|missing washer|without washers", aNoWasher, 0, ""},
	{"dzr|dezincification resistant|cr brass resistant|dezincification proof", aDZR, 0, ""},

	// Finishes hide the material under them.
	{"chrome|chrome plated|chromed|cp|chr|chrome finish|polished chrome|chrome-plate", aCoat, 0, "chrome"},
	{"brass plated|brass finish|polished brass finish", aCoat, 0, "brass-plated"},
	{"nickel plated|nickel|brushed nickel|satin nickel|nickel finish|polished nickel", aCoat, 0, "nickel-plated"},
	{"copper plated|copper finish", aCoat, 0, "copper-plated"},
	{"zinc plated", aCoat, 0, "zinc-plated"},
	{"oil rubbed bronze|bronze finish|oil rubbed bronze finish", aCoat, 0, "bronze finish"},
	{"stainless finish|stainless look|brushed stainless finish", aCoat, 0, "stainless finish"},
	{"powder coated|painted|epoxy coated|coated|matte black finish|matt black finish", aCoat, 0, "coated"},

	{"plated", aCoat, 0, "plated"},

	// Wall series. ASTM B88 has types K, L and M of copper water tube.
	{"type", aType, 0, ""},
	{"type k|k copper", aSeries, 0, "K"},
	{"type l", aSeries, 0, "L"},
	{"type m", aSeries, 0, "M"},
	{"k", aSeries, 0, "K"},
	{"acr", aSeries, 0, "ACR"},
	{"sch|schedule|sched", aSchedule, 0, ""},
	{"sch40|s40", aSeries, 0, "40"},
	{"sch80|s80", aSeries, 0, "80"},
	{"sdr", aSDR, 0, "SDR"},
	{"sdr9", aSeries, 0, "SDR 9"},
	{"sdr11", aSeries, 0, "SDR 11"},
	{"sidr|idr", aSDR, 0, "SIDR"},
	{"dr", aSDR, 0, "DR"},
	{"cts", aHarmless, 0, ""},
	{"dwv|drain waste vent|drain waste and vent", aDWV, 0, ""},

	{"inlet", aRole, 0, "in"},
	{"outlet|drain outlet|drain opening|drain hole", aRole, 0, "out"},
	{"branch", aRole, 0, "branch"},
	{"drain", aDrain, 0, ""},
	{"dn", aDN, 0, ""},
	{"long|length|in length", aLong, 0, ""},
	{"bore|id|i d|inside diameter", aBore, 0, ""},
	{"od|o d|outside diameter", aOD, 0, ""},
	{"close", aClose, 0, ""},
	{"bend", aBend, 0, ""},
	{"degree|degrees|deg", aDegree, 0, ""},
	{"way|ways|port|ports|outlets|branches|gang|station|stations", aWays, 0, ""},
	{"ends|end|inlets|hole|holes|handle|handles|handled|piece|bowl|bowls|blade|stages|spray", aOf, 0, ""},
	{"deep|wide|high|tall|depth|width", aDeep, 0, ""},
	{"class|cl", aClass, 0, ""},
	{"tpi|threads per inch", aThreadedTPI, 0, ""},

	// Standards bodies and the numbers people write without them.
	{"nsf|nsf/ansi|nsf/ansi/can|ansi/nsf|nsf/ansi std", aBody, 0, "NSF"},
	{"asse", aBody, 0, "ASSE"},
	{"astm", aBody, 0, "ASTM"},
	{"csa", aBody, 0, "CSA"},
	{"asme|ansi|asme/ansi", aBody, 0, "ASME"},
	{"iapmo", aBody, 0, "IAPMO"},
	{"en", aBody, 0, "EN"},
	{"iso", aBody, 0, "ISO"},
	{"awwa", aBody, 0, "AWWA"},
	{"mss", aBody, 0, "MSS"},

	// Words that say nothing this tool checks, kept as they stand.
	{"reducing|reduced|outdoor|indoor|outside|inside|heavy duty|light duty|commercial|commercial grade|residential|professional|pro|industrial|industrial grade|premium|standard|std|basic|economy|small|large|medium|mini|compact|new|used|old|spare|replacement|genuine|vintage|original|universal|adjustable|automatic|manual|electronic|mechanical|digital|battery|battery operated|programmable|solar|smart|single|double|dual|triple|twin|left|right|hand|left hand|right hand|top|bottom|front|back|side|upper|lower|vertical|horizontal|inline|in line|straight|angle|angled|curved|bent|offset|long sweep|short sweep|sweep|long turn|short turn|short|tall|high|low|wide|narrow|thin|thick|thick wall|thin wall|rigid|flexible|soft|hard|drawn|annealed|soft copper|hard copper|coil|coiled|roll|rolled|straight length|stick|sticks|length|lengths|bag|pack|pair|bare|clear|transparent|opaque|reinforced|braided|woven|corrugated|ribbed|smooth|polished|brushed|satin|matt|matte|glossy|rough|natural|forged|cast|wrought|machined|moulded|molded|extruded|drawn|stamped|welded|seamless|threaded|unthreaded|screwed|push on|clip on|screw on|snap on|snap in|quick|quick release|fixed|loose|removable|detachable|rotatable|lockable|locking|vented|unvented|sealed|insulated|uninsulated|lined|unlined|wall mount|wall mounted|deck mount|deck mounted|surface mounted|flush mount|recessed|freestanding|buried|underground|above ground|hot|cold|hot and cold|hot water|cold water|water|garden|lawn|yard|patio|kitchen|bathroom|laundry|utility|basement|garage|school|camp|campsite|allotment|home|household|house|domestic|farm|marine|rv|camping|camper|boat|plumbing|pipe thread|metal|metallic|ceramic disc|quarter turn|1/4 turn|half turn|1/2 turn|multi turn|full turn|lever|lever handle|tee handle|t handle|wheel handle|round handle|wing handle|cross handle|knob|oval handle|metal handle|plastic handle|full port|full bore|full flow|standard port|reduced port|high flow|low flow|frost free|frost proof|freeze proof|freezeless|frostproof|freeze resistant|non freeze|self draining|self closing|uv resistant|uv stabilised|uv stabilized|kink free|kink resistant|no kink|anti kink|collapsible|expandable|lightweight|rust proof|rustproof|leak proof|leakproof|drip free|durable|tough|extra heavy|xh|extra strong|xs|tapered|parallel|coarse|fine|male and female|pre cut|precut|cut to length|off the shelf|crimped|two piece|2 piece|one piece|three piece|3 piece|two part|straight through|right angle|90 degree angle|side inlet|bottom inlet|top inlet|mesh|screened|rounded|square|rectangular|round|oval|hex|hexagonal|hexagon|hex head|square head|head|flat|single bowl|double bowl|drop in|undermount|bronze coloured|grade|rated|rating|pressure|working pressure|max|maximum|nominal size|wall|thickness|gooseneck|goose neck|swing|pull out|bar|push button|timed|metered|self acting|hands free|foot operated|knee operated|sensor|touchless|vandal resistant|vandal proof|keyed|key operated|loose key|with key|strainer included|ada|accessible|gasketed|thread|threads|fitting|fittings|valve|valves|assembly|unit|device|part|parts|section|run|body|handle included|stainless braided|stainless steel braided|steel braided|oxygen barrier|barrier|perforated|slotted|solid|foam core|cellular core|solid wall|sanitary|long radius|short radius|material unknown|unknown material|lead unknown|lead content unknown|lead free unknown|lead free not known|lead free unsure|size unknown|size not known|unmarked|no marking|no markings|marked|labelled|stamped|certified|listed|approved|tested|ul|upc|cupc|fm|warranty|blue|white|black handle|red handle|blue handle|yellow|green|grey|gray|orange|brown|purple|beige|red|silver|gold|golden|dark green|light green|pink|coloured|colored|food safe|odour free|odourless|bpa free|phthalate free|temporary|permanent|mortared|stone|ptfe seat|packed|packing nut|bleeder|bleed screw|with drain|drainable|side drain|waste|spring|spring loaded|swing type|flapper|poppet|diaphragm|piston|by pass|bypass|balanced|mixed|mixing|thermostatic|tempered|filtered|unfiltered|softened|treated|untreated|raw|rain|well|town|mains|street|city|municipal|private|public|shared|common|main|sub|primary|secondary|first|second|third|last|next|other|another|same|same as|similar|like|any|usual|typical|ordinary|plain|normal|regular|simple|common type|generic", aHarmless, 0, ""},

	// Pieces: harmless behind "with", "for" or a comma, no part by themselves.
	{"nut|nuts|ring|rings|clamp|clamps|washer|washers|gasket|gaskets|sleeve|stem|stems|spout|sump|reel|bench|rack|stand|post|board|screen|vent|box|check|joint|kit|set|spray|needle|float|trough|pier|connector|bracket|hanger|key|holder|escutcheon|cover|strap|mount|hook|cartridge|seat|bonnet|o ring|flange|tape|cable|pipe clamp|hose clamp|hanger strap|basket|grate|lid|stopper|chain|overflow", aThing, 0, ""},

	// What the trade reads in two ways.
	{"c", 0, ambC, ""},
	{"cc", 0, ambCC, ""},
	{"s", 0, ambS, ""},
	{"ss", 0, ambSS, ""},
	{"h", 0, ambH, ""},
	{"nh|nhr", 0, ambNH, ""},
	{"nst", 0, ambNST, ""},
	{"pe", 0, ambPE, ""},
	{"m", 0, ambM, ""},
	{"f", 0, ambF, ""},
	{"male|male thread|male threaded|external thread|ext thread", 0, ambMale, ""},
	{"female|female thread|female threaded|internal thread|int thread", 0, ambFemale, ""},
	{"mi", 0, ambMI, ""},
	{"fi", 0, ambFI, ""},
	{"l", 0, ambL, ""},
	{"st", 0, ambST, ""},
	{"str", 0, ambSTR, ""},
	{"sp", 0, ambSP, ""},
	{"fp", 0, ambFP, ""},
	{"npt|ipt|npt thread|pipe thread|iron pipe thread|taper pipe thread|threaded npt", 0, ambNPT, ""},
	{"ips|iron pipe size|iron pipe", 0, ambIPS, ""},
	{"nps", 0, ambNPS, ""},
	{"ght|nht|hose thread|garden hose thread|hose threaded|hose threads", 0, ambGHT, ""},
	{"bsp|british standard pipe", 0, ambBSP, ""},
	{"bspt", 0, ambBSPT, ""},
	{"bspp|g", 0, ambG, ""},
	{"npsm|straight pipe thread", 0, ambNPSM, ""},
	{"npsh", 0, ambNPSH, ""},
	{"flare|flr|fl|flared|sae 45|sae flare|45 flare", 0, ambFlare, ""},
	{"pex", 0, ambPEX, ""},
	{"pex a|pex b|pex c", aHarmless, ambPEX, ""},
	{"slip", 0, ambSlip, ""},
	{"press|press fit", 0, ambPress, ""},
	{"grooved|grv", 0, ambGrooved, ""},
	{"prv", 0, ambPRV, ""},
	{"dc", 0, ambDC, ""},
	{"wh", 0, ambWH, ""},
	{"pb", 0, ambPB, ""},
	{"di", 0, ambDI, ""},
	{"lf", 0, ambLF, ""},
	{"rp", 0, ambRP, ""},
	{"black|blk", 0, ambBlack, ""},
	{"ag", 0, ambAG, ""},
}

// endWords are spellings of ends beside those the catalogue lists.
var endWords = []lexeme{
	{"hub|bell", 0, 0, "HUB"},
	{"spg|spigot end", 0, 0, "SPG"},
	{"ftg", 0, 0, "FTG"},
	{"insert", 0, 0, "INS"},
	{"barbed|barb end", 0, 0, "BARB"},
	{"comp od|od compression|compression od", 0, 0, "COMP"},
	{"crimp ring|crimped pex", 0, 0, "PEX-CRIMP"},
	{"expansion", 0, 0, "PEX-EXP"},
	{"rc", 0, 0, "Rc"},
}

// materialWords are abbreviations of materials; arg lists the catalogue's ids
// to try in turn.
var materialWords = []lexeme{
	{"brs", 0, 0, "brass"},
	{"brz|brnz", 0, 0, "bronze"},
	{"rb", 0, 0, "red-brass"},
	{"yb", 0, 0, "yellow-brass"},
	{"cu", 0, 0, "copper"},
	{"ci", 0, 0, "cast-iron"},
	{"galv|galvanised|galvanized|gi|galvd|hot dip galvanised|hot dip galvanized", 0, 0, "galvanised-steel"},
	{"stainless|sst|stainless steel", 0, 0, "stainless"},
	{"poly|hdpe|polyethylene|mdpe|ldpe", 0, 0, "pe"},
	{"polybutylene", 0, 0, "polybutylene"},
	{"black iron|black steel|blk iron|blk steel|black malleable", 0, 0, "black-steel"},
	{"malleable|malleable iron", 0, 0, "malleable-iron"},
	{"cross linked polyethylene", 0, 0, "pex"},
	{"alu|aluminum|aluminium", 0, 0, "aluminium"},
}

// kindWords are names of kinds beside those the catalogue lists; arg is the
// catalogue's id.
var kindWords = []lexeme{
	{"90|el|90 el|elbow 90", 0, 0, "elbow-90"},
	{"elbow 45|45 el", 0, 0, "elbow-45"},
	{"str 90|str elbow|st 90|st ell|st el|st elbow|street el|street 90 ell", 0, 0, "street-elbow-90"},
	{"st 45|street 45 ell", 0, 0, "street-elbow-45"},
	{"dwv ell|dwv 90 ell|dwv reducing elbow|dwv street elbow|dwv street 90|dwv street ell", 0, 0, "dwv-quarter-bend"},
	{"dwv 45 ell|dwv street 45", 0, 0, "dwv-eighth-bend"},
	{"reducing washer|reducing slip washer", 0, 0, "slip-reducer"},
	{"t", 0, 0, "tee"},
	{"y", 0, 0, "wye"},
	{"un", 0, 0, "union"},
	{"cv", 0, 0, "check-valve"},
}
