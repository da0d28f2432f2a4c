// Package mend proposes corrections of a run file: the smallest edits to its
// text that make findings go away.
//
// Text in, edits out. A correction is offered only when the corrected text, read
// and checked again with the same book and profile, has no complaint of the
// reader, has lost the finding, and has gained none at any level. Whatever the
// remedies in here think of is no more than a guess until that has been tried,
// so a remedy that is wrong costs time and never a wrong correction.
//
// What only the user knows is never filled in: what is true of a part or joint
// that is named in the file (is it lead-free, has it been tested, is there a
// breaker inside), and what is true of the place (heights, gaps, sleeves, what
// the water is for). Nor is it guessed what a word or a part means: words of which
// something must be asked stay, and what hangs on what a part is waits for the
// answer. Another thing may be bought in the place of one that is still to be
// bought, and something may be bought where nothing was named; the title of a
// correction then says so.
//
// Not in here: what is wrong (the families of rules), which pieces join two
// ends (plumb/adapt), writing files and showing differences (cmd).
package mend
