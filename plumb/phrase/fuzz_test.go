package phrase

import "testing"

// FuzzRead holds what must be true of every text: nothing panics, ranges lie
// inside the text, and what was read without a problem is echoed so that it
// reads to the same part.
func FuzzRead(f *testing.F) {
	for _, c := range good {
		f.Add(c.text)
	}
	for _, c := range bad {
		f.Add(c.text)
	}
	for _, s := range hostile {
		f.Add(s)
	}
	r := reader(f)
	f.Fuzz(func(t *testing.T, text string) { checkReading(t, r, text) })
}
