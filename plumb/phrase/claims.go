package phrase

import (
	"math"
)

// claimKind tells the sorts of claims apart.
type claimKind uint8

const (
	cWords claimKind = iota // known words; e says what they may mean
	cFigure
	cX
	cComma
	cSlash
	cDash
	cOpen
	cClose
	cHash
	cAt
	cEqual
	cAsk
	cAnd
	cUnknown // words that nobody knows
	cOther   // a sign that means nothing in a phrase
	cName    // the name of the kind
)

// claim is what a run of tokens may mean. It is not changed once made.
type claim struct {
	kind     claimKind
	glued    bool
	e        *entry
	fig      figure
	tok, n   int
	from, to int
	clause   clause
}

func (c *claim) at() Range { return Range{c.from, c.to} }

func (c *claim) attr() attr {
	if c.kind == cWords {
		return c.e.attr
	}
	return noAttr
}

// claimsBeside cuts what a phrase says beside its name into claims: as few and as
// long runs of known words as may be.
func (w *work) claimsBeside(n *name, out []claim) []claim {
	taken := wordSet(0)
	if n != nil {
		taken = n.words
	}
	w.cut(taken)
	out = out[:0]
	named := false
	for i := w.start; i < len(w.toks); {
		if taken.has(i) {
			t := &w.toks[i]
			if !named || out[len(out)-1].kind != cName {
				out = append(out, claim{kind: cName, e: n.e, tok: i, n: 1, from: int(t.from), to: int(t.to), clause: w.clause[i]})
			} else {
				out[len(out)-1].to = int(t.to)
			}
			named = true
			i++
			continue
		}
		step := w.steps[i]
		out = w.claim(out, i, step, taken)
		i += max(1, step)
	}
	return out
}

// cut finds for each token how many the claim that begins there takes, so that
// the whole costs least.
func (w *work) cut(taken wordSet) {
	n := len(w.toks)
	if cap(w.steps) <= n {
		w.steps, w.best = make([]int, n+1, 2*n+16), make([]float64, n+1, 2*n+16)
	}
	w.steps, w.best = w.steps[:n+1], w.best[:n+1]
	w.best[n] = 0
	for i := n - 1; i >= w.start; i-- {
		w.steps[i], w.best[i] = w.cheapestStep(i, taken)
	}
}

const (
	costUnknownWord = 4
	costClaim       = 1
	costSign        = 0.5
	costLonger      = 0.05 // less for each further word of a run
)

func (w *work) cheapestStep(i int, taken wordSet) (step int, cost float64) {
	t := &w.toks[i]
	if taken.has(i) {
		return 1, w.best[i+1]
	}
	step, cost = 1, math.Inf(1)
	try := func(n int, c float64) {
		for j := i; j < i+n; j++ {
			if taken.has(j) {
				return
			}
		}
		if c += w.best[i+n]; c < cost+1e-9 { // the longer of two alike
			step, cost = n, c
		}
	}
	node := int32(0)
	for j := i; j < len(w.toks); j++ {
		if node = w.r.next(node, w.toks[j].word, j == i); node == 0 {
			break
		}
		if e := w.r.nodes[node]; e != nil && !(j == i && t.kind == tNum) && w.means(e) {
			try(j-i+1, costClaim-costLonger*float64(j-i))
		}
	}
	switch t.kind {
	case tNum:
		_, n := w.r.figureAt(w.toks, w.s, i, w.afterQty(i))
		try(n, costClaim)
	case tWord:
		try(1, costUnknownWord)
	default:
		try(1, costSign)
	}
	return step, cost
}

// means says whether an entry says anything beside the name of a kind. What is
// only a name there is a mention of another part.
func (w *work) means(e *entry) bool {
	return !e.ends.empty() || e.mat >= 0 || e.attr != noAttr || len(e.kinds) > 0 || e.beside != "" || e.asks >= 0 || e.sign != 0
}

func (w *work) afterQty(i int) bool {
	for from := i - 1; from >= w.start && from >= i-3; from-- {
		if e, n := w.r.match(w.toks[from:i], nil); e != nil && n == i-from && e.attr == aQty {
			return true
		}
	}
	return false
}

var signKinds = map[tokKind]claimKind{
	tX: cX, tComma: cComma, tOpen: cOpen, tClose: cClose, tSlash: cSlash, tDash: cDash, tHash: cHash, tAt: cAt,
	tEqual: cEqual, tAsk: cAsk, tAnd: cAnd, tOther: cOther, tInch: cOther, tFoot: cOther,
}

// claim appends what begins at token i.
func (w *work) claim(out []claim, i, n int, taken wordSet) []claim {
	t := &w.toks[i]
	c := claim{kind: cUnknown, tok: i, n: n, from: int(t.from), to: int(w.toks[i+n-1].to), glued: t.glued, clause: w.clause[i]}
	e, m := w.r.match(w.toks[i:i+n], nil)
	switch {
	case t.kind == tNum && (e == nil || m < n || n == 1):
		f, _ := w.r.figureAt(w.toks, w.s, i, w.afterQty(i))
		c.kind, c.fig, c.to = cFigure, f, f.to
	case e != nil && m == n && w.means(e):
		if n == 1 && len(e.kinds) > 0 && e.ends.empty() { // CxFI names an adapter, and the ends of an elbow
			if cut, ok := w.splitWord(out, c); ok {
				return cut
			}
		}
		c.kind, c.e = cWords, e
	case t.kind == tDegree:
		return out
	case t.kind != tWord:
		c.kind = signKinds[t.kind]
	default:
		if cut, ok := w.splitWord(out, c); ok {
			return cut
		}
	}
	return append(out, c)
}

// splitWord cuts CxCxC and MHTxMIP at their x.
func (w *work) splitWord(out []claim, c claim) ([]claim, bool) {
	if c.to-c.from > 24 {
		return out, false
	}
	mark := len(out)
	from := c.from
	for i := c.from + 1; i < c.to-1; i++ {
		if w.s[i]|0x20 != 'x' {
			continue
		}
		e := w.endPiece(from, i)
		if e == nil {
			continue
		}
		p, x := c, c
		p.kind, p.e, p.from, p.to = cWords, e, from, i
		x.kind, x.from, x.to = cX, i, i+1
		out = append(out, p, x)
		from = i + 1
	}
	e := w.endPiece(from, c.to)
	if from == c.from || e == nil {
		return out[:mark], false
	}
	c.kind, c.e, c.from = cWords, e, from
	return append(out, c), true
}

// endPiece looks a stretch of the text up as an end.
func (w *work) endPiece(from, to int) *entry {
	var buf [24]byte
	n := copy(buf[:], w.s[from:to])
	for i := range n {
		if buf[i] >= 'A' && buf[i] <= 'Z' {
			buf[i] |= 0x20
		}
	}
	word := w.r.word(buf[:n])
	if word == 0 || w.r.first[word] == 0 {
		return nil
	}
	e := w.r.nodes[w.r.first[word]]
	if e == nil || e.ends.empty() {
		return nil
	}
	return e
}
