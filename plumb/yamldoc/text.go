package yamldoc

import (
	"bytes"
	"fmt"
	"unicode/utf8"
)

const bom = "\ufeff"

// checkText looks at the bytes alone: what is not plain UTF-8 text with
// ordinary line ends is refused here, since the YAML library would see other
// lines than an editor shows. It gives the place where the text begins, after
// a byte order mark.
func checkText(c *complaints) (start int, ok bool) {
	text := c.file.Text
	for _, mark := range []string{"\x00\x00\xfe\xff", "\xff\xfe", "\xfe\xff"} {
		if bytes.HasPrefix(text, []byte(mark)) {
			c.at(0, len(mark), "the file is not saved as UTF-8 but as UTF-16 or UTF-32", "the file saved as UTF-8")
			return 0, false
		}
	}
	if bytes.HasPrefix(text, []byte(bom)) {
		start = len(bom)
	}
	margin := true // only spaces so far on this line
	for i := start; i < len(text) && !c.full(); {
		b := text[i]
		if b >= ' ' && b < 0x7f {
			margin = margin && b == ' '
			i++
			continue
		}
		r, n := utf8.DecodeRune(text[i:])
		switch {
		case r == utf8.RuneError && n == 1:
			c.at(i, i+1, fmt.Sprintf("the byte %#02x is not UTF-8 text", b), "the file saved as UTF-8")
			return 0, false // what follows is not worth reading
		case r == '\n':
			margin = true
			i++
			continue
		case r == '\t':
		case r == '\r':
			if i+1 == len(text) || text[i+1] != '\n' {
				c.at(i, i+1, "a carriage return alone is not a line end here", "lines that end in a line feed")
			}
		case r == 0:
			c.at(i, i+1, "a NUL byte: this is not plain text", "the file saved as UTF-8")
			return 0, false
		case r == 0x85 || r == 0x2028 || r == 0x2029:
			c.at(i, i+n, fmt.Sprintf("the invisible line separator U+%04X", r), "an ordinary line end, or a space")
		case r < ' ' || r >= 0x7f && r <= 0x9f || r == 0xfffe || r == 0xffff:
			c.at(i, i+n, fmt.Sprintf("the control character U+%04X", r), "plain text")
		case r == 0xfeff:
			c.at(i, i+n, "an invisible byte order mark in the middle of the text", "plain text")
		case r == 0xa0 && margin:
			c.at(i, i+n, "a no-break space used for indentation", "ordinary spaces")
		}
		margin = margin && (r == '\t' || r == 0xa0)
		i += n
	}
	return start, len(c.list) == 0
}

// checkDocuments sees to it that there is one document and something in it. It
// gives the place where that document ends. The marks that part documents are
// such wherever they begin a line, even inside quotes.
func checkDocuments(c *complaints, start int) (end int, ok bool) {
	text := c.file.Text
	content, opened, closed := false, false, false
	for ls := start; ls < len(text); {
		le, next := lineAt(text, ls)
		line := text[ls:le]
		at := ls
		ls = next
		trimmed := bytes.TrimLeft(line, " \t")
		switch {
		case isMarker(line, "---"):
			if content || opened || closed {
				c.at(at, at+3, "a second document begins here", "one document in a file")
				return at, content
			}
			opened = true
			rest := bytes.TrimLeft(line[3:], " \t")
			content = content || len(rest) > 0 && rest[0] != '#'
		case isMarker(line, "..."):
			closed = true
		case len(trimmed) == 0 || trimmed[0] == '#':
		case closed:
			c.at(at+len(line)-len(trimmed), le, "text after the end mark '...'", "one document in a file")
			return at, content
		case line[0] == '%' && !content && !opened:
			c.at(at, le, "a line that begins with %", "no YAML directives; a phrase that begins with % in quotes")
			return at, false
		default:
			content = true
		}
	}
	if !content {
		c.at(len(text), len(text), "there is nothing in the file", "at least one key with its value")
	}
	return len(text), content
}

func isMarker(line []byte, mark string) bool {
	return len(line) >= 3 && string(line[:3]) == mark && (len(line) == 3 || isBlank(line[3]))
}

func isBlank(b byte) bool { return b == ' ' || b == '\t' }

// lineAt gives the end of the line that begins at ls, without its line ending,
// and the beginning of the next.
func lineAt(text []byte, ls int) (end, next int) {
	i := bytes.IndexByte(text[ls:], '\n')
	if i < 0 {
		return len(text), len(text)
	}
	end = ls + i
	if end > ls && text[end-1] == '\r' {
		return end - 1, end + 1
	}
	return end, end + 1
}
