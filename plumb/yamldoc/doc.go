// Package yamldoc reads a YAML text strictly into a small tree that knows the
// place of every word.
//
// It is the only importer of the YAML library. Text stays text: 1/2, 010 and
// yes are never turned into numbers or truth values, because in a parts list
// they are sizes and words. Whatever would surprise somebody who does not know
// YAML (anchors, merge keys, tags, several documents, a key given twice, a
// comment that swallowed half a phrase) is refused in plain words, as many
// complaints at once as can be found.
//
// Not in here: reading files, writing YAML, the meaning of any key.
package yamldoc
