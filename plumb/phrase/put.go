package phrase

import (
	"slices"
	"strconv"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/unit"
)

// putEnds makes the part's ends of the elements, the kind and its layouts. It
// gives the specs as put on, for the echo.
func (st *state) putEnds(k *kindInfo, mat int16) []spec {
	p := &st.out.Part
	specs, sizes, ends := st.specsOf()
	st.badSizes()
	if k == nil {
		// A gap or an unknown kind: the ends are kept as they were written.
		for i := range specs {
			s := &specs[i]
			if s.amb != 0 {
				s.end = st.settle(nil, mat, i, s)
			}
			e := plumb.End{Name: itoa(i + 1), Size: s.size, Joint: -1}
			if s.end >= 0 {
				e.Kind = st.r.ends[s.end]
				e.Size = st.fixed(s, k)
			}
			if len(specs) == 2 && i < 2 {
				e.Name = [2]string{"in", "out"}[i]
			}
			p.Ends = append(p.Ends, e)
		}
		return specs
	}
	named := k.named
	roles := k.Ends
	n := len(roles)
	if k.Repeat {
		want := 0
		if st.ways > 0 {
			want = st.ways + n - 1
		}
		if len(specs) > n {
			want = max(want, len(specs))
		}
		if want > n && want <= 40 {
			roles = repeat(roles, want)
			named += want - n
			n = want
		}
		if want == 0 {
			st.note(st.whole(), "the number of outlets is not stated")
		}
	} else if st.ways > 0 && !st.waysNamed {
		st.keep(st.waysAt)
		outlets := !strings.Contains(st.text(st.waysAt), "way") && !strings.Contains(st.text(st.waysAt), "port")
		if st.ways != n-1 && (outlets || st.ways != n) && !k.basin {
			st.problem(st.waysAt, article(k.Title)+" has "+itoa(n)+" ends in all", "the kind of part that has as many as this", "")
		}
	}
	put := make([]spec, n)
	for i := range put {
		put[i] = spec{el: -1, sz: -1, end: -1, alt: -1}
	}
	// Ends called by name: 1-1/2 outlet.
	rest := specs[:0:0]
	explicit := false
	for _, s := range specs {
		role := ""
		for _, x := range [2]int{s.el, s.sz} {
			if x >= 0 && st.elems[x].role != "" {
				role = st.elems[x].role
			}
		}
		if role == "" {
			rest = append(rest, s)
			continue
		}
		if i := roleIndex(roles, role); i >= 0 && put[i].el < 0 && put[i].sz < 0 {
			put[i] = s
			explicit = true
		} else {
			rest = append(rest, s)
		}
	}
	if explicit {
		free := 0
		for i := range put {
			if put[i].el < 0 && put[i].sz < 0 && !k.isOpen(i) {
				free++
			}
		}
		if len(rest) == 1 && !rest[0].given && free > 1 { // one size for all the rest
			for len(rest) < free {
				rest = append(rest, rest[0])
			}
		}
		if len(rest) <= free {
			j := 0
			for i := range put {
				if j < len(rest) && put[i].el < 0 && put[i].sz < 0 && !k.isOpen(i) {
					put[i] = rest[j]
					j++
				}
			}
			rest = nil
		}
	}
	if len(rest) > 0 || !explicit {
		st.place(k, roles, named, rest, sizes, ends, put)
	}
	return st.finish(k, roles, mat, put)
}

func (k *kindInfo) isOpen(i int) bool { return k != nil && i < len(k.open) && k.open[i] }

// repeat adds further ends of the last kind: outlets 1, 2, 3 …
func repeat(roles []plumb.EndRole, n int) []plumb.EndRole {
	out := append([]plumb.EndRole(nil), roles...)
	last := roles[len(roles)-1]
	base, num := last.Name, 1
	if v, err := strconv.Atoi(last.Name); err == nil {
		base, num = "", v
	}
	for len(out) < n {
		num++
		e := last
		e.Name = base + itoa(num)
		out = append(out, e)
	}
	return out
}

func roleIndex(roles []plumb.EndRole, name string) int {
	for i := range roles {
		if roles[i].Name == name {
			return i
		}
	}
	if name == "out" {
		for i := range roles {
			if roles[i].Outlet || roles[i].Name == "outlet" || roles[i].Name == "drain" || roles[i].Name == "spout" {
				return i
			}
		}
	}
	if name == "in" && len(roles) > 0 && roles[0].Name == "inlet" {
		return 0
	}
	return -1
}

// place puts the specs on the kind's roles, expanding one or two for several.
func (st *state) place(k *kindInfo, roles []plumb.EndRole, named int, specs []spec, sizes, ends int, put []spec) {
	m := len(specs)
	if m == 0 {
		return
	}
	all := named == 0 || m == len(put) && m > named
	var slots []int
	for i := range put {
		if all || !k.isOpen(i) {
			slots = append(slots, i)
		}
	}
	n := len(slots)
	if m > 1 && m < n { // 1/2 MIP x 1/2 MIP faucet: the spout is left open
		var shut []int
		for _, i := range slots {
			if i >= len(k.types) || !contains16(k.types[i], st.r.endOf["OPEN"]) {
				shut = append(shut, i)
			}
		}
		fit := len(shut) == m
		for i := 0; fit && i < m; i++ {
			fit = st.fitsRole(k, min(shut[i], len(k.types)-1), &specs[i])
		}
		if fit {
			slots, n = shut, m
		}
	}
	if m > n {
		if fewer := st.leadingSize(specs); len(fewer) <= n && fewer != nil {
			st.place(k, roles, named, fewer, sizes, ends, put)
			return
		}
	}
	switch {
	case m > n:
		at := st.span(specs[n:])
		st.problem(at, st.wrongCount(k, roles, m), "", "")
		if n > 0 {
			for i, s := range slots {
				put[s] = specs[i]
			}
		}
		return
	case m == n:
		st.ownSize(k, slots, specs)
	case m == 1:
		one := specs[0]
		specs = nil
		for range slots {
			specs = append(specs, one)
		}
		// One end for all, but only where the kind has such an end; the size
		// stands for all the same.
		if one.given && n > 1 {
			any := false
			for i, role := range slots {
				if st.fitsRole(k, min(role, len(k.types)-1), &one) {
					any = true
				} else {
					specs[i].clear()
				}
			}
			if !any || one.unk && one.end < 0 && one.amb == 0 {
				for i := range specs {
					specs[i] = one
				}
			} else {
				st.oneOfMany(k, slots, specs, one)
			}
		}
	default:
		expanded := st.expand(k, roles, specs, slots)
		if expanded == nil {
			at := st.span(specs)
			st.problem(at, st.wrongCount(k, roles, m), "", "")
			expanded = specs
		}
		specs = expanded
	}
	// Two sizes for three zipped ends: run x branch as well.
	st.spread(k, specs)
	if len(specs) == n && !st.order(k, specs, sizes, false) {
		for i := range specs {
			specs[i].size, specs[i].sz = "", -1
		}
	}
	for i := range specs {
		put[slots[i]] = specs[i]
	}
}

// leadingSize gives a size that stands by itself to the ends that have none, as
// in 1 in PVC tee, slip x slip x 1/2 FIP; nil where it is not written so.
func (st *state) leadingSize(specs []spec) (out []spec) {
	alone := &specs[0]
	if alone.sz < 0 || alone.given || st.elems[alone.sz].crossed {
		return nil
	}
	bare := false
	for _, s := range specs[1:] {
		switch {
		case !s.given || st.elems[s.el].chain == st.elems[alone.sz].chain:
			return nil
		case s.sz < 0:
			s.sz, s.size, bare = alone.sz, alone.size, true
		}
		out = append(out, s)
	}
	if !bare {
		return nil
	}
	return out
}

// ownSize: one end named for several sizes stands for all of them, as in 3/4 x
// 1/2 FIP elbow, but only where the kind has such an end.
func (st *state) ownSize(k *kindInfo, slots []int, specs []spec) {
	if len(specs) < 2 || !specs[0].given {
		return
	}
	fit := 0
	for i := range specs {
		if specs[i].el != specs[0].el {
			return
		}
		if st.fitsRole(k, min(slots[i], len(k.types)-1), &specs[i]) {
			fit++
		}
	}
	if fit == 0 || fit == len(specs) {
		return
	}
	for i := range specs {
		if !st.fitsRole(k, min(slots[i], len(k.types)-1), &specs[i]) {
			specs[i].clear()
		}
	}
}

// drainTwin turns the solvent ends of pressure pipe into those of drain pipe
// where the part has only these: SPG and socket are what people write for both;
// compression and push-fit waste is made for waste pipe.
func (st *state) drainTwin(k *kindInfo, role int, e int16) int16 {
	if role >= len(k.types) || contains16(k.types[role], e) {
		return e
	}
	twin := ""
	switch st.r.ends[e].ID {
	case "SPG":
		twin = "SPG-DWV"
	case "S":
		twin = "HUB"
	case "PUSH":
		twin = "WPUSH"
	case "COMP":
		twin = "WCOMP"
	}
	if t, ok := st.r.endOf[twin]; ok && contains16(k.types[role], t) {
		return t
	}
	return e
}

// clear takes the end off a spec. Whether the size that was written on it stands
// for this end too is decided when its type is known.
func (s *spec) clear() {
	s.el, s.end, s.amb, s.unk, s.given, s.alt = -1, -1, 0, false, false, -1
}

// oneOfMany: where a layout has the one end named on some roles and other ends
// on the rest, and none has it on all, only those roles get it.
func (st *state) oneOfMany(k *kindInfo, slots []int, specs []spec, one spec) {
	if one.end < 0 || len(k.layouts) == 0 {
		return
	}
	all, some := false, -1
	for i := range k.layouts {
		l := &k.layouts[i]
		hits := 0
		for _, s := range slots {
			if s < len(l.ends) && l.ends[s] == one.end {
				hits++
			}
		}
		if hits == len(slots) {
			all = true
		} else if hits > 0 && some < 0 {
			some = i
		}
	}
	if all || some < 0 {
		return
	}
	for i, s := range slots {
		fits := false
		for j := range k.layouts {
			l := &k.layouts[j]
			fits = fits || s < len(l.ends) && l.ends[s] == one.end
		}
		if !fits {
			specs[i].clear()
		}
	}
}

// expand makes two specs into three or four: run x branch for tees, run x
// outlets for crosses (ASME B16.11), inlet x outlets for splitters.
func (st *state) expand(k *kindInfo, roles []plumb.EndRole, specs []spec, slots []int) []spec {
	m, n := len(specs), len(slots)
	if m != 2 || n < 3 {
		return nil
	}
	last := func() []spec {
		out := []spec{specs[0]}
		for len(out) < n {
			out = append(out, specs[1])
		}
		return out
	}
	first := func() []spec {
		var out []spec
		for len(out) < n-1 {
			out = append(out, specs[0])
		}
		return append(out, specs[1])
	}
	fits := func(s []spec) bool {
		for i, role := range slots {
			if !st.fitsRole(k, min(role, len(k.types)-1), &s[i]) {
				return false
			}
		}
		return true
	}
	switch {
	case n == 4 && !k.Repeat && k.ID == "cross":
		return []spec{specs[0], specs[0], specs[1], specs[1]}
	case k.branch >= 0 && n == 3:
		return first()
	case k.Repeat || roles[slots[1]].Name == "left" || roles[slots[1]].Name == "1":
		return last()
	}
	a, b := fits(first()), fits(last())
	switch {
	case a && !b:
		return first()
	case b && !a:
		return last()
	}
	return nil
}

// spread gives sizes to specs that were zipped from fewer sizes than ends.
func (st *state) spread(k *kindInfo, specs []spec) {
	known := 0
	for i := range specs {
		if specs[i].sz >= 0 {
			known++
		}
	}
	if len(specs) == 3 && specs[0].sz >= 0 && specs[1].sz < 0 && specs[2].sz >= 0 && specs[2].el >= 0 && k.branch == 2 &&
		specs[1].el >= 0 && specs[0].end == specs[1].end && specs[0].amb == specs[1].amb && (specs[0].end >= 0 || specs[0].amb != noAmb) {
		specs[1].sz, specs[1].size = specs[0].sz, specs[0].size // 3/4 C x C x 1/2 FIP: the run is of one size
		return
	}
	if known == 2 && len(specs) == 3 && specs[2].sz < 0 && specs[1].sz >= 0 && k.branch == 2 && specs[0].sz != specs[0].el {
		specs[2].sz, specs[2].size = specs[1].sz, specs[1].size
		specs[1].sz, specs[1].size = specs[0].sz, specs[0].size
	}
	if known == 2 && len(specs) == 3 && specs[2].el < 0 && specs[1].el >= 0 && specs[2].sz >= 0 {
		return
	}
}

func (st *state) wrongCount(k *kindInfo, roles []plumb.EndRole, m int) string {
	var names []string
	for i := range roles {
		if !k.isOpen(i) {
			names = append(names, roles[i].Name)
		}
	}
	what := " ends ("
	if len(names) == 1 {
		what = " end ("
	}
	have := " are given"
	if m == 1 {
		have = " is given"
	}
	return article(k.Title) + " has " + itoa(len(names)) + what + strings.Join(names, ", ") + ") to name; " + itoa(m) + have
}

// finish settles ambiguous ends, fills in what layouts say, and makes the ends.
func (st *state) finish(k *kindInfo, roles []plumb.EndRole, mat int16, put []spec) []spec {
	p := &st.out.Part
	n := len(put)
	known := slices.Grow(st.known[:0], 2*n)[:n]
	st.known = known
	var askedBuf [8]bool
	asked := slices.Grow(askedBuf[:0], n)[:n]
	for i := range put {
		s := &put[i]
		known[i] = -1
		switch {
		case s.alt >= 0:
			asked[i] = true
		case s.end >= 0:
			s.end = st.drainTwin(k, i, s.end)
			known[i] = s.end
		case s.amb != 0:
			// One token on several ends may be male on one and female on
			// the next; it is asked about once.
			told := false
			for j := range i {
				told = told || put[j].el == s.el && asked[j]
			}
			if !told {
				known[i] = st.settle(k, mat, i, s)
			}
			asked[i] = known[i] < 0
		case s.unk:
			asked[i] = true
		}
	}
	for i := range put {
		if known[i] < 0 && i < len(k.types) && len(k.types[i]) == 1 && !asked[i] {
			known[i] = k.types[i][0]
		}
	}
	ends := known
	if n >= len(k.Ends) {
		filled, others := st.layout(k, mat, known[:len(k.Ends)])
		for i := len(filled); i < n; i++ {
			e := known[i]
			if e < 0 {
				e = filled[len(k.Ends)-1]
			}
			filled = append(filled, e)
		}
		missing := ""
		assumed := false
		st.out.Usual = make([]bool, n)
		for i := range filled {
			if asked[i] {
				filled[i] = -1
				continue
			}
			if known[i] < 0 && filled[i] >= 0 && !k.isOpen(i) {
				assumed, st.out.Usual[i] = true, true
			}
			if filled[i] < 0 {
				if missing != "" {
					missing += ", "
				}
				missing += roles[i].Name
			}
		}
		ends = filled
		if missing != "" {
			msg := "end type not stated (" + missing + ")"
			if len(others) > 0 {
				msg += "; usual: " + strings.Join(others, ", ")
			}
			st.note(st.whole(), msg)
		} else if assumed {
			var parts []string
			for i, e := range ends {
				if e >= 0 && !k.isOpen(i) {
					parts = append(parts, st.endEcho(e))
				}
			}
			st.note(st.whole(), "ends not all stated; read as "+strings.Join(parts, " x ")+", as "+article(k.Title)+" is usually made")
		}
	}
	// One size stands for all ends that are sized alike; tube, hose and aerator
	// sizes are no pipe sizes, and the size of a named inlet says nothing about
	// an outlet nobody named.
	for i := range put {
		s := &put[i]
		if s.sz < 0 || s.el >= 0 {
			continue
		}
		if i > 0 && s.sz == put[0].sz && roles[i].Outlet && (k.Group == "tap" || k.Group == "faucet" || k.Group == "valve" && ends[i] < 0) {
			s.sz, s.size = -1, "" // the size stamped on a tap is that of its inlet
			continue
		}
		base, named := 0, false
		for j := range put {
			if put[j].el >= 0 && put[j].el == s.sz {
				base, named = j, true
				break
			}
		}
		if base == i || put[base].sz != s.sz {
			continue
		}
		own, of := "", ""
		if ends[i] >= 0 {
			own = sizing(st.r.ends[ends[i]])
		}
		if ends[base] >= 0 {
			of = sizing(st.r.ends[ends[base]])
		}
		if own != of && (named || own != "nominal" && own != "" && of == "" || own != "" && of != "") {
			s.sz, s.size = -1, ""
		}
	}
	st.swivels(k, roles, put)
	turned := len(put) == 2 && roles[0].Swivel != roles[1].Swivel && st.swivelTurned(roles, put, ends)
	p.Ends = make([]plumb.End, 0, n)
	noSize := ""
	for i := range put {
		s := &put[i]
		s.end = ends[i]
		role := roles[i]
		e := plumb.End{Name: role.Name, Swivel: role.Swivel, Outlet: role.Outlet, Joint: -1}
		if turned {
			e.Swivel = roles[1-i].Swivel
		}
		if s.end >= 0 && !canSwivel(st.r.ends[s.end]) {
			e.Swivel = false
		}
		if s.el >= 0 {
			x := &st.elems[s.el]
			e.Swivel = e.Swivel || x.swivel
			e.Washer = x.washer
		}
		if s.end >= 0 {
			e.Kind = st.r.ends[s.end]
			if e.Kind.ID == "OPEN" {
				e.Outlet = true
			}
		}
		if s.alt < 0 {
			e.Size = st.fixed(s, k)
			if e.Kind != nil && k.waste(st.r) {
				e.Size = st.wasteSize(s, e.Kind, e.Size)
			}
		}
		if e.Size == "" && e.Kind != nil && e.Kind.Sizing == "bore" && st.boreSize != "" {
			e.Size, s.sz = st.boreSize, st.boreElem // hose, 1/2 bore: so is its cut end
		}
		if e.Size == "" && s.alt < 0 && (e.Kind == nil || e.Kind.Sizing != "none") && !k.isOpen(i) {
			if noSize != "" {
				noSize += ", "
			}
			noSize += role.Name
		}
		if st.washer != plumb.Unknown && e.Washer == plumb.Unknown && takesWasher(e.Kind) {
			e.Washer = st.washer
		}
		s.size = e.Size
		p.Ends = append(p.Ends, e)
	}
	for i := range put {
		s := &put[i]
		if s.given && s.end >= 0 && i < len(k.types) && len(k.types[i]) > 0 && !contains16(k.types[i], s.end) {
			turned := k.Turnable && len(put) == 2 && contains16(k.types[1-i], s.end) &&
				(put[1-i].end < 0 || contains16(k.types[i], put[1-i].end))
			if !turned && s.el >= 0 {
				e := &st.elems[s.el]
				if i > 0 && len(st.out.Problems) == 0 && roles[i].Outlet && contains16(k.types[0], s.end) && put[0].el >= 0 && put[0].el != s.el {
					// 1/2 C x 1/2 MIP hose bibb: an inlet for either, and the outlet left out.
					a := &st.elems[put[0].el]
					st.problem(Range{a.from, e.to}, article(k.Title)+" has no "+st.r.ends[s.end].Title+" on its "+roles[i].Name+" end; its inlet may take either", "inlet x outlet", "", squeeze(st.s[a.from:a.to])+" / "+squeeze(st.s[e.from:e.to]))
					continue
				}
				if st.r.ends[s.end].ID == "HOSE" && s.alt < 0 && (i == 0 || put[i-1].el != s.el) {
					// 3/4 hose: the thread, or what a hose is pushed on.
					st.problem(Range{e.from, e.to}, article(k.Title)+" has no cut hose; \"hose\" may be a hose thread or a barb", "", "", st.sized(e, "MHT"), st.sized(e, "FHT"), st.sized(e, "BARB"))
					continue
				}
				st.note(Range{e.from, e.to}, article(k.Title)+" is not usually made with "+st.r.ends[s.end].Title+" on its "+roles[i].Name+" end")
			}
		}
	}
	if st.washer != plumb.Unknown {
		takes := false
		for i := range p.Ends {
			takes = takes || takesWasher(p.Ends[i].Kind)
		}
		if !takes {
			st.note(st.washerAt, "no end of "+article(k.Title)+", as it is read here, seals on a washer that may be missing")
		}
	}
	st.bore(k, put)
	if noSize != "" && !(k.tube && p.Bore.Known) {
		st.note(st.whole(), "size not stated ("+noSize+")")
	}
	st.unmade(k, put)
	st.unused(k, put)
	st.twoWay(put, roles)
	return put
}

// wasteSize is the size of an end in the sizes of metric waste pipe: the nut of a
// 40 mm trap goes on the thread of DN 40, and DN 40 pipe measures 40 mm outside, DN
// 100 pipe 110 mm (EN 1451-1, from memory).
func (st *state) wasteSize(s *spec, end *plumb.EndKind, size unit.Size) unit.Size {
	mm, metric := size.MM()
	switch {
	case end.Family == "iso228" && metric:
		if dn, err := unit.ParseSize("DN" + itoa(int(mm))); err == nil {
			return dn
		}
	case end.Family == "waste" && s.sz >= 0 && st.elems[s.sz].fig.unit == uDN:
		dn := int(st.elems[s.sz].fig.value())
		if dn == 100 {
			dn = 110
		}
		return unit.Size(itoa(dn) + " mm")
	}
	return size
}

// sizing lumps the ways of sizing whose figures agree from end to end.
func sizing(e *plumb.EndKind) string {
	switch e.Sizing {
	case "od", "bore", "aerator", "hose":
		return e.Sizing
	}
	return "nominal"
}

// canSwivel says whether an end may be a nut that turns on its part.
func canSwivel(e *plumb.EndKind) bool {
	switch e.Family {
	case "npt", "iso7":
		return e.Gender == plumb.Female
	case "solder", "solvent", "tube", "barb", "insert", "hub", "open", "pipe", "pex-crimp", "pex-expansion", "pex-press", "press":
		return false
	}
	return e.Gender == plumb.Female || e.Family == "compression"
}

// swivelTurned says whether the swivel end of a kind was written second.
func (st *state) swivelTurned(roles []plumb.EndRole, put []spec, ends []int16) bool {
	i := 0
	if roles[1].Swivel {
		i = 1
	}
	a, b := ends[i], ends[1-i]
	return a >= 0 && b >= 0 && !canSwivel(st.r.ends[a]) && canSwivel(st.r.ends[b])
}

// takesWasher says whether an end seals on a washer that can be missing: a hose
// nut, a straight-thread nut, a slip joint.
func takesWasher(e *plumb.EndKind) bool {
	if e == nil || e.Gender != plumb.Female {
		return false
	}
	switch e.Family {
	case "hose", "npsm", "npsh", "slip", "iso228":
		return true
	}
	return false
}

// fixed gives an end's size: that of its thread where there is only one, with a
// note where the phrase says another.
func (st *state) fixed(s *spec, k *kindInfo) unit.Size {
	if s.end < 0 {
		return s.size
	}
	only := st.r.fixed[s.end]
	kind := st.r.ends[s.end]
	if only == "" {
		if kind.Sizing == "none" {
			return ""
		}
		return st.tubeSize(s, kind)
	}
	if s.size != "" && s.size != only && s.sz >= 0 && s.sz == s.el && st.elems[s.sz].sized {
		e := &st.elems[s.sz]
		if kind.Sizing == "hose" {
			st.note(Range{e.from, e.to}, "a garden hose thread is always 3/4 (ASME B1.20.7); "+string(s.size)+" is the bore of a hose")
			if k != nil && k.Has(plumb.Flexible) && !st.out.Part.Bore.Known {
				if in, ok := s.size.Inches(); ok {
					st.out.Part.Bore, st.boreText = plumb.Some(unit.Length(in)*unit.Inch), string(s.size)
				}
			}
		} else {
			st.note(Range{e.from, e.to}, "this thread is always "+string(only))
		}
	}
	return only
}

// tubeSize turns an outside diameter that was said to be one into the nominal
// size of copper tube, 1/8 in less (ASTM B88), and a nominal size that was said
// to be one into the outside diameter where the end is sized by that.
func (st *state) tubeSize(s *spec, kind *plumb.EndKind) unit.Size {
	if s.sz < 0 {
		return s.size
	}
	e := &st.elems[s.sz]
	f := e.fig
	if f.d > 128 || f.unit == uMM || f.unit == uDN {
		return s.size
	}
	var msg string
	switch {
	case e.od && kind.Sizing == "cts":
		f.n, msg = f.n*8-f.d, " outside diameter is nominal "
	case e.nominal && kind.Sizing == "od":
		f.n, msg = f.n*8+f.d, " nominal is outside diameter "
	default:
		return s.size
	}
	f.d *= 8
	if size, ok := st.r.size(&f); ok {
		st.note(Range{e.from, e.to}, string(s.size)+msg+string(size)+" (ASTM B88: outside is 1/8 in more)")
		return size
	}
	return s.size
}

// bore keeps the figure of a hose: its bore, as the threads are 3/4 anyway.
func (st *state) bore(k *kindInfo, put []spec) {
	p := &st.out.Part
	if p.Bore.Known || !k.Has(plumb.Flexible) {
		return
	}
	for i := range put {
		s := &put[i]
		if s.sz < 0 || !st.elems[s.sz].sized || s.end < 0 {
			continue
		}
		kind := st.r.ends[s.end]
		hoseSize := kind.Sizing == "hose" && !st.elems[s.sz].hasEnd() || kind.Sizing == "bore"
		if !hoseSize {
			continue
		}
		f := st.elems[s.sz].fig
		if f.unit == uNone {
			f.unit = uIn
		}
		if v, ok := f.length(); ok {
			p.Bore, st.boreText = plumb.Some(v), squeeze(st.s[f.from:f.to])
			return
		}
	}
}

// badSizes complains about figures that are no sizes.
func (st *state) badSizes() {
	for i := range st.elems {
		e := &st.elems[i]
		if !e.sized || e.used {
			continue
		}
		at := Range{e.fig.from, e.fig.to}
		if f := &e.fig; f.mixed && (f.unit == uNone || f.unit == uIn) && !soldMixed(f) {
			var choices []string
			if f.unit == uNone {
				n, part := itoa(int(f.n/f.d)), mixed(int(f.n%f.d), int(f.d))
				choices = []string{n + " x " + part}
				if st.start < len(st.atoms) && f.from == st.atoms[st.start].from && st.out.Part.Count == 1 {
					choices = []string{n + " ea " + part, n + " x " + part}
				}
			}
			st.problem(at, quote(st.text(at))+" is no size the trade has; it may be two figures", "a size such as 1-1/2", "", choices...)
			e.sized = false
			continue
		}
		if _, ok := st.r.size(&e.fig); ok {
			continue
		}
		t := st.s[e.fig.from:e.fig.to]
		v := e.fig.value()
		switch {
		case e.fig.unit == uNone && e.fig.whole && v > 6 && v <= 400:
			choices := []string{t + " mm"}
			if _, err := unit.ParseSize("DN" + t); err == nil {
				choices = append(choices, "DN"+t)
			}
			st.problem(at, t+" what? no inch size is that large here", "a size such as 3/4, 22 mm or DN20", "", choices...)
		case e.fig.unit == uIn && v > 6 && st.out.Part.Kind == nil && len(st.out.Problems) > 0:
			// Whether that is a length hangs on the kind, which is asked for.
		case e.fig.unit == uIn && v > 6:
			st.problem(at, t+" is no size of an end, and this part has no length to give", "a size such as 3/4", "")
		default:
			_, err := unit.ParseSize(strings.TrimSpace(t))
			near := ""
			if ue, ok := err.(*unit.Error); ok {
				near = ue.Nearest
			}
			st.problem(at, quote(t)+" is no size the trade names", "a size such as 3/4, 1-1/2, 22 mm or DN20", near)
		}
		e.sized = false
	}
}

// unmade notes sizes the kind is not sold in.
func (st *state) unmade(k *kindInfo, put []spec) {
	for i := range put {
		s := &put[i]
		if s.size == "" || s.sz < 0 || s.end >= 0 && st.r.fixed[s.end] != "" || st.made(k, s.size) {
			continue
		}
		if _, metric := s.size.MM(); metric && !st.metric(k) {
			continue
		}
		e := &st.elems[s.sz]
		msg := article(k.Title) + " is not usually made in " + string(s.size)
		for i := range st.notes {
			if st.notes[i].Msg == msg {
				msg = ""
			}
		}
		if msg != "" {
			st.note(Range{e.from, e.to}, msg)
		}
	}
}

func (st *state) sizesGiven() int {
	n := 0
	for i := range st.elems {
		if e := &st.elems[i]; e.sized && !e.used && !e.with && !e.isAlt {
			n++
		}
	}
	return n
}

// sized writes an end with the size of an element.
func (st *state) sized(e *elem, end string) string {
	if !e.sized {
		return end
	}
	return squeeze(st.s[e.fig.from:e.fig.to]) + " " + end
}

// unused notes figures that became the size of no end, as hose threads and the
// ends of what is there already have none to be named.
func (st *state) unused(k *kindInfo, put []spec) {
	for i := range st.elems {
		e := &st.elems[i]
		if !e.sized || e.used || e.hasEnd() || e.with || e.isAlt || st.out.Part.Bore.Known {
			continue
		}
		at := Range{e.fig.from, e.fig.to}
		size, _ := st.r.size(&e.fig)
		own := false
		for j := range put {
			s := &put[j]
			own = own || s.size == size || s.sz == i && s.size != "" && (s.end < 0 || st.r.fixed[s.end] == "")
		}
		if !own && e.role == "out" && e.fig.whole && e.fig.n > 1 {
			st.problem(Range{e.from, e.to}, quote(st.s[e.from:e.to])+" may be a size or how many outlets there are; neither is known of "+article(k.Title), "the kind of part that has as many", "")
			continue
		}
		if !own && st.sizesGiven() > 1 && len(st.out.Problems) == 0 {
			st.problem(at, quote(st.text(at))+" is the size of no end, so the sizes and ends cannot be told apart", "each size in front of its end: 22 mm COMP x 3/4 MIP", "")
			continue
		}
		if !own {
			st.note(at, quote(st.text(at))+" is the size of no end of "+article(k.Title)+" as it is read here")
		}
	}
}

func (st *state) metric(k *kindInfo) bool {
	for _, s := range k.Sizes {
		if _, ok := s.MM(); ok {
			return true
		}
	}
	return false
}

// swivels gives a loose "swivel" to the ends that can be one: nuts.
func (st *state) swivels(k *kindInfo, roles []plumb.EndRole, put []spec) {
	if st.swivelAt.To == 0 {
		return
	}
	for i := range roles {
		if roles[i].Swivel {
			return // the kind has it
		}
	}
	st.note(st.swivelAt, "which end swivels is not stated")
	st.keep(st.swivelAt)
}

// twoWay notes an end that can be used in two ways: 1/2 MIP / 3/4 C.
func (st *state) twoWay(put []spec, roles []plumb.EndRole) {
	for i := range put {
		s := &put[i]
		if s.alt < 0 || s.el < 0 {
			continue
		}
		a, b := &st.elems[s.el], &st.elems[s.alt]
		at := Range{a.from, b.to}
		st.note(at, "the "+roles[i].Name+" end can be used in two ways; which one is not stated",
			squeeze(st.s[a.from:a.to]), st.altText(a, b))
	}
}

func (st *state) altText(a, b *elem) string {
	t := squeeze(st.s[b.from:b.to])
	if !b.sized && a.sized {
		return squeeze(st.s[a.fig.from:a.fig.to]) + " " + t
	}
	return t
}
