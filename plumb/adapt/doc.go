// Package adapt finds the pieces between two ends, and tells what thread an
// unknown end may have.
//
// Finder.Find goes from "I have this end" to "I want that end" by the shortest
// chain of pieces that are really sold (data/sold.yaml). Identify takes what a
// caliper and a ruler say and lists the threads it may be.
//
// Ends that only look alike are never put together: every joint of a chain is
// one that package mate calls good.
//
// Not in here: which ends go together and the tables of threads (mate), what
// the kinds of part are (catalogue), whether the finished run is any good
// (rules).
package adapt
