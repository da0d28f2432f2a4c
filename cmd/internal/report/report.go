package report

import (
	"slices"

	"tapwright/plumb"
	"tapwright/plumb/src"
	"tapwright/rules"
)

// Schema is the version of the JSON documents. Fields may be added without
// changing it.
const Schema = 1

// Tool says who wrote a document.
type Tool struct {
	Name    string `json:"name"`
	Version string `json:"version"`
}

// Head begins every document.
type Head struct {
	Schema int  `json:"schema"`
	Tool   Tool `json:"tool"`
}

// Report is what was found in one or more run files.
type Report struct {
	Head
	Files   []File `json:"files"`
	Summary Total  `json:"summary"`
}

// How much of a file could be read.
const (
	ReadWhole   = "whole"
	ReadPart    = "part"
	ReadNothing = "nothing"
)

// File is what was found in one run file.
type File struct {
	Name       string    `json:"name"`
	Title      string    `json:"title"`
	Read       string    `json:"read"`
	Profile    string    `json:"profile"` // "" where nothing was checked
	Site       string    `json:"site,omitempty"`
	Rules      int       `json:"rules"` // how many rules were applied
	Problems   []Problem `json:"problems"`
	Findings   []Finding `json:"findings"`
	Missing    *Missing  `json:"missing,omitempty"` // where it was asked for
	Echo       *Echo     `json:"echo,omitempty"`
	Summary    Summary   `json:"summary"`
	NotChecked []string  `json:"notChecked"`
}

// Summary counts what was found in a file. Waived findings are counted as such
// only; the unknown ones are also counted by the level of their worst answer.
type Summary struct {
	Problems int `json:"problems"`
	Errors   int `json:"errors"`
	Warnings int `json:"warnings"`
	Notes    int `json:"notes"`
	Unknown  int `json:"unknown"`
	Waived   int `json:"waived"`
}

// Total is the sum over all files.
type Total struct {
	Files   int `json:"files"`
	NotRead int `json:"notRead"` // files that could not be read, or not in full
	Summary
}

// Place is a place in a text: for people by line and column (in characters,
// both from 1), for programs by byte (from 0).
type Place struct {
	Line   int `json:"line"`
	Column int `json:"column"`
	Byte   int `json:"byte"`
}

// Span is a stretch of a text; both ends are null where it has no place in it.
type Span struct {
	Start *Place `json:"start"`
	End   *Place `json:"end"`
}

// Problem is a complaint about a text that could not be read as it stands.
type Problem struct {
	Span
	Message  string   `json:"message"`
	Expected string   `json:"expected"`
	Nearest  string   `json:"nearest"`
	Choices  []string `json:"choices"`
}

// Finding is what a rule said.
type Finding struct {
	Span
	Rule    string    `json:"rule"`
	Family  string    `json:"family"`
	Level   string    `json:"level"` // of the worst answer, where unknown
	Unknown bool      `json:"unknown"`
	Message string    `json:"message"`
	Remedy  string    `json:"remedy"`
	Why     string    `json:"why"`
	Ask     []Ask     `json:"ask"`
	Related []Related `json:"related"`
	Parts   []Part    `json:"parts"`
	Sources []Source  `json:"sources"`
	Waived  string    `json:"waived"` // the reason, "" where the finding counts
}

// Ask is a fact that is missing.
type Ask struct {
	What    string   `json:"what"`
	How     string   `json:"how"`
	Answers []Answer `json:"answers"`
}

// Answer is a possible answer and what it would change.
type Answer struct {
	If   string `json:"if"`
	Then string `json:"then"`
}

// Related is another place that has to do with a finding.
type Related struct {
	Span
	Text string `json:"text"`
}

// Part is a part that a finding is about.
type Part struct {
	Span
	Label  string `json:"label"` // its name, or what kind of part it is
	Kind   string `json:"kind"`  // "" where it is not known
	Phrase string `json:"phrase"`
}

// Source is the publication that something rests on.
type Source struct {
	Work       string `json:"work"`
	Where      string `json:"where"`
	FromMemory bool   `json:"fromMemory"`
}

// New adds the files up.
func New(tool Tool, files []File) *Report {
	r := &Report{Head: Head{Schema, tool}, Files: files}
	if r.Files == nil {
		r.Files = []File{}
	}
	for i := range files {
		f := &files[i]
		r.Summary.Files++
		if f.Read != ReadWhole {
			r.Summary.NotRead++
		}
		r.Summary.Problems += f.Summary.Problems
		r.Summary.Errors += f.Summary.Errors
		r.Summary.Warnings += f.Summary.Warnings
		r.Summary.Notes += f.Summary.Notes
		r.Summary.Unknown += f.Summary.Unknown
		r.Summary.Waived += f.Summary.Waived
	}
	return r
}

// Unread is a file of which nothing could be used.
func Unread(name string, problems []src.Problem) File {
	f := newFile(name, problems)
	f.Read = ReadNothing
	f.NotChecked = []string{"the whole file"}
	return f
}

// Checked is a file that was read, with or without problems, and checked.
func Checked(name string, problems []src.Problem, res *rules.Result, book []*rules.Rule) File {
	f := newFile(name, problems)
	f.Title = res.Run.Title
	f.Profile, f.Site = res.Profile.Name, res.Profile.Site
	f.NotChecked = append(f.NotChecked, once(res.NotChecked)...)
	why := make(map[string]string, len(book))
	for _, r := range book {
		why[r.ID] = r.Why
		if _, ok := res.Profile.Rules[r.ID]; ok {
			f.Rules++
		}
	}
	for i := range res.Findings {
		f.Findings = append(f.Findings, finding(res.Run, &res.Findings[i], why))
	}
	f.Summary.Errors = res.Count(rules.Error)
	f.Summary.Warnings = res.Count(rules.Warning)
	f.Summary.Notes = res.Count(rules.Note)
	f.Summary.Unknown = res.Unknowns()
	f.Summary.Waived = res.Waived()
	return f
}

func newFile(name string, problems []src.Problem) File {
	f := File{
		Name: name, Read: ReadWhole, Problems: problemsOf(problems), Findings: []Finding{}, NotChecked: []string{},
		Summary: Summary{Problems: len(problems)},
	}
	if len(problems) > 0 {
		f.Read = ReadPart
	}
	return f
}

func problemsOf(list []src.Problem) []Problem {
	out := make([]Problem, 0, len(list))
	for _, p := range list {
		out = append(out, Problem{Span: span(p.Span), Message: p.Msg, Expected: p.Want, Nearest: p.Nearest, Choices: words(p.Choices)})
	}
	return out
}

func finding(run *plumb.Run, f *rules.Finding, why map[string]string) Finding {
	out := Finding{
		Span: span(f.Span), Rule: f.Rule, Family: f.Family, Level: f.Level.String(), Unknown: f.Unknown,
		Message: f.Message, Remedy: f.Remedy, Why: why[f.Rule], Waived: f.Waived,
		Ask: []Ask{}, Related: []Related{}, Parts: []Part{}, Sources: sources(f.Cites),
	}
	for _, q := range f.Ask {
		a := Ask{What: q.What, How: q.How, Answers: []Answer{}}
		for _, x := range q.Answers {
			a.Answers = append(a.Answers, Answer(x))
		}
		out.Ask = append(out.Ask, a)
	}
	for _, r := range f.Related {
		out.Related = append(out.Related, Related{span(r.Span), r.Text})
	}
	for _, i := range f.Parts {
		p := &run.Parts[i]
		part := Part{Span: span(p.Span), Label: p.Label(), Phrase: p.Phrase}
		if p.Kind != nil {
			part.Kind = p.Kind.ID
		}
		out.Parts = append(out.Parts, part)
	}
	return out
}

// sources gives each publication once, in the order in which they were cited.
func sources(cites []plumb.Cite) []Source {
	out := make([]Source, 0, len(cites))
	for _, c := range cites {
		out = append(out, Source{Work: c.Work, Where: c.Where, FromMemory: c.Memory})
	}
	return once(out)
}

// once drops what occurs again.
func once[T comparable](list []T) []T {
	out := list[:0:0]
	for _, x := range list {
		if !slices.Contains(out, x) {
			out = append(out, x)
		}
	}
	if out == nil {
		out = []T{}
	}
	return out
}

func span(s src.Span) Span {
	if !s.Known() {
		return Span{}
	}
	return Span{Start: place(s.Start), End: place(s.End)}
}

func place(p src.Pos) *Place { return &Place{Line: p.Line, Column: p.Col, Byte: p.Byte} }

// words is a list that is written [] when it is empty.
func words(list []string) []string {
	if list == nil {
		return []string{}
	}
	return list
}
