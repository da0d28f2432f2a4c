package phrase

import (
	"fmt"
	"testing"

	"tapwright/plumb/catalogue"
)

func TestGrid(t *testing.T) {
	cat, _ := catalogue.Load()
	r := New(cat)
	seen := map[string]int{}
	n := 0
	show := func(text string, why string, k string) {
		key := why + " " + k
		seen[key]++
		if seen[key] <= 2 {
			fmt.Printf("%-22s %-28s %s\n", k, text, why)
		}
	}
	for _, k := range cat.Kinds {
		sizes := []string{""}
		for i, s := range k.Sizes {
			if i%2 == 0 || len(k.Sizes) < 4 {
				sizes = append(sizes, string(s))
			}
		}
		mats := []string{""}
		for i, m := range k.Materials {
			if i < 7 {
				mats = append(mats, cat.Material(m).Title)
			}
		}
		info := r.byID(k.ID)
		lengths := []string{""}
		if info.long {
			lengths = append(lengths, "6 ft", "18 in")
		}
		for _, name := range append([]string{k.Title}, k.Names...) {
			for _, s := range sizes {
				for _, m := range mats {
					for _, l := range lengths {
						var forms []string
						if l == "" {
							forms = []string{s + " " + m + " " + name, s + " " + name + ", " + m, m + " " + name + " " + s, name + ", " + m + ", " + s, s + " " + name + " " + m, m + " " + s + " " + name}
						} else {
							forms = []string{l + " " + s + " " + m + " " + name, s + " " + m + " " + name + ", " + l, s + " x " + l + " " + m + " " + name, m + " " + name + " " + s + " " + l, l + " of " + s + " " + name + ", " + m}
							if s == "" {
								forms = append(forms[:2], forms[3:]...)
							}
						}
						for _, f := range forms {
							n++
							x := r.Read(f)
							for _, p := range x.Problems {
								if p.Msg[0] == '"' && len(cat.Named(name)) > 1 {
									continue
								}
								msg := p.Msg
								if len(msg) > 160 {
									msg = msg[:160]
								}
								show(f, msg, k.ID)
							}
							if x.Part.Kind != nil && x.Part.Kind != k && len(cat.Named(name)) < 2 {
								show(f, "became "+x.Part.Kind.ID, k.ID)
							}
							if len(x.Problems) == 0 && m != "" && m != "PEX" && x.Part.Material == nil {
								show(f, "no material", k.ID)
							}
							if len(x.Problems) == 0 && s != "" {
								has := x.Part.Bore.Known
								for _, e := range x.Part.Ends {
									has = has || string(e.Size) == s
								}
								if !has && x.Part.Kind == k {
									show(f, "no size", k.ID)
								}
							}
							if len(x.Problems) == 0 && l != "" && !x.Part.Length.Known {
								show(f, "no length", k.ID)
							}
						}
					}
				}
			}
		}
	}
	fmt.Println(n, len(seen))
}
