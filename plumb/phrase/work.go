package phrase

import (
	"sync"
)

// work is the room one reading takes: what its stages hand on. It is used again.
type work struct {
	r      *Reader
	s      string
	ctx    Context
	cost   costs
	toks   []tok
	clause []clause
	start  int // first token after the name

	allNames []name
	hits     []wordSet
	touched  []int32
	claimed  wordSet
	steps    []int
	best     []float64
	said     [mostNames]said
	claims   []claim
	spelled  []spelled // words that were taken for known ones
}

// mostNames is how many names of a phrase are tried.
const mostNames = 6

type pool struct{ sync.Pool }

func (r *Reader) begin(text string, ctx Context) *work {
	w, _ := r.pool.Get().(*work)
	if w == nil {
		w = &work{cost: costsOf(r.vocab.costs)}
	}
	w.r, w.s, w.ctx, w.start = r, text, ctx, 0
	w.toks = r.lex(text, w.toks[:0])
	return w
}

// weigh takes a phrase as far as its drafts, the likeliest first; its name goes into
// the reading.
func (w *work) weigh(out *Reading) []*draft {
	w.nameOf(out)
	w.respell()
	w.clause = w.r.clauses(w.toks, w.start, w.clause)
	w.claimWords()
	return w.drafts()
}

func (w *work) end() {
	w.s = ""
	w.r.pool.Put(w)
}

// costs are what speaks against a reading, from data/words.yaml.
type costs struct {
	far, word, apart, comma, crossing, weak, loose, looseShare, beside                                         float64
	inFor, inWith, hasIt, earlier, later, before, after, afterPipe                                             float64
	misfit, usualMisfit, notSold, oddMetal, tooMany, tooFew, noLength, unused                                  float64
	second, otherWorld, margin, service, odd, fallback, endPlace, leftAside, doubt, oddShare, onlyWeak, inside float64
}

func costsOf(m map[string]float64) costs {
	c := costs{}
	for name, to := range c.byName() {
		*to = m[name]
	}
	return c
}

// byName are the costs by the names of the file.
func (c *costs) byName() map[string]*float64 {
	return map[string]*float64{
		"far": &c.far, "word": &c.word, "apart": &c.apart, "comma": &c.comma, "crossing": &c.crossing, "weak": &c.weak,
		"loose": &c.loose, "loose share": &c.looseShare, "beside": &c.beside, "in for": &c.inFor, "in with": &c.inWith,
		"has it": &c.hasIt, "earlier": &c.earlier, "later": &c.later, "before": &c.before, "after": &c.after, "after pipe": &c.afterPipe,
		"misfit": &c.misfit, "unusual": &c.usualMisfit, "not sold": &c.notSold, "odd metal": &c.oddMetal, "too many": &c.tooMany,
		"too few": &c.tooFew, "no length": &c.noLength, "unused": &c.unused, "second": &c.second, "other world": &c.otherWorld,
		"margin": &c.margin, "service": &c.service, "odd": &c.odd, "left aside": &c.leftAside, "doubt": &c.doubt, "odd share": &c.oddShare, "only weak": &c.onlyWeak, "inside": &c.inside, "fallback": &c.fallback, "end place": &c.endPlace,
	}
}
