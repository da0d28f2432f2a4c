package report

import (
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/src"
	"tapwright/plumb/takeoff"
	"tapwright/plumb/unit"
	"tapwright/rules"
)

// The formats of a parts list beside those of every document.
const (
	CSVFormat      = "csv"
	MarkdownFormat = "markdown"
)

// TakeoffFormats lists the formats of a parts list, the usual one first.
var TakeoffFormats = []string{TextFormat, CSVFormat, MarkdownFormat, JSONFormat}

// Takeoff holds the parts lists of one or more run files, each for itself.
type Takeoff struct {
	Head
	Files []TakeoffFile `json:"files"`
}

// TakeoffFile is the parts list of one run file.
type TakeoffFile struct {
	Name     string           `json:"name"`
	Title    string           `json:"title"`
	Read     string           `json:"read"`
	Profile  string           `json:"profile"` // "" where nothing was checked
	Problems []Problem        `json:"problems"`
	Items    []TakeoffItem    `json:"items"`
	Notes    []string         `json:"notes"`
	Findings []TakeoffFinding `json:"findings"` // those that touch no line
}

// TakeoffItem is one line of a list.
type TakeoffItem struct {
	Item     int    `json:"item"`    // its number, from 1
	Section  string `json:"section"` // buy, wanted, supplies, tools, test kit, there
	Service  string `json:"service"` // water, waste, or "" where it serves both
	Group    string `json:"group"`   // of a part; "" for all else
	Kind     string `json:"kind"`    // "" where it is no part of the catalogue
	Name     string `json:"name"`
	Quantity string `json:"quantity"` // in words
	// Amount counts Unit: ea, m, roll, joints; null where it is not known or
	// not counted.
	Amount *float64 `json:"amount"`
	Unit   string   `json:"unit"`
	// Pieces is how many the run has; spares are not in it.
	Pieces    int              `json:"pieces"`
	Spares    int              `json:"spares"`
	Sizes     []string         `json:"sizes"`
	Bore      *Measure         `json:"bore"`
	Ends      []TakeoffEnd     `json:"ends"`
	Material  string           `json:"material"` // "" where not known
	LookFor   []TakeoffMark    `json:"lookFor"`
	Rating    *TakeoffRating   `json:"rating"`
	Length    *Measure         `json:"length"` // of each piece
	Cuts      []Measure        `json:"cuts"`
	Unstated  int              `json:"unstated"` // pieces of unknown length
	Net       *Measure         `json:"net"`
	Allowance float64          `json:"allowance"` // the share added to net
	Total     *Measure         `json:"total"`
	Least     *Measure         `json:"least"` // bounds of an estimate
	Most      *Measure         `json:"most"`
	Ask       []string         `json:"ask"`
	Note      string           `json:"note"`
	Basis     string           `json:"basis"`
	Where     []TakeoffWhere   `json:"where"`
	Findings  []TakeoffFinding `json:"findings"`
	Sources   []Source         `json:"sources"`
}

// Measure is a length in metres and in words, in both unit systems.
type Measure struct {
	M    float64 `json:"m"`
	Text string  `json:"text"`
}

// TakeoffEnd is an end, or several that are alike.
type TakeoffEnd struct {
	Number int    `json:"number"`
	Name   string `json:"name"` // "" where several are alike
	Size   string `json:"size"`
	Type   string `json:"type"`
	Title  string `json:"title"`
	Gender string `json:"gender"` // male, female, plain or ""
	Swivel bool   `json:"swivel"`
}

// TakeoffMark is something to look for on the label.
type TakeoffMark struct {
	Mark       string `json:"mark"`
	Why        string `json:"why"`
	FromMemory bool   `json:"fromMemory"`
}

// TakeoffRating is a pressure in pascals and in words. Stated is false for a
// pressure that the part must stand.
type TakeoffRating struct {
	Pa     *float64 `json:"pa"`
	Text   string   `json:"text"`
	Stated bool     `json:"stated"`
}

// TakeoffWhere is a place in the run.
type TakeoffWhere struct {
	Name string `json:"name"`
	Line string `json:"line"` // of the run or drain
	At   *Place `json:"at"`
}

// TakeoffFinding is a finding on a line of the list.
type TakeoffFinding struct {
	Rule    string `json:"rule"`
	Level   string `json:"level"` // of the worst answer, where unknown
	Unknown bool   `json:"unknown"`
	Message string `json:"message"`
}

// TakeoffOf puts parts lists together.
func TakeoffOf(tool Tool, files []TakeoffFile) *Takeoff {
	if files == nil {
		files = []TakeoffFile{}
	}
	return &Takeoff{Head{Schema, tool}, files}
}

// TakeoffUnread is a file of which nothing could be used.
func TakeoffUnread(name string, problems []src.Problem) TakeoffFile {
	return TakeoffFile{Name: name, Read: ReadNothing, Problems: problemsOf(problems), Items: []TakeoffItem{}, Notes: []string{}, Findings: []TakeoffFinding{}}
}

// TakeoffRefs are the findings of a result as a parts list takes them. Those
// that the user answered for are left out.
func TakeoffRefs(res *rules.Result) (refs []takeoff.Ref) {
	for i := range res.Findings {
		if f := &res.Findings[i]; f.Waived == "" {
			refs = append(refs, takeoff.Ref{Rule: f.Rule, Level: f.Level.String(), Unknown: f.Unknown, Message: f.Message, Parts: f.Parts, Joint: f.Joint})
		}
	}
	return refs
}

// TakeoffFileOf shows the parts list of a file.
func TakeoffFileOf(name string, problems []src.Problem, profile string, list *takeoff.List) TakeoffFile {
	f := TakeoffUnread(name, problems)
	f.Title, f.Profile, f.Read = list.Title, profile, ReadWhole
	if len(problems) > 0 {
		f.Read = ReadPart
	}
	f.Notes = append(f.Notes, list.Notes...)
	f.Findings = takeoffFindings(list.Refs)
	for i := range list.Items {
		f.Items = append(f.Items, takeoffItem(i+1, &list.Items[i]))
	}
	return f
}

func takeoffItem(n int, it *takeoff.Item) TakeoffItem {
	out := TakeoffItem{
		Item: n, Section: it.Section.String(), Group: it.Group, Name: it.Name, Quantity: takeoffQuantity(it), Pieces: it.Count - it.Spares, Spares: it.Spares,
		Sizes: []string{}, Ends: []TakeoffEnd{}, LookFor: []TakeoffMark{}, Cuts: []Measure{}, Unstated: it.Unstated, Allowance: it.Allowance,
		Bore: measure(it.Bore.V), Length: measure(it.Length.V), Net: measure(it.Net), Total: measure(it.Total), Least: measure(it.Least), Most: measure(it.Most),
		Ask: words(it.Ask), Note: it.Note, Basis: it.Basis, Where: []TakeoffWhere{}, Findings: takeoffFindings(it.Refs), Sources: sources(it.Cites),
	}
	for _, s := range services {
		if it.Service == s.is {
			out.Service = s.word
		}
	}
	if it.Kind != nil {
		out.Kind = it.Kind.ID
	}
	if it.Material != nil {
		out.Material = it.Material.Title
	}
	out.Amount, out.Unit = amount(it)
	for _, s := range it.Sizes {
		out.Sizes = append(out.Sizes, string(s))
	}
	for _, e := range it.Ends {
		end := TakeoffEnd{Number: e.Number, Name: e.Name, Size: string(e.Size), Swivel: e.Swivel}
		if e.Kind != nil {
			end.Type, end.Title, end.Gender = e.Kind.ID, e.Kind.Title, e.Kind.Gender.String()
		}
		out.Ends = append(out.Ends, end)
	}
	for _, m := range it.Marks {
		out.LookFor = append(out.LookFor, TakeoffMark{m.Text, m.Why, m.Memory})
	}
	if r := it.Rating; r.Note != "" || r.Pressure.Known {
		out.Rating = rating(r)
	}
	for _, c := range it.Cuts {
		out.Cuts = append(out.Cuts, *measure(c))
	}
	for _, w := range it.Where {
		where := TakeoffWhere{Name: w.Name, Line: w.Line}
		if w.At.Line > 0 {
			where.At = place(w.At)
		}
		out.Where = append(out.Where, where)
	}
	return out
}

func rating(r takeoff.Rating) *TakeoffRating {
	out := &TakeoffRating{Text: r.Note, Stated: r.Stated}
	if r.Pressure.Known {
		pa := math.Round(float64(r.Pressure.V))
		out.Pa = &pa
		out.Text = r.Pressure.V.Both()
		if r.Note != "" {
			out.Text += ", " + r.Note
		}
	}
	return out
}

func takeoffFindings(refs []takeoff.Ref) []TakeoffFinding {
	out := []TakeoffFinding{}
	for _, r := range refs {
		out = append(out, TakeoffFinding{r.Rule, r.Level, r.Unknown, r.Message})
	}
	return out
}

// measure shows a length; 0 is one that is not known.
func measure(l unit.Length) *Measure {
	if l == 0 {
		return nil
	}
	return &Measure{math.Round(float64(l)*1e6) / 1e6, l.Both()}
}

// amount is the quantity as a number.
func amount(it *takeoff.Item) (*float64, string) {
	v, name := float64(it.Count), it.Unit.String()
	switch it.Unit {
	case takeoff.AsNeeded:
		return nil, ""
	case takeoff.ByLength:
		if it.Total == 0 {
			return nil, "m"
		}
		v, name = math.Round(float64(it.Total)*1e6)/1e6, "m"
	}
	return &v, name
}

// takeoffQuantity is what to ask for at the counter.
func takeoffQuantity(it *takeoff.Item) string {
	switch it.Unit {
	case takeoff.AsNeeded:
		return ""
	case takeoff.ByLength:
		switch {
		case it.Total == 0:
			return "length not stated"
		case it.Unstated > 0:
			return "more than " + it.Total.Both()
		}
		return it.Total.Both()
	case takeoff.Rolls:
		return fmt.Sprintf("%s of %.0f in (%s)", count(it.Count, "roll"), float64(it.Roll/unit.Inch), it.Roll.SI())
	case takeoff.Joints:
		return "for " + count(it.Count, "joint")
	}
	return fmt.Sprintf("%d ea", it.Count)
}

// WriteTakeoff writes parts lists in one of the TakeoffFormats.
func WriteTakeoff(w io.Writer, format string, doc *Takeoff, style Style) error {
	switch format {
	case CSVFormat:
		return doc.csv(w)
	case MarkdownFormat:
		return doc.markdown(w)
	}
	return Write(w, format, doc, style)
}

// sectionTitles are the headings, by section.
var sectionTitles = map[string]string{
	"buy":      "To buy",
	"wanted":   "Still to be found",
	"supplies": "Used up by the joints",
	"tools":    "Tools",
	"test kit": "For the test",
	"there":    "Already there, not to buy",
}

const estimateWord = "Tape, solder, spares and the allowance on pipe are estimates to shop by, not figures of a standard."

func (t *Takeoff) text(p *page) {
	for i := range t.Files {
		t.Files[i].text(p)
	}
	p.para("", 0, estimateWord)
	p.para("", 0, lastWord)
}

func (f *TakeoffFile) text(p *page) {
	title := "parts list"
	if f.Title != "" {
		title = f.Title + ": " + title
	}
	p.para(Clean(f.Name)+": ", 4, title)
	p.line("")
	for k := range f.Problems {
		f.Problems[k].text(p, f.Name)
	}
	switch f.Read {
	case ReadNothing:
		p.para("", 0, "The file could not be read, so there is no list.")
		p.line("")
		return
	case ReadPart:
		p.para("", 0, "The file could not be read in full: this list is not complete.")
		p.line("")
	}
	head, first := "", map[TakeoffFinding]int{}
	for k := range f.Items {
		it := &f.Items[k]
		if h := it.head(); h != head {
			if head != "" {
				p.line("")
			}
			head = h
			p.line(h)
		}
		it.text(p, first)
	}
	if len(f.Items) > 0 {
		p.line("")
	}
	for _, x := range f.Findings {
		p.para(p.level(x.word())+": ", 4, x.Message+" ["+x.Rule+"]")
	}
	for _, n := range f.Notes {
		p.para("note: ", 4, n)
	}
	var all []Source
	for k := range f.Items {
		all = append(all, f.Items[k].Sources...)
	}
	for _, s := range once(all) {
		p.field(0, "source", s.String())
	}
	p.line("")
}

// head is the heading a line stands under.
func (it *TakeoffItem) head() string {
	text := sectionTitles[it.Section]
	if it.Group != "" {
		text += ": " + it.groupTitle()
	}
	return text
}

var groupTitles = map[string]string{
	"pipe": "pipe and tube", "taps": "taps and faucets", "backflow": "backflow protection", "treatment": "pumps and treatment",
	"hose": "hose and hose goods",
}

func (it *TakeoffItem) groupTitle() string {
	text := it.Group
	if long := groupTitles[text]; long != "" {
		text = long
	}
	if it.Service == "waste" && it.Group != "drain" {
		text += ", waste"
	}
	return text
}

func (it *TakeoffItem) text(p *page, first map[TakeoffFinding]int) {
	lead := fmt.Sprintf("%3d. ", it.Item)
	if it.Section != "there" && it.Section != "wanted" {
		lead = "[ ]" + lead
	}
	in := len(lead)
	p.para(lead, in, strings.TrimSpace(it.Quantity+"  ")+blankIf(it.Quantity)+it.Name+it.sizeNote())
	p.field(in, "ends", it.ends())
	p.field(in, "cut", it.cuts())
	if it.Rating != nil && it.Rating.Stated {
		p.field(in, "stands", it.Rating.Text)
	}
	p.field(in, "look for", it.lookFor(true))
	if it.Section != "tools" && it.Section != "test kit" {
		p.field(in, "where", it.where())
	}
	p.field(in, "counted", it.basis())
	p.field(in, "note", it.Note)
	for _, a := range it.Ask {
		p.field(in, "ask", a)
	}
	for _, f := range it.Findings {
		text := f.Message
		if n, ok := first[f]; ok {
			text = fmt.Sprintf("as on line %d", n)
		} else {
			first[f] = it.Item
		}
		p.para(strings.Repeat(" ", in)+p.level(f.word())+": ", in+4, text+" ["+f.Rule+"]")
	}
}

func blankIf(quantity string) string {
	if quantity == "" {
		return ""
	}
	return " "
}

// sizeNote gives the sizes of what has no ends to say them.
func (it *TakeoffItem) sizeNote() string {
	counted := it.Unit == takeoff.Each.String() || it.Section == takeoff.Tools.String()
	if len(it.Ends) > 0 || len(it.Sizes) == 0 || !counted || strings.HasPrefix(it.Name, it.Sizes[0]+" ") {
		return ""
	}
	return ", " + strings.Join(it.Sizes, ", ")
}

func (f TakeoffFinding) word() string {
	if f.Unknown {
		return "unknown"
	}
	return f.Level
}

// ends spells the ends out with their genders. The plain ends of what is cut to
// length say nothing.
func (it *TakeoffItem) ends() string {
	var list []string
	for _, e := range it.Ends {
		if it.Unit == "m" && e.Gender == plumb.Plain.String() {
			continue
		}
		list = append(list, e.String())
	}
	return strings.Join(list, "; ")
}

func (e TakeoffEnd) String() string {
	text := e.Name
	if e.Number > 1 {
		text = strconv.Itoa(e.Number) + " ends"
	}
	if text != "" {
		text += " "
	}
	switch {
	case e.Type == "OPEN":
		text += "where water leaves"
	case e.Type == "" && e.Size == "":
		text += "not known"
	case e.Type == "":
		text += e.Size + ", thread or joint not known"
	case e.Size == "":
		text += e.Type + ", " + e.Title
	default:
		text += e.Size + " " + e.Type + ", " + e.Title
	}
	if e.Gender != "" && !strings.Contains(e.Title, e.Gender) {
		text += ", " + e.Gender
	}
	if e.Swivel {
		text += ", swivel"
	}
	return text
}

func (it *TakeoffItem) cuts() string {
	if len(it.Cuts) == 0 || len(it.Cuts) == 1 && it.Allowance == 0 && it.Unstated == 0 {
		return ""
	}
	var list []string
	for i := 0; i < len(it.Cuts); {
		n := 1
		for i+n < len(it.Cuts) && it.Cuts[i+n] == it.Cuts[i] {
			n++
		}
		text := it.Cuts[i].Text
		if n > 1 {
			text = fmt.Sprintf("%d times %s", n, text)
		}
		list = append(list, text)
		i += n
	}
	text := strings.Join(list, "; ")
	if it.Unstated > 0 {
		text += fmt.Sprintf("; and %s of a length not stated", count(it.Unstated, "piece"))
	}
	if it.Net != nil && len(it.Cuts) > 1 {
		text += "; net " + it.Net.Text
	}
	return text
}

// basis says how a quantity was made.
func (it *TakeoffItem) basis() string {
	text := it.Basis
	if it.Spares > 0 || it.Basis == "" || it.Unit != takeoff.Rolls.String() || it.Net == nil {
		return text
	}
	text += ": about " + it.Net.about()
	if it.Least != nil && it.Most != nil {
		text += fmt.Sprintf(", at least %s and at most %s", it.Least.about(), it.Most.about())
	}
	return text
}

// about writes an estimate in whole inches and centimetres.
func (m *Measure) about() string {
	return fmt.Sprintf("%.0f in (%.0f cm)", m.M/float64(unit.Inch), m.M*100)
}

func (it *TakeoffItem) lookFor(memory bool) string {
	var list []string
	for _, m := range it.LookFor {
		text := m.Mark
		if memory && m.FromMemory && !strings.HasPrefix(text, "NSF/ANSI/CAN ") {
			text += " (from memory)"
		}
		if m.Mark == "NSF/ANSI/CAN 372" {
			text += " (lead-free)"
		}
		list = append(list, text)
	}
	return strings.Join(list, "; ")
}

// where names the places, those of one run behind each other.
func (it *TakeoffItem) where() string {
	var list []string
	for i := 0; i < len(it.Where); {
		w := it.Where[i]
		text := w.Line
		if w.Name != "" {
			text = w.Name + " in " + text
		}
		var lines []string
		for ; i < len(it.Where) && it.Where[i].Line == w.Line && it.Where[i].Name == w.Name; i++ {
			if at := it.Where[i].At; at != nil {
				lines = append(lines, strconv.Itoa(at.Line))
			}
		}
		switch lines = once(lines); len(lines) {
		case 0:
		case 1:
			text += ", line " + lines[0]
		default:
			text += ", lines " + strings.Join(lines, ", ")
		}
		list = append(list, text)
	}
	return strings.Join(once(list), "; ")
}

var takeoffColumns = []string{
	"file", "item", "section", "service", "group", "quantity", "unit", "pieces", "spares", "name", "sizes", "ends", "material", "look_for", "rating",
	"each_ft", "each_m", "net_ft", "net_m", "total_ft", "total_m", "unstated", "ask", "basis", "note", "where", "findings", "sources",
}

// csv writes all lists as one table (RFC 4180: CRLF at the end of each record).
// What is no line of a list, a problem, note or finding, is a row of its own
// section.
func (t *Takeoff) csv(w io.Writer) error {
	out := csv.NewWriter(w)
	out.UseCRLF = true
	write := func(row map[string]string) {
		fields := make([]string, len(takeoffColumns))
		for i, c := range takeoffColumns {
			fields[i] = cell(row[c])
		}
		out.Write(fields) // the error is kept until Error
	}
	out.Write(takeoffColumns)
	for i := range t.Files {
		f := &t.Files[i]
		for _, pr := range f.Problems {
			text := at(f.Name, pr.Start) + ": " + pr.Message
			if pr.Expected != "" {
				text += "; expected " + pr.Expected
			}
			write(map[string]string{"file": f.Name, "section": "problem", "note": text})
		}
		for k := range f.Items {
			write(f.Items[k].row(f.Name))
		}
		for _, x := range f.Findings {
			write(map[string]string{"file": f.Name, "section": "finding", "findings": x.String()})
		}
		for _, n := range f.Notes {
			write(map[string]string{"file": f.Name, "section": "note", "note": n})
		}
	}
	out.Flush()
	return out.Error()
}

// cell cleans somebody else's words for a table. A spreadsheet takes what begins
// with one of these signs for a formula and runs it, so a quote goes before it.
func cell(s string) string {
	s = Clean(s)
	if s != "" && strings.ContainsRune("=+-@", rune(s[0])) {
		return "'" + s
	}
	return s
}

func (f TakeoffFinding) String() string {
	return fmt.Sprintf("%s: %s [%s]", f.word(), f.Message, f.Rule)
}

func (it *TakeoffItem) row(file string) map[string]string {
	row := map[string]string{
		"file": file, "item": strconv.Itoa(it.Item), "section": it.Section, "service": it.Service, "group": it.Group, "unit": it.Unit,
		"name": it.Name, "sizes": strings.Join(it.Sizes, " x "), "ends": it.ends(), "material": it.Material, "look_for": it.lookFor(false),
		"ask": strings.Join(it.Ask, " "), "basis": it.basis(), "note": it.Note, "where": it.where(),
	}
	if it.Amount != nil {
		row["quantity"] = number(*it.Amount)
		if it.Unit != "m" {
			row["pieces"] = strconv.Itoa(it.Pieces)
		}
	}
	if it.Unit == "m" {
		row["pieces"] = strconv.Itoa(it.Pieces)
		row["unstated"] = strconv.Itoa(it.Unstated)
	}
	if it.Spares > 0 {
		row["spares"] = strconv.Itoa(it.Spares)
	}
	if it.Rating != nil {
		row["rating"] = it.Rating.Text
	}
	for _, c := range []struct {
		name string
		m    *Measure
	}{{"each", it.Length}, {"net", it.Net}, {"total", it.Total}} {
		if c.m != nil {
			row[c.name+"_m"] = number(c.m.M)
			row[c.name+"_ft"] = number(c.m.M / float64(unit.Foot))
		}
	}
	var findings, cites []string
	for _, f := range it.Findings {
		findings = append(findings, f.String())
	}
	for _, s := range it.Sources {
		cites = append(cites, s.String())
	}
	row["findings"], row["sources"] = strings.Join(findings, "; "), strings.Join(cites, "; ")
	return row
}

// number writes at most four decimals.
func number(v float64) string {
	return strconv.FormatFloat(math.Round(v*1e4)/1e4, 'f', -1, 64)
}

// markdown writes a heading for each file and a table for each section.
func (t *Takeoff) markdown(w io.Writer) error {
	p := &page{w: w}
	for i := range t.Files {
		f := &t.Files[i]
		title := f.Title
		if title == "" {
			title = f.Name
		}
		p.line("# " + md(title) + ": parts list")
		p.line("")
		p.line("File: " + md(f.Name))
		p.line("")
		for _, pr := range f.Problems {
			p.line("- **error:** " + md(at(f.Name, pr.Start)+": "+pr.Message+" [unreadable]"))
		}
		switch f.Read {
		case ReadNothing:
			p.line("\nThe file could not be read, so there is no list.\n")
			continue
		case ReadPart:
			p.line("\nThe file could not be read in full: this list is not complete.\n")
		}
		section := ""
		for k := range f.Items {
			it := &f.Items[k]
			if it.Section != section {
				if section != "" {
					p.line("")
				}
				section = it.Section
				p.line("## " + sectionTitles[section])
				p.line("")
				p.line("| No. | Quantity | What | Ends | Look for | Where | Mind |")
				p.line("|----:|----------|------|------|----------|-------|------|")
			}
			p.line("| " + strings.Join(it.cells(), " | ") + " |")
		}
		if section != "" {
			p.line("")
		}
		for _, x := range f.Findings {
			p.line("- **" + x.word() + ":** " + md(x.Message+" ["+x.Rule+"]"))
		}
		for _, n := range f.Notes {
			p.line("- " + md(n))
		}
		if len(f.Findings)+len(f.Notes) > 0 {
			p.line("")
		}
	}
	p.line(estimateWord)
	p.line("")
	p.line(lastWord)
	return p.err
}

// cells are the cells of a line in Markdown.
func (it *TakeoffItem) cells() []string {
	what := md(it.Name + it.sizeNote())
	if it.Group != "" {
		what = "*" + md(it.groupTitle()) + "*: " + what
	}
	var look []string
	if s := it.lookFor(true); s != "" {
		look = append(look, md(s))
	}
	if it.Rating != nil && it.Rating.Stated {
		look = append(look, "stands "+md(it.Rating.Text))
	}
	var mind []string
	for _, s := range []string{it.cuts(), it.basis(), it.Note} {
		if s != "" {
			mind = append(mind, md(s))
		}
	}
	for _, a := range it.Ask {
		mind = append(mind, "**ask:** "+md(a))
	}
	for _, f := range it.Findings {
		mind = append(mind, "**"+f.word()+":** "+md(f.Message+" ["+f.Rule+"]"))
	}
	where := it.where()
	if it.Section == "tools" || it.Section == "test kit" {
		where = ""
	}
	return []string{strconv.Itoa(it.Item), md(it.Quantity), what, md(it.ends()), strings.Join(look, "; "), md(where), strings.Join(mind, "<br>")}
}

var mdEscapes = strings.NewReplacer(`\`, `\\`, `|`, `\|`, "`", "\\`", `*`, `\*`, `_`, `\_`, `<`, `\<`, `>`, `\>`, `[`, `\[`, `]`, `\]`)

// md writes somebody else's words so that Markdown shows them as they are.
func md(s string) string { return mdEscapes.Replace(Clean(s)) }
