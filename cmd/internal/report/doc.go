// Package report shows what the engine found: it turns results into documents
// of plain words and figures, and writes a document as text for people or as
// JSON for programs.
//
// A document is a value with JSON tags; its fields are the machine format, so
// they are only ever added to. What it looks like as text stands beside it.
// Nothing here judges, and nothing here opens a file.
//
// Not in here: commands, flags, exit codes.
package report
