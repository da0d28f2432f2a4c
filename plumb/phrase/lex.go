package phrase

import (
	"unicode"
	"unicode/utf8"
)

// tokKind tells the smallest pieces of a phrase apart.
type tokKind uint8

const (
	tWord   tokKind = iota
	tNum            // 3, 1/2, 1-1/2, 0.5, ½
	tX              // x, ×, * between figures or ends
	tComma          // , ; : ( ) and a dash with space around it between words
	tOpen           // (
	tClose          // )
	tSlash          // /
	tDash           // - between figures
	tHash           // #
	tInch           // "
	tFoot           // '
	tAt             // @
	tDegree         // °
	tEqual          // =
	tAsk            // ?
	tAnd            // & + between words
	tOther          // nothing a phrase may hold
)

// tok is a piece of the text. word is its number in the vocabulary, 0 if the
// vocabulary has no such word.
type tok struct {
	kind     tokKind
	glued    bool // no space before it
	improper bool // a fraction of one or more: 11/2
	dash     bool // a mixed number joined by a hyphen: 2-1/2
	decimal  bool
	upper    bool // a word that begins with a capital
	from, to int32
	word     int32
	n, d     int32
}

// maxMixed is the largest whole number that a fraction goes with: no size is larger.
const maxMixed = 6

// decimalComma says whether the comma at hand is a decimal one: 1,5 m.
func (l *lexer) decimalComma() bool {
	n := 0
	for isDigit(l.at(l.i + 1 + n)) {
		n++
	}
	next := l.at(l.i + 1 + n)
	return (n == 1 || n == 2) && next != '/' && next != ',' && (next == ' ' || isLetter(next) || next == 0 || next >= utf8.RuneSelf)
}

// maxDigits keeps figures far from overflow: no size or length here is longer.
const maxDigits = 6

// glyphs are the one-character fractions people paste.
var glyphs = map[rune][2]int32{
	'½': {1, 2}, '¼': {1, 4}, '¾': {3, 4}, '⅛': {1, 8}, '⅜': {3, 8}, '⅝': {5, 8}, '⅞': {7, 8},
	'⅓': {1, 3}, '⅔': {2, 3},
}

// lexer cuts a text into tokens, in one pass and with one look ahead.
type lexer struct {
	r   *Reader
	s   string
	i   int
	buf []byte // the word in small letters
}

func isDigit(b byte) bool  { return b >= '0' && b <= '9' }
func isLetter(b byte) bool { return b|0x20 >= 'a' && b|0x20 <= 'z' }

// lex appends the tokens of s to toks.
func (r *Reader) lex(s string, toks []tok) []tok {
	var buf [48]byte
	l := lexer{r: r, s: s, buf: buf[:]}
	for {
		start := l.i
		for l.i < len(s) && (s[l.i] == ' ' || s[l.i] == '\t' || s[l.i] == '\n' || s[l.i] == '\r') {
			l.i++
		}
		if l.i >= len(s) {
			return toks
		}
		glued := l.i == start && l.i > 0
		t := l.next(toks, glued)
		if t.to > t.from {
			t.glued = glued
			toks = append(toks, t)
		}
	}
}

// at gives the byte at a place, 0 past the end.
func (l *lexer) at(i int) byte {
	if i < len(l.s) {
		return l.s[i]
	}
	return 0
}

// signs are the signs that are a token by themselves.
var signs = map[byte]tokKind{
	',': tComma, ';': tComma, ':': tComma, '|': tComma, '(': tOpen, ')': tClose, '*': tX, '/': tSlash, '#': tHash,
	'"': tInch, '@': tAt, '=': tEqual, '?': tAsk, '&': tAnd, '+': tAnd,
}

// next reads one token; a token of no width is one that says nothing.
func (l *lexer) next(before []tok, glued bool) tok {
	i := l.i
	c := l.s[i]
	switch {
	case isDigit(c), c == '.' && isDigit(l.at(i+1)):
		return l.number()
	case isLetter(c):
		if c|0x20 == 'x' && l.crossHere(before, glued) {
			return l.one(tX, 1)
		}
		return l.wordToken()
	case c >= utf8.RuneSelf:
		return l.rune()
	}
	if k, ok := signs[c]; ok {
		return l.one(k, 1)
	}
	switch c {
	case '\'':
		if l.at(i+1) == '\'' {
			return l.one(tInch, 2)
		}
		return l.one(tFoot, 1)
	case '-':
		return l.dash(before, glued, 1)
	case '.':
		l.i++ // the end of an abbreviation
		return tok{}
	}
	return l.one(tOther, 1)
}

func (l *lexer) one(k tokKind, width int) tok {
	t := tok{kind: k, from: int32(l.i), to: int32(l.i + width)}
	l.i += width
	switch k {
	case tSlash:
		t.word = l.r.slash
	case tOpen:
		t.word = l.r.open
	case tClose:
		t.word = l.r.close
	case tX:
		t.word = l.r.cross
	case tAnd:
		t.word = l.r.and
	}
	return t
}

// crossHere says whether the x at hand stands for "by": between figures
// (3/4x1/2), alone (3/4 x 1/2), or before a figure (x1/2).
func (l *lexer) crossHere(before []tok, glued bool) bool {
	n := l.at(l.i + 1)
	if isDigit(n) || n == '.' || n >= utf8.RuneSelf {
		return true
	}
	return !isLetter(n)
}

// dash is soft inside a word (shut-off), hard between figures, a comma between
// words with spaces around.
func (l *lexer) dash(before []tok, glued bool, width int) tok {
	next := l.at(l.i + width)
	if len(before) > 0 {
		p := &before[len(before)-1]
		figures := (isDigit(next) || next == '.' || next >= utf8.RuneSelf) || next == ' ' && l.figureAfter(l.i+width)
		if (p.kind == tNum || p.kind == tInch || p.kind == tFoot) && figures {
			t := l.one(tDash, width)
			t.word = l.r.hyphen
			return t
		}
	}
	if glued && (isLetter(next) || isDigit(next)) {
		l.i += width
		return tok{}
	}
	return l.one(tComma, width)
}

func (l *lexer) figureAfter(i int) bool {
	for i < len(l.s) && l.s[i] == ' ' {
		i++
	}
	if i >= len(l.s) {
		return false
	}
	if isDigit(l.s[i]) {
		return true
	}
	r, _ := utf8.DecodeRuneInString(l.s[i:])
	_, ok := glyphs[r]
	return ok
}

func (l *lexer) digits() (v int32, n int) {
	for isDigit(l.at(l.i)) {
		if n++; n <= maxDigits {
			v = v*10 + int32(l.s[l.i]-'0')
		}
		l.i++
	}
	if n > maxDigits {
		v = -1
	}
	return v, n
}

// number reads 3, 0.5, .5, 1/2, 1-1/2, 1½ and remembers how it was written.
func (l *lexer) number() tok {
	t := tok{kind: tNum, from: int32(l.i), d: 1}
	t.n, _ = l.digits()
	switch c := l.at(l.i); {
	case (c == '.' || c == ',' && l.decimalComma()) && isDigit(l.at(l.i+1)):
		l.i++
		f, n := l.digits()
		if c == '.' && l.at(l.i) == '/' && isDigit(l.at(l.i+1)) && t.n >= 0 && t.n <= maxMixed { // 1.1/4
			p := tok{d: 1}
			l.denominator(&p, f)
			t.n, t.d, t.dash = t.n*p.d+p.n, p.d, true
			break
		}
		t.decimal = true
		if n > 3 || t.n < 0 || t.n > 99999 {
			t.n = -1
			break
		}
		for range n {
			t.d *= 10
			t.n *= 10
		}
		t.n += f
	case (c == '/' || l.fractionSlash(l.i) > 0) && l.digitAfterSlash(l.i):
		l.denominator(&t, t.n)
	case c == '-' && isDigit(l.at(l.i+1)):
		save := l.i
		l.i++
		m, _ := l.digits()
		if (l.at(l.i) == '/' || l.fractionSlash(l.i) > 0) && l.digitAfterSlash(l.i) {
			f := tok{d: 1}
			l.denominator(&f, m)
			if f.n > 0 && f.n < f.d && t.n >= 0 && t.n <= maxMixed {
				t.n, t.d, t.dash = t.n*f.d+f.n, f.d, true
				break
			}
		}
		l.i = save
	case c == '-' || c >= utf8.RuneSelf:
		at := l.i
		if c == '-' {
			at++
		}
		r, w := utf8.DecodeRuneInString(l.s[at:])
		if g, ok := glyphs[r]; ok && t.n >= 0 && t.n < 1000 {
			t.n, t.d, t.dash = t.n*g[1]+g[0], g[1], c == '-'
			l.i = at + w
		}
	}
	t.to = int32(l.i)
	if t.n >= 0 && t.to-t.from <= 8 {
		t.word = l.r.words[l.s[t.from:t.to]]
	}
	return t
}

func (l *lexer) fractionSlash(i int) int {
	if i < len(l.s) && l.s[i] >= utf8.RuneSelf {
		if r, w := utf8.DecodeRuneInString(l.s[i:]); r == '⁄' || r == '∕' {
			return w
		}
	}
	return 0
}

func (l *lexer) digitAfterSlash(i int) bool {
	return isDigit(l.at(i + max(1, l.fractionSlash(i))))
}

func (l *lexer) denominator(t *tok, n int32) {
	l.i += max(1, l.fractionSlash(l.i))
	d, _ := l.digits()
	if d <= 0 || d > 128 || n < 0 || n > 9999 {
		t.n = -1
		return
	}
	t.n, t.d = n, d
	t.improper = n >= d
}

// wordToken reads letters and figures; an x before a figure ends the word
// (FIPx3/4).
func (l *lexer) wordToken() tok {
	t := tok{kind: tWord, from: int32(l.i)}
	t.upper = l.s[l.i] < 'a'
	n := 0
	for l.i < len(l.s) {
		c := l.s[l.i]
		if c >= utf8.RuneSelf {
			r, w := utf8.DecodeRuneInString(l.s[l.i:])
			if !unicode.IsLetter(r) {
				break
			}
			if n+utf8.UTFMax <= len(l.buf) {
				n += utf8.EncodeRune(l.buf[n:], unicode.ToLower(r))
			} else {
				n = len(l.buf) + 1
			}
			l.i += w
			continue
		}
		if c == '\'' && l.at(l.i+1)|0x20 == 's' && !isLetter(l.at(l.i+2)) {
			l.i += 2 // faucet's
			break
		}
		if c == '\'' && l.i > int(t.from) && isLetter(l.at(l.i+1)) {
			l.i++ // won't
			continue
		}
		if !isLetter(c) && !isDigit(c) {
			break
		}
		if c|0x20 == 'x' && l.i > int(t.from) && isDigit(l.at(l.i+1)) && n < len(l.buf) {
			if l.buf[n] = 'x'; l.r.word(l.buf[:n+1]) == 0 {
				break
			}
		}
		if isDigit(c) && l.prefix(n) {
			break
		}
		if n < len(l.buf) {
			if c >= 'A' && c <= 'Z' {
				c |= 0x20
			}
			l.buf[n] = c
		}
		n++
		l.i++
	}
	t.to = int32(l.i)
	if n <= len(l.buf) {
		t.word = l.r.word(l.buf[:n])
	}
	return t
}

// prefix says whether the letters so far are a designation that is written on
// the figure: G1/2, R3/4, DN20.
func (l *lexer) prefix(n int) bool {
	switch n {
	case 1:
		return l.buf[0] == 'g' || l.buf[0] == 'r'
	case 2:
		return l.buf[0] == 'r' && (l.buf[1] == 'c' || l.buf[1] == 'p') || (l.buf[0] == 'd' || l.buf[0] == 'p' || l.buf[0] == 's') && l.buf[1] == 'n'
	}
	return false
}

// rune reads a character outside ASCII.
func (l *lexer) rune() tok {
	r, w := utf8.DecodeRuneInString(l.s[l.i:])
	if g, ok := glyphs[r]; ok {
		t := l.one(tNum, w)
		t.n, t.d = g[0], g[1]
		return t
	}
	switch r {
	case '×', '✕':
		return l.one(tX, w)
	case '–', '—', '−', '‐', '‑':
		if isDigit(l.at(l.i+w)) || l.at(l.i+w) == ' ' {
			return l.one(tDash, w)
		}
		if isLetter(l.at(l.i + w)) {
			l.i += w
			return tok{}
		}
		return l.one(tComma, w)
	case '”', '“', '″':
		return l.one(tInch, w)
	case '’', '‘', '′':
		return l.one(tFoot, w)
	case '°', 'º', '˚':
		return l.one(tDegree, w)
	case '\u00a0', '\u2009', '\u202f', '\ufeff':
		l.i += w
		return tok{}
	case '®', '™':
		l.i += w
		return tok{}
	}
	if unicode.IsLetter(r) {
		return l.wordToken()
	}
	if unicode.IsSpace(r) {
		l.i += w
		return tok{}
	}
	return l.one(tOther, w)
}
