package phrase

import "testing"

// FuzzRead holds what must be true of every text: nothing panics, ranges lie inside the
// text, and what was read without a question is echoed so that it reads to the same part.
func FuzzRead(f *testing.F) {
	for _, c := range good {
		f.Add(c.text)
	}
	for _, c := range asking {
		f.Add(c.text)
	}
	for _, s := range hostile {
		f.Add(s)
	}
	for i, rec := range readCollection(f, collectionFile) {
		if i%8 == 0 { // a short corpus starts soon
			f.Add(rec.T)
		}
	}
	r := reader(f)
	f.Fuzz(func(t *testing.T, text string) { checkReading(t, r, text) })
}
