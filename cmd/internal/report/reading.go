package report

import (
	"fmt"
	"math"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/phrase"
	"tapwright/plumb/src"
)

// PhraseName stands for the file name where something is asked of a phrase.
const PhraseName = "<phrase>"

// Reading is how a trade phrase was understood.
type Reading struct {
	Head
	Phrase     string    `json:"phrase"`
	Understood string    `json:"understood"` // the phrase in the trade's order, "" where not understood
	Beside     string    `json:"beside"`     // what it is where it is no part of a run: washer, sealant, tool …
	Name       string    `json:"name"`
	Kind       *KindRef  `json:"kind"` // null where it is not known
	Ends       []End     `json:"ends"`
	Material   string    `json:"material"`
	Finish     string    `json:"finish"`
	LeadFree   string    `json:"leadFree"` // yes, no or unknown
	LeadSaid   bool      `json:"leadSaid"` // the phrase says so itself
	Listed     string    `json:"listed"`   // for drinking water
	OtherWater bool      `json:"otherWater"`
	Device     *Device   `json:"device"`
	Breaker    string    `json:"breaker"` // has it a vacuum breaker inside?
	Existing   bool      `json:"existing"`
	Wanted     bool      `json:"wanted"`
	Count      int       `json:"count"`
	Length     *Quantity `json:"length"`
	Bore       *Quantity `json:"bore"`
	Rating     *Quantity `json:"rating"`
	Series     string    `json:"series"`
	Marks      []string  `json:"marks"`
	Words      []string  `json:"words"`    // words that carry no figure
	Problems   []Problem `json:"problems"` // what has to be asked of it
	Notes      []Problem `json:"notes"`
	Others     []Other   `json:"others"`  // the readings that stand beside this one, the likeliest first
	Taken      []Taken   `json:"taken"`   // what each stretch of the phrase was taken for
	Weighed    []Weighed `json:"weighed"` // the readings that were weighed; the one with the least against it is taken
	tap        bool      // whether a built-in breaker is a question at all
}

// Other is a reading that stands beside the first.
type Other struct {
	Kind       *KindRef `json:"kind"`
	Understood string   `json:"understood"`
	Ends       []End    `json:"ends"`
	Phrase     string   `json:"phrase"` // what to write so that only this one is meant
}

// Taken is what a stretch of a phrase was taken for.
type Taken struct {
	Text string `json:"text"`
	As   string `json:"as"`
}

// Weighed is a reading that was weighed, and what speaks against it.
type Weighed struct {
	Kind    *KindRef `json:"kind"` // null where no part is named
	Against float64  `json:"against"`
	Why     []string `json:"why"`
}

// KindRef names a kind of part.
type KindRef struct {
	ID    string `json:"id"`
	Title string `json:"title"`
}

// End is one end of a part.
type End struct {
	Name   string `json:"name"`
	Size   string `json:"size"`
	Type   string `json:"type"`
	Title  string `json:"title"`
	Swivel bool   `json:"swivel"`
	Outlet bool   `json:"outlet"`
}

// Quantity is a figure in SI units, and as people read it.
type Quantity struct {
	Value float64 `json:"value"`
	Unit  string  `json:"unit"`
	Text  string  `json:"text"`
}

// Device is a kind of backflow protection and what it stands against.
type Device struct {
	ID           string    `json:"id"`
	Title        string    `json:"title"`
	Standards    []string  `json:"standards"`
	Hazard       string    `json:"hazard"`       // the worst behind it: none, low, high
	Siphonage    string    `json:"siphonage"`    // yes, no, unknown
	BackPressure string    `json:"backPressure"` // none, low head, any
	HoseHead     *Quantity `json:"hoseHead"`     // how far a hose behind it may be raised
	Continuous   string    `json:"continuous"`   // may stand under pressure all the time
	MaxStanding  *Quantity `json:"maxStanding"`  // the longest it may, where not always
	ValveAfter   string    `json:"valveAfter"`
	Above        *Quantity `json:"above"` // over all piping and outlets after it
	Tester       string    `json:"tester"`
	Sources      []Source  `json:"sources"`
}

// ReadingOf shows how a phrase was understood.
func ReadingOf(tool Tool, text string, r phrase.Reading, how phrase.Explained) *Reading {
	file := src.NewFile(PhraseName, []byte(text))
	p := &r.Part
	out := &Reading{
		Head: Head{Schema, tool}, Phrase: text, Understood: r.Echo, Beside: string(r.Beside), Name: r.Name, Kind: kindOf(p), Ends: endsOf(p),
		Finish: p.Coating, LeadFree: answer(p.LeadFree), LeadSaid: p.LeadSaid, Listed: answer(p.Listed),
		OtherWater: p.NonPotable, Device: device(p.Device), Breaker: answer(p.Breaker),
		Existing: p.Existing, Wanted: p.Wanted, Count: p.Count, Series: p.Series,
		Marks: words(p.Marks), Words: words(p.Words),
		Problems: problemsOf(placed(file, r.Questions)), Notes: problemsOf(placed(file, r.Notes)), Others: []Other{},
		Length: quantity(p.Length, "m"), Bore: quantity(p.Bore, "m"), Rating: quantity(p.Rating, "Pa"),
		tap: p.Kind != nil && p.Kind.BuiltIn != nil,
	}
	if p.Material != nil {
		out.Material = p.Material.Title
	}
	for i := range r.Others {
		o := &r.Others[i]
		out.Others = append(out.Others, Other{kindOf(&o.Part), o.Echo, endsOf(&o.Part), o.Phrase})
	}
	out.how(text, &how)
	return out
}

// how adds what each word was taken for and what was weighed.
func (r *Reading) how(text string, how *phrase.Explained) {
	r.Taken, r.Weighed = []Taken{}, []Weighed{}
	for _, t := range how.Words {
		r.Taken = append(r.Taken, Taken{text[t.From:t.To], t.As})
	}
	for _, s := range how.Readings {
		w := Weighed{Against: math.Round(s.Against*100) / 100, Why: words(s.Why)}
		if s.Kind != nil {
			w.Kind = &KindRef{s.Kind.ID, s.Kind.Title}
		}
		r.Weighed = append(r.Weighed, w)
	}
}

func kindOf(p *plumb.Part) *KindRef {
	if p.Kind == nil {
		return nil
	}
	return &KindRef{p.Kind.ID, p.Kind.Title}
}

func endsOf(p *plumb.Part) []End {
	out := []End{}
	for i := range p.Ends {
		e := &p.Ends[i]
		end := End{Name: e.Name, Size: string(e.Size), Swivel: e.Swivel, Outlet: e.Outlet}
		if e.Kind != nil {
			end.Type, end.Title = e.Kind.ID, e.Kind.Title
		}
		out = append(out, end)
	}
	return out
}

// placed gives what was said about a phrase its place in it.
func placed(file *src.File, list []phrase.Problem) []src.Problem {
	out := make([]src.Problem, 0, len(list))
	for _, p := range list {
		out = append(out, src.Problem{
			Span: file.Span(p.From, p.To), Msg: p.Msg, Want: p.Want, Nearest: p.Nearest, Choices: p.Choices,
		})
	}
	return out
}

// quantity shows a value with its unit, nil where it is not known.
func quantity[T interface {
	~float64
	Both() string
}](v plumb.Opt[T], unit string) *Quantity {
	if !v.Known {
		return nil
	}
	return &Quantity{Value: float64(v.V), Unit: unit, Text: v.V.Both()}
}

func device(d *plumb.Device) *Device {
	if d == nil {
		return nil
	}
	out := &Device{
		ID: d.ID, Title: d.Title, Standards: words(d.Standards), Hazard: d.Hazard.String(), Siphonage: answer(d.Siphonage),
		Continuous: answer(d.Continuous), ValveAfter: answer(d.ValveAfter), Tester: answer(d.Testable), Sources: sources(d.Cites),
		BackPressure: "none",
		HoseHead:     quantity(d.HoseHead, "m"), MaxStanding: quantity(d.MaxStanding, "s"), Above: quantity(d.Above, "m"),
	}
	switch d.BackPressure {
	case plumb.LowHead:
		out.BackPressure = "low head"
	case plumb.AnyBackPressure:
		out.BackPressure = "any"
	}
	return out
}

// readingWidth is how wide the labels of a reading stand.
const readingWidth = 16

func (r *Reading) text(p *page) {
	const w = readingWidth
	for i := range r.Problems {
		r.Problems[i].ask(p, PhraseName)
	}
	p.column("phrase", w, r.Phrase)
	p.column("understood as", w, r.understood())
	p.column("name", w, r.Name)
	if r.Kind != nil {
		r.facts(p)
	} else {
		endsText(p, r.Ends)
		p.column("material", w, r.Material)
	}
	for _, n := range r.Notes {
		p.column("note", w, n.Message)
		for _, c := range n.Choices {
			p.column("  either", w, c)
		}
	}
	for i := range r.Others {
		r.Others[i].text(p)
	}
	r.howText(p)
}

// howText tells word for word how the phrase was read, and why so.
func (r *Reading) howText(p *page) {
	if len(r.Taken) > 0 {
		p.line("")
		p.line("word for word:")
	}
	for _, t := range r.Taken {
		p.column("  "+Clean(t.Text), 2*readingWidth, t.As)
	}
	if len(r.Weighed) < 2 {
		return
	}
	p.line("")
	p.line("weighed, the first with the least against it:")
	for _, w := range r.Weighed {
		title := "no part"
		if w.Kind != nil {
			title = w.Kind.Title
		}
		why := strings.Join(w.Why, "; ")
		if why == "" {
			why = "nothing speaks against it"
		}
		p.column("  "+title, 2*readingWidth, why)
	}
}

// understood says how far a phrase was understood.
func (r *Reading) understood() string {
	asked, ways := len(r.Problems), len(r.Others)
	if ways > 0 {
		asked-- // which of them it is stands below
	}
	switch {
	case r.Beside == "other":
		return "no part of a run"
	case r.Beside != "":
		return "no part of a run: " + r.Beside
	case r.Kind == nil && ways > 1:
		return fmt.Sprintf("one of %d parts, or another", ways)
	case r.Kind == nil && ways == 1:
		return "the part below, or another"
	case r.Kind == nil && !r.Wanted:
		return "it is not known what it is"
	case ways > 0:
		return fmt.Sprintf("%s (the likeliest of %d)", r.Understood, ways+1)
	case asked > 0:
		return r.Understood + " (only in part)"
	}
	return r.Understood
}

func (o *Other) text(p *page) {
	const w = readingWidth
	p.line("")
	p.column("or", w, o.Kind.Title+" ("+o.Kind.ID+")")
	endsText(p, o.Ends)
	p.column("to mean it", w, o.Phrase)
}

// endsText writes each end under the other.
func endsText(p *page, ends []End) {
	const w = readingWidth
	for i, e := range ends {
		label := ""
		if i == 0 {
			label = "ends:"
		}
		p.para(fmt.Sprintf("%-*s%-8s", w, label, Clean(e.Name)), w+8, e.String())
	}
}

// facts writes what is known of a part whose kind is known.
func (r *Reading) facts(p *page) {
	const w = readingWidth
	p.column("kind", w, r.Kind.Title+" ("+r.Kind.ID+")")
	if r.Wanted {
		p.column("wanted", w, "a gap that is still to be filled")
	}
	if r.Existing {
		p.column("existing", w, "yes, it stands already")
	}
	if r.Count > 1 {
		p.column("how many", w, fmt.Sprintf("%d side by side", r.Count))
	}
	endsText(p, r.Ends)
	p.column("material", w, orUnsaid(r.Material))
	p.column("finish", w, r.Finish)
	lead := known(r.LeadFree)
	if r.LeadSaid {
		lead += ", as the phrase says"
	}
	p.column("lead-free", w, lead)
	listed := known(r.Listed)
	if r.OtherWater {
		listed = "no, the phrase says that it is for other water"
	}
	p.column("drinking water", w, "listed for it: "+listed)
	if q := r.Length; q != nil {
		p.column("length", w, q.Text)
	}
	if q := r.Bore; q != nil {
		p.column("bore", w, q.Text)
	}
	p.column("wall or type", w, r.Series)
	if q := r.Rating; q != nil {
		p.column("rated for", w, q.Text)
	}
	p.column("marks", w, strings.Join(r.Marks, ", "))
	if r.tap {
		p.column("vacuum breaker", w, "built in: "+known(r.Breaker))
	}
	r.Device.text(p, "protects", w)
	p.column("other words", w, strings.Join(r.Words, ", "))
}

// String writes an end as the trade does, and what that means.
func (e End) String() string {
	text := strings.TrimSpace(e.Size + " " + e.Type)
	switch {
	case e.Type == "" && e.Size == "":
		text = "size and type not said"
	case e.Type == "":
		text += ", type not said"
	case e.Size == "":
		text += ", size not said: " + e.Title
	default:
		text += ": " + e.Title
	}
	if e.Swivel {
		text += "; turns on its part"
	}
	if e.Outlet {
		text += "; water leaves here"
	}
	return text
}

// text says in plain words what a device stands against.
func (d *Device) text(p *page, label string, w int) {
	if d == nil {
		return
	}
	p.column(label, w, d.Title+" ("+strings.Join(d.Standards, ", ")+")")
	say := func(text string) { p.para(strings.Repeat(" ", w), w, text) }
	say("worst hazard behind it: " + d.Hazard)
	say("water sucked back: " + stops(d.Siphonage))
	switch d.BackPressure {
	case "any":
		say("water pushed back: stopped")
	case "low head":
		text := "water pushed back: only from a raised hose"
		if d.HoseHead != nil {
			text += ", up to " + d.HoseHead.Text
		}
		say(text)
	default:
		say("water pushed back: not stopped")
	}
	standing := "under pressure all the time: " + known(d.Continuous)
	if d.MaxStanding != nil {
		standing += ", at most " + d.MaxStanding.Text + " at a time"
	}
	say(standing)
	say("a valve after it: " + known(d.ValveAfter))
	if d.Above != nil {
		say("how high: " + d.Above.Text + " above all piping and outlets after it")
	}
	if d.Tester == "yes" {
		say("must be tested by a certified tester")
	}
}

func stops(answer string) string {
	switch answer {
	case "yes":
		return "stopped"
	case "no":
		return "not stopped"
	}
	return "not known"
}

// known writes an answer for people.
func known(answer string) string {
	if answer == "unknown" {
		return plumb.Unknown.String()
	}
	return answer
}

func orUnsaid(text string) string {
	if text == "" {
		return "not said"
	}
	return text
}
