// Package mate says which ends go together, what makes the joint tight, and
// what two ends are mistaken for.
//
// Everything it knows stands in the YAML files of the data folder, with
// sources: the threads, the joint types, and the pairs of end types. Code only
// compares sizes and materials and puts the sentences together.
//
// What the size of an end means depends on its type (plumb.EndKind.Sizing). A
// compression end is named by the outside diameter of its tube, so that 5/8
// COMP takes 1/2 nominal copper; a hose thread is 3/4 whatever the bore of the
// hose. A size in millimetres on an end for tube is the tube's outside.
//
// Not in here: whether a joint is sealed or lies where it may (rules), chains
// of adapters.
package mate
