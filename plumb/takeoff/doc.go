// Package takeoff makes the list for one trip to the shop out of a run: like
// parts counted, pipe and tube by length, what the joints use up, the tools,
// and what to look for on the labels.
//
// A list conserves the run: every part stands on exactly one line, and nothing
// is added to it but what joints use up, caps for ends left open, and tools. A
// length that was not stated is asked for and never counted as nothing. Nothing
// that protects the supply is ever added in silence: what is missing there is
// said by findings, which the caller hands in and which stand on the lines they
// touch.
//
// Quantities of what is used up are estimates. The figures behind them stand in
// data/habits.yaml, each with where it comes from.
//
// Not in here: what is right or wrong about a run (rules), what the list looks
// like (the faces).
package takeoff
