package report

import (
	"fmt"
	"io"
)

// The formats a document can be written in.
const (
	TextFormat = "text"
	JSONFormat = "json"
)

// Formats lists the formats, the usual one first.
var Formats = []string{TextFormat, JSONFormat}

// Document is something that can be written in every format.
type Document interface{ text(*page) }

// Style is how text looks; the zero Style is complete and without colour.
type Style struct {
	Colour bool
	Brief  bool // findings without remedy, reason and source
}

// Write writes a document in one of the Formats. Style is for text only.
func Write(w io.Writer, format string, doc Document, style Style) error {
	switch format {
	case TextFormat:
		p := &page{w: w, Style: style}
		doc.text(p)
		return p.err
	case JSONFormat:
		return JSON(w, doc)
	}
	return fmt.Errorf("there is no format %q", format)
}
