// Package site reads a site file: what one place (an allotment society, a
// water company's area, a school) asks for beyond a profile. It turns a profile
// into that of the site, and local requirements into rules like any others.
//
//	site: Riverside allotments
//	profile: us-model
//	set:
//	  - {rule: air-gap-missing, figure: gap-to-1/2, value: 2 in, reason: letter of May}
//	  - {rule: breakers-in-series, level: warning, reason: seen too often}
//	  - {rule: metal-male-in-plastic-female, off: yes, reason: the society's plumber allows it}
//	require:
//	  - id: brass-only-taps
//	    of: part                            # part, joint or outlet
//	    when: part.kind == "hose-bibb"      # all of them, if left out
//	    expect: part.material in ["brass", "dzr-brass"]
//	    level: warning
//	    message: the site wants brass taps
//	    remedy: Take a brass tap.
//	    source: site rules of 2026, section 4
//
// Expressions are written in the Common Expression Language and are checked
// when the file is read: names, types, and words that are compared with a fact
// of few words (a kind of part, a material, a medium). Quantities are in SI
// units; length("24 in"), pressure("80 psi") and temperature("49 C") give them.
//
// A fact that the run file does not say is unknown, and whatever hangs on it is
// unknown too: neither equal nor unequal, neither true nor false. Only what is
// settled without it is settled (false && unknown is false, true || unknown is
// true). A requirement that is not settled gives a finding that waits for the
// facts, never a pass. has(part.height) tells whether a fact is known.
//
// The facts are listed by Facts. Not in here: reading files, printing.
package site
