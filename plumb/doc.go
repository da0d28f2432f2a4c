// Package plumb holds the words of the domain: a Run is a graph of Parts whose
// Ends are put together by Joints, fed by Sources and led along Lines to where
// the water leaves.
//
// A Run says what the user wrote and what the catalogue knows of it, never
// whether it is good: that is the business of package rules. Whatever was not
// said stays Unknown here; nothing is filled in that could hide a fault.
//
// Everything is in SI units. Values are read-only once a Run is built, so a
// Run may be shared between goroutines.
//
// Not in here: reading files (runfile), trade phrases (phrase), the catalogue's
// data (catalogue), which ends go together (mate), graph questions (topo).
package plumb
