package report

import (
	"encoding/json"
	"io"
)

// JSON writes a document as JSON: two spaces deep, fields in the order of the
// document, <, > and & as they are, one newline at the end.
func JSON(w io.Writer, doc any) error {
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	return enc.Encode(doc)
}
