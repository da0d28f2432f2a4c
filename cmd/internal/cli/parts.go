package cli

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"github.com/spf13/cobra"

	"tapwright/cmd/internal/report"
	"tapwright/plumb"
	"tapwright/plumb/catalogue"
	"tapwright/plumb/phrase"
	"tapwright/plumb/src"
)

// mostKinds is how many kinds a search shows.
const mostKinds = 20

// partsOptions is what the parts command was asked for.
type partsOptions struct {
	text    string // the words, one blank between them
	phrase  bool
	chapter bool
	list    choice // words of one kind; "" where not asked for
}

func (a *app) parts(run func(*partsOptions) error) *cobra.Command {
	o := &partsOptions{list: choice{words: report.Lists}}
	cmd := &cobra.Command{
		Use:   "parts [PHRASE | KIND | CHAPTER | WORD ...]",
		Short: "Show how a phrase is understood, or search the catalogue",
		Long: fmt.Sprintf(`Show how a trade phrase is understood, or search the catalogue of parts.

Without a word it lists the chapters of the catalogue. Words are tried in this
order; --chapter and --phrase go straight there:
  a kind of part    its record: ends, sizes, materials, what it protects against
  a chapter         the kinds of part in it
  search words      the kinds in which all of them occur, at most %d of them
  a phrase          whatever has a figure, a comma or = in it, or was not found:
                    how it is read, with every end, what was assumed, what must
                    be asked, and what else it may mean

A phrase has its sizes and ends, what it is, and what it is made of, in the
words on the label. In a shell it stands in quotes.`, mostKinds),
		Example: `  tapwright parts "3/4 FHT x 1/2 MIP brass adapter, lead-free"
  tapwright parts vacuum breaker
  tapwright parts hose-bibb
  tapwright parts --phrase "hose bibb"
  tapwright parts --list ends                what MIP, FHT and the rest mean`,
		RunE: func(_ *cobra.Command, args []string) error {
			o.text = strings.TrimSpace(strings.Join(args, " "))
			switch {
			case o.phrase && o.chapter:
				return &usageError{"--phrase and --chapter do not go together", "Take one of them."}
			case o.list.value != "" && (o.phrase || o.chapter || o.text != ""):
				return &usageError{"--list stands alone", "Such as: tapwright parts --list sealants"}
			case o.text == "" && o.chapter:
				return &usageError{"--chapter wants the name of a chapter", "`tapwright parts` lists them."}
			case o.text == "" && (o.phrase || len(args) > 0):
				return &usageError{"there is no phrase to read", `Such as: tapwright parts "1/2 MIP x 3/4 MHT hose bibb"`}
			}
			return run(o)
		},
	}
	a.formatFlag(cmd)
	cmd.Flags().BoolVar(&o.phrase, "phrase", false, "read the words as a phrase, whatever they are")
	cmd.Flags().BoolVar(&o.chapter, "chapter", false, "list the chapter of that name")
	cmd.Flags().Var(&o.list, "list", "list the words that a run file may use for these")
	o.list.complete(cmd, "list")
	return cmd
}

func (a *app) runParts(o *partsOptions) error {
	cat, err := catalogue.Load()
	if err != nil {
		return err
	}
	switch {
	case o.list.value != "":
		return a.show(report.WordsOf(a.tool, cat, o.list.value), a.style())
	case o.text == "":
		return a.show(report.ChaptersOf(a.tool, cat), a.style())
	case o.chapter:
		kinds := chapter(cat, o.text)
		if len(kinds) == 0 {
			return noChapter(cat, o.text)
		}
		return a.show(report.KindListOf(a.tool, o.text, kinds, len(kinds)), a.style())
	case !o.phrase && !hasFigure(o.text):
		kinds, most := look(cat, o.text)
		if len(kinds) == 1 {
			return a.show(report.KindOf(a.tool, cat, kinds[0]), a.style())
		}
		if len(kinds) > 1 {
			return a.show(report.KindListOf(a.tool, o.text, kinds, most), a.style())
		}
	}
	reader := phrase.New(cat)
	doc := report.ReadingOf(a.tool, o.text, reader.Read(o.text), reader.Explain(o.text, phrase.Context{}))
	if err := a.show(doc, a.style()); err != nil {
		return err
	}
	if len(o.text) > phrase.MaxBytes {
		return errUnreadable // of a phrase that long nothing is read
	}
	return nil
}

// hasFigure reports whether a text can only be a phrase.
func hasFigure(text string) bool {
	return strings.IndexFunc(text, func(r rune) bool { return unicode.IsNumber(r) || r == '=' || r == ',' }) >= 0
}

// look finds what words mean in the catalogue, and how many of it to show: the
// kind of that id or title, a whole chapter, or the first of a search.
func look(cat *catalogue.Catalogue, text string) (kinds []*plumb.Kind, most int) {
	named := cat.Named(text)
	for _, k := range named {
		if k.ID == text || catalogue.Fold(k.Title) == catalogue.Fold(text) {
			return []*plumb.Kind{k}, 1
		}
	}
	if kinds = chapter(cat, text); len(kinds) > 0 {
		return kinds, len(kinds)
	}
	kinds = named
	for _, k := range cat.Search(text) {
		if !slices.Contains(kinds, k) {
			kinds = append(kinds, k)
		}
	}
	return kinds, mostKinds
}

func chapter(cat *catalogue.Catalogue, name string) (kinds []*plumb.Kind) {
	for _, k := range cat.Kinds {
		if catalogue.Fold(k.Group) == catalogue.Fold(name) {
			kinds = append(kinds, k)
		}
	}
	return kinds
}

func noChapter(cat *catalogue.Catalogue, name string) error {
	var names []string
	for _, k := range cat.Kinds {
		if !slices.Contains(names, k.Group) {
			names = append(names, k.Group)
		}
	}
	e := &usageError{fmt.Sprintf("there is no chapter %q", name), "There are: " + strings.Join(names, ", ") + "."}
	if near, ok := src.Nearest(name, names); ok {
		e.hint = fmt.Sprintf("Did you mean %s?", near)
	}
	return e
}
