package phrase

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/plumb"
)

// good are phrases with what they say: kind; ends; material; the rest. The
// expectations follow the trade's reading rules, not this package: run x run x
// branch and larger end first from ASME B16.11 and MSS SP-106, the letters C, F,
// FTG and M from ASME B16.22 (1998, section 3), wall types K, L and M from ASTM
// B88, the one garden hose thread from ASME B1.20.7, nipples and bushings by
// common practice (no source). Ends nobody named are those of the catalogue's
// layouts.
var good = []struct{ text, part string }{
	// reading order of ASME B16.11 and MSS SP-106, letters of ASME B16.22
	{`3/4 MHT x 1/2 MIP brass adapter`, `adapter; in 3/4 MHT, out 1/2 MIP; brass`},
	{`1/2 x 3/4 LF brass hose bibb FIP x MHT`, `hose-bibb; in 1/2 FIP, out 3/4 MHT; brass; said lead-free yes`},
	{`3/4 x 3/4 x 1/2 CxCxC tee`, `tee; in 3/4 C, out 3/4 C, branch 1/2 C; -`},
	{`1/2 C x 1/2 FIP dielectric union`, `dielectric-union; in 1/2 C, out 1/2 FIP; -`},
	{`1-1/2 x 1-1/4 SJ reducing washer`, `slip-reducer; in 1-1/2 SJ, out 1-1/4 TUB; -`},
	{`2 x 1-1/2 DWV bushing SPG x H`, `dwv-reducer; in 2 SPG-DWV, out 1-1/2 HUB; -; listed no`},
	{`1 x 3/4 PVC bushing SPG x FIP`, `bushing; in 1 SPG, out 3/4 FIP; pvc; lead-free yes`},
	{`3/4 x close brass nipple`, `close-nipple; in 3/4 MIP, out 3/4 MIP; brass`},

	// both layouts
	{`3/4 x 1/2 brass adapter, MHT x MIP`, `adapter; in 3/4 MHT, out 1/2 MIP; brass`},
	{`3/4 x 1/2 MHT x MIP brass adapter`, `adapter; in 3/4 MHT, out 1/2 MIP; brass`},
	{`MHT x MIP 3/4 x 1/2 adapter`, `adapter; in 3/4 MHT, out 1/2 MIP; -`},
	{`3/4 MHT x MIP adapter`, `adapter; in 3/4 MHT, out 3/4 MIP; -`},
	{`3/4 FIP x 3/4 FIP coupling, brass`, `coupling; in 3/4 FIP, out 3/4 FIP; brass`},
	{`3/4 x 3/4 coupling, FIP x FIP, brass`, `coupling; in 3/4 FIP, out 3/4 FIP; brass`},
	{`FIP x FIP brass coupling 3/4`, `coupling; in 3/4 FIP, out 3/4 FIP; brass`},
	{`1/2 CxC 90`, `elbow-90; in 1/2 C, out 1/2 C; -`},
	{`1/2 push-fit coupling, lead-free brass`, `coupling; in 1/2 PUSH, out 1/2 PUSH; lead-free-brass; said lead-free yes`},
	{`1 insert coupling, nylon`, `coupling; in 1 INS, out 1 INS; nylon; lead-free yes`},
	{`3/4 C x C x 1/2 FIP tee, copper`, `tee; in 3/4 C, out 3/4 C, branch 1/2 FIP; copper; lead-free yes`},
	{`3/4 slip x slip x 1/2 FIP tee, PVC`, `tee; in 3/4 S, out 3/4 S, branch 1/2 FIP; pvc; lead-free yes`},
	{`1 insert x insert x 3/4 FIP tee, nylon`, `tee; in 1 INS, out 1 INS, branch 3/4 FIP; nylon; lead-free yes`},
	{`1/2 C x C x FIP tee, copper`, `tee; in 1/2 C, out 1/2 C, branch 1/2 FIP; copper; lead-free yes`},
	{`3/4 SWT x 3/4 SWT ball valve`, `ball-valve; in 3/4 C, out 3/4 C; -`},
	{`3/4MHTx1/2MIP adapter`, `adapter; in 3/4 MHT, out 1/2 MIP; -`},
	{`3/4"MHT x 1/2"MIP adapter`, `adapter; in 3/4 MHT, out 1/2 MIP; -`},
	{`3/4 in. FHT × 1/2 in. MIP adapter`, `adapter; in 3/4 FHT, out 1/2 MIP; -`},
	{`¾ FHT by ½ MIP adapter`, `adapter; in 3/4 FHT, out 1/2 MIP; -`},
	{`3/4 FHT * 1/2 MIP adapter`, `adapter; in 3/4 FHT, out 1/2 MIP; -`},
	{`3/4 FHT to 1/2 MIP adapter`, `adapter; in 3/4 FHT, out 1/2 MIP; -`},
	{`3/4 FHT, 1/2 MIP adapter`, `adapter; in 3/4 FHT, out 1/2 MIP; -`},
	{`ADAPTER, BRASS, 3/4 FHT X 1/2 MIP`, `adapter; in 3/4 FHT, out 1/2 MIP; brass`},
	{`brass lead-free adapter 3/4 FHT x 1/2 MIP`, `adapter; in 3/4 FHT, out 1/2 MIP; brass; said lead-free yes`},

	// a school-garden rinse bench
	{`existing 20 ft 1/2 type L copper tube`, `copper-tube; in 1/2 TUBE-CU, out 1/2 TUBE-CU; copper; existing; lead-free yes; listed yes; 6096 mm; series L`},
	{`tap = existing 1/2 C x 3/4 MHT hose bibb, brass, lead-free, no vacuum breaker`, `hose-bibb; in 1/2 C, out 3/4 MHT; brass; name tap; existing; said lead-free yes; breaker no`},
	{`wye = 3/4 FHT x 3/4 MHT x 3/4 MHT shutoff wye, brass, lead-free`, `shutoff-wye; in 3/4 FHT swivel, left 3/4 MHT, right 3/4 MHT; brass; name wye; said lead-free yes`},
	{`3/4 FHT x 3/4 MHT hose vacuum breaker, brass, lead-free`, `hose-vacuum-breaker; in 3/4 FHT swivel, out 3/4 MHT; brass; said lead-free yes; device hcvb`},
	{`3/4 FHT x 1/2 FIP adapter, brass, lead-free`, `adapter; in 3/4 FHT, out 1/2 FIP; brass; said lead-free yes`},
	{`1/2 x 18 in nipple, brass, lead-free`, `nipple; in 1/2 MIP, out 1/2 MIP; brass; said lead-free yes; 457 mm`},
	{`spout = 1/2 FIP spout, brass, lead-free`, `spout; in 1/2 FIP, out - OPEN; brass; name spout; said lead-free yes`},
	{`bowl = basin, 16 x 12 x 6 in, 1-1/2 outlet`, `basin; outlet 1-1/2 STR; -; name bowl; inside 406 x 305 x 152 mm`},
	{`1-1/2 SJ tailpiece, 4 in`, `tailpiece; in 1-1/2 SJ, out 1-1/2 TUB; -; 102 mm`},
	{`1-1/2 SJ P-trap`, `p-trap; in 1-1/2 SJ, out 1-1/2 TUB; -`},
	{`5 ft 1-1/2 PVC DWV pipe`, `dwv-pipe; in 1-1/2 SPG-DWV, out 1-1/2 SPG-DWV; pvc; lead-free yes; listed no; 1524 mm`},

	// no figure at all
	{`garden hose`, `garden-hose; in 3/4 FHT swivel, out 3/4 MHT; -; listed no`},
	{`timer`, `hose-timer; in 3/4 FHT swivel, out 3/4 MHT; -; listed no`},
	{`hose bibb`, `hose-bibb; in - ?, out 3/4 MHT; -`},
	{`spray nozzle`, `nozzle; in 3/4 FHT swivel, out - OPEN; -`},
	{`ball valve`, `ball-valve; in - ?, out - ?; -`},
	{`brass hose bibb`, `hose-bibb; in - FIP, out 3/4 MHT; brass`},
	{`shutoff wye`, `shutoff-wye; in 3/4 FHT swivel, left 3/4 MHT, right 3/4 MHT; -`},
	{`kitchen faucet`, `mixing-faucet; cold - ?, hot - ?, spout - OPEN; -; "kitchen"`},
	{`drinking-water hose`, `drinking-water-hose; in 3/4 FHT swivel, out 3/4 MHT; -; listed yes`},
	{`hose reel`, `hose-reel; in 3/4 FHT swivel, out 3/4 MHT; -; listed no`},
	{`pressure regulator`, `pressure-regulator; in - ?, out - ?; -`},
	{`rain barrel`, `rain-tank; out - FIP; -; listed no`},
	{`basin`, `basin; outlet - STR; -`},
	{`bottle filler`, `bottle-filler; in - ?, out - OPEN; -`},
	{`frost-free yard hydrant`, `yard-hydrant; in - FIP, out 3/4 MHT; -`},
	{`quick connect`, `quick-socket; in - QC-F, out - ? swivel; -; listed no`},
	{`water filter`, `cartridge-filter; in - FIP, out - FIP; -; "water"`},

	// tees
	{`3/4 x 1/2 copper tee`, `tee; in 3/4 C, out 3/4 C, branch 1/2 C; copper; lead-free yes`},
	{`3/4 copper tee`, `tee; in 3/4 C, out 3/4 C, branch 3/4 C; copper; lead-free yes`},
	{`3/4 x 3/4 x 1/2 brass tee`, `tee; in 3/4 FIP, out 3/4 FIP, branch 1/2 FIP; brass`},
	{`1 x 3/4 x 1/2 PVC tee`, `tee; in 1 S, out 3/4 S, branch 1/2 S; pvc; lead-free yes`},
	{`3/4 x 1/2 x 3/4 copper tee`, `tee; in 3/4 C, out 1/2 C, branch 3/4 C; copper; lead-free yes`},
	{`1/2 x 1/2 x 3/4 copper tee`, `tee; in 1/2 C, out 1/2 C, branch 3/4 C; copper; lead-free yes`},
	{`1/2 x 3/4 x 3/4 copper tee`, `tee; in 3/4 C, out 1/2 C, branch 3/4 C; copper; lead-free yes`},
	{`3/4 FIP x 3/4 FIP x 3/4 MHT tee`, `tee; in 3/4 FIP, out 3/4 FIP, branch 3/4 MHT; -`},
	{`22 mm copper tee`, `tee; in 22 mm C, out 22 mm C, branch 22 mm C; copper; lead-free yes`},
	{`3/4 FHT x 3/4 MHT shutoff wye`, `shutoff-wye; in 3/4 FHT swivel, left 3/4 MHT, right 3/4 MHT; -`},
	{`4-way hose manifold, brass`, `hose-manifold; in 3/4 FHT swivel, 1 3/4 MHT, 2 3/4 MHT, 3 3/4 MHT, 4 3/4 MHT; brass`},
	{`3/4 x 1/2 copper cross`, `cross; in 3/4 C, out 3/4 C, left 1/2 C, right 1/2 C; copper; lead-free yes`},

	// elbows, couplings, bushings
	{`1/2 press elbow, copper`, `elbow-90; in 1/2 CU-PRESS, out 1/2 CU-PRESS; copper; lead-free yes`},
	{`3/4 copper press ball valve, lead-free`, `ball-valve; in 3/4 CU-PRESS, out 3/4 CU-PRESS; -; said lead-free yes`},
	{`1/2 copper elbow`, `elbow-90; in 1/2 C, out 1/2 C; copper; lead-free yes`},
	{`3/4 x 1/2 copper elbow`, `elbow-90; in 3/4 C, out 1/2 C; copper; lead-free yes`},
	{`1/2 x 3/4 brass coupling`, `coupling; in 3/4 FIP, out 1/2 FIP; brass`},
	{`3/4 x 1/2 galvanised bell reducer`, `reducing-coupling; in 3/4 FIP, out 1/2 FIP; galvanised-steel`},
	{`1/2 C x 1/2 FIP copper drop ear elbow`, `drop-ear-elbow; in 1/2 C, out 1/2 FIP; copper; lead-free yes`},
	{`1/2 copper 45`, `elbow-45; in 1/2 C, out 1/2 C; copper; lead-free yes`},
	{`45 PVC elbow 3/4`, `elbow-45; in 3/4 S, out 3/4 S; pvc; lead-free yes`},
	{`1/2 brass street elbow`, `street-elbow-90; in 1/2 FIP, out 1/2 MIP; brass`},
	{`1/2 street 90 MIP x FIP`, `street-elbow-90; in 1/2 FIP, out 1/2 MIP; -`},
	{`1/2 copper street elbow`, `street-elbow-90; in 1/2 C, out 1/2 FTG; copper; lead-free yes`},
	{`ST 90 1/2 galv`, `street-elbow-90; in 1/2 FIP, out 1/2 MIP; galvanised-steel`},
	{`3/4 x 1/2 brass bushing`, `bushing; in 3/4 MIP, out 1/2 FIP; brass`},
	{`1/2 x 3/4 brass bushing`, `bushing; in 3/4 MIP, out 1/2 FIP; brass`},
	{`3/4 MIP x 1/2 FIP hex bushing`, `bushing; in 3/4 MIP, out 1/2 FIP; -; "hex"`},
	{`1/2 FIP x 3/4 MIP bushing`, `bushing; in 3/4 MIP, out 1/2 FIP; -`},
	{`3/4 x 1/2 PVC bushing`, `bushing; in 3/4 SPG, out 1/2 S; pvc; lead-free yes`},
	{`1/4 bend 1-1/2 PVC DWV`, `dwv-quarter-bend; in 1-1/2 HUB, out 1-1/2 HUB; pvc; lead-free yes; listed no`},
	{`2 PVC DWV 1/8 bend`, `dwv-eighth-bend; in 2 HUB, out 2 HUB; pvc; lead-free yes; listed no`},

	// nipples, pipe, tube, hose
	{`1/2 x 4 nipple`, `nipple; in 1/2 MIP, out 1/2 MIP; -; 102 mm`},
	{`1/2 x 4 in brass nipple`, `nipple; in 1/2 MIP, out 1/2 MIP; brass; 102 mm`},
	{`1/2" x 6" galvanised nipple`, `nipple; in 1/2 MIP, out 1/2 MIP; galvanised-steel; 152 mm`},
	{`4 in 1/2 brass nipple`, `nipple; in 1/2 MIP, out 1/2 MIP; brass; 102 mm`},
	{`1/2 x 1-1/2 brass nipple`, `nipple; in 1/2 MIP, out 1/2 MIP; brass; 38 mm`},
	{`3/4 x 1/2 brass nipple`, `reducing-nipple; in 3/4 MIP, out 1/2 MIP; brass`},
	{`1/2 x 3/4 brass nipple`, `reducing-nipple; in 3/4 MIP, out 1/2 MIP; brass`},
	{`1/2 brass close nipple`, `close-nipple; in 1/2 MIP, out 1/2 MIP; brass`},
	{`1/2 MIP x 1/2 MIP brass nipple, 6 in`, `nipple; in 1/2 MIP, out 1/2 MIP; brass; 152 mm`},
	{`20 ft 1/2 type L copper tube`, `copper-tube; in 1/2 TUBE-CU, out 1/2 TUBE-CU; copper; lead-free yes; listed yes; 6096 mm; series L`},
	{`10 ft of 3/4 PEX`, `pex-tube; in 3/4 TUBE-PEX, out 3/4 TUBE-PEX; pex; lead-free yes; 3048 mm`},
	{`12 m 22 mm copper tube`, `copper-tube; in 22 mm TUBE-CU, out 22 mm TUBE-CU; copper; lead-free yes; listed yes; 12000 mm`},
	{`1/2 M copper tube, 10 ft`, `copper-tube; in 1/2 TUBE-CU, out 1/2 TUBE-CU; copper; lead-free yes; listed yes; 3048 mm; series M`},
	{`20 LF 1/2 copper tube`, `copper-tube; in 1/2 TUBE-CU, out 1/2 TUBE-CU; copper; lead-free yes; listed yes; 6096 mm`},
	{`1-1/2 PVC DWV pipe 5 ft`, `dwv-pipe; in 1-1/2 SPG-DWV, out 1-1/2 SPG-DWV; pvc; lead-free yes; listed no; 1524 mm`},
	{`3/4 sch 40 PVC pipe, 20 ft`, `pvc-pipe; in 3/4 SPG, out 3/4 SPG; pvc; lead-free yes; 6096 mm; series 40`},
	{`3/4 SDR 9 PEX tube 100 ft`, `pex-tube; in 3/4 TUBE-PEX, out 3/4 TUBE-PEX; pex; lead-free yes; 30480 mm; series SDR 9`},
	{`1/2 PEX-B tube`, `pex-tube; in 1/2 TUBE-PEX, out 1/2 TUBE-PEX; pex; lead-free yes; "PEX-B"`},
	{`3/4 CPVC pipe, SDR 11, 10 ft`, `cpvc-tube; in 3/4 TUBE-CPVC, out 3/4 TUBE-CPVC; cpvc; lead-free yes; 3048 mm; series SDR 11`},
	{`1 in poly pipe, SIDR 15, 100 ft`, `pe-pipe; in 1 TUBE-PE, out 1 TUBE-PE; pe; lead-free yes; 30480 mm; series SIDR 15`},
	{`5/8 x 50 ft garden hose`, `garden-hose; in 3/4 FHT swivel, out 3/4 MHT; -; listed no; 15240 mm; bore 15.9 mm`},
	{`25 ft 5/8 drinking-water hose`, `drinking-water-hose; in 3/4 FHT swivel, out 3/4 MHT; -; listed yes; 7620 mm; bore 15.9 mm`},
	{`50 ft garden hose, 1/2`, `garden-hose; in 3/4 FHT swivel, out 3/4 MHT; -; listed no; 15240 mm; bore 12.7 mm`},
	{`6 ft 3 in of 1/2 copper tube`, `copper-tube; in 1/2 TUBE-CU, out 1/2 TUBE-CU; copper; lead-free yes; listed yes; 1905 mm`},
	{`6'-3" 1/2 copper tube`, `copper-tube; in 1/2 TUBE-CU, out 1/2 TUBE-CU; copper; lead-free yes; listed yes; 1905 mm`},
	{`1/2 x 20 in braided supply connector`, `supply-connector; in 1/2 COMP swivel, out - FNPSM swivel; -; 508 mm`},
	{`3/8 COMP x 1/2 FIP supply line 20 in`, `supply-connector; in 3/8 COMP swivel, out 1/2 FIP swivel; -; 508 mm`},

	// taps and valves
	{`1/2 FIP hose bibb`, `hose-bibb; in 1/2 FIP, out 3/4 MHT; -`},
	// the device inside goes by the thread of the outlet: EN 15096 on G threads
	{`1/2 R x 3/4 MG hose bibb, brass, with vacuum breaker`, `hose-bibb; in 1/2 R, out 3/4 MG; brass; breaker yes; device hd`},
	{`1/2 R x 3/4 MG frost-free tap, brass, with vacuum breaker`, `frost-free-sillcock; in 1/2 R, out 3/4 MG; brass; breaker yes; device hd`},
	{`1/2 R x 3/4 MG hose union bib tap with double check valve, brass`, `double-check-bib-tap; in 1/2 R, out 3/4 MG; brass; breaker yes; device huk1`},
	{`1/2 R x 3/4 MG hose union bib tap, brass, with HD`, `bib-tap; in 1/2 R, out 3/4 MG; brass; breaker yes; device hd`},
	{`1/2 R plain bib tap, brass`, `plain-bib-tap; in 1/2 R, out - OPEN; brass`},
	{`22 mm COMP x 3/4 MG tank connector, brass`, `tank-fitting; in 22 mm COMP, out 3/4 MG; brass`},
	{`1/2 MIP hose bib with vacuum breaker`, `hose-bibb; in 1/2 MIP, out 3/4 MHT; -; breaker yes; device hcvb`},
	{`1/2 MIP x 3/4 MHT sillcock, anti-siphon`, `anti-siphon-sillcock; in 1/2 MIP, out 3/4 MHT; -; breaker yes; device wall-hydrant-vb`},
	{`3/4 FIP x 3/4 MHT hose bibb without vacuum breaker, chrome`, `hose-bibb; in 3/4 FIP, out 3/4 MHT; plated; breaker no; chrome`},
	{`frost free sillcock 1/2 MIP x 3/4 MHT, 12 in`, `frost-free-sillcock; in 1/2 MIP, out 3/4 MHT; -; 305 mm`},
	{`hose bibb, brass, frost-free, 1/2 C`, `frost-free-sillcock; in 1/2 C, out 3/4 MHT; brass`},
	{`1/2 MIP/3/4 C x 3/4 MHT hose bibb`, `hose-bibb; in - ?, out 3/4 MHT; -`},
	{`1/2-14 NPT male x 3/4 MHT hose bibb`, `hose-bibb; in 1/2 MIP, out 3/4 MHT; -`},
	{`3/4 MIP boiler drain`, `boiler-drain; in 3/4 MIP, out 3/4 MHT; -`},
	{`1/2 brass ball valve`, `ball-valve; in 1/2 FIP, out 1/2 FIP; brass`},
	{`3/4 FIP ball valve, full port, 400 WOG, LF brass`, `ball-valve; in 3/4 FIP, out 3/4 FIP; brass; said lead-free yes; 400 psi; "full port"`},
	{`1/2 C ball valve`, `ball-valve; in 1/2 C, out 1/2 C; -`},
	{`3/4 #125 bronze gate valve FIP`, `gate-valve; in 3/4 FIP, out 3/4 FIP; bronze; 125 psi`},
	{`3/4 FIP gate valve 125# brass`, `gate-valve; in 3/4 FIP, out 3/4 FIP; brass; 125 psi`},
	{`3/8 COMP x 1/2 FIP angle stop`, `angle-stop; in 1/2 FIP, out 3/8 COMP; -`},
	{`1/2 FIP x 3/8 COMP angle stop, chrome`, `angle-stop; in 1/2 FIP, out 3/8 COMP; plated; chrome`},
	{`PVC ball valve 1 S x S`, `ball-valve; in 1 S, out 1 S; pvc; lead-free yes`},
	{`3/4 brass check valve`, `check-valve; in 3/4 FIP, out 3/4 FIP; brass`},
	{`DN20 brass ball valve`, `ball-valve; in 3/4 FIP, out 3/4 FIP; brass`},
	{`3/4 FHT x 3/4 MHT hose shut-off`, `hose-ball-valve; in 3/4 FHT swivel, out 3/4 MHT; -`},
	{`3/4 FHT x 3/4 MHT hose timer, not for potable use`, `hose-timer; in 3/4 FHT swivel, out 3/4 MHT; -; listed no; not potable`},
	{`vacuum breaker, 3/4 FHT x 3/4 MHT, ASSE 1011`, `hose-vacuum-breaker; in 3/4 FHT swivel, out 3/4 MHT; -; device hcvb; mark ASSE 1011`},

	// ambiguous tokens decided by company
	{`1/2 S x S PVC coupling`, `coupling; in 1/2 S, out 1/2 S; pvc; lead-free yes`},
	{`1/2 S CPVC coupling`, `coupling; in 1/2 S-CTS, out 1/2 S-CTS; cpvc; lead-free yes`},
	{`2 HxS DWV street elbow`, `dwv-quarter-bend; in 2 HUB, out 2 SPG-DWV; -; listed no`},
	{`3/4 NH hose bibb outlet`, `hose-bibb; in - ?, out 3/4 MHT; -; "outlet"`},
	{`2 NH cast iron coupling`, `coupling; in 2 NOHUB, out 2 NOHUB; cast-iron`},
	{`1/2 C x M adapter`, `adapter; in 1/2 C, out 1/2 MIP; -`},
	{`1/2 C x F copper adapter`, `adapter; in 1/2 C, out 1/2 FIP; copper; lead-free yes`},
	{`3/4 copper tube type M`, `copper-tube; in 3/4 TUBE-CU, out 3/4 TUBE-CU; copper; lead-free yes; listed yes; series M`},
	{`1/2 FTG x C street ell`, `street-elbow-90; in 1/2 C, out 1/2 FTG; -`},
	{`3/4 PVC ball valve SS`, `ball-valve; in 3/4 S, out 3/4 S; pvc; lead-free yes`},
	{`1/2 MIP SS nipple`, `nipple; in 1/2 MIP, out 1/2 MIP; stainless; lead-free yes`},
	{`1/2 NPS brass nipple`, `nipple; in 1/2 MIP, out 1/2 MIP; brass; "NPS"`},
	{`1/2 brass nipple IPS`, `nipple; in 1/2 MIP, out 1/2 MIP; brass; "IPS"`},
	{`1/2 PEX x 1/2 FIP adapter, ASTM F1807`, `adapter; in 1/2 PEX-CRIMP, out 1/2 FIP; -; mark ASTM F1807`},
	{`3/4 PEX elbow, F1960`, `elbow-90; in 3/4 PEX-EXP, out 3/4 PEX-EXP; -; mark ASTM F1960`},
	{`1/2 PEX crimp x 1/2 MIP brass adapter, lead-free`, `adapter; in 1/2 PEX-CRIMP, out 1/2 MIP; brass; said lead-free yes`},
	{`1/2 PEX-A expansion tee`, `tee; in 1/2 PEX-EXP, out 1/2 PEX-EXP, branch 1/2 PEX-EXP; -; "PEX-A"`},
	{`1/2 NPT male x 3/4 GHT female adapter`, `adapter; in 1/2 MIP, out 3/4 FHT; -`},
	{`3/4 female hose thread swivel x 1/2 male pipe thread adapter`, `adapter; in 3/4 FHT swivel, out 1/2 MIP; -`},
	{`G 3/4 A x 1/2 FIP adapter`, `adapter; in 3/4 MG, out 1/2 FIP; -`},
	{`R 1/2 x Rp 1/2 elbow`, `elbow-90; in 1/2 R, out 1/2 Rp; -`},
	{`1/2 male BSPT x 3/4 MHT adapter`, `adapter; in 1/2 R, out 3/4 MHT; -`},
	{`15 mm COMP x 15 mm COMP brass coupling`, `coupling; in 15 mm COMP, out 15 mm COMP; brass`},
	{`3/8 OD COMP x 1/2 FIP adapter`, `adapter; in 3/8 COMP, out 1/2 FIP; -`},
	{`5/8 OD copper tube`, `copper-tube; in 1/2 TUBE-CU, out 1/2 TUBE-CU; copper; lead-free yes; listed yes`},
	{`SC 1/2 MIP`, `hose-bibb; in 1/2 MIP, out 3/4 MHT; -`},
	{`HB 1/2 FIP`, `hose-bibb; in 1/2 FIP, out 3/4 MHT; -`},
	{`1/2 DR brass ball valve`, `ball-valve; in 1/2 FIP, out 1/2 FIP; brass; dzr yes`},

	// attributes
	{`3/4 FIP ball valve brass NSF 61`, `ball-valve; in 3/4 FIP, out 3/4 FIP; brass; listed yes; mark NSF 61`},
	{`3/4 FIP ball valve, NSF/ANSI/CAN 61, NSF/ANSI 372, brass`, `ball-valve; in 3/4 FIP, out 3/4 FIP; brass; said lead-free yes; listed yes; mark NSF 61; mark NSF 372`},
	{`hose bibb 1/2 FIP no-lead brass`, `hose-bibb; in 1/2 FIP, out 3/4 MHT; lead-free-brass; said lead-free yes`},
	{`hose bibb 1/2 FIP brass, not lead-free`, `hose-bibb; in 1/2 FIP, out 3/4 MHT; brass; said lead-free no`},
	{`hose bibb 1/2 FIP brass, contains lead`, `hose-bibb; in 1/2 FIP, out 3/4 MHT; brass; said lead-free no`},
	{`hose bibb 1/2 FIP low-lead brass`, `hose-bibb; in 1/2 FIP, out 3/4 MHT; lead-free-brass; said lead-free yes`},
	{`garden hose, potable`, `garden-hose; in 3/4 FHT swivel, out 3/4 MHT; -; listed yes`},
	{`3/4 MHT x 1/2 MIP adapter, chrome-plated`, `adapter; in 3/4 MHT, out 1/2 MIP; plated; chrome`},
	{`chrome plated brass P-trap 1-1/4 SJ`, `p-trap; in 1-1/4 SJ, out 1-1/4 TUB; brass; chrome`},
	{`brass-plated steel cap 1/2 FIP`, `cap; in 1/2 FIP; steel; brass-plated`},
	{`DZR brass ball valve 22 mm COMP x COMP`, `ball-valve; in 22 mm COMP, out 22 mm COMP; dzr-brass; dzr yes`},
	{`3/4 FHT with washer x 1/2 MIP adapter`, `adapter; in 3/4 FHT washer, out 1/2 MIP; -`},
	{`3/4 FHT x 3/4 MHT hose vacuum breaker, no washer`, `hose-vacuum-breaker; in 3/4 FHT swivel no-washer, out 3/4 MHT; -; device hcvb`},
	{`3/4 FHT swivel x 3/4 MHT adapter, brass`, `adapter; in 3/4 FHT swivel, out 3/4 MHT; brass`},
	{`heavy duty green garden hose 5/8 x 50 ft`, `garden-hose; in 3/4 FHT swivel, out 3/4 MHT; -; listed no; 15240 mm; bore 15.9 mm; "heavy duty"; "green"`},
	{`1/4 turn 1/2 FIP ball valve, red handle, new`, `ball-valve; in 1/2 FIP, out 1/2 FIP; -; "1/4 turn"; "red handle"; "new"`},
	{`1/2 FIP ball valve with lever handle`, `ball-valve; in 1/2 FIP, out 1/2 FIP; -; "with lever handle"`},
	{`200 psi pressure regulator 1/2 FIP`, `pressure-regulator; in 1/2 FIP, out 1/2 FIP; -; 200 psi`},
	{`adapter for hose bibb, 3/4 FHT x 1/2 MIP`, `adapter; in 3/4 FHT, out 1/2 MIP; -; "for hose bibb"`},

	// quantities
	{`2 ea 3/4 hose bibb`, `hose-bibb; in 3/4 ?, out 3/4 MHT; -; count 2`},
	{`(2) 1/2 copper elbow`, `elbow-90; in 1/2 C, out 1/2 C; copper; count 2; lead-free yes`},
	{`2 pcs 1/2 copper elbow`, `elbow-90; in 1/2 C, out 1/2 C; copper; count 2; lead-free yes`},
	{`qty 2 1/2 copper elbow`, `elbow-90; in 1/2 C, out 1/2 C; copper; count 2; lead-free yes`},
	{`2 @ 1/2 copper elbow`, `elbow-90; in 1/2 C, out 1/2 C; copper; count 2; lead-free yes`},
	{`2x garden hose`, `garden-hose; in 3/4 FHT swivel, out 3/4 MHT; -; count 2; listed no`},
	{`1 1/2 PVC P-trap`, `p-trap; in 1-1/2 HUB, out 1-1/2 HUB; pvc; lead-free yes`},
	{`2 1/2 FIP galvanised coupling`, `coupling; in 2-1/2 FIP, out 2-1/2 FIP; galvanised-steel`},

	// unknown and gaps
	{`unknown x 1/2 MIP adapter`, `adapter; in - ?, out 1/2 MIP; -`},
	{`3/4 unknown x 1/2 MIP adapter`, `adapter; in 3/4 ?, out 1/2 MIP; -`},
	{`unknown MHT x 1/2 MIP adapter`, `adapter; in 3/4 MHT, out 1/2 MIP; -`},
	{`? x 3/4 MHT hose bibb`, `hose-bibb; in - ?, out 3/4 MHT; -`},
	{`adapter wanted`, `none; ; -; wanted`},
	{`3/4 MHT x 1/2 MIP adapter wanted`, `none; in 3/4 MHT, out 1/2 MIP; -; wanted`},

	// scenarios
	{`supply = existing 15 ft 3/4 PEX tube`, `pex-tube; in 3/4 TUBE-PEX, out 3/4 TUBE-PEX; pex; name supply; existing; lead-free yes; 4572 mm`},
	{`rinse-tap = 1/2 MIP x 3/4 MHT hose bibb, bronze, lead-free, with vacuum breaker`, `hose-bibb; in 1/2 MIP, out 3/4 MHT; bronze; name rinse-tap; said lead-free yes; breaker yes; device hcvb`},
	{`3/4 x 12 in stainless nipple`, `nipple; in 3/4 MIP, out 3/4 MIP; stainless; lead-free yes; 305 mm`},
	{`drinking fountain bubbler 3/8 COMP`, `bubbler; in 3/8 COMP, out - OPEN; -`},
	{`fountain-drain = 1-1/4 SJ P-trap, chrome plated brass`, `p-trap; in 1-1/4 SJ, out 1-1/4 TUB; brass; name fountain-drain; chrome`},
	{`trough = basin, 40 x 30 x 20 cm, 1-1/2 drain`, `basin; outlet 1-1/2 STR; -; name trough; inside 400 x 300 x 200 mm`},
	{`washing-up-bowl = bowl, 18 x 14 in, 1-1/2 outlet`, `basin; outlet 1-1/2 STR; -; name washing-up-bowl; inside 457 x 356 x 0 mm`},
	{`standpipe = 10 ft 3/4 galvanised pipe`, `galvanised-pipe; in 3/4 MIP, out 3/4 MIP; galvanised-steel; name standpipe; 3048 mm`},
	{`can = bucket`, `bucket; ; -; name can`},
	{`3/4 FHT x 3/4 MHT x 3/4 MHT shut-off wye with washers`, `shutoff-wye; in 3/4 FHT swivel washer, left 3/4 MHT, right 3/4 MHT; -`},
	{`1/2 C x 3/4 MIP LF copper male adapter`, `male-adapter; in 1/2 C, out 3/4 MIP; copper; said lead-free yes`},
	{`1-1/2 SJ x 1-1/2 trap adapter, PVC`, `trap-adapter; in 1-1/2 SJ, out 1-1/2 ?; pvc; lead-free yes`},
	{`2 x 1-1/2 PVC sanitary tee`, `sanitary-tee; in 2 HUB, out 2 HUB, branch 1-1/2 HUB; pvc; lead-free yes; listed no`},
	{`1-1/2 basket strainer, stainless`, `basket-strainer; in - ANY, out 1-1/2 STR; stainless; lead-free yes`},
	{`1/2 FIP x 1/2 FIP pressure regulator, 75 psi, brass`, `pressure-regulator; in 1/2 FIP, out 1/2 FIP; brass; set 75 psi`},
	{`3/4 MHT cap with washer`, `cap; in 3/4 MHT; -`},
	{`3/4 FHT cap, brass`, `hose-cap; in 3/4 FHT; brass`},
	{`1/2 brass plug`, `plug; in 1/2 MIP; brass`},
}

// bad are phrases that cannot stand, with everything that is said about them.
var bad = []struct {
	text     string
	problems []Problem
}{
	{`1/2 NPT ball valve`, []Problem{
		{Range{4, 7}, "\"NPT\" does not say whether the end is male or female", "", "", []string{"MIP", "FIP"}},
	}},
	{`3/4 GHT x 1/2 NPT adapter`, []Problem{
		{Range{4, 7}, "\"GHT\" does not say whether the end is male or female", "", "", []string{"MHT", "FHT"}},
		{Range{14, 17}, "\"NPT\" does not say whether the end is male or female", "", "", []string{"MIP", "FIP"}},
	}},
	{`1/2 BSP ball valve`, []Problem{
		{Range{4, 7}, "\"BSP\" does not say whether the end is male or female", "", "", []string{"R", "Rp", "Rc", "MG", "FG"}},
	}},
	{`G 1/2 x 3/4 MHT adapter`, []Problem{
		{Range{0, 1}, "\"G\" does not say whether the end is male or female", "", "", []string{"MG", "FG"}},
	}},
	{`1/2 BSPT elbow`, []Problem{
		{Range{4, 8}, "\"BSPT\" does not say whether the end is male or female", "", "", []string{"R", "Rc"}},
	}},
	{`3/8 flare elbow`, []Problem{
		{Range{4, 9}, "\"flare\" does not say whether the end is male or female", "", "", []string{"MFL", "FFL"}},
	}},
	{`1/2 S coupling`, []Problem{
		{Range{4, 5}, "\"S\" may be read in more than one way", "", "", []string{"socket", "solder cup", "SPG", "SJ"}},
	}},
	{`1/2 slip coupling S`, []Problem{
		{Range{18, 19}, "\"S\" may be read in more than one way", "", "", []string{"socket", "solder cup", "SPG", "SJ"}},
	}},
	{`3/4 NH x 1/2 MIP adapter`, []Problem{
		{Range{4, 6}, "\"NH\" may be read in more than one way", "", "", []string{"MHT", "FHT"}},
	}},
	{`3/4 NST x 1/2 MIP adapter`, []Problem{
		{Range{4, 7}, "NST is the fire hose thread, with another pitch than garden hose", "", "", []string{"MHT", "FHT"}},
	}},
	{`3/8 C angle stop`, []Problem{
		{Range{4, 5}, "\"C\" may be read in more than one way", "", "", []string{"solder cup", "COMP"}},
	}},
	{`1/2 C PVC coupling`, []Problem{
		{Range{4, 5}, "\"C\" may be read in more than one way", "", "", []string{"solder cup", "COMP"}},
	}},
	{`3/8 C x 3/8 C supply connector`, []Problem{
		{Range{4, 5}, "\"C\" may be read in more than one way", "", "", []string{"solder cup", "COMP"}},
		{Range{12, 13}, "\"C\" may be read in more than one way", "", "", []string{"solder cup", "COMP"}},
	}},
	{`1/2 SS ball valve`, []Problem{
		{Range{4, 6}, "\"SS\" may be stainless steel or slip x slip", "", "", []string{"stainless", "socket x socket"}},
	}},
	{`3/4 SS nipple`, []Problem{
		{Range{4, 6}, "\"SS\" may be stainless steel or slip x slip", "", "", []string{"stainless", "socket x socket"}},
	}},
	{`PRV 3/4`, []Problem{
		{Range{0, 3}, "\"PRV\" may be a pressure-reducing or a pressure-relief valve", "", "", []string{"pressure reducing valve", "pressure relief valve"}},
	}},
	{`3/4 PRV, brass`, []Problem{
		{Range{4, 7}, "\"PRV\" may be a pressure-reducing or a pressure-relief valve", "", "", []string{"pressure reducing valve", "pressure relief valve"}},
	}},
	{`DC 3/4`, []Problem{
		{Range{0, 2}, "\"DC\" may be a double check or die-cast metal", "", "", []string{"double check valve", "die-cast"}},
	}},
	{`DC brass hose cap`, []Problem{
		{Range{0, 2}, "\"DC\" may be a double check or die-cast metal", "", "", []string{"double check valve", "die-cast"}},
	}},
	{`WH 3/4`, []Problem{
		{Range{0, 2}, "\"WH\" may be a wall hydrant or a water heater", "", "", []string{"wall hydrant", "water heater"}},
	}},
	{`1/2 PB elbow`, []Problem{
		{Range{4, 6}, "\"PB\" may be polybutylene or polished brass", "", "", []string{"polished brass finish"}},
	}},
	{`1/2 DI coupling`, []Problem{
		{Range{4, 6}, "\"DI\" may be dielectric or ductile iron", "", "", []string{"dielectric", "ductile iron"}},
	}},
	{`ST 1/2 MIP nipple`, []Problem{
		{Range{0, 2}, "\"ST\" may be street or stainless", "", "", []string{"street", "stainless"}},
	}},
	{`1/2 M x 3/4 F adapter`, []Problem{
		{Range{4, 5}, "\"M\" may be read in more than one way", "", "", []string{"MIP", "MHT"}},
		{Range{12, 13}, "\"F\" may be read in more than one way", "", "", []string{"FIP", "FHT"}},
	}},
	{`1/2 male x 3/4 female adapter`, []Problem{
		{Range{4, 8}, "\"male\" may be read in more than one way", "", "", []string{"MIP", "MHT"}},
		{Range{15, 21}, "\"female\" may be read in more than one way", "", "", []string{"FIP", "FHT"}},
	}},
	{`3/4 FP hose bibb`, []Problem{
		{Range{4, 6}, "\"FP\" may be full port or freeze-proof", "", "", []string{"full port", "freeze-proof"}},
	}},
	{`3/4 PEX elbow`, []Problem{
		{Range{4, 7}, "PEX ends come in kinds that take different rings and do not go together", "", "", []string{"PEX-CRIMP", "PEX-EXP", "PEX-PRESS", "PUSH"}},
	}},
	{`1/2 PEX x 1/2 MIP brass adapter`, []Problem{
		{Range{4, 7}, "PEX ends come in kinds that take different rings and do not go together", "", "", []string{"PEX-CRIMP", "PEX-EXP", "PEX-PRESS", "PUSH"}},
	}},
	{`1/2 press ball valve`, []Problem{
		{Range{4, 9}, "\"press\" may be read in more than one way", "", "", []string{"CU-PRESS", "PEX-PRESS"}},
	}},
	{`2 grooved coupling`, []Problem{
		{Range{2, 9}, "grooved ends are not known to this tool", "another end type", "", nil},
	}},
	{`1/2 PE nipple`, []Problem{
		{Range{4, 6}, "\"PE\" may be polyethylene or a plain end", "", "", []string{"polyethylene", "plain end"}},
	}},
	{`1/2 NPS ball valve`, []Problem{
		{Range{4, 7}, "\"NPS\" may be the nominal pipe size or a straight thread", "", "", []string{"nominal", "NPSM"}},
	}},
	{`1/2 IPS ball valve`, []Problem{
		{Range{4, 7}, "\"IPS\" does not say whether the end is male or female", "", "", []string{"MIP", "FIP"}},
	}},
	{`20 LF copper tube`, []Problem{
		{Range{0, 5}, "LF may be feet of length or lead-free", "", "", []string{"20 ft", "20 lead-free"}},
	}},
	{`black 1/2 nipple`, []Problem{
		{Range{0, 5}, "\"black\" may be a colour or black steel", "", "", []string{"black steel", "dark"}},
	}},
	{`1/2 x 3/4 tee`, []Problem{
		{Range{0, 9}, "a tee with its smaller size first may have a larger branch, or its sizes turned round", "run x run x branch", "", []string{"1/2 x 1/2 x 3/4", "3/4 x 3/4 x 1/2"}},
	}},
	{`1/2 x 3/4 copper tee`, []Problem{
		{Range{0, 9}, "a tee with its smaller size first may have a larger branch, or its sizes turned round", "run x run x branch", "", []string{"1/2 x 1/2 x 3/4", "3/4 x 3/4 x 1/2"}},
	}},
	{`1/2 x 3/4 x 1/2 tee`, []Problem{
		{Range{0, 15}, "the largest size of a tee stands in the middle: read run x run x branch, or run x branch x run", "run x run x branch", "", []string{"3/4 x 1/2 x 1/2", "1/2 x 1/2 x 3/4"}},
	}},
	{`22 mm x 15 mm x 22 mm copper tee`, []Problem{
		{Range{0, 21}, "a tee named like this may be meant as run x run x branch, or as run x branch x run", "run x run x branch", "", []string{"22 mm x 15 mm x 22 mm branch", "22 mm x 22 mm x 15 mm branch"}},
	}},
	{`22 x 15 x 22 copper tee`, []Problem{
		{Range{0, 2}, "22 what? no inch size is that large here", "a size such as 3/4, 22 mm or DN20", "", []string{"22 mm"}},
		{Range{5, 7}, "15 what? no inch size is that large here", "a size such as 3/4, 22 mm or DN20", "", []string{"15 mm", "DN15"}},
		{Range{10, 12}, "22 what? no inch size is that large here", "a size such as 3/4, 22 mm or DN20", "", []string{"22 mm"}},
	}},
	{`2 - 3/4 ball valves`, []Problem{
		{Range{0, 7}, "\"2 - 3/4\" may be a quantity and a size, or one size", "", "", []string{"2 ea 3/4", "2-3/4"}},
	}},
	{`2 3/4 elbow`, []Problem{
		{Range{0, 5}, "\"2 3/4\" is no size the trade has; it may be two figures", "a size such as 1-1/2", "", []string{"2 ea 3/4", "2 x 3/4"}},
	}},
	{`2x 3/4 elbow`, []Problem{
		{Range{0, 6}, "\"2x 3/4\" may be a quantity and a size, or two sizes", "", "", []string{"2 ea 3/4", "2 x 3/4"}},
	}},
	{`2 garden hoses`, []Problem{
		{Range{0, 1}, "\"2 garden hoses\" may be a quantity or a size", "", "", []string{"2 ea", "2 in"}},
	}},
	{`11/2 elbow`, []Problem{
		{Range{0, 4}, "\"11/2\" may be one and a fraction written together", "", "", []string{"1-1/2"}},
	}},
	{`11⁄2 elbow`, []Problem{
		{Range{0, 6}, "\"11⁄2\" may be one and a fraction written together", "", "", []string{"1-1/2"}},
	}},
	{`7/4 elbow`, []Problem{
		{Range{0, 3}, "\"7/4\" is no size the trade names", "a size such as 3/4 or 1-1/2", "", nil},
	}},
	{`22 copper elbow`, []Problem{
		{Range{0, 2}, "22 what? no inch size is that large here", "a size such as 3/4, 22 mm or DN20", "", []string{"22 mm"}},
	}},
	{`3/4 x 10 copper tube`, []Problem{
		{Range{6, 8}, "10 what? a length wants its unit", "a length such as 20 ft", "", []string{"10 ft", "10 in", "10 m"}},
	}},
	{`5/8 x 50 garden hose`, []Problem{
		{Range{6, 8}, "50 what? a length wants its unit", "a length such as 20 ft", "", []string{"50 ft", "50 in", "50 m"}},
	}},
	{`basin, 16 x 12 x 6, 1-1/2 outlet`, []Problem{
		{Range{7, 18}, "the dimensions of a basin want a unit", "16 x 12 x 6 in", "", []string{"16 x 12 x 6 in", "16 x 12 x 6 cm"}},
	}},
	{`0 elbow`, []Problem{
		{Range{0, 1}, "\"0\" is no size the trade names", "a size such as 3/4, 1-1/2, 22 mm or DN20", "", nil},
	}},
	{`1/0 elbow`, []Problem{
		{Range{0, 3}, "\"1/0\" is no figure this trade uses", "a size such as 3/4 or 1-1/2", "", nil},
	}},
	{`1234567 ft hose`, []Problem{
		{Range{0, 10}, "\"1234567 ft\" is no figure this trade uses", "a size such as 3/4 or 1-1/2", "", nil},
	}},
	{`1/2 C x 1/2 C x 1/2 C x 1/2 C tee`, []Problem{
		{Range{24, 29}, "a tee has 3 ends (in, out, branch) to name; 4 are given", "", "", nil},
	}},
	{`1/2 C x 1/2 C cap`, []Problem{
		{Range{8, 13}, "a cap has 1 end (in) to name; 2 are given", "", "", nil},
	}},
	{`1/2 FIP x 1/2 FIP x 3/4 MHT hose bibb`, []Problem{
		{Range{20, 27}, "a hose bibb has 2 ends (in, out) to name; 3 are given", "", "", nil},
	}},
	{`1/2 FIP x 1/2 FIP x 1/2 FIP cross`, []Problem{
		{Range{0, 27}, "a cross has 4 ends (in, out, left, right) to name; 3 are given", "", "", nil},
	}},
	{`3/4 MHT x`, []Problem{
		{Range{8, 9}, "nothing follows this \"x\"", "a size or an end on both sides", "", nil},
		{Range{0, 9}, "no kind of part is named", "a kind of part, such as hose bibb, elbow, ball valve", "", nil},
	}},
	{`x 3/4 MHT adapter`, []Problem{
		{Range{0, 1}, "nothing stands before this \"x\"", "a size or an end on both sides", "", nil},
	}},
	{`3/4 MHT x x 1/2 MIP adapter`, []Problem{
		{Range{10, 11}, "nothing stands before this \"x\"", "a size or an end on both sides", "", nil},
	}},
	{`3/4 MHT x 1/2 MIP`, []Problem{
		{Range{0, 17}, "no kind of part is named", "a kind of part, such as hose bibb, elbow, ball valve", "", []string{"3/4 MHT x 1/2 MIP adapter"}},
	}},
	{`3/4 brass`, []Problem{
		{Range{0, 9}, "no kind of part is named", "a kind of part, such as hose bibb, elbow, ball valve", "", nil},
	}},
	{`garden hoze`, []Problem{
		{Range{7, 11}, "\"hoze\" is not a word this tool knows", "a kind of part, an end, a material or a plain description", "hose", nil},
	}},
	{`hoze bibb`, []Problem{
		{Range{0, 4}, "\"hoze\" is not a word this tool knows", "a kind of part, an end, a material or a plain description", "hose", nil},
		{Range{5, 9}, "\"bibb\" is not a word this tool knows", "a kind of part, an end, a material or a plain description", "hose bibb", nil},
	}},
	{`brass vlave 1/2`, []Problem{
		{Range{6, 11}, "\"vlave\" is not a word this tool knows", "a kind of part, an end, a material or a plain description", "valve", nil},
	}},
	{`1/2 FIP x 3/4 MHT hose bibb, brasss`, []Problem{
		{Range{29, 35}, "\"brasss\" is not a word this tool knows", "a kind of part, an end, a material or a plain description", "brass", nil},
	}},
	{`1/2 FIP hose bibb, led-free`, []Problem{
		{Range{19, 22}, "\"led\" is not a word this tool knows", "a kind of part, an end, a material or a plain description", "lid", nil},
		{Range{23, 27}, "\"free\" is not a word this tool knows", "a kind of part, an end, a material or a plain description", "", nil},
	}},
	{`1/2 FIP hose bibb with vacum breaker`, []Problem{
		{Range{23, 28}, "\"vacum\" is not a word this tool knows", "a kind of part, an end, a material or a plain description", "vacuum", nil},
		{Range{29, 36}, "\"breaker\" is not a word this tool knows", "a kind of part, an end, a material or a plain description", "vacuum breaker", nil},
	}},
	{`hose clamp`, []Problem{
		{Range{0, 10}, "\"hose clamp\" by itself is no part this tool knows", "a kind of part", "", nil},
	}},
	{`bibb 1/2`, []Problem{
		{Range{0, 4}, "\"bibb\" is not a word this tool knows", "a kind of part, an end, a material or a plain description", "hose bibb", nil},
	}},
	{`my tap = hose bibb`, []Problem{
		{Range{0, 6}, "a name is one word", "letters, figures and hyphens", "my-tap", nil},
	}},
	{`tap.out = hose bibb`, []Problem{
		{Range{0, 7}, "a name has no dot; the dot leads to an end, as in tap.out", "letters, figures and hyphens", "tap-out", nil},
	}},
	{`= hose bibb`, []Problem{
		{Range{0, 1}, "nothing stands before the =", "a name, such as tap", "", nil},
	}},
	{`tap =`, []Problem{
		{Range{0, 5}, "no part is named", "a phrase such as 1/2 FIP x 3/4 MHT hose bibb, brass", "", nil},
	}},
	{`a = b = hose bibb`, []Problem{
		{Range{6, 7}, "= stands between a name and its part, once, in front", "tap = 1/2 FIP x 3/4 MHT hose bibb", "", nil},
		{Range{4, 5}, "\"b\" is not a word this tool knows", "a kind of part, an end, a material or a plain description", "", nil},
	}},
	{``, []Problem{
		{Range{0, 0}, "no part is named", "a phrase such as 1/2 FIP x 3/4 MHT hose bibb, brass", "", nil},
	}},
	{`,,,`, []Problem{
		{Range{0, 3}, "no kind of part is named", "a kind of part, such as hose bibb, elbow, ball valve", "", nil},
	}},
	{`hose bibb = tap`, []Problem{
		{Range{0, 9}, "a name is one word", "letters, figures and hyphens", "hose-bibb", nil},
		{Range{12, 15}, "\"tap\" may be one of several parts", "", "", []string{"hose bibb", "one-inlet faucet", "two-inlet faucet"}},
	}},
	{`lead-free leaded brass hose bibb`, []Problem{
		{Range{10, 16}, "\"leaded\" and \"lead-free\" cannot both be: is it lead-free?", "", "", nil},
	}},
	{`hose bibb with vacuum breaker, no vacuum breaker`, []Problem{
		{Range{31, 48}, "\"no vacuum breaker\" and \"with vacuum breaker\" cannot both be: has it a vacuum breaker?", "", "", nil},
	}},
	{`potable garden hose, not for potable use`, []Problem{
		{Range{21, 40}, "\"not for potable use\" and \"potable\" cannot both be: is it for drinking water?", "", "", nil},
	}},
	{`brass PVC coupling 1/2`, []Problem{
		{Range{6, 9}, "two materials are named, brass and PVC", "the one the water touches; put the other behind \"with\"", "", nil},
	}},
	{`type L type M 1/2 copper tube`, []Problem{
		{Range{7, 13}, "two wall types: L and M", "one of them", "", nil},
	}},
	{`sch PVC pipe 3/4`, []Problem{
		{Range{0, 3}, "a schedule wants its number", "sch 40 or sch 80", "", nil},
	}},
	{`20 ft 10 ft 1/2 copper tube`, []Problem{
		{Range{6, 11}, "a second length", "one length", "", nil},
	}},
	{`2 ea 3 ea 1/2 elbow`, []Problem{
		{Range{5, 9}, "a second quantity", "one quantity, in front", "", nil},
	}},
	{`# brass elbow`, []Problem{
		{Range{0, 1}, "# is read before or after a pressure class only", "#125, or 125 psi", "", nil},
	}},
	{`1/2 @ elbow`, []Problem{
		{Range{4, 5}, "@ is read behind a quantity only", "2 @ 3/4 …", "", nil},
	}},
	{`qty elbow`, []Problem{
		{Range{0, 3}, "a quantity wants a number behind it", "qty 2", "", nil},
	}},
	{`1/2 MIP x 3/4 FIP bushing`, []Problem{
		{Range{0, 17}, "the outside of a bushing is its larger size; this one would be larger inside", "outside x inside", "", nil},
	}},
	{`anti-siphon sillcock without vacuum breaker`, []Problem{
		{Range{21, 43}, "an anti-siphon sillcock is one with a vacuum breaker", "leave this out, or name the plain kind", "", nil},
	}},
	{`1/2 elbow $5`, []Problem{
		{Range{10, 11}, "\"$\" means nothing in a phrase", "", "", nil},
	}},
	{`3/4 XYZZY adapter`, []Problem{
		{Range{4, 9}, "\"XYZZY\" is not a word this tool knows", "a kind of part, an end, a material or a plain description", "", nil},
	}},
	{`L 1/2`, []Problem{
		{Range{0, 1}, "\"L\" may be an elbow or a wall type", "", "", []string{"elbow", "type L"}},
	}},
	{`CC 1/2 coupling`, []Problem{
		{Range{0, 2}, "\"CC\" may be read in more than one way", "", "", []string{"solder cup", "COMP"}},
	}},
	{`AG`, []Problem{
		{Range{0, 2}, "\"AG\" may be an air gap or above ground", "", "", []string{"air gap fitting", "above ground"}},
	}},
	{`1/2 FIP hose bibb 1/2 MIP/3/4 C x/`, []Problem{
		{Range{32, 33}, "nothing follows this \"x\"", "a size or an end on both sides", "", nil},
	}},
	{`3/4 FHT x 3/4 MHT Y`, []Problem{
		{Range{18, 19}, "\"Y\" may be one of several parts", "", "", []string{"hose splitter without shut-offs", "shut-off wye"}},
	}},
}

// hostile are texts made to hurt: long, deep, cut characters, only marks.
var hostile = []string{
	"", " ", "\x00", "\xff\xfe", "\xf0\x9f", "½½½½", "1\u20442", "//////", "((((((", "))))", "=====", "x x x x x",
	"1/2/3/4/5/6", "1-1-1-1-1/2", "1-1/2-1-1/2", "--------", "\u2028 \u2603", "2 x", "x", "unknown unknown unknown",
	strings.Repeat("x", 999), strings.Repeat("9", 999), strings.Repeat("1/", 499), strings.Repeat("C x ", 249),
	strings.Repeat("1/2 x ", 166), strings.Repeat("(", 999), strings.Repeat("vlave ", 166), strings.Repeat("hose ", 200),
	strings.Repeat("with ", 200), strings.Repeat("½", 499), strings.Repeat("CxCxCxCxCxCxCxCxCxCxCxC ", 41),
	strings.Repeat("threaded ", 108) + "copper tee", strings.Repeat("in wall ", 124), "adapter " + strings.Repeat("taper ", 160), strings.Repeat("double ", 138) + "valve",
	strings.Repeat("0", 65536), strings.Repeat("x", 65536), strings.Repeat("1/2 FIP x ", 6554), strings.Repeat("\xc3", 65536),
}

func TestGood(t *testing.T) {
	r := reader(t)
	for _, c := range good {
		x := checkReading(t, r, c.text)
		if assert.Empty(t, x.Questions, "%q", c.text) {
			assert.Equal(t, c.part, summary(&x.Part), "%q", c.text)
			assert.NotEmpty(t, x.Echo, "%q", c.text)
		}
	}
}

func TestBad(t *testing.T) {
	r := reader(t)
	for _, c := range bad {
		x := checkReading(t, r, c.text)
		if !assert.Len(t, x.Questions, len(c.problems), "%q: %v", c.text, x.Questions) {
			continue
		}
		for i, p := range c.problems {
			assert.Equal(t, p, x.Questions[i], "%q", c.text)
		}
	}
}

func TestHostile(t *testing.T) {
	r := reader(t)
	for _, s := range hostile {
		x := checkReading(t, r, s)
		assert.NotEmpty(t, x.Questions, "%.40q", s)
		assert.LessOrEqual(t, len(x.Questions), 600, "%.40q", s)
	}
}

// What was assumed, reordered or left out is said.
func TestNotes(t *testing.T) {
	r := reader(t)
	for _, c := range []struct{ text, note string }{
		{"1/2 x 3/4 brass bushing", "the larger size was put first"},
		{"1/2 x 3/4 copper coupling", "named larger end first"},
		{"1/2 x 1/2 x 3/4 copper tee", "bullhead"},
		{"1/2 x 3/4 x 3/4 copper tee", "larger end first; its two ends changed places"},
		{"3/4 x 1/2 x 3/4 copper tee", "run x run x branch"},
		{"1/2 MHT x 1/2 MIP adapter", "always 3/4 (ASME B1.20.7)"},
		{"1/2 FHT x 1/2 MHT garden hose", "1/2 is the bore of a hose"},
		{"1/2 x 4 nipple", "taken as inches by trade habit"},
		{"3/4 x 1/2 nipple", "read as a reducing nipple"},
		{"5/8 OD copper tube", "nominal 1/2 (ASTM B88"},
		{"1/2 MIP/3/4 C x 3/4 MHT hose bibb", "two ways"},
		{"3/4 NH hose bibb", "read as male garden hose thread"},
		{"1/2 MIP SS nipple", "SS read as stainless steel"},
		{"3/4 PVC ball valve SS", "SS read as slip x slip"},
		{"hose bibb 1/2 FIP brass, LL", "at most 0.25 % lead"},
		{"garden hose", "length not stated"},
		{"garden hose, potable", "on its label alone"},
		{"ball valve", "end type not stated (in, out)"},
		{"ball valve", "size not stated (in, out)"},
		{"3/4 MHT x 1/2 MIP brass adapter", "lead-free not stated"},
		{"3/4 MHT x 1/2 MIP adapter", "material not stated"},
		{"3/4 MHT x 1/2 MIP adapter, chrome", "the material under the chrome is not stated"},
		{"1/2 FIP x 3/4 MHT hose bibb", "with or without a vacuum breaker is not stated"},
		{"basin", "inside dimensions not stated"},
		{"2-1/2 FIP x 2-1/2 FIP ball valve", "not usually made in 2-1/2"},
		{"3/4 MHT cap", "not usually made with male garden hose thread"},
		{"1/2 brass street elbow MIP x FIP", "turned round"},
		{"2 PVC DWV union", "named DWV, but a union is a part for pressure"},
		{"1/2 copper elbow", "read as C x C"},
		{"hose manifold", "number of outlets is not stated"},
		{"1/2 FIP ball valve, swivel", "which end swivels is not stated"},
		{"elbow with vacuum breaker", "no vacuum breaker of its own"},
	} {
		x := checkReading(t, r, c.text)
		require.Empty(t, x.Questions, "%q", c.text)
		found := false
		for _, n := range x.Notes {
			found = found || strings.Contains(n.Msg, c.note)
		}
		assert.True(t, found, "%q: no note says %q: %v", c.text, c.note, x.Notes)
	}
}

// What speaks for a part is believed only where the whole phrase is understood.
func TestClaimsAreNotGuessed(t *testing.T) {
	r := reader(t)
	for _, text := range []string{
		"hose bibb 1/2 FIP, not certified lead-free", "hose bibb 1/2 FIP, maybe LF, maybe potable",
		"hose bibb 1/2 FIP not NSF 61", "hose bibb 1/2 FIP, lead-free?", "hose bibb 1/2 FIP, vacuum breaker",
		"hose bibb 1/2 FIP, broken vacuum breaker", "hose bibb 1/2 FIP, with vacuum breaker?", "hose bibb 1/2 FIP, no anti-siphon",
		"garden hose, drinking water not allowed", "hose bibb 1/2 FIP, lead-free, leaded", "hose bibb 1/2 FIP, vacuum breaker unknown",
	} {
		x := r.Read(text)
		assert.NotEmpty(t, x.Questions, "%q", text)
		assert.True(t, x.Part.Kind == nil || x.Part.Kind.HasAny(plumb.Shuts|plumb.Flexible), "%q became %v", text, x.Part.Kind)
	}
	for _, text := range []string{
		"hose bibb 1/2 FIP, lead-free unknown", "hose bibb 1/2 FIP with lead-free nut", "brass hose bibb 1/2 FIP", "hose bibb 1/2 FIP",
	} {
		x := r.Read(text)
		assert.Empty(t, x.Questions, "%q", text)
		assert.Equal(t, plumb.Unknown, x.Part.LeadFree, "%q", text)
		assert.Equal(t, plumb.Unknown, x.Part.Listed, "%q", text)
		assert.Equal(t, plumb.Unknown, x.Part.Breaker, "%q", text)
	}
}

// Names come off the front and point at themselves.
func TestName(t *testing.T) {
	r := reader(t)
	x := r.Read("  tap-2 =  1/2 FIP x 3/4 MHT hose bibb ")
	require.Empty(t, x.Questions)
	assert.Equal(t, "tap-2", x.Name)
	assert.Equal(t, "tap-2", x.Part.Name)
	assert.Equal(t, Range{2, 7}, x.NameAt)
	assert.Equal(t, "1/2 FIP x 3/4 MHT hose bibb", x.Part.Phrase)
}
