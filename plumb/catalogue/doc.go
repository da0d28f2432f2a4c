// Package catalogue holds what the trade sells: generic kinds of part, types of
// end, materials, sealants, backflow devices, and pipe by series.
//
// All of it is data: commented YAML files under data/, embedded in the program,
// each record with the publication it rests on or the word typical. To add a
// part, write a record; the loader refuses what it cannot read and Lint
// complains about what does not hold together.
//
// A kind of part is written so; what is left out takes the value in brackets:
//
//   - id: hose-bibb              kebab-case
//     title: hose bibb
//     names: [hose bibb, HB]     every name a phrase may use
//     about: One sentence.
//     service: [water]           water, waste, gas (the chapter's, else water)
//     traits: [shuts]            see plumb.Trait (none)
//     turnable: yes              may be entered by either end (no)
//     ends:                      a name, or what is special about the end
//   - in
//   - {name: out, types: [MHT], outlet: yes, swivel: yes}
//     layouts:                   ends as sold, with the materials where it is usual
//   - {ends: FIP x MHT, in: ["@brass"]}
//     repeat: yes                the last end occurs more than once (no)
//     sizes: [1/2, 3/4]
//     materials: ["@brass"]      usual one first; @ names a list in sets.yaml
//     listed: no                 made for drinking water (depends on the make)
//     device: avb                the backflow device it is (none)
//     builtin: hcvb              the one some makes have inside (none)
//     builtin g: hd              the one that makes with a G thread have (the same)
//     cites: [{work: ASSE 1001, where: scope, memory: yes}]
//     typical: yes               instead of cites: generic, no publication
//
// An end without types has those of the layouts; a kind without layouts has one
// of the usual types. One type alone in a layout is that of every end.
//
// No record names a maker. A figure that was not seen in print says so.
//
// Not in here: which ends go together (mate), how a phrase is read (phrase),
// what is good or bad about a part (rules).
package catalogue
