package rules

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/catalogue"
	"tapwright/plumb/src"
	"tapwright/plumb/yamldoc"
)

// Fluid is one row of a profile's table of what may come back: where the water
// has been, or what was put into it, and the fluid category (EN 1717, 1 to 5) it
// counts as. A profile of a legal world that knows no categories has no rows.
type Fluid struct {
	What string // in words: "a garden hose"
	// What the row is about, one of these.
	Where FluidPlace
	Into  []plumb.Receiver
	For   []plumb.Use
	Adds  []string // words of which one occurs in what is added; AnyOther for all that no row knows
	// Held narrows a row of Adds to what is held in the hand, or is not.
	Held plumb.Tri
	// Household is the category on the ground of one household, Shared the one
	// elsewhere.
	Household, Shared int
	Cites             []plumb.Cite
}

// FluidPlace is where water leaves, where that alone decides.
type FluidPlace uint8

// The places.
const (
	FromHose    FluidPlace = iota + 1 // a hose thread, a loose hose, what is held in the hand
	OnSoil                            // a hose that seeps, an opening in the soil or close above it
	UseUnsaid                         // an outlet of which it is not said what its water is for
	OtherSupply                       // a supply of other water, joined to the drinking supply
)

var fluidPlaces = []string{"hose", "soil", "use not said", "other supply"}

var uses = []plumb.Use{
	plumb.Drinking, plumb.Cooking, plumb.WashingFood, plumb.WashingDishes, plumb.WashingHands, plumb.Bathing, plumb.Plants,
	plumb.Animals, plumb.Cleaning, plumb.Filling,
}

// AnyOther is the word for whatever no row of Adds knows.
const AnyOther = "anything else"

// Category is the category of a row on a ground: Yes for one household's own.
// Where that is not known it is the worse of the two.
func (f *Fluid) Category(household plumb.Tri) int {
	switch household {
	case plumb.Yes:
		return f.Household
	case plumb.No:
		return f.Shared
	}
	return max(f.Household, f.Shared)
}

// IsAdded reports whether a row speaks of what a part adds.
func (f *Fluid) IsAdded(what string, held bool) bool {
	if f.Held != plumb.Unknown && (f.Held == plumb.Yes) != held {
		return false
	}
	for _, word := range f.Adds {
		if strings.Contains(strings.ToLower(what), word) {
			return true
		}
	}
	return false
}

// Protection names what stands against a fluid category: where water is sucked
// back, and where it may be pressed back as well.
type Protection struct{ Sucked, Pressed string }

// against reads what stands against each category.
func against(w *yamldoc.Walk, n *yamldoc.Node) map[int]Protection {
	out := map[int]Protection{}
	f := w.Map(n, "what stands against a category", "2", "3", "4", "5")
	for category := 2; category <= 5; category++ {
		row := w.Map(w.Need(f, "what stands against a category", strconv.Itoa(category)), "a category", "sucked", "pressed")
		var p Protection
		p.Sucked, _ = w.String(w.Need(row, "a category", "sucked"), "what stands against it")
		p.Pressed, _ = w.String(w.Need(row, "a category", "pressed"), "what stands against it")
		out[category] = p
	}
	return out
}

// fluids reads a profile's table.
func fluids(w *yamldoc.Walk, n *yamldoc.Node) (rows []Fluid) {
	for _, row := range w.List(n, "fluid categories") {
		f := w.Map(row, "a fluid", "what", "where", "into", "for", "adds", "held", "household", "shared", "cites")
		var out Fluid
		out.What, _ = w.String(w.Need(f, "a fluid", "what"), "what it is")
		said := 0
		for _, key := range []string{"where", "into", "for", "adds"} {
			if f.Get(key) != nil {
				said++
			}
		}
		if said != 1 {
			w.Fail(row.Span, src.Problem{Msg: "a row speaks of one thing", Want: "one of where, into, for, adds"})
		}
		if word, ok := w.OneOf(f.Get("where"), "where", fluidPlaces...); ok {
			out.Where = FluidPlace(slices.Index(fluidPlaces, word) + 1)
		}
		for _, word := range w.Texts(f.Get("into"), "receivers") {
			into := plumb.IntoBasin
			for into < plumb.IntoTank && into.String() != word {
				into++
			}
			if into.String() != word {
				w.Fail(f.Get("into").Span, src.Problem{Msg: fmt.Sprintf("%q is nothing that water empties into", word)})
			}
			out.Into = append(out.Into, into)
		}
		for _, word := range w.Texts(f.Get("for"), "uses") {
			if !slices.Contains(uses, plumb.Use(word)) {
				w.Fail(f.Get("for").Span, src.Problem{Msg: fmt.Sprintf("%q is not a use of water", word)})
			}
			out.For = append(out.For, plumb.Use(word))
		}
		out.Adds = w.Texts(f.Get("adds"), "what is added")
		switch held, _ := w.OneOf(f.Get("held"), "held", "yes", "no"); held {
		case "yes":
			out.Held = plumb.Yes
		case "no":
			out.Held = plumb.No
		}
		category := func(key string) int {
			n, _ := w.Int(w.Need(f, "a fluid", key), key, 1, 5)
			return n
		}
		out.Household, out.Shared = category("household"), category("shared")
		out.Cites = catalogue.Cites(w, w.Need(f, "a fluid", "cites"))
		rows = append(rows, out)
	}
	if len(rows) > 0 && len(w.Faults()) == 0 {
		complete(w, n, rows)
	}
	return rows
}

// complete demands a row for each place and use, and for what no row knows, so
// that nothing that may come back is without a category.
func complete(w *yamldoc.Walk, n *yamldoc.Node, rows []Fluid) {
	want := func(what string, is func(Fluid) bool) {
		if !slices.ContainsFunc(rows, is) {
			w.Fail(n.Span, src.Problem{Msg: "the fluid categories have no row for " + what})
		}
	}
	for i, word := range fluidPlaces {
		want(word, func(f Fluid) bool { return f.Where == FluidPlace(i+1) })
	}
	for _, use := range uses {
		want(string(use), func(f Fluid) bool { return slices.Contains(f.For, use) })
	}
	want(AnyOther, func(f Fluid) bool { return slices.Contains(f.Adds, AnyOther) && f.Held == plumb.Unknown })
}
