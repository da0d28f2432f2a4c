package catalogue

import (
	"slices"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/unit"
)

// Catalogue is everything known of parts, in the order of the data files. It is
// read-only and may be shared between goroutines.
type Catalogue struct {
	Kinds     []*plumb.Kind
	Ends      []*plumb.EndKind
	Materials []*plumb.Material
	Sealants  []*plumb.Sealant
	Devices   []*plumb.Device
	Pipes     []*Pipe

	kinds     map[string][]*plumb.Kind // by folded id, title and name
	ends      map[string]*plumb.EndKind
	materials map[string]*plumb.Material
	sealants  map[string]*plumb.Sealant
	devices   map[string]*plumb.Device
	pipes     map[string]*Pipe
	words     func() []entry // what Search goes through, one for each kind; made when it is first asked for

	ambiguous []string            // short forms that may not be names
	shared    map[string]bool     // folded names that several kinds may have
	sizesOf   map[string][]string // nominal sizes by end type
}

// Pipe is one series of pipe, tube or hose: one standard, one wall.
type Pipe struct {
	Series   string   // "copper-L", "pvc-40", "pe-sidr9"
	Title    string   // "copper tube, type L"
	Standard string   // "ASTM B88"; "none" where there is none
	Names    []string // words that tell the series from others of its kind
	Kinds    []string // ids of the kinds of part cut from it
	Material string   // id
	Sizes    []PipeSize
	Rated    string // for what the ratings hold: "water at 73 F"; may be empty
	// Warm is the share of the ratings that is borne in warmer water, rising to
	// the warmest that the pipe is made for; empty where no source gave it.
	Warm  []plumb.Warm
	Cites []plumb.Cite
}

// PipeSize is one size of a series. A zero length or unknown rating is one that
// no source gave.
type PipeSize struct {
	Nominal unit.Size
	OD      unit.Length
	Wall    unit.Length // nominal, or least where the standard gives a least wall
	Bore    unit.Length
	Rating  plumb.Opt[unit.Pressure] // see Pipe.Rated
	Memory  bool                     // these figures were not seen in print
}

// Size finds a nominal size of the series.
func (p *Pipe) Size(s unit.Size) (PipeSize, bool) {
	if p != nil {
		for _, size := range p.Sizes {
			if size.Nominal == s {
				return size, true
			}
		}
	}
	return PipeSize{}, false
}

// Fold brings a name to the form in which names are compared: small letters,
// hyphens as spaces, single spaces. "Shut-off  Wye" and "shut off wye" are one.
func Fold(name string) string {
	return strings.Join(strings.Fields(strings.ReplaceAll(strings.ToLower(name), "-", " ")), " ")
}

// Kind finds a kind by id, title or name, nil if there is none; where several
// share a name it gives the usual one.
func (c *Catalogue) Kind(name string) *plumb.Kind {
	if found := c.kinds[Fold(name)]; len(found) > 0 {
		return found[0]
	}
	return nil
}

// Named gives all kinds that answer to a name, the usual one first.
func (c *Catalogue) Named(words string) []*plumb.Kind {
	return append([]*plumb.Kind(nil), c.kinds[Fold(words)]...)
}

// End finds an end type by id or name, nil if there is none.
func (c *Catalogue) End(name string) *plumb.EndKind { return c.ends[Fold(name)] }

// EndSizes gives the nominal sizes an end type is made in, smallest first;
// empty where it has no size. Tube ends come in millimetres as well.
func (c *Catalogue) EndSizes(id string) []string { return append([]string(nil), c.sizesOf[id]...) }

// Material finds a material by id or name, nil if there is none.
func (c *Catalogue) Material(name string) *plumb.Material { return c.materials[Fold(name)] }

// Sealant finds a sealant by id or name, nil if there is none.
func (c *Catalogue) Sealant(name string) *plumb.Sealant { return c.sealants[Fold(name)] }

// Device finds a backflow device by id, title or standard ("ASSE 1011"), nil if
// there is none.
func (c *Catalogue) Device(name string) *plumb.Device { return c.devices[Fold(name)] }

// Pipe finds a series by its id, nil if there is none.
func (c *Catalogue) Pipe(series string) *Pipe { return c.pipes[Fold(series)] }

// PipeFor finds the series of a kind of pipe that a word names: "type L" or "L"
// of copper tube, "40" of PVC pipe. With an empty word it gives the series where
// the kind has only one, and nil where that would be a guess. Letters and
// numbers that name a series only beside its kind are read here, nowhere else.
// The sizes of the ends, where they are known, rule out the series that are not
// made in them; series in millimetres come in only where a size is in millimetres.
func (c *Catalogue) PipeFor(kind, word string, sizes ...unit.Size) *Pipe {
	want := bareSeries(word)
	var only, named *Pipe
	n := 0
	for _, p := range c.Pipes {
		if !slices.Contains(p.Kinds, kind) {
			continue
		}
		made := p.madeIn(sizes)
		if made {
			only, n = p, n+1
		}
		if want == "" {
			continue
		}
		if Fold(p.Series) == Fold(word) {
			return p
		}
		for _, name := range p.Names {
			if bareSeries(name) == want && (named == nil || made && !named.madeIn(sizes)) {
				named = p
			}
		}
	}
	if want == "" && n == 1 {
		return only
	}
	return named
}

// PipeOf finds the series of a part: by what its phrase says of it, and by the sizes
// of its ends.
func (c *Catalogue) PipeOf(p *plumb.Part) *Pipe {
	var sizes []unit.Size
	for i := range p.Ends {
		sizes = append(sizes, p.Ends[i].Size)
	}
	return c.PipeFor(p.Kind.ID, p.Series, sizes...)
}

// madeIn reports whether a series comes in one of the sizes, of those in
// millimetres where there are any; where none is known, whether it is named in
// inches.
func (p *Pipe) madeIn(sizes []unit.Size) bool {
	some, mm := false, false
	for _, s := range sizes {
		_, metric := s.MM()
		some, mm = some || s != "", mm || metric
	}
	if !some {
		return !p.Metric()
	}
	return slices.ContainsFunc(sizes, func(s unit.Size) bool {
		_, metric := s.MM()
		_, ok := p.Size(s)
		return ok && metric == mm
	})
}

// Metric reports whether the sizes of a series are in millimetres.
func (p *Pipe) Metric() bool {
	if len(p.Sizes) == 0 {
		return false
	}
	_, mm := p.Sizes[0].Nominal.MM()
	return mm
}

// Bears gives what pipe of a kind and size bears: of the series that a word names
// (see PipeFor), or of every series that it may be.
func (c *Catalogue) Bears(kind, word string, size unit.Size) (bears []plumb.Bears) {
	one := c.PipeFor(kind, word, size)
	for _, p := range c.Pipes {
		if p != one && (one != nil || !slices.Contains(p.Kinds, kind)) {
			continue
		}
		row, ok := p.Size(size)
		switch {
		case !ok:
		case !row.Rating.Known:
			return nil // of one that it may be nothing is known
		default:
			bears = append(bears, plumb.Bears{Series: p.Title, Cold: row.Rating.V, Rated: p.Rated, Warm: p.Warm, Cites: p.Cites})
		}
	}
	return bears
}

// bareSeries drops the words that say only that a series follows.
func bareSeries(word string) string {
	w := Fold(word)
	for _, lead := range []string{"type ", "schedule ", "sched ", "sch "} {
		w = strings.TrimPrefix(w, lead)
	}
	return strings.ReplaceAll(w, " ", "")
}
