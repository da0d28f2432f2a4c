// Package cli is the command line: one file for each command, which reads its
// arguments, asks the engine and hands the answer to package report.
//
// A command gets its streams, its environment and its build from System, writes
// to nothing else, and says how it went by its error; exit.go turns that into
// the exit code, in one place.
//
// Not in here: what is right or wrong about a run (rules), what a report looks
// like (report).
package cli
