// Package drain works out the way out: how fast a basin empties, whether it
// holds its own against its tap, when it would run over, and when the can under
// it is full.
//
// From the basin to where the water goes, the way is a chain of Reaches. At the
// end of each one that air can get to, the water is free to fall away, so the
// way can be cut there: everything above it runs full and drives itself by the
// height between the water in the basin and the cut. Each cut gives a flow; so
// do the edge of the outlet, over which shallow water runs in, and the openings
// of the strainer. The least of them is the flow, and its reach is the one that
// controls. None is assumed: a sloped pipe that has room runs part full and its
// cut is not the least; one that has not runs full, and then it is.
//
// A sloped pipe is taken to run at its normal depth, as a long one does; a short
// one runs somewhat less deep where it ends in the open.
//
// What is left out on the careful side: suction below the strainer (water draws
// air in with it), the few per cent that a pipe could carry between 82 % and
// 100 % of its depth, and recovery of velocity.
//
// Time runs through an adaptive Runge-Kutta pair with event finding. The state
// is volumes, so what comes in, stands, leaves, runs over, soaks away and is
// spilled adds up to rounding.
//
// The pieces: Shape, Channel, Way, Receptor and Course are hydraulics on plain
// float64 in SI units (metre, square metre, cubic metre, second), named in their
// comments; Tables holds what codes publish; Engine reads a plumb.Run and puts
// the pieces together.
//
// Not in here: whether a drain meets a code (rules), the supply's flow (flow),
// solids, vents and air pressure, siphonage of trap seals.
package drain
