package runfile

import (
	"embed"
	"slices"
	"strings"
	"sync"
	"unicode"

	"tapwright/plumb"
	"tapwright/plumb/yamldoc"
)

//go:embed data/*.yaml
var files embed.FS

// listWords are the words by which a list without keys says more than its parts.
// It is not changed once read.
type listWords struct {
	water, drain, filler, hot map[string]bool
	branches                  map[string]bool
	drainWords, noDrain       []string // longest first
	chapters                  map[string]bool
	from, into, use, title    []string // how a line begins; longest first
	articles                  []string
	sources                   map[string]string // kind of part → kind of water
	receivers                 map[string]plumb.Receiver
	uses                      map[string]plumb.Use
	stands                    map[string]string // plain word → kind of part
	till                      map[string]bool
	err                       error
}

// words is the embedded file, read once for all readers. That it has no faults is
// held by a test.
var words = sync.OnceValue(func() *listWords {
	d := yamldoc.NewFiles(files, "data")
	w := readListWords(d)
	w.err = d.Err("words of lists")
	return w
})

func readListWords(d *yamldoc.Files) *listWords {
	w := &listWords{sources: map[string]string{}, stands: map[string]string{}, receivers: map[string]plumb.Receiver{}, uses: map[string]plumb.Use{}}
	sets := map[string]*map[string]bool{
		"water": &w.water, "drain": &w.drain, "filler": &w.filler, "hot": &w.hot, "branches": &w.branches,
		"water chapters": &w.chapters, "till": &w.till,
	}
	lists := map[string]*[]string{
		"drain words": &w.drainWords, "no drain": &w.noDrain, "from": &w.from, "into": &w.into, "for": &w.use,
		"title": &w.title, "articles": &w.articles,
	}
	keys := []string{"sources", "stands", "receivers", "uses"}
	for k := range sets {
		keys = append(keys, k)
	}
	for k := range lists {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	f := d.Map(d.Open("list.yaml"), "the file", keys...)
	for k, set := range sets {
		*set = map[string]bool{}
		for _, word := range d.Texts(d.Need(f, "the file", k), k) {
			(*set)[word] = true
		}
	}
	for k, list := range lists {
		*list = d.Texts(d.Need(f, "the file", k), k)
		slices.SortStableFunc(*list, func(a, b string) int { return len(b) - len(a) })
	}
	for _, n := range d.List(d.Need(f, "the file", "sources"), "sources") {
		e := d.Map(n, "a source", "kind", "water")
		water, _ := d.OneOf(d.Need(e, "a source", "water"), "water", waterWords...)
		w.sources[d.NeedText(e, "a source", "kind")] = water
	}
	for _, n := range d.List(d.Need(f, "the file", "stands"), "stands") {
		e := d.Map(n, "what stands somewhere", "kind", "words")
		kind := d.NeedText(e, "what stands somewhere", "kind")
		for _, word := range d.Texts(d.Need(e, "what stands somewhere", "words"), "words") {
			w.stands[word] = kind
		}
	}
	places := map[string]plumb.Receiver{}
	for _, r := range receivers {
		places[r.String()] = r
	}
	meanings(d, f, "receivers", "into", places, w.receivers)
	uses := map[string]plumb.Use{}
	for _, u := range useWords {
		uses[u] = plumb.Use(u)
	}
	meanings(d, f, "uses", "for", uses, w.uses)
	return w
}

// meanings reads a table of other words for what the run file has a word for.
func meanings[T any](d *yamldoc.Files, f yamldoc.Fields, key, what string, known, out map[string]T) {
	names := make([]string, 0, len(known))
	for name, v := range known {
		names, out[name] = append(names, name), v
	}
	slices.Sort(names)
	for _, n := range d.List(d.Need(f, "the file", key), key) {
		e := d.Map(n, key, what, "words")
		name, ok := d.OneOf(d.Need(e, key, what), what, names...)
		for _, word := range d.Texts(d.Need(e, key, "words"), "words") {
			if ok {
				out[word] = known[name]
			}
		}
	}
}

// tokens cuts a text into words in small letters.
func tokens(text string) []string {
	return strings.FieldsFunc(strings.ToLower(text), func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsDigit(r) && !strings.ContainsRune("-/&", r)
	})
}

// plainWords is a text in small letters with one space between its words, and
// without the articles before it.
func (w *listWords) plainWords(text string) string {
	all := strings.Fields(strings.Trim(strings.ToLower(text), " \t.,;:!"))
	for len(all) > 1 && slices.Contains(w.articles, all[0]) {
		all = all[1:]
	}
	return strings.Join(all, " ")
}

// draining reports whether the words of a phrase speak of a drain.
func (w *listWords) draining(text string) bool {
	spaced := " " + strings.Join(tokens(text), " ") + " "
	for _, other := range w.noDrain {
		spaced = strings.ReplaceAll(spaced, " "+other+" ", " ")
	}
	return slices.ContainsFunc(w.drainWords, func(word string) bool { return strings.Contains(spaced, " "+word+" ") })
}
