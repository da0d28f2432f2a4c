package phrase

// Signs counts what in a text is a sign of metric practice (millimetre sizes, BSP,
// British words), less the signs of American practice. It looks at words alone and
// costs little, so that a whole list can be weighed before it is read.
func (r *Reader) Signs(text string) (n int) {
	if len(text) > MaxBytes {
		return 0
	}
	toks := r.lex(text, nil)
	for i := 0; i < len(toks); {
		if toks[i].kind == tNum {
			f, w := r.figureAt(toks, text, i, false)
			if f.unit == uMM {
				n++
			}
			i += w
			continue
		}
		e, w := r.match(toks[i:], nil)
		if e == nil {
			i++
			continue
		}
		n += int(e.sign) + int(e.hint)
		if !e.ends.empty() && !e.letter && e.sign == 0 {
			switch {
			case e.ends.minus(r.isoEnds).empty():
				n += 2
			case e.ends.minus(r.american).empty():
				n -= 2
			}
		}
		i += w
	}
	return n
}

// Write is the phrase that says a reading outright: the words of the text with the
// name of its kind in place of those that may name several, or the reading itself.
func (r *Reader) Write(o *Other, ctx Context) string {
	if o.Phrase != "" {
		if again := r.Understand(o.Phrase, ctx); again.Part.Kind == o.Part.Kind && len(again.Others) == 0 {
			return o.Phrase
		}
	}
	return r.Say(&o.Part)
}
