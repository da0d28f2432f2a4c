// Package src holds source text and places in it.
//
// A place is kept three ways at once: line and column for people, byte for
// slicing the text. Lines and columns count from 1, columns count characters
// (not bytes), bytes count from 0. Where the three disagree the byte wins.
//
// Not in here: reading files, parsing, printing.
package src

import (
	"sort"
	"unicode/utf8"
)

// Pos is a place between two bytes of a text. The zero Pos means "nowhere".
type Pos struct {
	Line int // from 1
	Col  int // from 1, in characters
	Byte int // from 0
}

// Known reports whether the place is a real one.
func (p Pos) Known() bool { return p.Line > 0 }

// Span is a stretch of text, Start included, End not.
type Span struct{ Start, End Pos }

// Known reports whether the stretch is a real one.
func (s Span) Known() bool { return s.Start.Known() }

// File is a named text with an index of its lines. It is immutable.
type File struct {
	Name  string
	Text  []byte
	lines []int // byte offset of the first byte of each line
	ascii bool  // every byte is a character
}

// NewFile indexes a text. The text must not be changed afterwards.
func NewFile(name string, text []byte) *File {
	f := &File{Name: name, Text: text, lines: []int{0}, ascii: true}
	for i, b := range text {
		if b == '\n' {
			f.lines = append(f.lines, i+1)
		}
		if b >= utf8.RuneSelf {
			f.ascii = false
		}
	}
	return f
}

// Pos gives the place of a byte offset; offsets outside the text are clamped.
func (f *File) Pos(byteOffset int) Pos {
	byteOffset = min(max(byteOffset, 0), len(f.Text))
	line := sort.SearchInts(f.lines, byteOffset+1) // lines[line-1] <= offset
	start := f.lines[line-1]
	col := byteOffset - start
	if !f.ascii {
		col = utf8.RuneCount(f.Text[start:byteOffset])
	}
	return Pos{Line: line, Col: col + 1, Byte: byteOffset}
}

// At gives the place of a line and column; both are clamped to the text.
func (f *File) At(line, col int) Pos {
	line = min(max(line, 1), len(f.lines))
	start, end := f.lines[line-1], f.lineEnd(line)
	off := start
	if f.ascii {
		off = min(start+max(col, 1)-1, end)
	} else {
		for c := 1; c < col && off < end; c++ {
			_, n := utf8.DecodeRune(f.Text[off:end])
			off += n
		}
	}
	return f.Pos(off)
}

// Span gives the stretch between two byte offsets.
func (f *File) Span(start, end int) Span { return Span{f.Pos(start), f.Pos(end)} }

// Line gives the text of a line without its line ending, "" outside the text.
func (f *File) Line(n int) string {
	if n < 1 || n > len(f.lines) {
		return ""
	}
	return string(f.Text[f.lines[n-1]:f.lineEnd(n)])
}

// Lines is how many lines the text has; a text that ends in a line ending has
// an empty last line.
func (f *File) Lines() int { return len(f.lines) }

func (f *File) lineEnd(n int) int {
	if n == len(f.lines) {
		return len(f.Text)
	}
	end := f.lines[n] - 1
	if end > f.lines[n-1] && f.Text[end-1] == '\r' {
		end--
	}
	return end
}

// Problem is a complaint about a text that could not be read as it stands:
// what is wrong, what was expected instead, and the nearest valid spelling.
type Problem struct {
	Span    Span
	Msg     string   // what is wrong, no capital, no full stop
	Want    string   // what was expected; may be empty
	Nearest string   // nearest valid spelling; may be empty
	Choices []string // readings to choose from where the text is ambiguous
}
