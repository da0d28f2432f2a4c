package mate

import (
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/plumb"
	"tapwright/plumb/catalogue"
	"tapwright/plumb/unit"
)

var loaded = sync.OnceValues(func() (*catalogue.Catalogue, error) { return catalogue.Load() })

func tables(t testing.TB) (*Table, *catalogue.Catalogue) {
	t.Helper()
	cat, err := loaded()
	require.NoError(t, err)
	table, err := Load(cat)
	require.NoError(t, err)
	return table, cat
}

// side makes one end from words: "3/4 MHT", "MHT", "22 mm C", "? C" is size
// unknown, "3/4 ?" type unknown, "FIP~" swivels. Materials and the like come after a colon.
func side(t testing.TB, cat *catalogue.Catalogue, words string) Side {
	t.Helper()
	words, made, _ := strings.Cut(words, ": ")
	part := &plumb.Part{}
	for _, w := range strings.Fields(made) {
		if series, ok := strings.CutPrefix(w, "series="); ok {
			part.Series = series
			continue
		}
		if kind, ok := strings.CutPrefix(w, "kind="); ok {
			part.Kind = cat.Kind(kind)
			require.NotNil(t, part.Kind, kind)
			continue
		}
		if mark, ok := strings.CutPrefix(w, "mark="); ok {
			part.Marks = append(part.Marks, mark)
			continue
		}
		part.Material = cat.Material(w)
		require.NotNil(t, part.Material, w)
	}
	end := &plumb.End{Joint: -1}
	i := strings.LastIndexByte(words, ' ')
	id := words[i+1:]
	id, end.Swivel = strings.CutSuffix(id, "~")
	if id != "?" {
		end.Kind = cat.End(id)
		require.NotNil(t, end.Kind, "no end type %q", id)
	}
	if i > 0 && words[:i] != "?" {
		size, err := unit.ParseSize(words[:i])
		require.NoError(t, err)
		end.Size = size
	}
	return Side{End: end, Part: part}
}

const (
	b120  = "ASME B1.20.1, as reprinted"
	b1207 = "ASME B1.20.7-1991, as reprinted"
	iso7  = "ISO 7-1:1994, clause 1 and notes"
	i228  = "ISO 228-1, as reprinted"
	b1622 = "ASME B16.22-1998, section 3"
	b88   = "ASTM B88-22, outside diameters"
	a1181 = "ASME A112.18.1-2005, clause 4.4"
	a1182 = "ASME A112.18.2:2005, clauses 4.3.3 to 4.6.3"
	trade = "common practice, no source"
	mem   = "from memory"
)

// Known answers. The last column says where the answer comes from.
var known = []struct {
	a, b    string
	verdict plumb.Tri
	joint   string // of a Yes
	says    string // part of Friend, Remedy, TightBy, Why or a question
	source  string
}{
	// Taper pipe thread.
	{"1/2 MIP", "1/2 FIP", plumb.Yes, "taper-thread", "sealant on the male", b120},
	{"3/4 MIP", "3/4 FIP", plumb.Yes, "taper-thread", "", b120},
	{"2 MIP", "2 FIP", plumb.Yes, "taper-thread", "", b120},
	{"3/4 MIP", "1/2 FIP", plumb.No, "", "3/4 x 1/2 reducing coupling, FIP x FIP", trade},
	{"1/2 MIP", "3/4 FIP", plumb.No, "", "a 3/4 x 1/2 bushing, MIP x FIP", trade},
	{"1/2 MIP", "1/2 MIP", plumb.No, "", "a 1/2 coupling, FIP x FIP", trade},
	{"1/2 FIP", "1/2 FIP", plumb.No, "", "a 1/2 nipple, MIP x MIP", trade},
	{"3/4 MIP", "1/2 MIP", plumb.No, "", "3/4 x 1/2 reducing coupling", trade},
	// Straight pipe threads.
	{"1/2 MNPSM", "1/2 FNPSM", plumb.Yes, "washer-thread", "washer", a1181},
	{"1/2 MIP", "1/2 FNPSM", plumb.Yes, "washer-thread", "never the thread", b120},
	{"1/2 MIP", "1/2 FIP~", plumb.Yes, "washer-thread", "washer", trade},
	{"3/4 MIP", "3/4 FNPSH", plumb.Yes, "washer-thread", "washer", b1207},
	{"3/4 MNPSH", "3/4 FNPSH", plumb.Yes, "washer-thread", "washer", mem},
	{"3/4 MNPSH", "3/4 FIP", plumb.No, "", "straight and taper pipe thread", b1207},
	{"1/2 MNPSM", "1/2 FIP", plumb.No, "", "straight and taper pipe thread", mem},
	{"1/2 MNPSM", "1/2 FNPSH", plumb.Unknown, "", "runs on freely", "no publication seen"},
	// Hose thread.
	{"3/4 MHT", "3/4 FHT", plumb.Yes, "hose-thread", "washer", b1207},
	{"MHT", "FHT", plumb.Yes, "hose-thread", "hand tight", b1207},
	{"1/2 MHT", "5/8 FHT", plumb.Yes, "hose-thread", "", b1207 + ": one thread whatever the bore"},
	{"MHT", "MHT", plumb.No, "", "swivel gender changer, 3/4 FHT x 3/4 FHT", trade},
	{"FHT", "FHT", plumb.No, "", "3/4 MHT x 3/4 MHT", trade},
	{"3/4 MHT", "3/4 FIP", plumb.No, "", "garden hose thread and pipe thread", b1207 + "; " + b120},
	{"3/4 MHT", "3/4 MIP", plumb.No, "", "garden hose thread and pipe thread", b1207 + "; " + b120},
	{"3/4 FHT", "3/4 MIP", plumb.No, "", "11.5 threads per inch, straight, 60 degrees, 1.063 in", b1207},
	{"3/4 FHT", "3/4 MIP", plumb.No, "", "14 threads per inch, taper, 60 degrees, 1.050 in", b120},
	{"MHT", "1/2 FIP", plumb.No, "", "a 3/4 FHT x 1/2 MIP adapter", trade},
	{"3/4 MHT", "3/4 FNPSM", plumb.No, "", "garden hose thread and pipe thread", b1207},
	{"3/4 MHT", "1 FNPSH", plumb.No, "", "hose thread (NPSH)", b1207 + "; NPSH from memory"},
	{"MHT", "1/2 C", plumb.No, "", "3/4 FHT x 1/2 FTG adapter", trade},
	// ISO threads.
	{"1/2 R", "1/2 Rp", plumb.Yes, "iso-taper-thread", "sealant", iso7},
	{"1/2 R", "1/2 Rc", plumb.Yes, "iso-taper-thread", "sealant", iso7},
	{"3/4 MG", "3/4 FG", plumb.Yes, "g-face", "washer", i228},
	{"3/4 MG", "3/4 Rp", plumb.No, "", "no jointing thread", iso7},
	{"3/4 MG", "3/4 Rc", plumb.No, "", "no jointing thread", iso7},
	{"3/4 R", "3/4 FG", plumb.Unknown, "", "marked Rp or Rc, or G", mem},
	{"1/2 MIP", "1/2 FG", plumb.No, "", "14 threads per inch, straight, 55 degrees, 0.825 in", i228},
	{"1/2 MIP", "1/2 Rp", plumb.No, "", "the pitch is the same, so they start", iso7},
	{"3/4 MG", "3/4 FIP", plumb.No, "", "American (NPT, NPSM) and ISO (R, G)", i228},
	{"3/4 R", "3/4 FIP", plumb.No, "", "1.041 in", iso7},
	{"1 MIP", "1 Rc", plumb.No, "", "1 Rc has 11 threads per inch", iso7},
	{"1 MIP", "1 Rc", plumb.No, "", "1 MIP has 11.5 threads per inch", b120},
	{"3/8 MIP", "3/8 FG", plumb.No, "", "19 threads per inch", i228},
	{"1/4 R", "1/4 FIP", plumb.No, "", "18 threads per inch", b120},
	{"1/8 MIP", "1/8 FG", plumb.No, "", "28 threads per inch", i228},
	{"1/2 MNPSM", "1/2 FG", plumb.No, "", "0.823 in (20.9 mm)", b120},
	{"1/2 MG", "1/2 FNPSM", plumb.No, "", "American (NPT, NPSM) and ISO (R, G)", a1181},
	{"3/4 MHT", "3/4 FG", plumb.No, "", "garden hose thread and parallel pipe thread", i228},
	// Copper.
	{"1/2 TUBE-CU", "1/2 C", plumb.Yes, "soldered", "solder", b1622},
	{"1/2 FTG", "1/2 C", plumb.Yes, "soldered", "", b1622},
	{"15 mm TUBE-CU", "15 mm C", plumb.Yes, "soldered", "", trade},
	{"22 mm TUBE-CU", "3/4 C", plumb.No, "", "metric and inch tube", b88},
	{"15 mm TUBE-CU", "1/2 C", plumb.No, "", "sizes differ", b88},
	{"3/4 TUBE-CU", "1/2 C", plumb.No, "", "3/4 x 1/2 reducing coupling, C x C", trade},
	{"1/2 FTG", "3/4 C", plumb.No, "", "3/4 x 1/2 reducer, FTG x C", trade},
	{"1/2 C", "1/2 C", plumb.No, "", "a piece of 1/2 copper tube", trade},
	{"5/8 TUBE-OD: copper", "1/2 C", plumb.Yes, "soldered", "", b88},
	{"5/8 TUBE-OD: pe", "1/2 C", plumb.No, "", "only copper tube", trade},
	{"5/8 TUBE-OD", "1/2 C", plumb.Unknown, "", "is the tube copper?", trade},
	{"1/2 TUBE-PEX: pex", "1/2 C", plumb.No, "", "PEX-CRIMP", trade},
	{"1/2 TUBE-CU", "1/2 MIP", plumb.No, "", "a 1/2 FIP x 1/2 C adapter", trade},
	// Compression is sized by the tube's outside: 1/2 nominal copper is 5/8 OD.
	{"1/2 TUBE-CU", "5/8 COMP", plumb.Yes, "compression", "ferrule", b88},
	{"3/4 TUBE-CU", "7/8 COMP", plumb.Yes, "compression", "ferrule", b88},
	{"1/4 TUBE-CU", "3/8 COMP", plumb.Yes, "compression", "ferrule", b88},
	{"1/2 TUBE-CU", "1/2 COMP", plumb.No, "", "1/2 nominal and 1/2 OD", b88},
	{"1/2 TUBE-CU", "1/2 COMP", plumb.No, "", "5/8 COMP", b88},
	{"1/2 TUBE-CU", "1/2 COMP", plumb.No, "", "1/2 TUBE-CU measures 5/8 in outside", b88},
	{"1/2 FTG", "1/2 COMP", plumb.No, "", "1/2 FTG measures 5/8 in outside", b88},
	{"3/8 TUBE-OD: copper", "3/8 COMP", plumb.Yes, "compression", "ferrule", trade},
	{"1/4 TUBE-OD: pe", "1/4 COMP", plumb.Yes, "compression", "stiffener", trade},
	{"1/2 TUBE-PEX", "5/8 COMP", plumb.Yes, "compression", "stiffener", trade},
	{"1/2 TUBE-CPVC", "5/8 COMP", plumb.Unknown, "", "list it for CPVC", trade},
	{"15 mm TUBE-CU", "15 mm COMP", plumb.Yes, "compression", "", trade},
	{"3/8 COMP", "3/8 FIP", plumb.No, "", "compression end and pipe thread", mem},
	{"3/8 COMP", "3/8 FFL", plumb.No, "", "0.563 in", mem},
	{"1/4 COMP", "1/4 FFL", plumb.No, "", "20 threads per inch", mem},
	{"3/8 COMP", "3/8 FCOMP", plumb.Yes, "compression-hose", "cone seal", trade},
	{"3/8 COMP", "3/8 COMP~", plumb.Yes, "compression-hose", "cone seal", trade},
	{"3/8 COMP", "3/8 COMP", plumb.No, "", "a piece of 3/8 OD tube", trade},
	{"1/2 FTG", "5/8 COMP", plumb.Unknown, "", "long enough", trade},
	// Flare.
	{"3/8 MFL", "3/8 FFL", plumb.Yes, "flare", "cones", mem},
	{"1/2 MFL", "3/8 TUBE-CU", plumb.Yes, "flare", "own flare", b88},
	{"1/2 MFL", "1/2 TUBE-CU", plumb.No, "", "1/2 nominal and 1/2 OD", b88},
	// Push.
	{"1/2 PUSH", "1/2 TUBE-CU", plumb.Yes, "push-fit", "O-ring", mem},
	{"1/2 PUSH", "1/2 TUBE-PEX", plumb.Yes, "push-fit", "stiffener", mem},
	{"1/2 PUSH", "1/2 TUBE-CPVC", plumb.Yes, "push-fit", "", mem},
	{"1/2 PUSH", "3/4 TUBE-CU", plumb.No, "", "3/4 x 1/2 reducing push coupling", trade},
	{"3/4 PUSH", "3/4 TUBE-PE", plumb.Unknown, "", "outside diameter", mem},
	{"25 mm COMP", "25 mm TUBE-PE", plumb.Yes, "compression", "liner", "EN 12201-2, from memory: named by the outside"},
	{"25 mm PUSH", "25 mm TUBE-PE", plumb.Yes, "push-fit", "liner", mem},
	{"20 mm COMP", "25 mm TUBE-PE", plumb.No, "", "reducing coupling", mem},
	{"25 mm COMP", "3/4 TUBE-PE", plumb.Unknown, "", "outside diameter", mem},
	{"3/4 COMP", "25 mm TUBE-PE", plumb.Unknown, "", "outside diameter", mem},
	{"1/2 PUSH", "1/2 PLAIN: galvanised-steel", plumb.No, "", "copper tube size and iron pipe size", b88 + "; ASME B36.10M"},
	{"1/4 PUSH", "3/8 TUBE-OD: copper", plumb.Yes, "push-fit", "", b88},
	{"1/4 PUSH", "3/8 TUBE-OD: nylon", plumb.Unknown, "", "only if the maker", mem},
	{"1/2 PUSH", "1/2 FTG", plumb.Unknown, "", "long enough", trade},
	// PEX.
	{"1/2 PEX-CRIMP", "1/2 TUBE-PEX", plumb.Yes, "pex-crimp", "ring", mem},
	{"1/2 PEX-EXP", "1/2 TUBE-PEX: pex series=A", plumb.Yes, "pex-expansion", "shrinking", mem},
	{"1/2 PEX-EXP", "1/2 TUBE-PEX: pex series=B", plumb.No, "", "listed for cold expansion", mem},
	{"1/2 PEX-EXP", "1/2 TUBE-PEX: pex series=B mark=F1960", plumb.Yes, "pex-expansion", "", mem},
	{"1/2 PEX-EXP", "1/2 TUBE-PEX: pex", plumb.Unknown, "", "PEX-a or F1960", mem},
	{"1/2 CU-PRESS", "1/2 TUBE-CU", plumb.Yes, "press", "O-ring", mem},
	{"3/4 CU-PRESS", "1/2 TUBE-CU", plumb.No, "", "", mem},
	{"1/2 CU-PRESS", "1/2 FTG", plumb.Unknown, "", "", mem},
	{"1/2 CU-PRESS", "1/2 TUBE-PEX", plumb.No, "", "", mem},
	{"1/2 PEX-PRESS", "1/2 TUBE-PEX", plumb.Yes, "pex-press", "sleeve", mem},
	{"1/2 PEX-CRIMP", "1/2 PEX-EXP", plumb.No, "", "crimp, expansion and press", mem},
	{"3/4 PEX-CRIMP", "1/2 TUBE-PEX", plumb.No, "", "3/4 x 1/2 PEX-CRIMP reducing coupling", trade},
	{"1/2 PEX-CRIMP", "1/2 TUBE-CU", plumb.No, "", "C x 1/2 PEX-CRIMP", trade},
	{"1/2 PEX-CRIMP", "1/2 TUBE-PE", plumb.No, "", "PEX and polyethylene", "ASTM F876, bores as reprinted"},
	// Solvent cement.
	{"1/2 SPG: pvc", "1/2 S: pvc", plumb.Yes, "solvent", "cement", "ASTM D2466"},
	{"1/2 SPG: cpvc", "1/2 S: pvc", plumb.No, "", "same plastic", "IPC 707"},
	{"1-1/2 SPG-DWV: abs", "1-1/2 HUB: pvc", plumb.No, "", "same plastic", "IPC 707"},
	{"1-1/2 SPG-DWV: abs", "1-1/2 HUB: abs", plumb.Yes, "hub-solvent", "", mem},
	{"1/2 SPG: pvc", "1/2 S", plumb.Unknown, "", "both PVC", "IPC 707"},
	{"1/2 SPG: pe", "1/2 S: pvc", plumb.No, "", "same plastic", "ASTM D2464 and trade: never on polyethylene"},
	{"1/2 PLAIN: galvanised-steel", "1/2 S: pvc", plumb.No, "", "same plastic", trade},
	{"1/2 PLAIN: pvc", "1/2 S: pvc", plumb.Yes, "solvent", "", trade},
	{"1/2 TUBE-CPVC", "1/2 S-CTS", plumb.Yes, "solvent", "", "ASTM D2846"},
	{"1/2 TUBE-CU", "1/2 S-CTS", plumb.No, "", "not made for each other", trade},
	{"1/2 TUBE-CU", "1/2 S: pvc", plumb.No, "", "0.625 in (15.9 mm)", b88},
	{"1/2 TUBE-CPVC", "1/2 S: cpvc", plumb.No, "", "0.840 in (21.3 mm)", "ASTM D2846; ASTM D1785"},
	{"3/4 SPG: pvc", "3/4 FIP", plumb.No, "", "a 3/4 MIP x 3/4 S adapter", trade},
	{"1/2 SPG: pvc", "3/4 S: pvc", plumb.No, "", "3/4 x 1/2 bushing, SPG x S", trade},
	{"1-1/2 SPG: pvc", "1-1/2 HUB: pvc", plumb.Yes, "hub-solvent", "gravity drains only", trade},
	// Threaded plastic pipe.
	{"1/2 MIP: kind=pvc-pipe pvc series=40", "1/2 FIP", plumb.No, "", "schedule 80", "Wis. Adm. Code SPS 384.40(14)(c)"},
	{"1/2 MIP: kind=pvc-pipe pvc series=80", "1/2 FIP", plumb.Yes, "taper-thread", "", "Wis. Adm. Code SPS 384.40(14)(c)"},
	{"1/2 MIP: kind=pvc-pipe pvc", "1/2 FIP", plumb.Unknown, "", "which schedule", "Wis. Adm. Code SPS 384.40(14)(c)"},
	{"1/2 MIP: pvc", "1/2 FIP", plumb.Yes, "taper-thread", "", "the rule is on pipe, not on fittings"},
	// Hose and polyethylene on barbs.
	{"1/2 BARB", "1/2 HOSE", plumb.Yes, "clamped-barb", "clamp", trade},
	{"1/2 BARB", "5/8 HOSE", plumb.No, "", "5/8 x 1/2 reducing barb", trade},
	{"3/4 INS", "3/4 TUBE-PE", plumb.Yes, "insert", "clamp", mem},
	{"1/2 BARB", "1/2 TUBE-PE", plumb.No, "", "hose barb, insert barb and PEX barb", trade},
	{"1/2 INS", "1/2 HOSE", plumb.No, "", "hose barb, insert barb and PEX barb", trade},
	// hose in inches and in millimetres, and pipe whose name means its bore or its outside
	{"13 mm HOSE", "1/2 BARB", plumb.Yes, "clamped-barb", "clamp", trade},
	{"19 mm BARB", "3/4 HOSE", plumb.Yes, "clamped-barb", "clamp", trade},
	{"19 mm BARB", "1/2 HOSE", plumb.No, "", "", trade},
	{"19 mm INS", "19 mm TUBE-PE", plumb.Yes, "insert", "clamp", trade},
	{"25 mm INS", "25 mm TUBE-PE", plumb.Unknown, "", "its bore or by its outside", trade},
	{"3/4 INS", "3/4 TUBE-PE", plumb.Yes, "insert", "clamp", trade},
	// fused, pressed, clamped, turned on
	{"25 mm FUSE", "25 mm TUBE-PP", plumb.Yes, "fusion", "melted", "EN ISO 15874-3, from memory"},
	{"25 mm FUSE", "25 mm TUBE-PE", plumb.No, "", "", "EN ISO 15874-3, from memory: polypropylene is not welded to polyethylene"},
	{"32 mm EFUSE", "32 mm TUBE-PE", plumb.Yes, "fusion", "current", "EN 12201-3, from memory"},
	{"16 mm PEX-PRESS", "16 mm TUBE-ML", plumb.Unknown, "", "listed", "EN ISO 21003-3, from memory"},
	{"16 mm PEX-EXP", "16 mm TUBE-ML", plumb.No, "", "", "EN ISO 21003-3, from memory: the aluminium does not stretch"},
	{"15 mm COMP", "15 mm TUBE-CU", plumb.Yes, "compression", "", "EN 1254-2, from memory"},
	{"CLAW", "CLAW", plumb.Yes, "quick-coupling", "rubber rings", trade},
	{"IBC-M", "IBC-F", plumb.Yes, "washer-thread", "gasket", "DIN 6063-1, from memory"},
	{"IBC-M", "2 FG", plumb.No, "", "", "DIN 6063-1, from memory: 6 mm from thread to thread"},
	{"110 mm SADDLE", "110 mm WPIPE", plumb.Yes, "gasket-compression", "hole", trade},
	{"1/2 SADDLE", "1/2 TUBE-CU", plumb.Yes, "gasket-compression", "hole", trade},
	{"110 mm SADDLE", "50 mm WPIPE", plumb.No, "", "saddle", trade},
	{"RWP", "RWP", plumb.Unknown, "", "shape", trade},
	{"5/8 HOSE", "3/4 MHT", plumb.No, "", "3/4 FHT x 5/8 BARB adapter", trade},
	{"QC-M", "QC-F", plumb.Yes, "quick-coupling", "one pattern", trade},
	// Aerators: equal sizes only.
	{"AER-M15/16", "AER-F15/16", plumb.Yes, "aerator", "washer", a1181},
	{"AER-M55/64", "AER-F55/64", plumb.Yes, "aerator", "washer", a1181},
	{"AER-M15/16", "AER-F55/64", plumb.No, "", "aerator threads of different sizes", "arithmetic: 0.938 and 0.859 in"},
	{"AER-M3/4", "3/4 FIP", plumb.No, "", "27 threads per inch", a1181},
	// Tubular drain.
	{"1-1/2 TUB", "1-1/2 SJ", plumb.Yes, "slip-joint", "slip washer", a1182},
	{"1-1/4 TUB", "1-1/2 SJ", plumb.No, "", "1-1/2 x 1-1/4 SJ reducing washer", trade},
	{"1-1/2 TUB", "1-1/4 SJ", plumb.No, "", "reducing slip coupling", trade},
	{"1-1/2 FLT", "1-1/2 STR", plumb.Yes, "tailpiece", "flange", a1182},
	{"1-1/2 TUB", "1-1/2 HUB: pvc", plumb.No, "", "trap adapter", a1182},
	{"1-1/2 TUB", "1-1/2 SPG-DWV: pvc", plumb.No, "", "1.900 in (48.3 mm)", "ASTM F628, outside diameters as reprinted"},
	{"1-1/2 SJ", "1-1/2 SPG-DWV: pvc", plumb.No, "", "1.500 in (38.1 mm)", a1182},
	{"1-1/2 TUB", "1-1/2 TUB", plumb.No, "", "neither goes into the other", trade},
	{"1-1/2 TUB", "1-1/2 TUB", plumb.No, "", "a 1-1/2 slip coupling, SJ x SJ", trade},
	{"5/8 COMP", "1/2 PUSH", plumb.No, "", "a piece of 1/2 copper tube between the two", b88},
	{"1-1/2 SJ", "1-1/2 SJ", plumb.No, "", "a piece of 1-1/2 drain tube", trade},
	// Drain pipe and the rest.
	{"2 SPG-DWV: pvc", "2 HUB: cast-iron", plumb.Yes, "hub-gasket", "gasket", mem},
	{"2 NOHUB", "2 NOHUB", plumb.Yes, "no-hub", "clamps", mem},
	{"2 SPG-DWV", "2 NOHUB", plumb.Yes, "no-hub", "made for both", mem},
	{"2 FLG", "2 FLG", plumb.Yes, "flange", "gasket", mem},
	{"3/4 UN", "3/4 UN", plumb.Yes, "union", "seat", trade},
	{"3/4 UN", "3/4 MIP", plumb.No, "", "the whole union", trade},
	{"3/4 PLAIN", "3/4 COMP-IPS", plumb.Yes, "gasket-compression", "gasket", trade},
	{"OPEN", "MHT", plumb.No, "", "nothing is put on it", trade},
	{"OPEN", "ANY", plumb.No, "", "nothing is put on it", trade},
	{"ANY", "1/2 FIP", plumb.Yes, "source", "not judged", trade},
	{"ANY", "?", plumb.Yes, "source", "not judged", trade},
	// What is not known is asked for.
	{"? MIP", "3/4 FIP", plumb.Unknown, "", "1.050 in", b120},
	{"? MIP", "? FIP", plumb.Unknown, "", "what sizes", trade},
	{"? TUBE-CU", "5/8 COMP", plumb.Unknown, "", "1/2", b88},
	{"? COMP", "1/2 TUBE-CU", plumb.Unknown, "", "5/8", b88},
	{"3/4 ?", "3/4 FIP", plumb.Unknown, "", "3/4 MIP (14 threads per inch", b120},
	{"?", "MHT", plumb.Unknown, "", "3/4 FHT (11.5 threads per inch", b1207},
	{"?", "3/4 MIP", plumb.Unknown, "", "a 3/4 MHT x 3/4 FIP adapter is needed", trade},
	{"?", "?", plumb.Unknown, "", "how are the two ends made", trade},
	{"5/8 MIP", "5/8 FIP", plumb.Unknown, "", "no 5/8 thread", b120},
	{"? MIP", "FHT", plumb.No, "", "adapter", b1207},
}

func said(f plumb.Fit) string {
	parts := []string{f.Friend, f.Remedy, f.TightBy, f.Why, f.Title}
	for _, q := range f.Ask {
		parts = append(parts, q.What, q.How)
		for _, a := range q.Answers {
			parts = append(parts, a.If, a.Then)
		}
	}
	return strings.Join(parts, "\n")
}

func TestKnownPairs(t *testing.T) {
	table, cat := tables(t)
	assert.GreaterOrEqual(t, len(known), 80)
	for _, k := range known {
		t.Run(k.a+" and "+k.b, func(t *testing.T) {
			require.NotEmpty(t, k.source)
			f := table.Fit(side(t, cat, k.a), side(t, cat, k.b))
			assert.Equal(t, k.verdict, f.Verdict, "%s\n%s", k.source, said(f))
			if k.verdict == plumb.Yes {
				assert.Equal(t, k.joint, f.Joint, k.source)
			}
			assert.Contains(t, said(f), k.says, k.source)
		})
	}
}

// American and ISO pipe threads of one size are false friends at every size,
// and the reason gives pitch, form, angle and diameter of both (ASME B1.20.1,
// ISO 7-1:1994, ISO 228-1).
func TestAmericanAndISOThreadsNeverMeet(t *testing.T) {
	table, cat := tables(t)
	for _, row := range published(t, "thread_bsp.csv") {
		npt := find(t, table, "npt", row["size"])
		for _, pair := range [][2]string{{"MIP", "Rp"}, {"MIP", "Rc"}, {"MIP", "FG"}, {"FIP", "R"}, {"FIP", "MG"}} {
			f := table.Fit(side(t, cat, row["size"]+" "+pair[0]), side(t, cat, row["size"]+" "+pair[1]))
			assert.Equal(t, plumb.No, f.Verdict)
			assert.NotEmpty(t, f.Friend)
			assert.Contains(t, f.Why, row["size"]+" "+pair[0]+" has "+strconv.FormatFloat(npt.TPI, 'g', -1, 64)+" threads per inch, taper, 60 degrees")
			assert.Contains(t, f.Why, row["size"]+" "+pair[1]+" has "+row["tpi"]+" threads per inch")
			assert.Contains(t, f.Why, "55 degrees")
			assert.Contains(t, f.Remedy, "adapter")
		}
	}
}

// Sealing means, undoing and burying by joint type.
func TestJointTypes(t *testing.T) {
	table, cat := tables(t)
	for _, k := range []struct {
		a, b   string
		seal   plumb.SealantNeed
		first  string
		undo   plumb.Undo
		embed  plumb.Tri
		source string
	}{
		{"1/2 MIP", "1/2 FIP", plumb.SealantNeeded, "ptfe-tape", plumb.UndoWithTool, plumb.No, b120 + "; UPC 2024 609.3"},
		{"1/2 R", "1/2 Rp", plumb.SealantNeeded, "ptfe-tape", plumb.UndoWithTool, plumb.No, iso7},
		{"MHT", "FHT", plumb.SealantTolerated, "hose-washer", plumb.UndoByHand, plumb.No, b1207},
		{"1/2 MG", "1/2 FG", plumb.SealantTolerated, "fibre-washer", plumb.UndoWithTool, plumb.No, i228},
		{"1/2 TUBE-CU", "1/2 C", plumb.SealantOwn, "lead-free-solder", plumb.UndoNot, plumb.Unknown, "UPC 2024 609.3: brazed only, so the filler decides"},
		{"1/2 SPG: pvc", "1/2 S: pvc", plumb.SealantOwn, "pvc-cement", plumb.UndoNot, plumb.Unknown, "maker and inspector"},
		{"1/2 SPG: abs", "1/2 S: abs", plumb.SealantOwn, "abs-cement", plumb.UndoNot, plumb.Unknown, "maker and inspector"},
		{"1/2 TUBE-CPVC", "1/2 S-CTS", plumb.SealantOwn, "cpvc-cement", plumb.UndoNot, plumb.Unknown, "maker and inspector"},
		{"1/2 PEX-CRIMP", "1/2 TUBE-PEX", plumb.SealantOwn, "crimp-ring", plumb.UndoNot, plumb.Unknown, "maker and inspector"},
		{"5/8 COMP", "1/2 TUBE-CU", plumb.SealantOwn, "ferrule", plumb.UndoWithTool, plumb.No, "77 Ill. Adm. Code 890.330(e)"},
		{"3/8 MFL", "3/8 FFL", plumb.SealantForbidden, "flare-cone", plumb.UndoWithTool, plumb.No, "77 Ill. Adm. Code 890.330(a)"},
		{"1/2 PUSH", "1/2 TUBE-CU", plumb.SealantForbidden, "o-ring", plumb.UndoWithTool, plumb.No, trade},
		{"1-1/2 TUB", "1-1/2 SJ", plumb.SealantTolerated, "slip-washer", plumb.UndoByHand, plumb.No, "77 Ill. Adm. Code 890.330(c)"},
		{"3/4 UN", "3/4 UN", plumb.SealantForbidden, "fibre-washer", plumb.UndoWithTool, plumb.No, trade},
		{"1/2 BARB", "1/2 HOSE", plumb.SealantOwn, "hose-clamp", plumb.UndoWithTool, plumb.No, trade},
	} {
		f := table.Fit(side(t, cat, k.a), side(t, cat, k.b))
		name := k.a + " and " + k.b + ": " + k.source
		require.Equal(t, plumb.Yes, f.Verdict, name)
		assert.Equal(t, k.seal, f.Sealant, name)
		require.NotEmpty(t, f.Seals, name)
		assert.Equal(t, k.first, f.Seals[0], name)
		assert.Equal(t, k.undo, f.Undo, name)
		assert.Equal(t, k.embed, f.Embed, name)
	}
}

// A size or a material that is missing does not hide what kind of joint it is.
func TestUnknownStillNamesTheJoint(t *testing.T) {
	table, cat := tables(t)
	for _, pair := range [][2]string{{"? MIP", "3/4 FIP"}, {"1/2 SPG", "1/2 S"}, {"1/2 MIP: kind=pvc-pipe pvc", "1/2 FIP"}} {
		f := table.Fit(side(t, cat, pair[0]), side(t, cat, pair[1]))
		assert.Equal(t, plumb.Unknown, f.Verdict)
		assert.NotEmpty(t, f.Joint, pair)
		assert.NotEqual(t, plumb.SealantUnknown, f.Sealant, pair)
	}
}

func TestEveryEndTypeMates(t *testing.T) {
	table, cat := tables(t)
	for _, k := range cat.Ends {
		mates := table.Mates(k.ID)
		if k.ID == "OPEN" { // the one end nothing is put on
			assert.Empty(t, mates)
			continue
		}
		others := slices.DeleteFunc(slices.Clone(mates), func(id string) bool { return id == "ANY" })
		assert.NotEmpty(t, others, k.ID)
		for _, id := range mates {
			assert.Contains(t, table.Mates(id), k.ID, "%s mates with %s, so the other way round too", k.ID, id)
		}
	}
	assert.Equal(t, []string{"FIP", "FNPSM", "FNPSH", "ANY"}, table.Mates("MIP"))
	assert.Nil(t, table.Mates("no such end"))
}

var (
	sizes = []unit.Size{"", "3/8", "1/2", "5/8", "3/4", "1-1/2", "22 mm", "64th"}
	odd   = []string{"{", "}", "  ", "a  ", " ,", "%!", "(MISSING)", " x  ", "unknown"}
)

// judge holds one answer to what every answer must have.
func judge(t *testing.T, f plumb.Fit, open, unseen bool) (wrong string) {
	switch f.Verdict {
	case plumb.Yes:
		switch {
		case f.Joint == "" || f.Title == "" || f.TightBy == "":
			return "a yes wants joint, title and what makes it tight"
		case !unseen && (f.Undo == plumb.UndoUnknown || f.Sealant == plumb.SealantUnknown):
			return "a yes wants undo and sealant"
		case (f.Sealant == plumb.SealantNeeded || f.Sealant == plumb.SealantOwn) && len(f.Seals) == 0:
			return "needed or own wants seals"
		case f.Why != "" || f.Remedy != "" || f.Friend != "" || f.Ask != nil:
			return "a yes has nothing to explain"
		}
	case plumb.No:
		switch {
		case f.Why == "":
			return "a no wants a reason"
		case f.Remedy == "" && !open:
			return "a no wants a remedy"
		case f.Joint != "" || f.Ask != nil:
			return "a no has no joint and asks nothing"
		}
	default:
		if f.Why == "" || len(f.Ask) == 0 || f.Ask[0].What == "" || f.Ask[0].How == "" || len(f.Ask[0].Answers) < 2 {
			return "an unknown wants a reason and a question with answers"
		}
	}
	if len(f.Cites) == 0 && f.Verdict != plumb.Unknown {
		return "no source"
	}
	text := said(f)
	for _, o := range odd {
		if strings.Contains(text, o) {
			return "odd text: " + o
		}
	}
	return ""
}

// Every end type against every other in many sizes: an answer that is complete,
// and the same either way round.
func TestAllPairsAreAnsweredBothWays(t *testing.T) {
	table, cat := tables(t)
	part := &plumb.Part{}
	for i, a := range cat.Ends {
		for _, b := range cat.Ends[i:] {
			open, unseen := a.ID == "OPEN" || b.ID == "OPEN", a.ID == "ANY" || b.ID == "ANY"
			for _, sa := range sizes {
				for _, sb := range sizes {
					x := Side{&plumb.End{Kind: a, Size: sa}, part}
					y := Side{&plumb.End{Kind: b, Size: sb}, part}
					f, g := table.Fit(x, y), table.Fit(y, x)
					if wrong := judge(t, f, open, unseen); wrong != "" {
						t.Fatalf("%s %s and %s %s: %s\n%+v", sa, a.ID, sb, b.ID, wrong, f)
					}
					if v := table.Verdict(x, y); v != f.Verdict {
						t.Fatalf("%s %s and %s %s: verdict %s, fit %s", sa, a.ID, sb, b.ID, v, f.Verdict)
					}
					if f.Verdict != g.Verdict || f.Joint != g.Joint || f.Friend != g.Friend || said(f) != said(g) {
						t.Fatalf("%s %s and %s %s: not the same the other way round\n%+v\n%+v", sa, a.ID, sb, b.ID, f, g)
					}
				}
			}
		}
	}
}

// The same with everything the parts may be made of, and with nothing known.
func TestMaterialsAreAnsweredBothWays(t *testing.T) {
	table, cat := tables(t)
	parts := []*plumb.Part{nil, {}, {Series: "40", Kind: cat.Kind("pvc-pipe"), Material: cat.Material("pvc")}, {Series: "A", Material: cat.Material("pex")}}
	for _, m := range cat.Materials {
		parts = append(parts, &plumb.Part{Material: m})
	}
	for i, a := range cat.Ends {
		for _, b := range cat.Ends[i:] {
			if table.pairs[table.at(table.byID[a.ID], table.byID[b.ID])] == nil {
				continue
			}
			for _, pa := range parts {
				for _, pb := range parts {
					size := unit.Size("1/2")
					x, y := Side{&plumb.End{Kind: a, Size: size}, pa}, Side{&plumb.End{Kind: b, Size: size}, pb}
					f, g := table.Fit(x, y), table.Fit(y, x)
					require.Empty(t, judge(t, f, false, false), "%s and %s: %+v", a.ID, b.ID, f)
					require.Equal(t, f.Verdict, g.Verdict, "%s and %s", a.ID, b.ID)
					require.Equal(t, f.Verdict, table.Verdict(x, y), "%s and %s", a.ID, b.ID)
					require.Equal(t, said(f), said(g), "%s and %s", a.ID, b.ID)
				}
			}
		}
	}
	for _, k := range cat.Ends {
		for _, x := range []Side{{}, {End: &plumb.End{}}, {End: &plumb.End{Kind: &plumb.EndKind{ID: "made up"}}}} {
			y := Side{End: &plumb.End{Kind: k, Size: "1/2"}}
			f, g := table.Fit(x, y), table.Fit(y, x)
			require.Empty(t, judge(t, f, k.ID == "OPEN", k.ID == "ANY"), "%s: %+v", k.ID, f)
			require.Equal(t, said(f), said(g), k.ID)
		}
	}
}

// False friends are never let pass: whatever carries a friend is no joint.
func TestFriendsNeverFit(t *testing.T) {
	table, _ := tables(t)
	for i, p := range table.pairs {
		if p != nil && p.rel == anySize && p.maybe == "" {
			for _, f := range table.friends[i] {
				assert.NotEqual(t, "always", f.when, "%s and %s go together in any size and are called false friends",
					table.ends[p.a].kind.ID, table.ends[p.b].kind.ID)
			}
		}
	}
}

func TestFaultsInTheDataAreAllTold(t *testing.T) {
	_, cat := tables(t)
	short := slices.DeleteFunc(slices.Clone(cat.Ends), func(k *plumb.EndKind) bool { return k.ID == "FHT" || k.ID == "C" })
	_, err := load(short, func(id string) bool { return id != "hose-washer" })
	require.Error(t, err)
	for _, want := range []string{`there is no end type "FHT"`, `there is no end type "C"`, `there is no sealant "hose-washer"`, "pairs.yaml:"} {
		assert.ErrorContains(t, err, want)
	}
	assert.Empty(t, alienWords([]byte("{first} on {second} of {size}, {work: a map}")))
	assert.Equal(t, []string{"{frist}"}, alienWords([]byte("{frist} on {second}")))
	more := append(slices.Clone(cat.Ends), &plumb.EndKind{ID: "NEW"})
	_, err = load(more, func(string) bool { return true })
	assert.ErrorContains(t, err, `nothing is said about the end type "NEW"`)
}

func TestYesCostsNoMemory(t *testing.T) {
	table, cat := tables(t)
	for _, pair := range [][2]string{{"1/2 MIP", "1/2 FIP"}, {"MHT", "FHT"}, {"1/2 TUBE-CU", "5/8 COMP"}, {"1/2 SPG: pvc", "1/2 S: pvc"}, {"1/2 PEX-EXP", "1/2 TUBE-PEX: pex series=A"}} {
		x, y := side(t, cat, pair[0]), side(t, cat, pair[1])
		assert.Zero(t, testing.AllocsPerRun(100, func() { table.Fit(x, y) }), pair)
	}
}

func BenchmarkFit(b *testing.B) {
	table, cat := tables(b)
	for _, pair := range [][2]string{{"1/2 MIP", "1/2 FIP"}, {"1/2 TUBE-CU", "5/8 COMP"}, {"1/2 SPG: pvc", "1/2 S: pvc"}, {"MHT", "3/4 FIP"}, {"? MIP", "1/2 FIP"}} {
		x, y := side(b, cat, pair[0]), side(b, cat, pair[1])
		b.Run(pair[0]+" and "+pair[1], func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				table.Fit(x, y)
			}
		})
		b.Run("verdict on "+pair[0]+" and "+pair[1], func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				table.Verdict(x, y)
			}
		})
	}
}
