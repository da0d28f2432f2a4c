// Package catalogue holds what the trade sells: generic kinds of part, types of
// end, materials, sealants, backflow devices, and pipe by series.
//
// All of it is data: commented YAML files under data/, embedded in the program,
// each record with the publication it rests on or the word typical. To add a
// part, write a record; the loader refuses what it cannot read and Lint
// complains about what does not hold together.
//
// No record names a maker. A figure that was not seen in print says so.
//
// Not in here: which ends go together (mate), how a phrase is read (phrase),
// what is good or bad about a part (rules).
package catalogue
