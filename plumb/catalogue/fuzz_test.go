package catalogue_test

import "testing"

// FuzzLookUp: whatever is asked for, an answer or none, never a panic.
func FuzzLookUp(f *testing.F) {
	for _, s := range []string{"hose bibb", "1/4 bend", "", "-", "\xff", "P-trap", "½ tap", "vacum braker"} {
		f.Add(s)
	}
	cat := load(f)
	f.Fuzz(func(t *testing.T, s string) {
		for _, k := range cat.Named(s) {
			if k == nil {
				t.Fatal("a nil kind")
			}
		}
		if k := cat.Kind(s); (k == nil) != (len(cat.Named(s)) == 0) {
			t.Fatal("Kind and Named differ")
		}
		cat.Search(s)
		cat.End(s)
		cat.Material(s)
		cat.Sealant(s)
		cat.Device(s)
		cat.PipeFor("copper-tube", s)
	})
}
