// Package rules is the rule book's binding: what a rule is, what it is given,
// what it says, and how a whole book of rules is applied to a run.
//
// A rule is a value. Its words (title, why, limits) stand beside its code; its
// level, its figures and the publications they rest on stand in a profile, a
// YAML file, so that another legal world is another file and not other code.
// The rules themselves live in the family packages below this one, one file a
// rule with its bad and its good example beside it; package book lists them.
//
// Not in here: printing, files, colours, exit codes.
package rules
