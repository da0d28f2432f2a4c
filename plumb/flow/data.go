package flow

import (
	"embed"
	"slices"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/catalogue"
	"tapwright/plumb/unit"
	"tapwright/plumb/yamldoc"
)

//go:embed data/*.yaml
var files embed.FS

var folder = yamldoc.NewFolder(files, "data")

// Data is what is known of losses, outlets and walls. It is immutable and safe
// to share.
type Data struct {
	cat *catalogue.Catalogue

	losses  []*loss
	outlets []*outflow
	needs   []need
	bores   []endBore
	walls   []*wall
	ft      map[unit.Size]float64
	ftCites []plumb.Cite

	static, level, set guess
	absurd             unit.Pressure
	upstreamFlow       unit.Flow
	upstream           guess
	fallOff            unit.Pressure
	fallOffAt          map[unit.Size]float64 // gpm
	gauge, bucket      float64
	kept               float64
	lengths            []kindGuess
	series, metric     []string // the usual series of pipe, and of metric fittings
	sizes              []sizeGuess
	like               []kindSeries

	staticLimit   unit.Pressure
	staticCites   []plumb.Cite
	velocityLimit float64 // m/s
	velocityCites []plumb.Cite
	quick         []string
	quickCites    []plumb.Cite
	surgeCites    []plumb.Cite
	bulkT, bulkK  []float64 // °C, Pa
	bulkCites     []plumb.Cite
	pumps         []string
}

// guess is a figure that is taken where none was given, in SI units.
type guess struct{ usual, least, most float64 }

type kindGuess struct {
	kinds []string
	guess
	tacit bool // so short that it is not asked for
}

type sizeGuess struct {
	kinds              []string // empty = any
	usual, least, most unit.Size
}

type kindSeries struct {
	series string
	kinds  []string
}

// loss is one record of losses.yaml.
type loss struct {
	kinds     []string
	anyOneWay bool // of every kind with the trait
	threaded  bool
	branch    bool
	k         map[unit.Size]float64
	lOverD    float64
	cv        map[unit.Size]float64
	rated     map[unit.Size]float64 // gpm
	drop      unit.Pressure         // at rated
	opens     unit.Pressure
	oneWay    bool
	spread    float64
	cites     []plumb.Cite
	typical   bool
}

// outflow is one record of outlets.yaml.
type outflow struct {
	kinds     []string
	flow      unit.Flow
	at        unit.Pressure
	onsetFlow unit.Flow // 0: a plain opening
	onset     unit.Pressure
	closed    bool
	spread    float64
	cites     []plumb.Cite
	typical   bool
}

// need is one record of needs.yaml.
type need struct {
	as       string
	kinds    []string
	uses     []string
	flow     unit.Flow
	pressure unit.Pressure
	cites    []plumb.Cite
}

// endBore is one record of bores.yaml.
type endBore struct {
	ends    []string
	series  *catalogue.Pipe
	bore    unit.Length
	nominal bool
	share   float64
}

// wall is one record of walls.yaml.
type wall struct {
	what                string
	classes, materials  []string
	any                 bool
	rough               unit.Length
	roughSpread, spread float64
	modulus             float64 // Pa, 0 = not known
	modulusCites        []plumb.Cite
	cites               []plumb.Cite
	typical             bool
}

// Load reads the embedded data. An error lists every fault in it.
func Load(cat *catalogue.Catalogue) (*Data, error) {
	d := &Data{cat: cat}
	l := &loader{folder.Files(), cat}
	d.readFT(l)
	d.readLosses(l)
	d.readOutlets(l)
	d.readNeeds(l)
	d.readBores(l)
	d.readWalls(l)
	d.readHabits(l)
	if err := l.Err("flow data"); err != nil {
		return nil, err
	}
	return d, nil
}

// loader collects every fault of the data files.
type loader struct {
	*yamldoc.Files
	cat *catalogue.Catalogue
}

func (l *loader) kinds(n *yamldoc.Node) []string {
	ids := l.Texts(n, "kinds")
	for _, id := range ids {
		if k := l.cat.Kind(id); k == nil || k.ID != id {
			l.Failf(n, "there is no kind %q", id)
		}
	}
	return ids
}

func (l *loader) number(n *yamldoc.Node, what string, lo, hi float64) float64 {
	if n == nil {
		return 0
	}
	v, _ := l.Float(n, what, lo, hi)
	return v
}

// bySize reads a map from sizes to numbers.
func (l *loader) bySize(n *yamldoc.Node, what string) map[unit.Size]float64 {
	if n == nil {
		return nil
	}
	out := map[unit.Size]float64{}
	l.Map(n, what)
	for _, e := range n.Entries {
		s, err := unit.ParseSize(e.Key)
		if err != nil {
			l.Failf(n, "%q is no size", e.Key)
			continue
		}
		out[s] = l.number(e.Value, what, 0, 1000)
	}
	return out
}

// quantity reads a value with its unit.
func quantity[T ~float64](l *loader, n *yamldoc.Node, what string, parse func(string) (T, error)) T {
	if n == nil {
		return 0
	}
	s, ok := l.String(n, what)
	if !ok {
		return 0
	}
	v, err := parse(s)
	if err != nil || v < 0 {
		l.Failf(n, "%s cannot be %q", what, s)
	}
	return v
}

func guessOf[T ~float64](l *loader, f yamldoc.Fields, what string, parse func(string) (T, error)) guess {
	g := guess{
		usual: float64(quantity(l, l.Need(f, what, "usual"), what, parse)),
		least: float64(quantity(l, l.Need(f, what, "least"), what, parse)),
		most:  float64(quantity(l, l.Need(f, what, "most"), what, parse)),
	}
	if g.least > g.usual || g.usual > g.most {
		l.Fault(what + ": least, usual and most are out of order")
	}
	return g
}

func (l *loader) cites(f yamldoc.Fields, what string) (out []plumb.Cite, typical bool) {
	typical = l.Yes(f, "typical")
	out = l.citeList(f.Get("cites"))
	if typical == (len(out) > 0) {
		l.Fault(what + ": a record has cites or `typical: yes`, and not both")
	}
	return out, typical
}

func (d *Data) readFT(l *loader) {
	f := l.Map(l.Open("ft.yaml"), "ft", "ft", "cites")
	d.ft = l.bySize(l.Need(f, "ft", "ft"), "ft")
	d.ftCites, _ = l.cites(f, "ft.yaml")
}

func (d *Data) readLosses(l *loader) {
	for _, item := range l.List(l.Open("losses.yaml"), "losses") {
		f := l.Map(item, "a loss", "kinds", "trait", "ends", "exit", "K", "L/D", "Cv", "rated", "loss", "opens", "one way", "spread", "cites", "typical")
		r := &loss{
			kinds: l.kinds(f.Get("kinds")), k: l.bySize(f.Get("K"), "K"), cv: l.bySize(f.Get("Cv"), "Cv"),
			rated: l.bySize(f.Get("rated"), "rated"), lOverD: l.number(f.Get("L/D"), "L/D", 0, 1000),
			drop: quantity(l, f.Get("loss"), "loss", unit.ParsePressure), opens: quantity(l, f.Get("opens"), "opens", unit.ParsePressure),
			spread: l.number(f.Get("spread"), "spread", 0, 0.95),
		}
		trait, _ := l.OneOf(f.Get("trait"), "trait", "one-way")
		if r.anyOneWay = trait != ""; r.anyOneWay == (len(r.kinds) > 0) {
			l.Failf(item, "a loss is that of some kinds, or of a trait")
		}
		ends, _ := l.OneOf(f.Get("ends"), "ends", "threaded")
		exit, _ := l.OneOf(f.Get("exit"), "exit", "branch")
		r.threaded, r.branch = ends != "", exit != ""
		r.oneWay = r.opens > 0 || l.Yes(f, "one way")
		r.cites, r.typical = l.cites(f, "losses.yaml, "+strings.Join(r.kinds, ", "))
		ways := 0
		for _, has := range []bool{r.k != nil, r.cv != nil, r.rated != nil, r.lOverD > 0} {
			if has {
				ways++
			}
		}
		if ways != 1 || (r.rated != nil) != (r.drop > 0) {
			l.Failf(item, "a loss is given in one way: K, L/D, Cv, or rated with loss")
		}
		d.losses = append(d.losses, r)
	}
}

func (d *Data) readOutlets(l *loader) {
	for _, item := range l.List(l.Open("outlets.yaml"), "outlets") {
		f := l.Map(item, "an outlet", "kinds", "flow", "at", "steady from", "closed", "spread", "cites", "typical")
		o := &outflow{
			kinds: l.kinds(l.Need(f, "an outlet", "kinds")), flow: quantity(l, f.Get("flow"), "flow", unit.ParseFlow),
			at: quantity(l, f.Get("at"), "at", unit.ParsePressure), closed: l.Yes(f, "closed"),
			spread: l.number(f.Get("spread"), "spread", 0, 0.95),
		}
		if n := f.Get("steady from"); n != nil {
			g := l.Map(n, "steady from", "flow", "at")
			o.onsetFlow = quantity(l, g.Get("flow"), "flow", unit.ParseFlow)
			o.onset = quantity(l, g.Get("at"), "at", unit.ParsePressure)
		}
		o.cites, o.typical = l.cites(f, "outlets.yaml, "+strings.Join(o.kinds, ", "))
		if !o.closed && (o.flow <= 0 || o.at <= 0) {
			l.Failf(item, "an outlet gives a flow at a pressure")
		}
		d.outlets = append(d.outlets, o)
	}
}

func (d *Data) readNeeds(l *loader) {
	for _, item := range l.List(l.Open("needs.yaml"), "needs") {
		f := l.Map(item, "a need", "as", "kinds", "use", "flow", "pressure", "cites")
		n := need{
			kinds: l.kinds(l.Need(f, "a need", "kinds")), uses: l.Texts(f.Get("use"), "use"),
			flow:     quantity(l, l.Need(f, "a need", "flow"), "flow", unit.ParseFlow),
			pressure: quantity(l, l.Need(f, "a need", "pressure"), "pressure", unit.ParsePressure),
		}
		n.as, _ = l.String(l.Need(f, "a need", "as"), "as")
		n.cites, _ = l.cites(f, "needs.yaml, "+n.as)
		d.needs = append(d.needs, n)
	}
}

func (d *Data) readBores(l *loader) {
	for _, item := range l.List(l.Open("bores.yaml"), "bores") {
		f := l.Map(item, "a bore", "ends", "series", "bore", "nominal", "share")
		b := endBore{ends: l.Texts(f.Get("ends"), "ends"), bore: quantity(l, f.Get("bore"), "bore", unit.ParseLength), nominal: l.Yes(f, "nominal"), share: 1}
		for _, id := range b.ends {
			if e := d.cat.End(id); e == nil || e.ID != id {
				l.Failf(item, "there is no end type %q", id)
			}
		}
		if n := f.Get("series"); n != nil {
			id, _ := l.String(n, "series")
			if b.series = d.cat.Pipe(id); b.series == nil {
				l.Failf(n, "there is no series %q", id)
			}
		}
		if n := f.Get("share"); n != nil {
			b.share = l.number(n, "share", 0.1, 1)
		}
		d.bores = append(d.bores, b)
	}
}

func (d *Data) readWalls(l *loader) {
	for _, item := range l.List(l.Open("walls.yaml"), "walls") {
		f := l.Map(item, "a wall", "what", "classes", "materials", "any", "rough", "rough spread", "bore spread", "modulus", "modulus cites", "cites", "typical")
		w := &wall{
			classes: l.Texts(f.Get("classes"), "classes"), materials: l.Texts(f.Get("materials"), "materials"), any: l.Yes(f, "any"),
			rough:       quantity(l, l.Need(f, "a wall", "rough"), "rough", unit.ParseLength),
			roughSpread: l.number(f.Get("rough spread"), "rough spread", 0, 0.95), spread: l.number(f.Get("bore spread"), "bore spread", 0, 0.3),
			modulus: l.number(f.Get("modulus"), "modulus", 0, 1000) * 1e9, modulusCites: l.citeList(f.Get("modulus cites")),
		}
		w.what, _ = l.String(l.Need(f, "a wall", "what"), "what")
		w.cites, w.typical = l.cites(f, "walls.yaml, "+w.what)
		if (w.modulus > 0) != (len(w.modulusCites) > 0) {
			l.Failf(item, "a modulus has a source")
		}
		d.walls = append(d.walls, w)
	}
	if n := len(d.walls); n == 0 || !d.walls[n-1].any {
		l.Fault("walls.yaml: the last record is for any wall")
	}
}

func (d *Data) readHabits(l *loader) {
	f := l.Map(l.Open("habits.yaml"), "the habits", "static", "absurd", "upstream", "level", "set", "falloff", "falloff at", "gauge", "bucket", "kept",
		"lengths", "series", "metric", "sizes", "like", "static limit", "velocity limit", "quick", "quick cites", "surge cites", "bulk", "pumps")
	sub := func(key string, keys ...string) yamldoc.Fields {
		return l.Map(l.Need(f, "the habits", key), key, keys...)
	}
	d.static = guessOf(l, sub("static", "usual", "least", "most"), "static", unit.ParsePressure)
	d.level = guessOf(l, sub("level", "usual", "least", "most"), "level", unit.ParseLength)
	d.set = guessOf(l, sub("set", "usual", "least", "most"), "set", unit.ParsePressure)
	up := sub("upstream", "flow", "usual", "least", "most")
	d.upstreamFlow, d.upstream = quantity(l, l.Need(up, "upstream", "flow"), "flow", unit.ParseFlow), guessOf(l, up, "upstream", unit.ParsePressure)
	d.absurd = quantity(l, l.Need(f, "the habits", "absurd"), "absurd", unit.ParsePressure)
	d.fallOff = quantity(l, l.Need(f, "the habits", "falloff"), "falloff", unit.ParsePressure)
	d.fallOffAt = l.bySize(f.Get("falloff at"), "falloff at")
	d.gauge = l.number(f.Get("gauge"), "gauge", 0, 0.5)
	d.bucket = l.number(f.Get("bucket"), "bucket", 0, 0.5)
	d.kept = l.number(f.Get("kept"), "kept", 0, 0.5)
	for _, n := range l.List(f.Get("lengths"), "lengths") {
		g := l.Map(n, "a length", "kinds", "usual", "least", "most", "tacit")
		d.lengths = append(d.lengths, kindGuess{l.kinds(g.Get("kinds")), guessOf(l, g, "a length", unit.ParseLength), l.Yes(g, "tacit")})
	}
	for key, to := range map[string]*[]string{"series": &d.series, "metric": &d.metric} {
		*to = l.Texts(f.Get(key), key)
		for _, id := range *to {
			if d.cat.Pipe(id) == nil {
				l.Failf(f.Get(key), "there is no series %q", id)
			}
		}
	}
	for _, n := range l.List(f.Get("sizes"), "sizes") {
		g := l.Map(n, "a size", "kinds", "any", "usual", "least", "most")
		s := sizeGuess{kinds: l.kinds(g.Get("kinds"))}
		for key, to := range map[string]*unit.Size{"usual": &s.usual, "least": &s.least, "most": &s.most} {
			text, _ := l.String(l.Need(g, "a size", key), key)
			v, err := unit.ParseSize(text)
			if err != nil {
				l.Failf(n, "%q is no size", text)
			}
			*to = v
		}
		d.sizes = append(d.sizes, s)
	}
	for _, n := range l.List(f.Get("like"), "like") {
		g := l.Map(n, "like", "series", "kinds")
		id, _ := l.String(l.Need(g, "like", "series"), "series")
		if d.cat.Pipe(id) == nil {
			l.Failf(n, "there is no series %q", id)
		}
		d.like = append(d.like, kindSeries{id, l.kinds(g.Get("kinds"))})
	}
	st := sub("static limit", "pressure", "cites")
	d.staticLimit = quantity(l, l.Need(st, "static limit", "pressure"), "pressure", unit.ParsePressure)
	d.staticCites, _ = l.cites(st, "static limit")
	v := sub("velocity limit", "speed", "cites")
	d.velocityLimit = l.number(l.Need(v, "velocity limit", "speed"), "speed", 1, 100) * float64(unit.Foot)
	d.velocityCites, _ = l.cites(v, "velocity limit")
	d.quick = l.kinds(f.Get("quick"))
	d.quickCites = l.citeList(f.Get("quick cites"))
	d.surgeCites = l.citeList(f.Get("surge cites"))
	bulk := sub("bulk", "t", "k", "cites")
	for _, n := range l.List(bulk.Get("t"), "t") {
		d.bulkT = append(d.bulkT, l.number(n, "t", 0, 100))
	}
	for _, n := range l.List(bulk.Get("k"), "k") {
		d.bulkK = append(d.bulkK, l.number(n, "k", 1, 3)*1e9)
	}
	if len(d.bulkT) < 2 || len(d.bulkT) != len(d.bulkK) || !slices.IsSorted(d.bulkT) {
		l.Failf(f.Get("bulk"), "as many moduli as temperatures, rising")
	}
	d.bulkCites, _ = l.cites(bulk, "bulk")
	d.pumps = l.kinds(f.Get("pumps"))
}

func (l *loader) citeList(n *yamldoc.Node) []plumb.Cite { return catalogue.Cites(&l.Walk, n) }
