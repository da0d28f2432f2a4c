package phrase

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// endsOf are the end types of a reading, ? for one that is open.
func endsOf(x *Reading) string {
	var ends []string
	for _, e := range x.Part.Ends {
		id := "?"
		if e.Kind != nil {
			id = e.Kind.ID
		}
		ends = append(ends, id)
	}
	return strings.Join(ends, " ")
}

// A part filled in from a layout is said to be; ends that were named are not touched by
// words on how the part joins, and what those leave open stays open.
func TestJoins(t *testing.T) {
	r := reader(t)
	for _, c := range []struct{ text, ends string }{
		{"3/4 PVC ball valve", "S S"}, {"3/4 PVC ball valve threaded", "? ?"}, {"3/4 threaded PVC ball valve", "? ?"},
		{"3/4 PVC ball valve, screwed", "? ?"}, {"3/4 PVC ball valve, solvent weld", "S S"},
		{"3/4 FIP PVC ball valve, threaded", "FIP FIP"}, {"3/4 brass ball valve, threaded", "FIP FIP"},
		{"3/4 PVC pipe", "SPG SPG"}, {"3/4 PVC pipe, threaded", "MIP MIP"}, {"3/4 PVC pipe, plain ends", "SPG SPG"},
		{"1/2 brass pipe, unthreaded", "PLAIN PLAIN"}, {"1/2 brass hose bibb, threaded", "FIP MHT"},
		{"3/4 PVC tee, threaded outlet", "S S FIP"},
		{"3/4 PVC tee, threaded branch", "? ? ?"}, // the run may be threaded too
		{"1/2 BSP male taper x 15 mm COMP adapter", "R COMP"}, {"1/2 BSP male parallel x 15 mm COMP adapter", "MG COMP"},
		{"1/2 BSP male taper x 1/2 BSP female parallel adapter", "R ?"},
		{"15 mm brass tee, soldered", "C C C"}, {"double female hose coupling", "FHT FHT"}, {"double male hose adapter", "MHT MHT"},
		{"3/4 male garden hose thread x 1/2 female pipe thread adapter", "MHT FIP"},
		{"1/2 sweat x 1/2 mip hose bibb", "C MIP"}, // as written, though no tap is made so
	} {
		x := r.Read(c.text)
		assert.Equal(t, c.ends, endsOf(&x), "%q %v", c.text, x.Questions)
	}
}

// Words on how a part joins that do not go with its ends are asked about.
func TestJoinsThatDoNotFit(t *testing.T) {
	r := reader(t)
	for _, text := range []string{
		"1/2 C x 1/2 C coupling, threaded", "1/2 FIP x 1/2 FIP coupling, soldered", "1/2 FIP x 1/2 FIP coupling, unthreaded",
		"1/2 FIP parallel x 3/4 MHT adapter", "1/2 FIP x 3/4 MHT hose bibb, push on", "1/2 FIP ball valve, left hand thread",
		"1/2 FIP x 1/2 FIP elbow, double male", "3/4 FHT x 3/4 MHT hose, clip on", "1/2 MIP x 1/2 MIP nipple, gasketed",
	} {
		assert.NotEmpty(t, r.Read(text).Questions, "%q", text)
	}
}
