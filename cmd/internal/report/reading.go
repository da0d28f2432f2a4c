package report

import (
	"fmt"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/phrase"
	"tapwright/plumb/src"
)

// PhraseName stands for the file name where a phrase has problems.
const PhraseName = "<phrase>"

// Reading is how a trade phrase was understood.
type Reading struct {
	Head
	Phrase     string    `json:"phrase"`
	Understood string    `json:"understood"` // the phrase in the trade's order, "" where not understood
	Name       string    `json:"name"`
	Kind       *KindRef  `json:"kind"`
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
	Words      []string  `json:"words"` // words that carry no figure
	Problems   []Problem `json:"problems"`
	Notes      []Problem `json:"notes"`
	tap        bool      // whether a built-in breaker is a question at all
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
func ReadingOf(tool Tool, text string, r phrase.Reading) *Reading {
	file := src.NewFile(PhraseName, []byte(text))
	p := &r.Part
	out := &Reading{
		Head: Head{Schema, tool}, Phrase: text, Understood: r.Echo, Name: r.Name, Ends: []End{},
		Finish: p.Coating, LeadFree: answer(p.LeadFree), LeadSaid: p.LeadSaid, Listed: answer(p.Listed),
		OtherWater: p.NonPotable, Device: device(p.Device), Breaker: answer(p.Breaker),
		Existing: p.Existing, Wanted: p.Wanted, Count: p.Count, Series: p.Series,
		Marks: words(p.Marks), Words: words(p.Words),
		Problems: problemsOf(placed(file, r.Questions)), Notes: problemsOf(placed(file, r.Notes)),
	}
	if p.Kind != nil {
		out.Kind = &KindRef{p.Kind.ID, p.Kind.Title}
		out.tap = p.Kind.BuiltIn != nil
	}
	if p.Material != nil {
		out.Material = p.Material.Title
	}
	for i := range p.Ends {
		e := &p.Ends[i]
		end := End{Name: e.Name, Size: string(e.Size), Swivel: e.Swivel, Outlet: e.Outlet}
		if e.Kind != nil {
			end.Type, end.Title = e.Kind.ID, e.Kind.Title
		}
		out.Ends = append(out.Ends, end)
	}
	out.Length = quantity(p.Length, "m")
	out.Bore = quantity(p.Bore, "m")
	out.Rating = quantity(p.Rating, "Pa")
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

func (r *Reading) text(p *page) {
	const w = 16
	for i := range r.Problems {
		r.Problems[i].text(p, PhraseName)
	}
	p.column("phrase", w, r.Phrase)
	switch {
	case r.Understood == "":
		p.column("understood as", w, "no part")
	case len(r.Problems) > 0:
		p.column("understood as", w, r.Understood+" (only in part)")
	default:
		p.column("understood as", w, r.Understood)
	}
	p.column("name", w, r.Name)
	if r.Kind == nil {
		return
	}
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
	for i, e := range r.Ends {
		label := ""
		if i == 0 {
			label = "ends:"
		}
		p.para(fmt.Sprintf("%-*s%-8s", w, label, Clean(e.Name)), w+8, e.String())
	}
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
	for _, n := range r.Notes {
		p.column("note", w, n.Message)
		for _, c := range n.Choices {
			p.column("  either", w, c)
		}
	}
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
