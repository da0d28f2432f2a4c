// Package flow says what comes out of each outlet of a run, alone and together,
// what eats the pressure on the way, and how sure that is.
//
// It turns a plumb.Run into a hydro.Network, calibrates what lies unseen before
// the first part from the readings in the file, and solves it again and again:
// for each scenario of open outlets, for the next size up, for what a missing
// fact might be, for samples of what is known only roughly. The answer is a
// typed value in the user's words; every figure that was not given is named in
// it, with the question and with what it would change.
//
// All figures about parts come from data/*.yaml, each with its publication or
// marked typical: then no publication was found and the figure is assumed.
//
// Not in here: the equations (hydro), verdicts about what is allowed (rules),
// drains, heat, change in time, pumps whose curve nobody knows.
package flow
