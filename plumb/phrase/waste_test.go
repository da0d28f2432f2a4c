package phrase

import "testing"

// Waste fittings of Europe in the words of its shops. The thread of a trap's nut
// is that of the same DN: 32 mm G 1-1/4, 40 mm G 1-1/2 (EN 274-1, from memory);
// pipe goes by its outside (EN 1451-1, from memory).
func TestMetricWaste(t *testing.T) {
	known{}.hold(t, reader(t), []sample{
		{`32 mm compression waste pipe`, `dwv-pipe; in 32 mm WPIPE, out 32 mm WPIPE; -; listed no`},
		{`40 mm push-fit waste pipe`, `dwv-pipe; in 40 mm WPIPE, out 40 mm WPIPE; -; listed no`},
		{`3 m 40 mm solvent weld waste pipe, ABS`, `dwv-pipe; in 40 mm WPIPE, out 40 mm WPIPE; abs; lead-free yes; listed no; 3000 mm`},
		{`1-1/2 PVC DWV pipe`, `dwv-pipe; in 1-1/2 SPG-DWV, out 1-1/2 SPG-DWV; pvc; lead-free yes; listed no`},
		{`32 mm bottle trap`, `bottle-trap; in 1-1/4 FG, out 32 mm WCOMP; -`},
		{`40 mm P-trap, PP`, `p-trap; in 1-1/2 FG, out 40 mm WCOMP; pp; lead-free yes`},
		{`1-1/2 SJ x 1-1/2 TUB P-trap`, `p-trap; in 1-1/2 SJ, out 1-1/2 TUB; -`},
		{`1-1/4 MG basin waste`, `basin-drain; in - ANY, out 1-1/4 MG; -`},
		{`22 mm tundish`, `tundish; out 22 mm COMP; -; listed no`},
		{`110 mm trapped gulley`, `gully; out 110 mm WPUSH; -; listed no`},
		{`standpipe gulley 110 mm`, `gully; out 110 mm WPUSH; -; listed no`},
		{`40 mm push-fit swept tee`, `swept-tee; in 40 mm WPUSH, out 40 mm WPUSH, branch 40 mm WPUSH; -; listed no`},
		{`40 mm swept tee`, `swept-tee; in 40 mm ?, out 40 mm ?, branch 40 mm ?; -; listed no`},
		{`40 mm compression waste elbow`, `dwv-quarter-bend; in 40 mm WCOMP, out 40 mm WCOMP; -; listed no`},
		{`40 mm solvent weld waste elbow, ABS`, `dwv-quarter-bend; in 40 mm WSOL, out 40 mm WSOL; abs; lead-free yes; listed no; "solvent weld"`},
		{`50 mm push-fit swept bend`, `dwv-long-sweep; in 50 mm WPUSH, out 50 mm WPUSH; -; listed no`},
		{`110 mm rodding eye`, `cleanout; in 110 mm WPIPE; -; listed no`},
		{`40 mm waste trap`, `p-trap; in 1-1/2 FG, out 40 mm WCOMP; -`},
		{`telescopic bottle trap 40mm`, `bottle-trap; in 1-1/2 FG, out 40 mm WCOMP; -; "telescopic"`},
		{`HT pipe DN 50`, `dwv-pipe; in 50 mm WPIPE, out 50 mm WPIPE; -; listed no`},
		{`KG pipe DN 100, PVC`, `dwv-pipe; in 110 mm WPIPE, out 110 mm WPIPE; pvc; lead-free yes; listed no`},
		{`DN 40 P-trap`, `p-trap; in 1-1/2 FG, out 40 mm WCOMP; -`},
		{`110 mm push-fit rest bend`, `dwv-long-sweep; in 110 mm WPUSH, out 110 mm WPUSH; -; listed no`},
	})
}
