// Package hydro solves steady flow of a liquid in a network of loss elements:
// heads at the nodes, flows in the links. It knows hydraulics only.
//
// Everything is a plain float64 in SI units, named in the comment of each
// field: metre, cubic metre per second, pascal (gauge), square metre. Head
// means total head, z + p/(ρg) + v²/2g, so losses add up along a path through
// changing bores; the pressures in a Result are ρg(H − z), what a gauge reads
// where the water stands still. Where it moves, subtract ρv²/2.
//
// The pieces: Water gives density and viscosity by temperature; an Element
// gives the head lost at a flow, with its exact derivative; a Network joins
// elements at nodes; a Solver finds the one set of flows that balances at
// every node and agrees with every element.
//
// Why there is one answer, and why the properties hold that the tests state:
// every element loses more head at more flow, so the flow out of a node rises
// with its own head and falls with its neighbours'. Such a system has at most
// one solution, and that solution rises everywhere when a source rises and
// falls everywhere when an outlet opens (W. C. Rheinboldt, On M-functions and
// their application to nonlinear Gauss-Seidel iterations and to network flows,
// J. Math. Anal. Appl. 32, 1970).
//
// Not in this package: trade words, catalogues, unit conversion, runs and
// their files, findings, uncertainty bands, calibration, surge, drainage,
// heat, gas, water quality, change in time, and pipes that are not full.
package hydro
