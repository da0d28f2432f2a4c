package phrase

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// What Say writes of a part reads to that part again; lengths and pressures
// within a millionth.
func TestSay(t *testing.T) {
	r := reader(t)
	for _, c := range good {
		x := r.Read(c.text)
		said := r.Say(&x.Part)
		y := r.Read(said)
		if !assert.Empty(t, y.Problems, "%q is said as %q", c.text, said) {
			continue
		}
		assert.Equal(t, summary(&x.Part), summary(&y.Part), "%q is said as %q", c.text, said)
		assert.Equal(t, said, r.Say(&y.Part), "%q", c.text)
	}
	none := r.Read("no part at all").Part
	assert.Empty(t, r.Say(&none))
}

func TestSayIsTheEcho(t *testing.T) {
	r := reader(t)
	for _, text := range []string{
		"3/4 MHT x 1/2 MIP brass adapter, lead-free", "1/2 FIP x 3/4 MHT brass hose bibb, no vacuum breaker",
		"1/2 copper tube, type L, 20 ft", "existing 1/2 MIP x 1/2 MIP brass nipple, 18 in long", "2 ea 1/2 C x 1/2 C copper 90 elbow",
	} {
		x := r.Read(text)
		assert.Equal(t, x.Echo, r.Say(&x.Part), "%q", text)
	}
}
